"""The form of a theme file, version 1, made from the dataclasses of a theme, so that each key is defined once.

A mapping may leave out any key, which is then as in the theme that it is based on; an entry of a list may not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints

from pydantic import AfterValidator, Field, StringConstraints, create_model

from plexusdraw.look.hatch import DIRECTIONS
from plexusdraw.look.paints import Tint
from plexusdraw.look.theme import ROOT, STATES, Colour, Dashes, KindLook, Look, Paint, Share, Theme
from plexusdraw.yamlfile.form import LONGEST, Row, Text, ToldError, Wanted, between, may_be_left_out, one_of

MOST_PAIRS = 8
"""Of dashes and gaps."""
MOST_LISTED = 200
LONGEST_MM = 100.0
"""The largest length, in mm on A4; of a dash, in widths of its strand."""


def _pairs(value: list[float]) -> list[float]:
    if len(value) % 2 or len(value) > 2 * MOST_PAIRS:
        raise ToldError(f"must be up to {MOST_PAIRS} pairs of a dash and a gap", "Such as [2, 1].")
    return value


def _colour(*words: str) -> Any:  # noqa: ANN401
    """A colour, or one of some words."""
    pattern = f"^({'|'.join(('#[0-9a-fA-F]{6}', *words))})$"
    wanted = Wanted(" or ".join(("a colour", *words)), 'Write it like "#0072b2", in quotes.')
    return Annotated[str, StringConstraints(pattern=pattern), wanted]


_LENGTH = Annotated[float, between(0, LONGEST_MM)]
_FORMS: dict[Any, Any] = {
    Colour: _colour(),
    Paint: _colour("none"),
    Share: Annotated[float, between(0, 1)],
    float: _LENGTH,
    str: Annotated[str, StringConstraints(max_length=LONGEST)],
    Dashes: Annotated[list[_LENGTH], AfterValidator(_pairs)],
}
"""Type of a field → form of its value."""


def _form(kind: Any, *, whole: bool = False) -> Any:  # noqa: ANN401
    """The form of a value that becomes one of this type; *whole*: it takes nothing from another theme."""
    if kind in _FORMS:
        return _FORMS[kind]
    origin: Any = get_origin(kind)
    if origin is None:
        return _row(kind, whole=whole)
    if origin is Mapping:
        value = _form(get_args(kind)[1])
        return (
            _states(value)
            if kind in (Mapping[str, Look], Mapping[str, Tint])
            else dict.__class_getitem__((Text, value))
        )
    least = 1 if is_dataclass(get_args(kind)[0]) else 0
    entries = list.__class_getitem__(_form(get_args(kind)[0], whole=True))
    return Annotated[entries, Field(min_length=least, max_length=MOST_LISTED)]


def _states(look: Any) -> type[Row]:  # noqa: ANN401
    """A look for each state."""
    made: dict[str, Any] = {state: (look, may_be_left_out()) for state in STATES}
    return create_model("StatesRow", __base__=Row, **made)


@cache
def _row(cls: type[Any], *, whole: bool = False) -> type[Row]:
    hints = get_type_hints(cls)
    made: dict[str, Any] = {}
    for field in fields(cls):
        key = field.name.replace("_", "-")
        form = _form(hints[field.name])
        if cls is KindLook and field.name == "text":
            form = _colour(ROOT)
        elif cls is Tint and field.name == "pattern":
            form = Annotated[str, one_of((*DIRECTIONS, "dots"))]
        needed = whole and field.default is MISSING
        made[field.name] = (form, Field(alias=key) if needed else may_be_left_out(key))
    return create_model(f"{cls.__name__}Row", __base__=Row, **made)


class ThemeFile(_row(Theme)):  # type: ignore[misc]
    """A whole theme file."""

    theme: Literal[1]
    based_on: Text = may_be_left_out("based-on")
