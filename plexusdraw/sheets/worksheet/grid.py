"""The marking grid: every form of a class on one page, forms down and answers across; more pages when it is large.

Answers to choose or to match stand as letters. Columns are as wide as their longest word, so a class with long answers
takes several pages side by side: each says which questions it holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.layout.paper import Paper
from plexusdraw.scene import Leader, Note, Part, Scene
from plexusdraw.scene.curves import line
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet.form_page import FOOT_PT, HEAD_PT, TITLE_PT, free_page, rule, step, words
from plexusdraw.sheets.worksheet.spec import Form, Question

CELL_PT = 7.0
PAD_MM = 1.2
LIST_MM = 46.0
"""Width of a column that holds lists."""
LEAST_CODE_MM = 17.0
HEAD_MM = 15.0
MARGIN_MM = 10.0
DRAWN = "drawing: see the key"
"""For what is answered by drawing: it is marked beside the whole key."""


@dataclass(frozen=True, slots=True)
class Marks:
    """A form as the grid needs it: its code and questions, and what its pages are like."""

    code: str
    questions: tuple[Question, ...]
    page: Paper
    title: str


def _code_mm(forms: Sequence[Marks]) -> float:
    """Width of the column of codes, mm."""
    return max(LEAST_CODE_MM, *(fonts.width(form.code, CELL_PT, bold=True) + 2 * PAD_MM for form in forms))


def marks(form: Form) -> Marks:
    """What the grid keeps of a form, without its pages."""
    scene, view = form.pages[0]
    paper = Paper("page of the forms", scene.width, scene.height, MARGIN_MM)
    return Marks(form.code, form.questions, paper, view.title)


def pages(forms: Sequence[Marks]) -> list[Page]:
    """The grid of a class; none of flash cards, which hold their answers."""
    if not any(not question.card for form in forms for question in form.questions):
        return []
    page, title = forms[0].page, forms[0].title
    beside = _code_mm(forms)
    widths = _widths(forms, page, beside)
    sheets = [
        (columns, rows) for columns in _across(page, widths, beside) for rows in _down(page, forms, widths, columns)
    ]
    return [
        Page(_drawn(page, (i, len(sheets)), rows, widths, columns, beside), View(asks=False, title=title))
        for i, (columns, rows) in enumerate(sheets, start=1)
    ]


def answer(question: Question) -> str:
    """What is right, as short as it can be told."""
    if question.choice is not None and not question.choice.several:
        return question.choice.letters
    if question.pairs is not None:
        return question.pairs.letters
    if question.drawn:
        return DRAWN
    if len(question.answers) == 1:
        return question.answers[0]
    some = f"any {question.wanted} of: " if question.wanted < len(question.answers) else ""
    shown = [f"({text})" if i in question.either else text for i, text in enumerate(question.answers)]
    return f"{some}{'; '.join(shown)}"


def _widths(forms: Sequence[Marks], page: Paper, beside: float) -> list[float]:
    """Width of the column of each question, mm: its longest word at least, and more where a page has room."""
    most = max(len(form.questions) for form in forms)
    least, whole = [], []
    for i in range(most):
        texts = [answer(form.questions[i]) for form in forms if i < len(form.questions)]
        longest = max(_wide(text) for text in texts)
        word = max((_wide(word) for text in texts for word in text.split()), default=0.0)
        several = any(len(form.questions[i].answers) > 1 for form in forms if i < len(form.questions))
        kept = max(word, min(longest, LIST_MM) if several else word, _wide("00") + 1.0)
        least.append(kept + 2 * PAD_MM)
        whole.append(max(longest, kept) + 2 * PAD_MM)
    for columns in list(_across(page, least, beside)):
        spare = _room(page, beside) - sum(least[c] for c in columns)
        wish = sum(whole[c] - least[c] for c in columns)
        share = min(1.0, spare / wish) if wish > 0 else 0.0
        for c in columns:
            least[c] += share * (whole[c] - least[c])
    return least


def _room(page: Paper, beside: float) -> float:
    """Width of all columns of a page *beside* that of the codes, less a hair, mm."""
    return page.width - 2 * MARGIN_MM - beside - 0.01


def _wide(text: str) -> float:
    return fonts.width(text, CELL_PT) + 0.1


def _across(page: Paper, widths: Sequence[float], beside: float) -> Iterator[list[int]]:
    """The questions of each page side by side."""
    room = _room(page, beside) + 0.01
    columns: list[int] = []
    for i, wide in enumerate(widths):
        if columns and sum(widths[c] for c in columns) + wide > room:
            yield columns
            columns = []
        columns.append(i)
    yield columns


def _lines(form: Marks, column: int, wide: float) -> list[str]:
    if column >= len(form.questions):
        return []
    return fonts.wrap(answer(form.questions[column]), wide - 2 * PAD_MM, CELL_PT)


def _height(form: Marks, widths: Sequence[float], columns: Sequence[int]) -> float:
    most = max((len(_lines(form, c, widths[c])) for c in columns), default=1)
    return max(most, 1) * step(CELL_PT) + 2 * PAD_MM


def _down(
    page: Paper, forms: Sequence[Marks], widths: Sequence[float], columns: Sequence[int]
) -> Iterator[list[Marks]]:
    """The forms of each page below each other."""
    room = page.height - 2 * MARGIN_MM - HEAD_MM - step(FOOT_PT)
    rows: list[Marks] = []
    used = 0.0
    for form in forms:
        tall = _height(form, widths, columns)
        if rows and used + tall > room:
            yield rows
            rows, used = [], 0.0
        rows.append(form)
        used += tall
    yield rows


def _drawn(
    page: Paper,
    place: tuple[int, int],
    rows: Sequence[Marks],
    widths: Sequence[float],
    columns: list[int],
    beside: float,
) -> Scene:
    """One page: what it is, the numbers of the questions, a row for each form."""
    left, right = MARGIN_MM, MARGIN_MM + beside + sum(widths[c] for c in columns)
    number, many = place
    of_many = f", page {number} of {many}" if many > 1 else ""
    either = ". In brackets: accepted either way" if any(q.either for form in rows for q in form.questions) else ""
    head = f"Marking grid, forms {rows[0].code} to {rows[-1].code}{of_many}{either}"
    parts: list[Part] = [
        Note("title", "title", fonts.text("", left, MARGIN_MM + 5.0, TITLE_PT, bold=True), page.width - 2 * MARGIN_MM),
        words(head, left, MARGIN_MM + 5.0 + step(HEAD_PT), HEAD_PT, "orientation"),
    ]
    y = MARGIN_MM + HEAD_MM
    parts += _numbers(widths, columns, y, beside)
    parts.append(rule(left, y, right))
    top = y
    for form in rows:
        tall = _height(form, widths, columns)
        parts += _row(form, widths, columns, y, beside)
        y += tall
        parts.append(rule(left, y, right))
    x = left + beside
    for c in columns:
        parts.append(Leader(f"upright-{c}", "rule", line((x, top - step(FOOT_PT)), (x, y))))
        x += widths[c]
    return free_page(page, parts)


def _numbers(widths: Sequence[float], columns: Sequence[int], y: float, beside: float) -> Iterator[Part]:
    yield words("form", MARGIN_MM + PAD_MM, y - 1.0, FOOT_PT, bold=True)
    x = MARGIN_MM + beside
    for c in columns:
        yield words(str(c + 1), x + PAD_MM, y - 1.0, FOOT_PT, bold=True)
        x += widths[c]


def _row(form: Marks, widths: Sequence[float], columns: Sequence[int], y: float, beside: float) -> Iterator[Part]:
    base = y + PAD_MM + fonts.ascent(CELL_PT) + 0.5
    yield words(form.code, MARGIN_MM + PAD_MM, base, CELL_PT, bold=True)
    x = MARGIN_MM + beside
    for c in columns:
        for i, text in enumerate(_lines(form, c, widths[c])):
            yield words(text, x + PAD_MM, base + i * step(CELL_PT), CELL_PT)
        x += widths[c]
