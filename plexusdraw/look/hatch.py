"""Patterns as straight strokes, cut to a shape: every painter draws them alike.

The strokes of a pattern lie on one grid of the page, so that neighbours with the same pattern match.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, cos, floor, hypot, radians, sin

from plexusdraw.scene import Curve, Point

Stroke = tuple[Point, Point]
DIRECTIONS: dict[str, tuple[float, ...]] = {
    "plain": (),
    "level": (0.0,),
    "upright": (90.0,),
    "rising": (-45.0,),
    "falling": (45.0,),
    "crossed": (-45.0, 45.0),
    "squared": (0.0, 90.0),
}
"""Pattern → directions of its strokes, degrees; "dots" is made of short ones."""
_SAMPLES = 5


def strokes(curves: Sequence[Curve], pattern: str, gap: float, width: float) -> tuple[Stroke, ...]:
    """The strokes of a pattern within closed chains, *gap* mm apart; dots are *width* wide."""
    rings = [_ring(curve) for curve in curves]
    if pattern == "dots":
        return tuple(_dotted(_lines(rings, 0.0, gap * 0.8), gap * 1.6, 1.6 * width))
    return tuple(line for degrees in DIRECTIONS.get(pattern, ()) for line in _lines(rings, degrees, gap))


def _ring(curve: Curve) -> list[Point]:
    """A chain as a polygon."""
    found: list[Point] = []
    for i in range(0, len(curve) - 1, 3):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = curve[i : i + 4]
        for k in range(_SAMPLES):
            t = k / _SAMPLES
            s = 1 - t
            p, q, r, u = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
            found.append((p * ax + q * bx + r * cx + u * dx, p * ay + q * by + r * cy + u * dy))
    found.append(curve[-1])
    return found


def _lines(rings: Sequence[Sequence[Point]], degrees: float, gap: float) -> Iterator[Stroke]:
    """Parallel strokes: each ring turned so that they run along x, then cut line by line."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    levels: dict[int, list[float]] = {}
    for ring in rings:
        turned = [(x * c + y * s, y * c - x * s) for x, y in ring]
        for (ax, ay), (bx, by) in pairwise([*turned, turned[0]]):
            low, high = (ay, by) if ay < by else (by, ay)
            for n in range(ceil(low / gap), floor(high / gap) + 1):
                y = n * gap
                if low <= y < high:
                    levels.setdefault(n, []).append(ax + (bx - ax) * (y - ay) / (by - ay))
    for n in sorted(levels):
        y, xs = n * gap, sorted(levels[n])
        for a, b in zip(xs[::2], xs[1::2], strict=False):
            if b - a > 0.05:
                yield (a * c - y * s, a * s + y * c), (b * c - y * s, b * s + y * c)


def _dotted(lines: Iterator[Stroke], gap: float, size: float) -> Iterator[Stroke]:
    """Level strokes as dots, every other row shifted by half a gap."""
    rows: dict[float, int] = {}
    for (ax, y), (bx, _) in lines:
        row = rows.setdefault(round(y, 4), round(y / gap * 2))
        shift = 0.5 * gap if row % 2 else 0.0
        for n in range(ceil((ax - shift) / gap), floor((bx - shift) / gap) + 1):
            x = n * gap + shift
            if ax + size / 2 < x < bx - size / 2:
                yield (x - size / 2, y), (x + size / 2, y)


def length(stroke: Stroke) -> float:
    """Length of a stroke, mm."""
    (ax, ay), (bx, by) = stroke
    return hypot(bx - ax, by - ay)
