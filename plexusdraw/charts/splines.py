"""Smooth chains of cubics through the points of a chart, and the shapes made of them.

A point is (across, down) in percent of the limb's length, so x to the right is lateral in the front view of a
left limb. Chains are those of :mod:`plexusdraw.scene.curves`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Literal

from plexusdraw.scene import Curve, Point, curves

SMALL = 0.4
"""Width of a spindle at an end for which the chart gives none."""
SINEW = 0.55
"""Width of a tendon."""
_STEPS = 24


@dataclass(frozen=True, slots=True)
class Knot:
    """A point of an outline; ``cut``: the limb is cut off from here to the next point."""

    point: Point
    kind: Literal["", "corner", "cut"] = ""


def spline(points: Sequence[Point], sharp: frozenset[int] = frozenset(), closed: bool = False) -> Curve:
    """A smooth chain through *points*, with corners at the indices in *sharp*.

    The direction at a point is that from its neighbour before to the one after; handles are a third of the way to
    the neighbour, so that the chain does not swing out where points lie close.
    """
    n = len(points)
    ends = {*sharp, *(() if closed else (0, n - 1))}
    around = [(points[i - 1], p, points[(i + 1) % n]) for i, p in enumerate(points)]
    ahead = [None if i in ends else _unit(a, c) for i, (a, _, c) in enumerate(around)]
    made: list[Point] = [points[0]]
    for i in range(n if closed else n - 1):
        j = (i + 1) % n
        p, q = points[i], points[j]
        made += [_handle(p, q, ahead[i], 1.0), _handle(q, p, ahead[j], -1.0), q]
    return tuple(made)


def _unit(a: Point, b: Point) -> Point:
    size = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return ((b[0] - a[0]) / size, (b[1] - a[1]) / size)


def _handle(p: Point, q: Point, along: Point | None, sign: float) -> Point:
    third = hypot(q[0] - p[0], q[1] - p[1]) / 3
    way = _unit(p, q) if along is None else (along[0] * sign, along[1] * sign)
    return (p[0] + way[0] * third, p[1] + way[1] * third)


def outline(knots: Sequence[Knot]) -> tuple[Curve, tuple[Curve, ...], tuple[Curve, ...]]:
    """A closed outline; its edges that are skin, and those at which the limb is cut off."""
    n = len(knots)
    cuts = {i for i, k in enumerate(knots) if k.kind == "cut"}
    sharp = {i for i, k in enumerate(knots) if k.kind} | {(i + 1) % n for i in cuts}
    whole = spline([k.point for k in knots], frozenset(sharp), closed=True)
    pieces = list(curves.cubics(whole))
    if not cuts:
        return whole, (whole,), ()
    first = (max(cuts) + 1) % n
    skin: list[list[Curve]] = [[]]
    for i in ((first + k) % n for k in range(n)):
        if i in cuts:
            skin.append([])
        else:
            skin[-1].append(pieces[i])
    return whole, tuple(curves.join(run) for run in skin if run), tuple(pieces[i] for i in sorted(cuts))


def digit(axis: Sequence[Point], half: Sequence[float]) -> list[Point]:
    """The edge of a digit: down its lateral side, round its tip (the last point of *axis*), and back.

    *half*: half its width at each point of the axis but the tip.
    """
    normals = [_left(axis, i) for i in range(len(axis))]
    sides = [(p, h, n) for p, h, n in zip(axis, half, normals, strict=False)]
    tip, before, h = axis[-1], axis[-2], half[-1]
    back = _unit(tip, before)
    sides.append(((tip[0] + back[0] * 0.42 * h, tip[1] + back[1] * 0.42 * h), 0.74 * h, normals[-1]))
    out = [(p[0] + h * n[0], p[1] + h * n[1]) for p, h, n in sides]
    home = [(p[0] - h * n[0], p[1] - h * n[1]) for p, h, n in reversed(sides)]
    return [*out, tip, *home]


def _left(path: Sequence[Point], i: int) -> Point:
    """Normal to the left of a path that runs down: lateral."""
    a, b = path[max(i - 1, 0)], path[min(i + 1, len(path) - 1)]
    way = _unit(a, b)
    return (way[1], -way[0])


@dataclass(frozen=True, slots=True)
class Run:
    """A path measured: where each share of its length lies on it."""

    curve: Curve
    shares: tuple[tuple[float, float], ...]
    """Share of the length, place on the chain (index of a cubic and parameter)."""

    @classmethod
    def of(cls, points: Sequence[Point]) -> Run:
        """The run through *points*."""
        curve = spline(points)
        return cls(curve, _measured(curve))

    def place(self, share: float) -> float:
        """Place on the chain at a share of the length."""
        for (a, t), (b, u) in pairwise(self.shares):
            if share <= b:
                return t + (u - t) * (share - a) / ((b - a) or 1.0)
        return self.shares[-1][1]

    def at(self, share: float) -> tuple[Point, Point]:
        """Point and normal at a share of the length."""
        place = self.place(share)
        cubics = list(curves.cubics(self.curve))
        index = min(int(place), len(cubics) - 1)
        v = curves.velocity(cubics[index], place - index)
        size = hypot(*v) or 1.0
        return curves.point(cubics[index], place - index), (v[1] / size, -v[0] / size)

    def part(self, start: float, end: float) -> Curve:
        """The piece between two shares of the length."""
        return curves.part(self.curve, self.place(start), self.place(end))


def _measured(curve: Curve) -> tuple[tuple[float, float], ...]:
    """Shares of a chain's length and the places at which they lie."""
    count = (len(curve) - 1) // 3
    places = [k / _STEPS for k in range(count * _STEPS + 1)]
    far = [0.0]
    for a, b in pairwise(curves.samples(curve, _STEPS)):
        far.append(far[-1] + hypot(b[0] - a[0], b[1] - a[1]))
    return tuple((d / (far[-1] or 1.0), t) for d, t in zip(far, places, strict=True))


