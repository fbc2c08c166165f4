"""Pages of text: lines to answer on, and the marking list of a key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.layout.paper import Paper
from plexusdraw.scene import Part
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page
from plexusdraw.sheets.worksheet.form_page import HEAD_PT, Frame, rule, step, words
from plexusdraw.sheets.worksheet.shared_answers import helpful
from plexusdraw.sheets.worksheet.spec import Question

LINE_MM = 8.5
"""Distance of the lines to write on."""
COLUMN_MM = 84.0
GUTTER_MM = 8.0
NUMBER_MM = 8.0
LIST_PT = 8.0
LEAST_LINES = 4
"""So many lines of a long item stand at the foot of a column at least."""


@dataclass(frozen=True, slots=True)
class Item:
    """Lines of text, then rules to write on, in one piece; ``indent`` of the rules in mm, ``size`` in pt."""

    texts: tuple[tuple[str, float, bool], ...]
    """Text, indent in mm, bold."""
    rules: int = 0
    indent: float = 0.0
    size: float = HEAD_PT
    numbered: bool = False
    """Whether the first text stands before the first rule, on its line."""
    whole: bool = False
    """Whether it is never split."""

    @property
    def height(self) -> float:
        """Height, mm."""
        texts = len(self.texts) - (1 if self.numbered else 0)
        return texts * step(self.size) + self.rules * LINE_MM + 0.35 * step(self.size)

    def split(self, room: float) -> tuple[Item | None, Item | None]:
        """What goes into *room* mm and what is left; (None, self) where too little would stand alone."""
        lines = int(room / step(self.size) - 0.35)
        if self.whole or self.rules or lines < LEAST_LINES or len(self.texts) - lines < 2:
            return None, self
        return replace(self, texts=self.texts[:lines]), replace(self, texts=self.texts[lines:])


def columns(page: Paper) -> int:
    """How many columns of text stand side by side."""
    return max(1, int((page.width - 2 * page.margin + GUTTER_MM) / (COLUMN_MM + GUTTER_MM)))


def column_width(page: Paper) -> float:
    """Width of one column, mm."""
    many = columns(page)
    return (page.width - 2 * page.margin - (many - 1) * GUTTER_MM) / many


def flowed(page: Paper, frame: Frame, items: Sequence[Item]) -> list[list[Part]]:
    """The items in columns, page after page."""
    top, bottom = form_page.room(page, frame)
    wide, many = column_width(page), columns(page)
    pages: list[list[Part]] = [[]]
    column, y = 0, top
    waiting = list(reversed(items))
    while waiting:
        item = waiting.pop()
        if y + item.height > bottom:
            first, rest = item.split(bottom - y)
            if first is None and y > top:
                column, y = (column + 1) % many, top
                if column == 0:
                    pages.append([])
                waiting.append(item)
                continue
            if first is not None and rest is not None:
                waiting.append(rest)
                item = first
        x = page.margin + column * (wide + GUTTER_MM)
        pages[-1] += _set(item, x, y, wide)
        y += item.height
    return pages


def _set(item: Item, x: float, y: float, wide: float) -> Iterator[Part]:
    for i, (text, indent, bold) in enumerate(item.texts):
        if i == 0 and item.numbered:
            yield words(text, x + indent, y + LINE_MM - 1.5, item.size, bold=bold)
            continue
        y += step(item.size)
        yield words(text, x + indent, y, item.size, bold=bold)
    for _ in range(item.rules):
        y += LINE_MM
        yield rule(x + item.indent, y - 1.0, x + wide)


def answer_items(questions: Sequence[Question], wide: float) -> list[Item]:
    """A numbered line for each name; a prompt and as many lines as are wanted for each list."""
    found = []
    for q in questions:
        if q.drawn:
            continue
        number = (str(q.number), 0.0, True)
        if q.key is not None and q.key[1] == "name":
            found.append(Item((number,), 1, NUMBER_MM, numbered=True))
            continue
        lines = fonts.wrap(q.prompt, wide - NUMBER_MM, HEAD_PT)
        texts = [(text, NUMBER_MM, False) for text in lines]
        head = [(f"{q.number}  {texts[0][0]}", 0.0, False), *texts[1:]]
        found.append(Item(tuple(head), q.wanted, NUMBER_MM))
    return found


def answer_pages(page: Paper, frame: Frame, questions: Sequence[Question]) -> tuple[Page, ...]:
    """Pages with lines to answer on."""
    plain = replace(frame, bank=(), legend="")
    made = flowed(page, plain, answer_items(questions, column_width(page)))
    view = View(asks=True, title=plain.title)
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


def marking_pages(page: Paper, frame: Frame, questions: Sequence[Question]) -> tuple[Page, ...]:
    """The marking list: what is right at each number, other spellings, points."""
    plain = replace(frame, bank=(), legend="", is_key=True, instructions=MARKING)
    wide = column_width(page)
    items = [_marked(q, wide) for q in questions]
    made = flowed(page, plain, items)
    view = View(asks=False, title=plain.title)
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


MARKING = (
    "Marking list. A point for each answer that is wanted. What follows “also” is right as well; "
    "exports list every spelling."
)


EITHER = "Sources differ, accept either way:"


def _marked(question: Question, wide: float) -> Item:
    points = f"[{question.points}]"
    room = wide - NUMBER_MM
    rows: list[tuple[str, float, bool]] = []
    if question.wanted > 1 or question.key is None or len(question.answers) > 1:
        rows += [(text, NUMBER_MM, True) for text in fonts.wrap(question.prompt, room - 2, LIST_PT, bold=True)]
    several = len(question.answers) > 1
    for i, answer in enumerate(question.answers):
        if question.either and i == question.either[0]:
            rows += [(text, NUMBER_MM, True) for text in fonts.wrap(EITHER, room - 2, LIST_PT, bold=True)]
        others = helpful(answer, question.accepted[i] if i < len(question.accepted) else ())
        rows += [(text, NUMBER_MM, not several) for text in fonts.wrap(answer, room - 8, LIST_PT, bold=True)]
        if others:
            said = f"also: {'; '.join(others)}"
            rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    for group in question.together:
        said = f"“{group.spellings[0]}” is right for {len(group.members)} of these"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    for spelling, numbers in question.shared:
        said = f"“{spelling}” is also right at {', '.join(map(str, numbers))}"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    if question.note:
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(question.note, room - 3, LIST_PT)]
    first, *rest = rows
    head = (f"{question.number}  {first[0]} {points}", 0.0, True)
    return Item((head, *rest), size=LIST_PT)
