"""GIFT, the open text format for question banks.

One answer of four, "choose all that apply", pairs to match, and short answers with every spelling; what is drawn, and a
list without options, becomes an essay question whose feedback holds what is right.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from plexusdraw.sheets.worksheet import picture
from plexusdraw.sheets.worksheet.spec import Choice, Form, Pairs, Question

_SPECIAL = "~=#{}:\\"
_LINES = str.maketrans("\n\r\t", "   ")
_ARROW = "->"
"""Parts the two sides of a pair, and cannot be escaped."""
FEWEST_PAIRS = 3
"""Platforms take matching questions from so many pairs on (common practice)."""


def gift(forms: Iterable[Form], path: Path) -> bytes:
    """GIFT text, UTF-8: a category and its questions for each form."""
    parts: list[str] = []
    for form in forms:
        parts.append(f"$CATEGORY: form-{form.label}\n")
        if form.caution:
            parts.append(f"// {form.caution.translate(_LINES)}\n")
        parts += [_item(form, q, path) for q in form.questions]
    return "\n".join(parts).encode(errors="surrogateescape")


def _item(form: Form, question: Question, path: Path) -> str:
    pages = picture.pages(form)
    images = "".join(
        f'<img src="{picture.file_name(form, path, place)}" alt="{_html(picture.alt(pages[place - 1]), quoted=True)}">'
        for place in picture.places(form, question)
    )
    said = f"<p>{_escaped(_html(asked(form, question)))}</p>{_escaped(images)}"
    return f"::{_escaped(f'Form {form.code}, {question.number}')}::[html]{said}{{{_answers(question)}}}\n"


def asked(form: Form, question: Question, listed: bool = False) -> str:
    """The whole question in words: the case, which number of the picture it is about, and what is asked.

    *listed*: a list is asked for as such, not by options.
    """
    choice = question.choice if not listed else None
    prompt = choice.prompt if choice else question.prompt
    place = f"Number {question.number} in the picture."
    where = place if question.key is not None and f" {question.number}" not in question.prompt else ""
    return " ".join(text for text in (form.stem, where, prompt) if text)


def _answers(question: Question) -> str:
    if question.choice is not None:
        return _choice(question.choice)
    if question.pairs is not None and _can_match(question.pairs):
        return _pairs(question.pairs)
    spellings = question.spellings()
    if question.wanted == 1 and not question.drawn and not any(_ARROW in text for text in spellings):
        return " ".join(f"={_share(text)}{_escaped(text)}" for text in spellings)
    right = "; ".join(question.answers)
    return f"####{_escaped(_html(f'{question.points} points: {right}'))}"


def _choice(choice: Choice) -> str:
    """One right answer; or shares of the points, and as much off for each wrong one that is chosen."""
    right = sum(option.right for option in choice.options)
    wrong = len(choice.options) - right
    found: list[str] = []
    for option in choice.options:
        sign = f"~{_percent(100 / right if option.right else -100 / wrong)}"
        if not choice.several:
            sign = f"={_share(option.text)}" if option.right else f"~{_none(option.text)}"
        why = f"#{_escaped(_html(option.why))}" if option.why else ""
        found.append(f"{sign}{_escaped(_html(option.text))}{why}")
    return " ".join(found)


def _percent(share: float) -> str:
    return f"%{share:.5f}".rstrip("0").rstrip(".") + "%"


def _can_match(pairs: Pairs) -> bool:
    return len(pairs.left) >= FEWEST_PAIRS and not any(_ARROW in text for text in (*pairs.left, *pairs.right))


def _pairs(pairs: Pairs) -> str:
    """Each on the left with its partner; what is left over on the right stands without one."""
    rows = [(left, pairs.right[at]) for left, at in zip(pairs.left, pairs.partner, strict=True)]
    rows += [("", text) for i, text in enumerate(pairs.right) if i not in pairs.partner]
    return " ".join(f"={_escaped(_html(left))} {_ARROW} {_escaped(right)}" for left, right in rows)


def _share(text: str) -> str:
    """Says that an answer is wholly right, where its first sign would be read as such a share."""
    return "%100%" if text.startswith("%") else ""


def _none(text: str) -> str:
    return "%0%" if text.startswith("%") else ""


def _html(text: str, quoted: bool = False) -> str:
    plain = text.replace("&", "&amp;").replace("<", "&lt;")
    return plain.replace('"', "&quot;") if quoted else plain


def _escaped(text: str) -> str:
    """Text with the control characters of GIFT escaped, on one line: a blank line ends a question."""
    return "".join(f"\\{c}" if c in _SPECIAL else c for c in text.translate(_LINES))
