"""What stands on a page already, and whether something more would meet it.

Places that are tried one after the other lie near to each other: what was in the way of the last ones is asked about
first, so that most places are turned down at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Protocol, TypeVar

from plexusdraw.layout.columns.bundles import Bundle
from plexusdraw.scene import Box, Heading, Label, Leader, Note, Part, Pill, Point, Row, curves

Piece = tuple[Point, Point]
"""A straight stretch, from point to point, mm."""
T = TypeVar("T")


class _Thing(Protocol):
    """Something in the way; lengths in mm."""

    def within(self, box: Box) -> bool:
        """Whether any of it lies in a box."""

    def meets(self, box: Box, clear: float, own: str, apart: float) -> bool:
        """Whether it comes nearer to a box than *clear*; strands that are not of *own* than *apart*."""

    def crosses(self, start: Point, end: Point, own: str, *, strands: bool) -> bool:
        """Whether a leader may not pass here: over text; with *strands*, over any that are not of *own*."""


@dataclass(frozen=True, slots=True)
class _Words:
    """The box of a text or of a blank."""

    box: Box

    def within(self, box: Box) -> bool:
        return self.box.meets(box)

    def meets(self, box: Box, clear: float, _own: str, _apart: float) -> bool:
        return box.meets(self.box, clear)

    def crosses(self, start: Point, end: Point, _own: str, *, strands: bool) -> bool:
        return touches(self.box, start, end, 0.0)


@dataclass(frozen=True, slots=True)
class _Line:
    """A stretch of a leader."""

    start: Point
    end: Point

    def within(self, box: Box) -> bool:
        return touches(box, self.start, self.end, 0.0)

    def meets(self, box: Box, clear: float, _own: str, _apart: float) -> bool:
        return touches(box, self.start, self.end, clear)

    def crosses(self, _start: Point, _end: Point, _own: str, *, strands: bool) -> bool:
        return False


@dataclass(frozen=True, slots=True)
class _Course:
    """A bundle: *half* its width, what holds all of it, its middle line in pieces."""

    entity: str
    half: float
    around: Box
    pieces: list[Piece]

    def within(self, box: Box) -> bool:
        return self.around.meets(box)

    def meets(self, box: Box, clear: float, own: str, apart: float) -> bool:
        need = clear if self.entity == own else apart
        if not box.meets(self.around, need):
            return False
        return _any_touches(box, self.pieces, self.half + need)

    def crosses(self, start: Point, end: Point, own: str, *, strands: bool) -> bool:
        if not strands or self.entity == own or not around((start, end), 0.0).meets(self.around):
            return False
        return _any(self.pieces, lambda piece: _apart(start, end, *piece) < self.half)


@dataclass(slots=True)
class Room:
    """Where a name may stand, and what it must not meet, in an order that says nothing."""

    bounds: Box
    things: list[_Thing]

    @classmethod
    def among(cls, bounds: Box, bundles: Iterable[Bundle], parts: Iterable[Part]) -> Room:
        """What *bundles* and *parts* leave within *bounds*."""
        room = cls(bounds, [_Course(b.entity, b.half, around(b.trace, b.half), [*pairwise(b.trace)]) for b in bundles])
        for part in parts:
            room.add(part)
        return room

    def add(self, part: Part) -> None:
        """One part more: the box of its text and its blank, or the line of a leader."""
        if isinstance(part, Leader):
            straight = part.to == "strands"
            points = (part.curve[0], part.curve[-1]) if straight else _turns(curves.samples(part.curve))
            self.things += (_Line(*piece) for piece in pairwise(points))
        else:
            self.things += map(_Words, _boxes(part))

    def within(self, box: Box) -> Room:
        """The same room, of which no more than this box is asked about."""
        return Room(self.bounds, [thing for thing in self.things if thing.within(box)])

    def holds(self, box: Box) -> bool:
        """Whether a box lies within the bounds."""
        b = self.bounds
        return box.x >= b.x and box.y >= b.y and box.right <= b.right and box.bottom <= b.bottom

    def free(self, box: Box, clear: float, own: str, apart: float) -> bool:
        """Whether a box is *clear* of everything, and *apart* from all strands but those of *own*, mm."""
        return not _any(self.things, lambda thing: thing.meets(box, clear, own, apart))

    def open(self, start: Point, end: Point, own: str, *, strands: bool) -> bool:
        """Whether a line meets no text; with *strands*: and none but those of *own*."""
        return not _any(self.things, lambda thing: thing.crosses(start, end, own, strands=strands))


def _any(things: list[T], stands: Callable[[T], bool]) -> bool:
    """Whether something *stands* in the way; if so it is then the first of *things*."""
    for i, thing in enumerate(things):
        if stands(thing):
            if i:
                things.insert(0, things.pop(i))
            return True
    return False


def _turns(points: Sequence[Point]) -> list[Point]:
    """The same line without the points at which it runs on level or upright."""
    between = zip(points, points[1:], points[2:], strict=False)
    return [points[0], *(p for a, p, b in between if not (a[0] == p[0] == b[0] or a[1] == p[1] == b[1])), points[-1]]


def _boxes(part: Part) -> list[Box]:
    """The boxes of the text of a part, and of its blank."""
    match part:
        case Pill(box=box):
            return [box]
        case Label(lines=lines, blank=blank):
            return [blank, *(line.box for line in lines)]
        case Row(name=name, blank=blank):
            return [blank, name.box]
        case Heading(text=text) | Note(text=text):
            return [text.box]
        case _:
            return []


def around(points: Sequence[Point], half: float) -> Box:
    """The box of a line of points, *half* mm wide on each side."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, top = min(xs) - half, min(ys) - half
    return Box(left, top, max(xs) + half - left, max(ys) + half - top)


def touches(box: Box, p: Point, q: Point, near: float) -> bool:
    """Whether a stretch comes nearer to a box than *near* mm (measured to the side, up and down)."""
    left, top, right, bottom = box.x - near, box.y - near, box.right + near, box.bottom + near
    if max(p[0], q[0]) < left or min(p[0], q[0]) > right or max(p[1], q[1]) < top or min(p[1], q[1]) > bottom:
        return False
    first, last = 0.0, 1.0
    for a, d, low, high in ((p[0], q[0] - p[0], left, right), (p[1], q[1] - p[1], top, bottom)):
        if not d:
            continue
        enter, leave = sorted(((low - a) / d, (high - a) / d))
        first, last = max(first, enter), min(last, leave)
    return first <= last


def _any_touches(box: Box, pieces: list[Piece], near: float) -> bool:
    """Whether one of many stretches comes nearer to a box than *near* mm; if so it is then the first of them."""
    left, top, right, bottom = box.x - near, box.y - near, box.right + near, box.bottom + near
    for i, (p, q) in enumerate(pieces):
        (x, y), (u, v) = p, q
        if (x < left and u < left) or (x > right and u > right) or (y < top and v < top) or (y > bottom and v > bottom):
            continue
        if touches(box, p, q, near):
            if i:
                pieces.insert(0, pieces.pop(i))
            return True
    return False


def _apart(a: Point, b: Point, c: Point, d: Point) -> float:
    """Distance of two stretches, mm; 0 where they cross."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    if side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0:
        return 0.0
    return min(_to(p, *line) for p, line in ((a, (c, d)), (b, (c, d)), (c, (a, b)), (d, (a, b))))


def _to(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length)) if length else 0.0
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
