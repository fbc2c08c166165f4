"""Questions and answers as plain data: CSV (RFC 4180), and GIFT, the open text format for question banks.

GIFT takes short answers; what is drawn, or asks for several answers in one, becomes an essay question whose
feedback holds what is right. Each question names the picture that it belongs to by file name.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from io import StringIO
from pathlib import Path

from plexusdraw import paint
from plexusdraw.errors import OutputError
from plexusdraw.look.theme import Theme
from plexusdraw.sheets.worksheet.spec import Form, Question

COLUMNS = ("form", "number", "points", "question", "answers", "also right", "answered by", "picture")
ENDINGS = (".csv", ".gift")
(PICTURE,) = paint.names("picture of a form")
_SPECIAL = "~=#{}:\\"
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_LINES = str.maketrans("\n\r\t", "   ")


def check(path: Path) -> None:
    """Raise OutputError if the name tells no format of an export."""
    if path.suffix.lower() not in ENDINGS:
        raise OutputError(f"{path}: questions are exported as {' or '.join(ENDINGS)}")


def write(forms: Iterable[Form], path: Path) -> bytes:
    """The questions of all forms in the format of the name's ending; same forms, same bytes."""
    check(path)
    rows = list(forms)
    return table(rows, path) if path.suffix.lower() == ".csv" else gift(rows, path)


def pictures(forms: Iterable[Form], path: Path, theme: Theme) -> Iterator[tuple[Path, bytes]]:
    """The pictures that the questions refer to: each page of each form as SVG, by file."""
    for form in forms:
        for i, page in enumerate(form.pages, start=1):
            yield path.with_name(picture(form, path, i)), paint.paint(PICTURE, [page], theme)


def picture(form: Form, path: Path, page: int = 1) -> str:
    """File name of the picture of one page."""
    return f"{path.stem}-{form.code}{f'-{page}' if page > 1 else ''}.{PICTURE}"


def table(forms: Iterable[Form], path: Path) -> bytes:
    """CSV with a heading; several answers in a field are parted by semicolons, UTF-8."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for form in forms:
        for q in form.questions:
            also = [text for text in q.spellings() if text not in q.answers]
            by = "drawing" if q.drawn else "text"
            fields = [form.code, q.number, q.points, q.prompt, "; ".join(q.answers), "; ".join(also), by]
            writer.writerow([*map(_plain, fields), picture(form, path)])
    return out.getvalue().encode(errors="surrogateescape")


def _plain(value: object) -> str:
    """A field that no spreadsheet takes for a formula."""
    text = str(value)
    return f"'{text}" if text.startswith(_FORMULA) else text


def gift(forms: Iterable[Form], path: Path) -> bytes:
    """GIFT text, UTF-8: a category and its questions for each form."""
    parts: list[str] = []
    for form in forms:
        parts.append(f"$CATEGORY: form-{form.code}\n")
        parts += [_item(form, q, path) for q in form.questions]
    return "\n".join(parts).encode(errors="surrogateescape")


def _item(form: Form, question: Question, path: Path) -> str:
    image = _escaped(f'<img src="{picture(form, path)}" alt="">')
    head = (
        f"::{_escaped(f'Form {form.code}, {question.number}')}::[html]<p>{_escaped(_html(question.prompt))}</p>{image}"
    )
    spellings = question.spellings()
    if question.wanted == 1 and not question.drawn and not any("->" in text for text in spellings):  # pairs to match
        right = "".join(f"={_share(text)}{_escaped(text)} " for text in spellings)
        return f"{head}{{{right.strip()}}}\n"
    right = _escaped(_html(f"{question.points} points: {'; '.join(question.answers)}"))
    return f"{head}{{####{right}}}\n"


def _share(text: str) -> str:
    """Says that an answer is wholly right, where its first sign would be read as such a share."""
    return "%100%" if text.startswith("%") else ""


def _html(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def _escaped(text: str) -> str:
    """Text with the control characters of GIFT escaped, on one line: a blank line ends a question."""
    return "".join(f"\\{c}" if c in _SPECIAL else c for c in text.translate(_LINES))
