"""Areas that tile an outline by construction: lines cut it, and both sides share the cut.

A piece is a closed chain of cubics. A border cuts every piece that it crosses from edge to edge, and ends freely in
the others. The two halves share the border's own cubics, so that no gap and no overlap can be between them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot

from plexusdraw.scene import Curve, Point, curves

_STEPS = 10
_NEAR = 1e-9
_TRIES = 12


class CrossedTwiceError(ValueError):
    """A border crosses one piece more than once."""


def pieces(outline: Curve, borders: Iterable[Curve]) -> list[Curve]:
    """The pieces into which *borders*, one after the other, cut the closed *outline*.

    Raises:
        CrossedTwiceError: a border would cut one piece in more than two; ``args[0]`` is its index.
    """
    found = [outline]
    for index, border in enumerate(borders):
        try:
            found = [half for piece in found for half in _cut(piece, border)]
        except CrossedTwiceError as error:
            raise CrossedTwiceError(index) from error
    return found


def holds(piece: Curve, point: Point) -> bool:
    """Whether a closed chain holds a point."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in pairwise(curves.samples(piece, _STEPS)):
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            inside = not inside
    return inside


def below(piece: Curve, level: float) -> Curve | None:
    """The part of a closed chain that lies below a level (y); None where nothing does.

    Raises:
        CrossedTwiceError: the level crosses it more than twice.
    """
    ys = [y for _, y in piece]
    if max(ys) <= level:
        return None
    if min(ys) >= level:
        return piece
    xs = [x for x, _ in piece]
    halves = _cut(piece, curves.line((min(xs) - 1.0, level), (max(xs) + 1.0, level)))
    lower = max(halves, key=lambda half: sum(y for _, y in half) / len(half))
    return lower if max(y for _, y in curves.samples(lower, 4)) > level + 1e-6 else None


def _cut(piece: Curve, border: Curve) -> list[Curve]:
    """Both halves, or the piece alone where the border does not cross it from edge to edge."""
    meets = sorted(_crossings(piece, border), key=lambda c: c[1])
    spans = []
    for a, b in pairwise(meets):
        middle = _at(border, (a[1] + b[1]) / 2)
        if b[1] - a[1] > 1e-6 and holds(piece, middle):
            spans.append((a, b))
    if not spans:
        return [piece]
    if len(spans) > 1:
        raise CrossedTwiceError
    ((a0, b0), (a1, b1)) = spans[0]
    if abs(a1 - a0) <= _NEAR:  # it runs back to where it began
        return [piece]
    start, end = _at(border, b0), _at(border, b1)
    line = _ends(curves.part(border, b0, b1), start, end)
    total = (len(piece) - 1) // 3
    if a0 <= a1:
        there = _ends(curves.part(piece, a0, a1), start, end)
        rest = [c for c in (_part(piece, a1, total), _part(piece, 0.0, a0)) if c]
        back = _ends(curves.join(rest), end, start)
    else:
        back = _ends(curves.part(piece, a1, a0), end, start)
        rest = [c for c in (_part(piece, a0, total), _part(piece, 0.0, a1)) if c]
        there = _ends(curves.join(rest), start, end)
    return [curves.join([there, line[::-1]]), curves.join([back, line])]


def _part(piece: Curve, start: float, end: float) -> Curve | None:
    return curves.part(piece, start, end) if end - start > _NEAR else None


def _ends(curve: Curve, start: Point, end: Point) -> Curve:
    return (start, *curve[1:-1], end)


def _at(curve: Curve, place: float) -> Point:
    index = min(int(place), (len(curve) - 1) // 3 - 1)
    return curves.point(curve[3 * index : 3 * index + 4], place - index)


def _crossings(piece: Curve, border: Curve) -> list[tuple[float, float]]:
    """Places on the piece and on the border where they cross, each once."""
    found: list[tuple[float, float]] = []
    lines, edges = curves.samples(border, _STEPS), curves.samples(piece, _STEPS)
    frames = [_frame(lines[i : i + _STEPS + 1]) for i in range(0, len(lines) - 1, _STEPS)]
    around = [_frame(edges[k : k + _STEPS + 1]) for k in range(0, len(edges) - 1, _STEPS)]
    for n, frame in enumerate(frames):
        for m, other in enumerate(around):
            if _apart(frame, other):
                continue
            for i in range(n * _STEPS, (n + 1) * _STEPS):
                for k in range(m * _STEPS, (m + 1) * _STEPS):
                    hit = _meet(lines[i], lines[i + 1], edges[k], edges[k + 1])
                    if hit is not None:
                        place = _refined(piece, border, (k + hit[1]) / _STEPS, (i + hit[0]) / _STEPS)
                        if all(abs(place[1] - b) > 1e-5 for _, b in found):
                            found.append(place)
    return found


_Frame = tuple[float, float, float, float]


def _frame(points: Sequence[Point]) -> _Frame:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), max(xs), min(ys), max(ys)


def _apart(a: _Frame, b: _Frame) -> bool:
    return a[1] < b[0] or b[1] < a[0] or a[3] < b[2] or b[3] < a[2]


def _meet(p: Point, q: Point, r: Point, s: Point) -> tuple[float, float] | None:
    """Shares of two stretches at which they cross."""
    if max(p[0], q[0]) < min(r[0], s[0]) or max(r[0], s[0]) < min(p[0], q[0]):
        return None
    if max(p[1], q[1]) < min(r[1], s[1]) or max(r[1], s[1]) < min(p[1], q[1]):
        return None
    ux, uy, vx, vy = q[0] - p[0], q[1] - p[1], s[0] - r[0], s[1] - r[1]
    det = vx * uy - ux * vy
    if abs(det) < 1e-15:
        return None
    dx, dy = r[0] - p[0], r[1] - p[1]
    t, u = (vx * dy - dx * vy) / det, (ux * dy - dx * uy) / det
    return (t, u) if 0 <= t <= 1 and 0 <= u <= 1 else None


def _refined(piece: Curve, border: Curve, a: float, b: float) -> tuple[float, float]:
    """Newton's steps from a crossing of samples to that of the cubics."""
    most = ((len(piece) - 1) // 3, (len(border) - 1) // 3)
    for _ in range(_TRIES):
        p, v = _moving(piece, a)
        q, w = _moving(border, b)
        dx, dy = q[0] - p[0], q[1] - p[1]
        det = v[0] * w[1] - v[1] * w[0]
        if hypot(dx, dy) < _NEAR or abs(det) < 1e-12:
            break
        a = min(max(a + (dx * w[1] - dy * w[0]) / det, 0.0), float(most[0]))
        b = min(max(b + (dx * v[1] - dy * v[0]) / det, 0.0), float(most[1]))
    return a, b


def _moving(curve: Curve, place: float) -> tuple[Point, Point]:
    index = min(int(place), (len(curve) - 1) // 3 - 1)
    cubic: Sequence[Point] = curve[3 * index : 3 * index + 4]
    return curves.point(cubic, place - index), curves.velocity(cubic, place - index)
