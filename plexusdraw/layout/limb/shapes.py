"""Small geometry of closed chains: polygons, what they hold, where a name may point to."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from plexusdraw.scene import Area, Box, Curve, Part, Point, Shape, Sinew, curves

Polygon = list[Point]
_GRID = 7


def polygon(curve: Curve, per_cubic: int = 6) -> Polygon:
    """A chain as points; the last is the first."""
    return curves.samples(curve, per_cubic)


def size(ring: Sequence[Point]) -> float:
    """Area of a polygon, without sign, percent squared."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))) / 2


def box(points: Sequence[Point]) -> Box:
    """The frame of points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def holds(ring: Sequence[Point], point: Point) -> bool:
    """Whether a polygon holds a point."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in pairwise(ring):
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            inside = not inside
    return inside


def near(ring: Sequence[Point], point: Point) -> float:
    """Distance of a point from the edge of a polygon, percent of the limb."""
    return min(_off(a, b, point) for a, b in pairwise(ring))


def _off(a: Point, b: Point, p: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) if long else 0.0
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def showing(rings: Sequence[Polygon], over: Sequence[Polygon], wish: Point | None) -> Point:
    """A point of a shape (percent of the limb) that nothing in *over* covers.

    It is *wish*, if that is one, else the one with most room around.
    """
    if wish is not None and any(holds(r, wish) for r in rings) and not any(holds(r, wish) for r in over):
        return wish
    best: tuple[float, Point] | None = None
    for ring in rings:
        frame = box(ring)
        above = [r for r in over if box(r).meets(frame)]
        for i in range(1, _GRID):
            for k in range(1, 2 * _GRID):
                p = (frame.x + frame.w * i / _GRID, frame.y + frame.h * k / (2 * _GRID))
                if holds(ring, p) and not any(holds(r, p) for r in above):
                    room = min([near(ring, p), *(near(r, p) for r in above)])
                    if best is None or room > best[0]:
                        best = (room, p)
    if best is not None:
        return best[1]
    return wish if wish is not None else rings[0][0]


def scaled(part: Part, k: float, dx: float, dy: float) -> Part:
    """A shape *k* times as large, then moved."""

    def chain(curve: Curve) -> Curve:
        return tuple((x * k + dx, y * k + dy) for x, y in curve)

    match part:
        case Area():
            return Area(
                part.entity,
                part.kind,
                tuple(chain(c) for c in part.curves),
                part.tone,
                part.roots,
                part.outside,
                part.border,
            )
        case Sinew():
            return Sinew(part.entity, part.kind, chain(part.curve), part.width * k)
        case Shape():
            return Shape(part.entity, part.kind, part.role, chain(part.curve))
    raise TypeError(f"no way to scale {type(part).__name__}")
