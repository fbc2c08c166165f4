"""How the limb, its end at a larger scale and the words share what a page has left under the plexus.

Words come first, in type that is easy to read; then the end of the limb, if anything changes there; what is still
left makes the figures larger, and then stands between the bands.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from plexusdraw.layout.limb.strip import Figure
from plexusdraw.scene import Part
from plexusdraw.scene.view import State
from plexusdraw.sheets.case.frame import GAP_MM, Frame

SIZES_PT = (9.0, 8.5, 8.0, 7.4, 6.8, 6.4, 6.0)
"""Type of the words, the largest that fits."""
WITH_ENDS_PT = SIZES_PT[:-2]
"""Type smaller still makes room by leaving the larger scale out."""
LIMB_MM, MOST_LIMB_MM = 92.0, 128.0
"""What the limb takes with its headings, and what it takes where there is room."""
ENDS_MM, MOST_ENDS_MM = 32.0, 62.0
"""The same of its end at a larger scale."""
LIMB_BESIDE = 0.82
"""Share of its usual height that the limb takes where its end at a larger scale has no room otherwise."""
MOST_GAP_MM = 7.0
"""Most that is added between two bands."""
MOST_ENDS = 6
"""As many figures of the end stand in the row."""


@dataclass(frozen=True)
class Set:
    """What a limb shows on a page: the figures, those of its end, what their patterns stand for (state, words)."""

    limb: Sequence[Figure]
    ends: Sequence[Figure]
    entries: Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Bands:
    """Heights in mm; ``size``: type of the words in pt, None where they have no room; ``gap``: between bands."""

    limb: float
    ends: float
    size: float | None
    gap: float


def changed(found: Sequence[Figure], states: Mapping[str, State]) -> tuple[Figure, ...]:
    """The figures on which something has a state of its own that is named there: it is seen best on these."""
    kept = [f for f in found if any(n.entity in states for n in f.plate.named)]
    return tuple(kept[:MOST_ENDS])


def joined(frame: Frame, set_: Set) -> Set:
    """The same with the end of the limb in one row with it, where the limb is then no smaller than usual."""
    every = (*set_.limb, *set_.ends)
    if not set_.ends or frame.row_at(0.0, every, 1e3)[1] < LIMB_MM * frame.share:
        return set_
    return replace(set_, limb=every, ends=())


def shared(frame: Frame, set_: Set, y: float, need: Callable[[float], float]) -> Bands:
    """How the room from *y* mm on is shared; *need*: height, mm, of the words in a type of some pt."""
    legend = frame.swatches_at(0.0, set_.entries)[1] if set_.limb else 0.0
    room = frame.bottom - y - legend - 2.2 * GAP_MM
    limb, most_limb = _heights(frame, set_.limb, (LIMB_MM, MOST_LIMB_MM))
    ends, most_ends = _heights(frame, set_.ends, (ENDS_MM, MOST_ENDS_MM))
    beside = ends and ends + GAP_MM
    ways = [(limb, ends, s) for s in WITH_ENDS_PT] + [(LIMB_BESIDE * limb, ends, s) for s in WITH_ENDS_PT]
    for tall, end, size in (ways if ends else []) + [(limb, 0.0, s) for s in SIZES_PT]:
        spare = room - tall - (end and beside) - need(size)
        if spare >= 0:
            return _grown(Bands(tall, end, size, GAP_MM), spare, most_limb, most_ends if end else 0.0)
    spare = room - limb - beside
    if spare < 0:
        return Bands(limb, 0.0, None, GAP_MM)
    return _grown(Bands(limb, ends, None, GAP_MM), spare, most_limb, most_ends)


def _heights(frame: Frame, figures: Sequence[Figure], wished: tuple[float, float]) -> tuple[float, float]:
    """Usual and largest height of a row: no more than its width asks for."""
    if not figures:
        return 0.0, 0.0
    full = frame.row_at(0.0, figures, 1e3)[1]
    usual, most = wished
    return min(usual * frame.share, full), min(most * frame.share, full)


def _grown(found: Bands, spare: float, most_limb: float, most_ends: float) -> Bands:
    """What is left over given to the figures, then to the gaps."""
    more_ends = min(spare, most_ends - found.ends)
    more_limb = min(spare - more_ends, most_limb - found.limb)
    gaps = 3 if found.ends else 2
    wider = min((spare - more_ends - more_limb) / gaps, MOST_GAP_MM)
    return replace(found, limb=found.limb + more_limb, ends=found.ends + more_ends, gap=found.gap + wider)


def drawn(frame: Frame, set_: Set, y: float, bands: Bands) -> tuple[list[Part], float]:
    """The limb, its end and the legend of patterns from *y* mm on; and where the words begin."""
    parts: list[Part] = []
    if set_.limb:
        made, y = frame.row_at(y + bands.gap, set_.limb, bands.limb)
        parts += made
        if bands.ends:
            made, y = frame.row_at(y + bands.gap, set_.ends, bands.ends)
            parts += made
        made, y = frame.swatches_at(y, set_.entries)
        parts += made
    return parts, y + bands.gap - 0.5 * GAP_MM
