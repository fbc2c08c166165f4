"""Questions and answers for other programs: CSV (RFC 4180), GIFT and QTI 2.2, by the ending of the name.

A CSV or GIFT file names the pictures that lie beside it; a QTI package holds them. Flash cards are a table of front
and back.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from io import StringIO
from pathlib import Path

from plexusdraw import paint
from plexusdraw.errors import OutputError
from plexusdraw.look.theme import Theme
from plexusdraw.sheets.worksheet import picture, qti
from plexusdraw.sheets.worksheet.gift import asked, gift
from plexusdraw.sheets.worksheet.spec import Form, Question

COLUMNS = (
    *("form", "number", "points", "question", "answers", "also right", "answered by", "picture"),
    *("options", "why the others are wrong"),
)
CARD_COLUMNS = ("front", "back", "also right", "kind")
ENDINGS = (".csv", ".gift", ".zip")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def check(path: Path) -> None:
    """Raise OutputError if the name tells no format of an export."""
    if path.suffix.lower() not in ENDINGS:
        raise OutputError(f"{path}: questions are exported as {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]} (QTI 2.2)")


def write(forms: Iterable[Form], path: Path, theme: Theme) -> bytes:
    """The questions of all forms in the format of the name's ending; same forms, same bytes."""
    check(path)
    rows = _sections(forms)
    if path.suffix.lower() == ".zip":
        return qti.package(rows, path, theme)
    return table(rows, path) if path.suffix.lower() == ".csv" else gift(rows, path)


def _sections(forms: Iterable[Form]) -> list[Form]:
    """The forms; of one with several kinds its sections, since each has its own case and pictures."""
    return [section for form in forms for section in form.whole]


def pictures(forms: Iterable[Form], path: Path, theme: Theme) -> Iterator[tuple[Path, bytes]]:
    """The pictures that lie beside the file, by name; a package holds its own."""
    if path.suffix.lower() == ".zip":
        return
    for form in _sections(forms):
        for i, page in enumerate(picture.pages(form), start=1):
            drawn = paint.paint(picture.FORMAT, [picture.cropped(page)], theme)
            yield path.with_name(picture.file_name(form, path, i)), drawn


def table(forms: Sequence[Form], path: Path) -> bytes:
    """CSV with a heading; several answers in a field are parted by semicolons, UTF-8."""
    cards = all(q.card for form in forms for q in form.questions)
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(CARD_COLUMNS if cards else COLUMNS)
    for form in forms:
        for q in form.questions:
            writer.writerow(map(_plain, _card(q) if cards else _row(form, q, path)))
    return out.getvalue().encode(errors="surrogateescape")


def _also(question: Question) -> str:
    return "; ".join(text for text in question.spellings() if text not in question.answers)


def _card(question: Question) -> Iterator[object]:
    yield from (question.prompt, "; ".join(question.answers), _also(question), question.card)


def _row(form: Form, question: Question, path: Path) -> Iterator[object]:
    by = "drawing" if question.drawn else "pairs" if question.pairs else "text"
    options: Sequence[str] = question.pairs.right if question.pairs else ()
    why = ""
    if question.choice is not None:
        by = "choosing" if not question.choice.several else by
        options = [option.text for option in question.choice.options]
        why = "; ".join(f"{option.text}: {option.why}" for option in question.choice.options if option.why)
    yield from (form.code, question.number, question.points, asked(form, question, listed=True))
    yield from ("; ".join(question.answers), _also(question), by)
    yield "; ".join(picture.file_name(form, path, i) for i in picture.places(form, question))
    yield from ("; ".join(options), why)


def _plain(value: object) -> str:
    """A field that no spreadsheet takes for a formula."""
    text = str(value)
    return f"'{text}" if text.startswith(_FORMULA) else text
