"""Where one bundle passes in front of another: blank paper beside the one in front."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import hypot

from plexusdraw.layout import curves
from plexusdraw.layout.bundles import TRACE, Bundle
from plexusdraw.layout.scale import Scale
from plexusdraw.scene import Gap, Point

CELL_MM = 8.0


def crossing_gaps(bundles: Sequence[Bundle], scale: Scale) -> dict[int, list[Gap]]:
    """Index of a bundle → the wide gaps to paint just before it. *bundles* are in paint order."""
    traces = [b.trace for b in bundles]
    found: dict[int, list[Gap]] = {}
    for back, front in _near(traces):
        a, b = bundles[back], bundles[front]
        if _joined(a, b):
            continue
        for at in _meetings(traces[front], traces[back], a, b):
            first, last = _grow(traces[front], traces[back], at, a.half + b.half + scale.gap)
            piece = curves.part(b.centre, first / TRACE, last / TRACE)
            found.setdefault(front, []).append(Gap(b.entity, b.kind, piece, 2 * (b.half + scale.gap)))
    return found


def crossing_count(bundles: Sequence[Bundle]) -> int:
    """How many times the middle lines of bundles cross, joins apart."""
    traces = [b.trace for b in bundles]
    return sum(
        len(_meetings(traces[front], traces[back], bundles[back], bundles[front]))
        for back, front in _near(traces)
        if not _joined(bundles[back], bundles[front])
    )


def _near(traces: Sequence[Sequence[Point]]) -> Iterator[tuple[int, int]]:
    """Pairs (earlier, later) whose boxes overlap, by a grid over x."""
    boxes = [_box(t) for t in traces]
    cells: dict[int, list[int]] = defaultdict(list)
    for i, (x0, _, x1, _) in enumerate(boxes):
        for cell in range(int(x0 // CELL_MM), int(x1 // CELL_MM) + 1):
            cells[cell].append(i)
    seen: set[tuple[int, int]] = set()
    for cell in sorted(cells):
        for n, i in enumerate(cells[cell]):
            a = boxes[i]
            for j in cells[cell][n + 1 :]:
                b = boxes[j]
                if a[1] <= b[3] and b[1] <= a[3] and a[0] <= b[2] and b[0] <= a[2] and (i, j) not in seen:
                    seen.add((i, j))
                    yield i, j


def _box(trace: Sequence[Point]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in trace], [p[1] for p in trace]
    return min(xs), min(ys), max(xs), max(ys)


def _joined(a: Bundle, b: Bundle) -> bool:
    """Whether one ends in the other, so that they merge rather than cross."""
    whole = [x for x in (a, b) if x.joins[0] == x.joins[1]]
    return any(x.joins[0] in other.joins for x in whole for other in (a, b) if other is not x) or (
        a.entity == b.entity and a.layer == b.layer == 0
    )


def _meetings(front: Sequence[Point], back: Sequence[Point], a: Bundle, b: Bundle) -> list[int]:
    """Indices on *front* after which its middle line crosses that of *back*, away from an end that they share."""
    near = 2 * (a.half + b.half)
    shared = [p for k, p in ((0, front[0]), (1, front[-1])) if a.joins[k] is not None and a.joins[k] == b.joins[k]]
    found: list[int] = []
    for i in range(len(front) - 1):
        p, q = front[i], front[i + 1]
        if any(hypot(p[0] - s[0], p[1] - s[1]) < near for s in shared):
            continue
        x0, x1 = min(p[0], q[0]), max(p[0], q[0])
        y0, y1 = min(p[1], q[1]), max(p[1], q[1])
        for j in range(len(back) - 1):
            u, v = back[j], back[j + 1]
            if max(u[0], v[0]) < x0 or min(u[0], v[0]) > x1 or max(u[1], v[1]) < y0 or min(u[1], v[1]) > y1:
                continue
            if _cross(p, q, u, v):
                found.append(i)
    return found


def _cross(p: Point, q: Point, u: Point, v: Point) -> bool:
    return _turn(p, q, u) * _turn(p, q, v) < 0 and _turn(u, v, p) * _turn(u, v, q) <= 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _grow(front: Sequence[Point], back: Sequence[Point], at: int, reach: float) -> tuple[int, int]:
    """The run of *front* around index *at* that lies within *reach* of *back*."""
    first, last = at, at + 1
    while first > 0 and _distance(front[first], back) < reach:
        first -= 1
    while last < len(front) - 1 and _distance(front[last], back) < reach:
        last += 1
    return first, last


def _distance(p: Point, trace: Sequence[Point]) -> float:
    return min(_to_segment(p, trace[i], trace[i + 1]) for i in range(len(trace) - 1))


def _to_segment(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = 0.0 if length == 0 else max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length))
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
