"""Where one bundle passes in front of another: blank paper beside the one in front."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from plexusdraw.layout.columns.bundles import TRACE, Bundle
from plexusdraw.layout.scale import Scale
from plexusdraw.scene import Gap, Point, curves

Rectangle = tuple[float, float, float, float]
"""Left, top, right, bottom, mm."""


@dataclass(frozen=True, slots=True)
class _Line:
    """The middle line of a bundle, each of its straight pieces and the whole with the rectangle around it."""

    bundle: Bundle
    points: Sequence[Point]
    boxes: Sequence[Rectangle]
    box: Rectangle


def crossing_gaps(bundles: Sequence[Bundle], scale: Scale) -> dict[int, list[Gap]]:
    """Index of a bundle → the wide gaps to paint just before it. *bundles* are in paint order."""
    found: dict[int, list[Gap]] = {}
    for index, front, back, at in _crossings(bundles):
        a, b = back.bundle, front.bundle
        first, last = _grow(front.points, back, at, a.half + b.half + scale.gap)
        piece = curves.part(b.centre, first / TRACE, last / TRACE)
        found.setdefault(index, []).append(Gap(b.entity, b.kind, piece, 2 * (b.half + scale.gap)))
    return found


def crossing_count(bundles: Sequence[Bundle]) -> int:
    """How many times the middle lines of bundles cross, joins apart."""
    return sum(1 for _ in _crossings(bundles))


def _crossings(bundles: Sequence[Bundle]) -> Iterator[tuple[int, _Line, _Line, int]]:
    """Index of the bundle in front, its line, the line behind it, and the piece of the first that crosses."""
    lines = [_line(b) for b in bundles]
    for i, j in _near([line.box for line in lines]):
        back, front = lines[i], lines[j]
        if not _joined(back.bundle, front.bundle):
            for at in _meetings(front, back):
                yield j, front, back, at


def _line(bundle: Bundle) -> _Line:
    points = bundle.trace
    boxes = [(min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1])) for p, q in pairwise(points)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return _Line(bundle, points, boxes, (min(xs), min(ys), max(xs), max(ys)))


def _near(boxes: Sequence[Rectangle]) -> list[tuple[int, int]]:
    """Pairs (earlier, later) of rectangles that overlap, found by a sweep from the top down: most are low."""
    found: list[tuple[int, int]] = []
    reached: list[int] = []
    for i in sorted(range(len(boxes)), key=lambda i: boxes[i][1]):
        left, top, right, _ = boxes[i]
        reached = [j for j in reached if boxes[j][3] >= top]
        found += [(min(i, j), max(i, j)) for j in reached if boxes[j][0] <= right and boxes[j][2] >= left]
        reached.append(i)
    return sorted(found)


def _joined(a: Bundle, b: Bundle) -> bool:
    """Whether one ends in the other, so that they merge rather than cross."""
    whole = [x for x in (a, b) if x.joins[0] == x.joins[1]]
    return any(x.joins[0] in other.joins for x in whole for other in (a, b) if other is not x) or (
        a.entity == b.entity and a.layer == b.layer == 0
    )


def _meetings(front: _Line, back: _Line) -> list[int]:
    """Pieces of *front* that cross *back*, away from an end that they share."""
    a, b = back.bundle, front.bundle
    near = 2 * (a.half + b.half)
    ends = (front.points[0], front.points[-1])
    shared = [ends[k] for k in (0, 1) if a.joins[k] is not None and a.joins[k] == b.joins[k]]
    others = _within(back.boxes, front.box)
    found: list[int] = []
    for i in _within(front.boxes, back.box) if others else ():
        p, q = front.points[i], front.points[i + 1]
        if any(hypot(p[0] - s[0], p[1] - s[1]) < near for s in shared):
            continue
        left, top, right, bottom = front.boxes[i]
        for j in others:
            x0, y0, x1, y1 = back.boxes[j]
            if x1 < left or x0 > right or y1 < top or y0 > bottom:
                continue
            if _cross(p, q, back.points[j], back.points[j + 1]):
                found.append(i)
    return found


def _within(boxes: Sequence[Rectangle], box: Rectangle) -> list[int]:
    """Which of *boxes* touch *box*."""
    left, top, right, bottom = box
    return [i for i, (x0, y0, x1, y1) in enumerate(boxes) if x1 >= left and x0 <= right and y1 >= top and y0 <= bottom]


def _cross(p: Point, q: Point, u: Point, v: Point) -> bool:
    return _turn(p, q, u) * _turn(p, q, v) < 0 and _turn(u, v, p) * _turn(u, v, q) <= 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _grow(front: Sequence[Point], back: _Line, at: int, reach: float) -> tuple[int, int]:
    """The run of *front* around index *at* that lies within *reach* of *back*."""
    first, last = at, at + 1
    while first > 0 and _beside(front[first], back, reach):
        first -= 1
    while last < len(front) - 1 and _beside(front[last], back, reach):
        last += 1
    return first, last


def _beside(p: Point, line: _Line, reach: float) -> bool:
    """Whether a point lies within *reach* of a line."""
    x, y = p
    around = (x - reach, y - reach, x + reach, y + reach)
    points = line.points
    return any(_to_segment(p, points[i], points[i + 1]) < reach for i in _within(line.boxes, around))


def _to_segment(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = 0.0 if length == 0 else max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length))
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
