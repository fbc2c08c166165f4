"""Scenes as plain values for the page. Lengths in mm to 0.01, type sizes in pt; one list a part, in scene order.

The first value of a list is the name of the part's type; ``web/scene.js`` reads the rest by the same order. A curve is
a list of whole hundredths of a millimetre, each point as its distance from the one before, since that packs best; a
straight piece has its two ends only.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import singledispatch
from itertools import pairwise
from typing import Any

from plexusdraw import fonts
from plexusdraw.look.strokes import line
from plexusdraw.scene import (
    Box,
    Curve,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Point,
    Row,
    Scene,
    Spot,
    Strand,
    Text,
)

Item = list[Any]


def drawing(scene: Scene, title: str) -> dict[str, Any]:
    """One scene of a left limb, under the title that it has where nothing else is asked for."""
    parts = [_titled(part, title) if isinstance(part, Note) and part.role == "title" else part for part in scene.parts]
    return {
        "width": _mm(scene.width),
        "height": _mm(scene.height),
        "title": title,
        "description": scene.description,
        "roots": list(scene.roots),
        "parts": [[type(part).__name__, *_values(part)] for part in parts],
    }


def _titled(note: Note, title: str) -> Note:
    text = note.text
    return replace(note, text=fonts.text(title, text.x, text.y, text.size, text.anchor, bold=text.bold))


@singledispatch
def _values(part: Part) -> Item:
    raise TypeError(f"no values for {type(part).__name__}")


@_values.register
def _panel(part: Panel) -> Item:
    return [part.entity, part.kind, _box(part.box), part.index]


@_values.register
def _heading(part: Heading) -> Item:
    return [part.entity, part.kind, _text(part.text)]


@_values.register
def _gap(part: Gap) -> Item:
    return [part.entity, part.kind, _curve(part.curve), _mm(part.width)]


@_values.register
def _strand(part: Strand) -> Item:
    own = [part.root, part.source, part.at, int(part.minor), round(part.width, 4)]
    return [part.entity, part.kind, _curve(part.curve), *own]


@_values.register
def _pill(part: Pill) -> Item:
    return [part.entity, part.kind, _box(part.box), _text(part.text), _point(part.badge)]


@_values.register
def _label(part: Label) -> Item:
    lines = [_text(line) for line in part.lines]
    return [part.entity, part.kind, part.role, lines, _box(part.blank), _point(part.badge)]


@_values.register
def _leader(part: Leader) -> Item:
    return [part.entity, part.kind, _curve(part.curve)]


@_values.register
def _row(part: Row) -> Item:
    dots = [[d.root, _mm(d.x), _mm(d.y), round(d.r, 4), int(d.minor)] for d in part.dots]
    empty = [_point(p) for p in part.empty]
    return [
        part.entity,
        part.kind,
        _text(part.name),
        dots,
        empty,
        _text(part.word),
        _box(part.blank),
        _text(part.badge),
    ]


@_values.register
def _spot(part: Spot) -> Item:
    return [part.entity, part.kind, part.at, _mm(part.x), _mm(part.y), round(part.angle, 3), round(part.half, 4)]


@_values.register
def _note(part: Note) -> Item:
    return [part.role, part.key, _text(part.text), _mm(part.room)]


def _text(text: Text) -> Item:
    place = [_mm(text.x), _mm(text.y), round(text.size, 4), text.anchor, int(text.bold)]
    return [text.string, *place, _box(text.box)]


def _box(box: Box) -> Item:
    return [round(v, 3) for v in (box.x, box.y, box.w, box.h)]


def _point(point: Point) -> Item:
    return [_mm(v) for v in point]


def _curve(curve: Curve) -> list[int]:
    ends = (curve[0], curve[-1])
    points = ends if len(curve) == len(line(*ends)) and _same(curve, line(*ends)) else curve
    whole = [(round(100 * x), round(100 * y)) for x, y in points]
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise([(0, 0), *whole])]
    return [value for step in steps for value in step]


def _same(a: Curve, b: Curve) -> bool:
    return all(abs(p[0] - q[0]) + abs(p[1] - q[1]) < 0.005 for p, q in zip(a, b, strict=True))


def _mm(value: float) -> float | int:
    """To 0.01 mm, as the painters write it; whole numbers without a point."""
    found = round(float(value), 2)
    return int(found) if found.is_integer() else found


def characters(values: Iterable[object]) -> frozenset[str]:
    """All characters in strings of nested values."""
    found: set[str] = set()
    for value in values:
        if isinstance(value, str):
            found.update(value)
        elif isinstance(value, list | tuple):
            found |= characters(value)
        elif isinstance(value, dict):
            found |= characters(value.values())
    return frozenset(found)