@dataclass(frozen=True, slots=True)
class Spindle:
    """A belly with tendons, from origin to insertion."""

    belly: Curve
    sinews: tuple[Curve, ...]
    middle: Point
    """A point in the thick of the belly."""


def spindle(
    origin: Sequence[Point],
    via: Sequence[Point],
    insertion: Sequence[Point],
    widths: Sequence[float],
    lead: float = 0.0,
    tendon: float = 0.0,
    tendons: Sequence[Sequence[Point]] = (),
    label: float = 0.5,
) -> Spindle:
    """A spindle along the path origin, *via*, insertion; of two points an end is as wide as they are apart.

    *widths* stand at even distances along the belly, its ends left out. *lead* and *tendon* are the shares of the
    path that are tendon before and after it; *tendons* go on from its end through further points.
    """
    path = Run.of([_mean(origin), *via, _mean(insertion)])
    start, end = lead, 1.0 - tendon
    lefts: list[Point] = []
    rights: list[Point] = []
    count = len(widths) + 1
    for i in range(count + 1):
        share = start + (end - start) * i / count
        p, n = path.at(share)
        tip = origin if i == 0 and not lead else insertion if i == count and not tendon else ()
        if len(tip) == 2:
            a, b = _sided(tip, p, n)
        else:
            narrow = SINEW if (lead if i == 0 else tendon) else SMALL
            w = (widths[i - 1] if 0 < i < count else narrow) / 2
            a, b = (p[0] + n[0] * w, p[1] + n[1] * w), (p[0] - n[0] * w, p[1] - n[1] * w)
        lefts.append(a)
        rights.append(b)
    belly = curves.join(
        [
            spline(lefts),
            curves.line(lefts[-1], rights[-1]),
            spline(rights[::-1]),
            curves.line(rights[0], lefts[0]),
        ]
    )
    sinews: list[Curve] = []
    if lead:
        sinews.append(path.part(0.0, lead + 0.04))
    if tendon:
        sinews.append(path.part(end - 0.05, 1.0))
    sinews += [spline([path.at(1.0 if tendon else end)[0], *points]) for points in tendons]
    return Spindle(belly, tuple(sinews), path.at(start + (end - start) * label)[0])


def sheet(
    origin: Sequence[Point], edges: Sequence[Sequence[Point]], insertion: Sequence[Point], label: float = 0.5
) -> Spindle:
    """A flat muscle between two edges, each with its own points between origin and insertion."""
    one, two = (spline([origin[i % len(origin)], *edges[i], insertion[i % len(insertion)]]) for i in (0, 1))
    closing = [curves.line(one[-1], two[-1])] if one[-1] != two[-1] else []
    belly = curves.join([one, *closing, two[::-1], curves.line(two[0], one[0])])
    mid = [Run(c, _measured(c)).at(label)[0] for c in (one, two)]
    return Spindle(belly, (), _mean(mid))


def _mean(points: Sequence[Point]) -> Point:
    return (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))


def _sided(pair: Sequence[Point], p: Point, normal: Point) -> tuple[Point, Point]:
    """The two points of an edge, the one on the side of the normal first."""
    a, b = pair
    on = (a[0] - p[0]) * normal[0] + (a[1] - p[1]) * normal[1]
    other = (b[0] - p[0]) * normal[0] + (b[1] - p[1]) * normal[1]
    return (a, b) if on >= other else (b, a)
