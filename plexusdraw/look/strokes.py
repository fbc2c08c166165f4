"""Strands, leaders and cut marks as paths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from itertools import pairwise
from math import cos, hypot, radians, sin
from operator import attrgetter

from plexusdraw.look.marks import Path
from plexusdraw.look.theme import Colour, Cut, Dashes, Pen, Theme, mix
from plexusdraw.scene import Curve, Dot, Point, Spot, Strand, curves
from plexusdraw.scene.view import State

CORE = 0.34
"""Width of a second tone along the middle of a strand, as a share of the strand's."""
JOIN_MM = 0.5
"""Most overlap of pieces that follow each other."""
HAIR_MM = 0.15
STRAIGHT_MM = 0.005
_KIN = attrgetter(*(f.name for f in fields(Strand) if f.name not in ("at", "source", "curve")))
"""What the pieces of one strand share."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of a strand, wherever that runs; width and dashes as shares of the strand's width."""

    colour: Colour
    width: float
    dash: Dashes = ()
    longer: bool = False
    """Whether both its ends reach a hair beyond those of the strand, so that it covers a seam."""


def strand(part: Strand, pen: Pen, theme: Theme, root: str, state: State) -> tuple[Path, ...]:
    """A strand as its strokes, back to front; *root* is the id to write."""
    made = []
    for stroke in of_strand(pen, theme, state, minor=part.minor):
        curve = longer(part.curve) if stroke.longer else part.curve
        dash, offset = dashed(stroke.dash, part.width, curve)
        width = part.width * stroke.width
        path = Path(curve=curve, stroke=stroke.colour, width=width, dash=dash, offset=offset, root=root, state=state)
        made.append(path)
    return tuple(made)


def of_strand(pen: Pen, theme: Theme, state: State, *, minor: bool) -> Iterator[Stroke]:
    """The strokes of any strand of this pen and share: its own, its second tone, its blank middle if it is minor."""
    look = theme.look(state)
    yield Stroke(look.strand or mix(pen.strand, theme.page, look.mix), look.width, look.dash)
    hollow = max(look.hollow, theme.minor if minor else 0.0)
    if pen.core and not look.strand and not hollow:
        yield Stroke(mix(pen.core, theme.page, look.mix), look.width * CORE, pen.core_dash)
    if hollow:
        yield Stroke(theme.page, look.width * hollow, longer=True)


def dashed(dash: Dashes, unit: float, curve: Curve) -> tuple[Dashes, float]:
    """*dash*, told in units of *unit* mm, fitted to a curve, and its offset, mm."""
    if not any(dash):
        return (), 0.0  # as most are: their curve need not be measured
    return fitted(tuple(d * unit for d in dash), length(curve))


def continued(a: Strand, b: Strand) -> Strand | None:
    """*a* and *b* as one piece, where *b* goes straight on from where *a* ends; else None.

    The layout cuts a strand at every place where it may be injured, with a hair of overlap. One stroke instead
    of many has no edges that renderers blend twice, and one run of dashes.
    """
    before, end = a.curve[-2:]
    start, goal = b.curve[0], b.curve[-1]
    near = hypot(end[0] - start[0], end[1] - start[1]) <= JOIN_MM
    if not near or _KIN(a) != _KIN(b) or len(b.curve) != 4 or not _straight(b.curve):
        return None
    level = _off(before, end, goal) < STRAIGHT_MM and _off(start, goal, end) < STRAIGHT_MM
    ahead = (goal[0] - end[0]) * (end[0] - before[0]) + (goal[1] - end[1]) * (end[1] - before[1]) > 0
    if not (level and ahead):
        return None
    if len(a.curve) == 4 and _straight(a.curve):
        return replace(a, curve=line(a.curve[0], goal))
    return replace(a, curve=a.curve + line(end, goal)[1:])


def longer(curve: Curve) -> Curve:
    """The curve with both ends moved outwards by a hair, so that it covers a seam."""
    return (_beyond(curve[1], curve[0]), *curve[1:-1], _beyond(curve[-2], curve[-1]))


def _beyond(a: Point, b: Point) -> Point:
    size = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[0] + HAIR_MM * (b[0] - a[0]) / size, b[1] + HAIR_MM * (b[1] - a[1]) / size)


def _straight(curve: Curve) -> bool:
    return all(_off(curve[0], curve[-1], point) < STRAIGHT_MM for point in curve[1:-1])


def _off(a: Point, b: Point, p: Point) -> float:
    """Distance of *p* from the line through *a* and *b*."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return abs(dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / (hypot(dx, dy) or 1.0)


def cut(spot: Spot, style: Cut, page: Colour, scale: float) -> tuple[Path, ...]:
    """Two bars across the bundle at *spot*, with blank paper between and around them."""
    along = (cos(radians(spot.angle)), sin(radians(spot.angle)))
    reach = spot.half + style.reach * scale
    casing = 0.5 * style.width * scale

    def bar(shift: float, reach: float, width: float, colour: Colour) -> Path:
        x, y = spot.x + along[0] * shift, spot.y + along[1] * shift
        a = (x + along[1] * reach, y - along[0] * reach)
        b = (x - along[1] * reach, y + along[0] * reach)
        return Path(curve=line(a, b), stroke=colour, width=width)

    width, half = style.width * scale, 0.5 * style.apart * scale
    return (
        bar(0.0, reach + casing, 2 * half + width + 2 * casing, page),
        bar(-half, reach, width, style.stroke),
        bar(half, reach, width, style.stroke),
    )


def cross(dot: Dot, colour: Colour) -> tuple[Path, ...]:
    """A cross in place of a dot: heavy for a principal share, light for a minor one."""
    arm, width = 0.78 * dot.r, (0.26 if dot.minor else 0.52) * dot.r
    return tuple(
        Path(curve=line((dot.x - arm, dot.y - rise), (dot.x + arm, dot.y + rise)), stroke=colour, width=width)
        for rise in (arm, -arm)
    )


def line(a: Point, b: Point) -> Curve:
    """A straight stretch as one cubic."""
    third = ((b[0] - a[0]) / 3, (b[1] - a[1]) / 3)
    return (a, (a[0] + third[0], a[1] + third[1]), (b[0] - third[0], b[1] - third[1]), b)


@lru_cache(maxsize=256)
def length(curve: Curve) -> float:
    """Length of a chain of cubics, mm, to about 0.1 %."""
    total = 0.0
    for cubic in curves.cubics(curve):
        points = curves.samples(cubic)
        total += sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in pairwise(points))
    return total


def fitted(dash: Dashes, run: float) -> tuple[Dashes, float]:
    """*dash* stretched so that a stroke of length *run* begins and ends in mid-dash, and its offset, mm.

    So two pieces that follow each other make one dash where they meet, and never a double or half one.
    """
    period = sum(dash)
    if not period or not run:
        return (), 0.0
    stretch = run / (period * max(1, round(run / period)))
    fit = tuple(d * stretch for d in dash)
    return fit, fit[0] / 2
