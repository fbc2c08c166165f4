"""The other limb: geometry mirrored from left to right, text and the order of table dots kept."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.scene import (
    Anchor,
    Box,
    Curve,
    Dot,
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

FLIP: dict[Anchor, Anchor] = {"start": "end", "end": "start", "middle": "middle"}


def mirrored(scene: Scene) -> Scene:
    """The same scene with the roots on the viewer's right. Notes stay where they read: at the head and the foot."""
    w = scene.width
    heads = sorted(p.text.x for p in scene.parts if isinstance(p, Note) and p.role == "table-root")
    place = {x: w - y for x, y in zip(heads, reversed(heads), strict=True)}
    return replace(scene, parts=tuple(_part(p, w, place) for p in scene.parts), side="right")


def _part(part: Part, w: float, heads: dict[float, float]) -> Part:
    if isinstance(part, Strand | Gap | Leader):
        return replace(part, curve=_curve(part.curve, w))
    if isinstance(part, Panel):
        return replace(part, box=_box(part.box, w))
    if isinstance(part, Heading):
        return replace(part, text=_text(part.text, w))
    if isinstance(part, Spot):
        return replace(part, x=w - part.x, angle=180.0 - part.angle)
    if isinstance(part, Pill):
        return replace(part, box=_box(part.box, w), text=_text(part.text, w), badge=_point(part.badge, w))
    if isinstance(part, Label):
        lines = tuple(_text(t, w) for t in part.lines)
        return replace(part, lines=lines, blank=_box(part.blank, w), badge=_point(part.badge, w))
    if isinstance(part, Row):
        return _row(part, w)
    return _note(part, w, heads)


def _note(note: Note, w: float, heads: dict[float, float]) -> Note:
    if note.role == "table-root":
        x = heads[note.text.x]
        box = replace(note.text.box, x=note.text.box.x + x - note.text.x)
        return replace(note, text=replace(note.text, x=x, box=box))
    return replace(note, text=_text(note.text, w)) if note.role == "table-heading" else note


def _row(row: Row, w: float) -> Row:
    cells = sorted([*(d.x for d in row.dots), *(x for x, _ in row.empty)])
    place = {x: w - y for x, y in zip(cells, reversed(cells), strict=True)}
    return replace(
        row,
        name=_text(row.name, w),
        dots=tuple(Dot(d.root, place[d.x], d.y, d.r, d.minor) for d in row.dots),
        empty=tuple((place[x], y) for x, y in row.empty),
        word=_text(row.word, w),
        blank=_box(row.blank, w),
        badge=_text(row.badge, w),
    )


def _text(text: Text, w: float) -> Text:
    return replace(text, x=w - text.x, anchor=FLIP[text.anchor], box=_box(text.box, w))


def _box(box: Box, w: float) -> Box:
    return Box(w - box.right, box.y, box.w, box.h)


def _point(point: Point, w: float) -> Point:
    return (w - point[0], point[1])


def _curve(curve: Curve, w: float) -> Curve:
    return tuple((w - x, y) for x, y in curve)
