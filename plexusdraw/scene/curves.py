"""Chains of cubic Béziers: make them, walk along them, and lay strands beside them.

Points are (x, y) in mm, y down. A chain has 1 + 3n points. An offset is measured along the normal that
points up when the curve heads right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from math import atan2, degrees, hypot

from plexusdraw.scene import Curve, Point

SWEEP = 0.52
"""Handle length of a sweep as a share of its width: a little over half keeps the middle straight."""
ARC = 0.5523
"""Handle length of a quarter circle as a share of its radius."""
TALL = 1.45
KNOTS = 4
"""Pieces into which one cubic is cut when a strand is laid beside it; the error is under 1 % of the pitch."""


def line(a: Point, b: Point) -> Curve:
    """A straight piece as one cubic."""
    return (a, _mix(a, b, 1 / 3), _mix(a, b, 2 / 3), b)


def sweep(a: Point, b: Point) -> Curve:
    """An S from *a* to *b* that leaves and arrives horizontally."""
    handle = SWEEP * (b[0] - a[0])
    return (a, (a[0] + handle, a[1]), (b[0] - handle, b[1]), b)


def riser(a: Point, x: float, b: Point, radius: float, first_radius: float | None = None) -> Curve:
    """From *a* right, a quarter turn into the vertical at *x*, along it, a quarter turn right, to *b*.

    The turns are quarters of an ellipse, *radius* mm wide (the first one *first_radius*) and up to ``TALL`` times as
    high, less where the height leaves no room for two of them.
    """
    down = 1.0 if b[1] > a[1] else -1.0
    near = radius if first_radius is None else first_radius
    high = min(radius * TALL, abs(b[1] - a[1]) / 2)
    v = high * ARC * down
    first, second = (x - near, a[1]), (x + radius, b[1])
    up, top = (x, a[1] + down * high), (x, b[1] - down * high)
    turn = (first, (first[0] + near * ARC, first[1]), (x, up[1] - v), up)
    back = (top, (x, top[1] + v), (second[0] - radius * ARC, second[1]), second)
    pieces = [line(a, first)] if first[0] - a[0] > 1e-6 else []
    pieces.append(turn)
    if abs(top[1] - up[1]) > 1e-6:
        pieces.append(line(up, top))
    pieces.append(back)
    if b[0] - second[0] > 1e-6:
        pieces.append(line(second, b))
    return join(pieces)


def join(pieces: Sequence[Curve]) -> Curve:
    """One chain from pieces that follow each other."""
    points = list(pieces[0])
    for piece in pieces[1:]:
        points.extend(piece[1:])
    return tuple(points)


def cubics(curve: Curve) -> Iterator[tuple[Point, Point, Point, Point]]:
    """The cubics of a chain, mm."""
    for i in range(0, len(curve) - 1, 3):
        yield curve[i], curve[i + 1], curve[i + 2], curve[i + 3]


def point(c: Sequence[Point], t: float) -> Point:
    """Point of one cubic at *t*, mm."""
    s = 1 - t
    k, u, v, w = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = c
    return (k * ax + u * bx + v * cx + w * dx, k * ay + u * by + v * cy + w * dy)


def velocity(c: Sequence[Point], t: float) -> Point:
    """First derivative of one cubic at *t*, mm for each unit of *t*."""
    s = 1 - t
    u, v, w = 3 * s * s, 6 * s * t, 3 * t * t
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = c
    return (
        u * (bx - ax) + v * (cx - bx) + w * (dx - cx),
        u * (by - ay) + v * (cy - by) + w * (dy - cy),
    )


def acceleration(c: Sequence[Point], t: float) -> Point:
    """Second derivative of one cubic at *t*, mm for each unit of *t* squared."""
    u, v = 6 * (1 - t), 6 * t
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = c
    return (u * (cx - 2 * bx + ax) + v * (dx - 2 * cx + bx), u * (cy - 2 * by + ay) + v * (dy - 2 * cy + by))


def samples(curve: Curve, per_cubic: int = 12) -> list[Point]:
    """Points along a chain, ends included: 1 + n * per_cubic of them."""
    found = [curve[0]]
    shares = _bernstein(per_cubic)
    for (ax, ay), (bx, by), (cx, cy), (dx, dy) in cubics(curve):
        if ay == by == cy == dy:
            found += [(k * ax + u * bx + v * cx + w * dx, ay) for k, u, v, w in shares]
        else:
            found += [(k * ax + u * bx + v * cx + w * dx, k * ay + u * by + v * cy + w * dy) for k, u, v, w in shares]
    return found


@cache
def _bernstein(count: int) -> tuple[tuple[float, float, float, float], ...]:
    """What the four points of a cubic weigh at each of *count* steps along it, its start left out."""
    steps = [(1 - i / count, i / count) for i in range(1, count + 1)]
    return tuple((s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t) for s, t in steps)


def offset(curve: Curve, start: float, end: float | None = None) -> Curve:
    """The chain that runs beside *curve* at *start* mm, passing smoothly to *end* mm where given.

    Fitted by cubic Hermite pieces with exact tangents; smooth wherever *curve* is and bends no tighter than the offset.
    """
    last = start if end is None else end
    parts = list(cubics(curve))
    found: list[Point] = []
    for index, c in enumerate(parts):
        for k in range(KNOTS):
            ends = [(k + j) / KNOTS for j in (0, 1)]
            (p, v), (q, w) = (_beside(c, t, (index + t) / len(parts), start, last, len(parts)) for t in ends)
            h = 1 / (3 * KNOTS)
            if not found:
                found.append(p)
            found += [(p[0] + v[0] * h, p[1] + v[1] * h), (q[0] - w[0] * h, q[1] - w[1] * h), q]
    return tuple(found)


def _beside(c: Sequence[Point], t: float, u: float, start: float, end: float, count: int) -> tuple[Point, Point]:
    """Point and derivative by *t* of the offset chain; *u* runs from 0 to 1 over the whole chain."""
    p, v, a = point(c, t), velocity(c, t), acceleration(c, t)
    speed = hypot(*v) or 1e-12
    d = start + (end - start) * u * u * (3 - 2 * u)
    slope = (end - start) * 6 * u * (1 - u) / count
    normal = (v[1] / speed, -v[0] / speed)
    turn = (v[0] * a[1] - v[1] * a[0]) / speed**3
    place = (p[0] + d * normal[0], p[1] + d * normal[1])
    ahead = (
        v[0] * (1 + d * turn) + slope * normal[0],
        v[1] * (1 + d * turn) + slope * normal[1],
    )
    return place, ahead


def angle(curve: Curve, at_end: bool = False) -> float:
    """Direction at the start (or the end), degrees, 0 = right, positive turns down."""
    a, b = (curve[-2], curve[-1]) if at_end else (curve[0], curve[1])
    return degrees(atan2(b[1] - a[1], b[0] - a[0]))


def part(curve: Curve, start: float, end: float) -> Curve:
    """The piece of a chain between two places; a place is cubic index + parameter (0 .. n)."""
    pieces: list[Curve] = []
    for index, c in enumerate(cubics(curve)):
        t0, t1 = max(start - index, 0.0), min(end - index, 1.0)
        if t1 - t0 > 1e-9:
            pieces.append(_cut(c, t0, t1))
    return join(pieces)


def _cut(c: Sequence[Point], t0: float, t1: float) -> Curve:
    h = (t1 - t0) / 3
    p, q, v, w = point(c, t0), point(c, t1), velocity(c, t0), velocity(c, t1)
    return (p, (p[0] + v[0] * h, p[1] + v[1] * h), (q[0] - w[0] * h, q[1] - w[1] * h), q)


def stretched(curve: Curve, before: float, after: float) -> Curve:
    """The chain prolonged in a straight line at its ends by *before* and *after* mm."""
    pieces: list[Curve] = []
    if before:
        a = _ahead(curve[0], curve[1], -before)
        pieces.append(line(a, curve[0]))
    pieces.append(curve)
    if after:
        pieces.append(line(curve[-1], _ahead(curve[-1], curve[-2], -after)))
    return join(pieces)


def _ahead(a: Point, b: Point, by: float) -> Point:
    """*a* moved by *by* mm in the direction of *b*."""
    d = hypot(b[0] - a[0], b[1] - a[1]) or 1e-12
    return (a[0] + (b[0] - a[0]) / d * by, a[1] + (b[1] - a[1]) / d * by)


def _mix(a: Point, b: Point, t: float) -> Point:
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
