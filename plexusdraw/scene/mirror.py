"""The other limb: geometry mirrored from left to right, text and the order of table dots kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from plexusdraw.scene import Note, Part, Row, Scene
from plexusdraw.scene.transform import Move, changed


def mirrored(scene: Scene) -> Scene:
    """The same scene with the roots on the viewer's right. Notes stay where they read: at the head and the foot."""
    flip = Move(scene.width, flip=True)
    tables: dict[str, list[float]] = {}
    for part in scene.parts:
        if isinstance(part, Note) and part.role == "table-root":
            tables.setdefault(part.key.rpartition("-")[0], []).append(part.text.x)
    heads = {x: to for xs in tables.values() for x, to in _swapped(xs).items()}
    return replace(changed(scene, lambda part: _part(part, flip, heads)), side="right")


def is_mirrored(part: Part) -> bool:
    """Whether of the other limb a part is nothing but the mirror image, its text readable."""
    return not isinstance(part, Note | Row)


def _swapped(xs: Iterable[float]) -> dict[float, float]:
    """Places of a row turned end for end: what is put there before it is mirrored keeps its order."""
    places = sorted(xs)
    return dict(zip(places, reversed(places), strict=True))


def _part(part: Part, flip: Move, heads: dict[float, float]) -> Part:
    if isinstance(part, Note):
        if part.role == "table-root":
            return flip.part(Move(heads[part.text.x] - part.text.x).part(part))
        return flip.part(part) if part.role == "table-heading" else part
    if isinstance(part, Row):
        place = _swapped([*(d.x for d in part.dots), *(x for x, _ in part.empty)])
        dots = tuple(replace(d, x=place[d.x]) for d in part.dots)
        return flip.part(replace(part, dots=dots, empty=tuple((place[x], y) for x, y in part.empty)))
    assert is_mirrored(part)
    return flip.part(part)
