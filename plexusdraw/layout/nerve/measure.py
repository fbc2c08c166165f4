"""Every measure of the picture of one nerve, and how high each thing stands in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.layout import labels
from plexusdraw.layout.labels import Block, Form
from plexusdraw.layout.nerve.tree import Grower, Key, Roots, Stem, Stop
from plexusdraw.layout.scale import Scale, half_width
from plexusdraw.layout.table import rows as table
from plexusdraw.model.entities import Place, Segment
from plexusdraw.scene import MM_PER_PT

TWIG_EMS = (0.22, 0.27)
BRANCH_EMS = (0.32, 0.385)
"""Width and pitch of the strands of twigs, and of branches with a course of their own."""
TURN_EMS = 0.45
"""Height in which a bundle leaves its nerve, besides half its own width; the inner radius of other turns."""
BAR_EMS = 0.42
"""Room along a nerve in which a cut can be marked before what leaves next."""
ROW = 1.35
"""Least distance of rows as a multiple of their type size."""
GROUP_EMS = 0.45
"""Space after the last row of a branch."""
PLACE_EDGE = 0.6
"""Space between a place and a branch as a share of the distance of places."""
LINE = 1.15
"""Least distance of lines as a multiple of their type, however dense all else is."""
LETTER_EMS = 1.4
"""Distance of the root letters."""
TEXT = 1.13
"""Type of rows and places, as a multiple of that of other details: here height is short, and text takes little."""
"""Heading of the rows."""


@dataclass(slots=True)
class Slot:
    """A line on the right of the nerve: its stop, its height, and its middle line (mm, set by :func:`settle`)."""

    stem: Stem
    stop: Stop
    height: float
    block: Block | None = None


class Ruler:
    """Every measure of one nerve at one type size. Lengths in mm."""

    def __init__(self, grower: Grower, stem: Stem, scale: Scale, form: Form) -> None:
        self.plexus, self.fibres, self.wording = grower.plexus, grower.fibres, grower.wording
        wording = self.wording
        self.stem, self.scale, self.form = stem, scale, form
        self.name = self.block(stem.segment, stem.roots)
        self.text = Scale(scale.size * TEXT, scale.smallest)
        places = [s.place for s in stem.stops if s.place is not None]
        self.place_step = max(
            *(scale.mm(1.25), LINE * self.text.supply * MM_PER_PT),
            wording.room("place")[1] + scale.mm(0.3),
        )
        self.slots = [*self._slots(stem)]
        blocks = [self.name, *(s.block for s in self.slots if s.block)]
        self.longest = max(block.width for block in blocks)
        """Room for the name of a branch in a line, the same for all: what stands after it tells nothing of it."""
        entries = tuple(s.stop.entry for s in self.slots if s.stop.entry is not None)
        rows = [table.Rows(stem.segment, entries, wording)] if entries else []
        title = fonts.width(wording.word(table.BOTH), self.text.heading, bold=True)
        self.grid = table.grid(rows, tuple(stem.roots), self.text, title + scale.mm(0.4))
        self.place_blank = (max(scale.mm(labels.BLANK_EMS), wording.room("place")[0]), self.place_step - scale.mm(0.2))
        self.place_room = max((self.place_width(place) for place in places), default=0.0)

    def half(self, stem: Stem) -> float:
        """Half the width of a nerve, mm."""
        return half_width(max(1, len(stem.roots)), *self.strand(stem.depth))

    def strand(self, depth: int) -> tuple[float, float]:
        """Width and pitch of the strands of a nerve; depth 0 is the one whose picture this is, mm."""
        if depth == 0:
            return self.scale.strand, self.scale.pitch
        return self.scale.mm(BRANCH_EMS[0]), self.scale.mm(BRANCH_EMS[1])

    def twig(self, stop: Stop) -> tuple[float, float]:
        """Width and pitch of the strands of what leaves at a stop, mm."""
        return self.strand(1) if stop.stem else (self.scale.mm(TWIG_EMS[0]), self.scale.mm(TWIG_EMS[1]))

    def twig_half(self, stop: Stop) -> float:
        """Half the width of what leaves at a stop, mm."""
        roots = stop.stem.roots if stop.stem else stop.roots
        return half_width(max(1, len(roots)), *self.twig(stop))

    def drop(self, stop: Stop) -> float:
        """How far above its middle line a bundle begins to leave its nerve, mm."""
        return self.twig_half(stop) + self.scale.mm(TURN_EMS)

    def turn(self, stem: Stem) -> float:
        """Radius of the middle line where a nerve turns downwards, mm."""
        return self.half(stem) + self.scale.mm(TURN_EMS)

    def place_text(self, place: Place) -> str:
        """Name of a place without its nerve's."""
        own = dict(self.wording.own).get(place.id)
        latin = place.latin if self.wording.style == "latin" else ""
        short = place.label if self.wording.style == "short" else ""
        return own or latin or short or place.name

    def place_width(self, place: Place) -> float:
        """Width kept for a place's name, blank or not, mm."""
        return max(fonts.width(self.place_text(place), self.text.supply), self.place_blank[0])

    def places_room(self, count: int) -> float:
        """Length of nerve that *count* places take between two branches, mm."""
        return (2 * PLACE_EDGE + count - 1) * self.place_step if count else 0.0

    def _slots(self, stem: Stem) -> Iterator[Slot]:
        for stop in stem.stops:
            if stop.what == "place" and stem.depth == 0:
                continue
            block = self._block(stop)
            yield Slot(stem, stop, self._height(stop, block), block)
            if stop.stem is not None:
                yield from self._slots(stop.stem)

    def _block(self, stop: Stop) -> Block | None:
        if stop.segment is None:
            return None
        return self.block(stop.segment, stop.roots)

    def block(self, segment: Segment, roots: Roots) -> Block:
        """The name of a nerve, measured."""
        return labels.block(self.plexus, segment, self.scale, self.wording, tuple(roots), self.form)

    def _height(self, stop: Stop, block: Block | None) -> float:
        if stop.what == "place":
            return self.place_step
        high = 2 * self.twig_half(stop) + self.scale.mm(0.3)
        if block is not None:
            high = max(high, block.height + self.scale.mm(0.2))
        if stop.entry is not None:
            writing = self.wording.room(stop.entry.target.kind)[1] / 0.84  # a blank takes that share of its row
            high = max(high, self.text.row * MM_PER_PT * ROW, writing)
        return high


@dataclass(frozen=True, slots=True)
class Heights:
    """Heights from the top of the drawing, mm.

    ``start``: where the nerve begins to run down. ``rows``: middle line of every slot. ``spots``: where each position
    of a course lies on its nerve. ``ends``: where each nerve ends.
    """

    head: float
    start: float
    rows: dict[Key, float]
    spots: dict[tuple[str, int], float]
    ends: dict[str, float]
    total: float


def settle(ruler: Ruler, stretch: float = 1.0) -> Heights:
    """Place everything from the top down as close as it may stand, then all distances *stretch* times as far."""
    block = head_height(ruler)
    head = block / 2
    start = head + ruler.turn(ruler.stem)
    rows, free, bottom = _close(ruler, head, start, block)
    rows = {key: start + (y - start) * stretch for key, y in rows.items()}
    spots: dict[tuple[str, int], float] = {}
    ends: dict[str, float] = {}
    for stem in ruler.stem.stems():
        top = max(start, free) if stem.depth == 0 else rows[_place_of(ruler, stem)] + ruler.turn(stem)
        ends[stem.segment.id] = _along(ruler, stem, rows, (start if stem.depth == 0 else top, top), stretch, spots)
    foot = max([block, start + (bottom - start) * stretch, *ends.values()])
    return Heights(head, start, rows, spots, ends, foot)


def head_height(ruler: Ruler) -> float:
    """Height of the letters at the nerve's beginning, mm."""
    return max(letter_step(ruler) * len(arrivals(ruler)), ruler.scale.mm(2.0))


def letter_step(ruler: Ruler) -> float:
    """Distance of the root letters, mm."""
    asked = [ruler.wording.room(stage.singular)[1] for stage in ruler.plexus.stages[:-1]]
    return max(
        ruler.scale.mm(LETTER_EMS), LINE * ruler.scale.name * MM_PER_PT, max(asked, default=0.0) + ruler.scale.mm(0.3)
    )


def arrivals(ruler: Ruler) -> list[tuple[str | None, str]]:
    """(parent, root) of every strand that comes into the nerve: parents by their roots, the most cranial first."""
    segment, roots = ruler.stem.segment, ruler.plexus.roots
    if not segment.parents:
        return [(None, root) for root in ruler.stem.roots]
    coming = [(parent, list(ruler.fibres.between(parent, segment.id))) for parent in segment.parents]
    coming.sort(key=lambda one: [roots.index(root) for root in one[1]])
    return [(parent, root) for parent, brings in coming for root in brings]


def _place_of(ruler: Ruler, stem: Stem) -> Key:
    return next(s.stem.key(s.stop) for s in ruler.slots if s.stop.stem is stem)


def _close(ruler: Ruler, head: float, start: float, block: float) -> tuple[dict[Key, float], float, float]:
    """Least heights of all slots; where the first place may stand; the bottom."""
    scale = ruler.scale
    rows: dict[Key, float] = {}
    free = head + block / 2
    bottom = head + ruler.name.height / 2 + scale.mm(0.4)
    reached = {ruler.stem.segment.id: start}
    before: Slot | None = None
    for slot in ruler.slots:
        stem, stop = slot.stem, slot.stop
        if before is not None and (stem.depth < before.stem.depth or stop.what == "branch"):
            bottom += scale.mm(GROUP_EMS)
        places = _places_before(stem, stop)
        here = reached[stem.segment.id]
        if places:
            here = max(here, free)
        gone = ruler.drop(stop) if stop.what != "place" else scale.mm(0.4)
        need = ruler.places_room(places) + gone + scale.mm(BAR_EMS)
        y = max(bottom + slot.height / 2, here + need)
        rows[stem.key(stop)] = y
        reached[stem.segment.id] = y
        if stop.stem is not None:
            reached[stop.id] = y + ruler.turn(stop.stem)
        bottom, before = y + slot.height / 2, slot
    return rows, free, bottom


def _places_before(stem: Stem, stop: Stop) -> int:
    """Number of places right before a stop; they take room only where they stand on the left."""
    if stem.depth or stop.what == "place":
        return 0
    return len(_run(stem, stem.stops.index(stop)))


def _run(stem: Stem, index: int) -> list[Stop]:
    """The places that stand right before the stop at *index*."""
    first = index
    while first and stem.stops[first - 1].what == "place":
        first -= 1
    return list(stem.stops[first:index])


def _along(
    ruler: Ruler,
    stem: Stem,
    rows: dict[Key, float],
    top: tuple[float, float],
    stretch: float,
    spots: dict[tuple[str, int], float],
) -> float:
    """Place every position of a course on its nerve; from *top*, places from further down. Returns where it ends."""
    here, free = top
    id, edge = stem.segment.id, ruler.scale.mm(BAR_EMS)
    for index, stop in enumerate(stem.stops):
        if stop.what == "place" and not stem.depth:
            continue
        leaves = rows[stem.key(stop)] - (ruler.drop(stop) if stop.what != "place" else 0.0)
        run = _run(stem, index) if not stem.depth else []
        if run:
            here = _spread(ruler, id, run, max(here, free), leaves, spots)
        spots[id, stop.at] = leaves if stop.what == "place" else max((here + leaves) / 2, leaves - edge)
        here = rows[stem.key(stop)]
    trailing = _run(stem, len(stem.stops)) if not stem.depth else []
    if trailing:
        here = max(here, free)
        end = here + ruler.places_room(len(trailing)) * stretch
        _spread(ruler, id, trailing, here, end, spots)
        return end
    return here + (ruler.scale.mm(1.0) if stem.depth and stem.stops[-1].what == "place" else 0.0)


def _spread(
    ruler: Ruler, id: str, run: Sequence[Stop], top: float, bottom: float, spots: dict[tuple[str, int], float]
) -> float:
    """Spread places over a stretch of nerve; returns the height of the last."""
    share = (bottom - top) / (2 * PLACE_EDGE + len(run) - 1)
    y = top
    for i, stop in enumerate(run):
        y = top + (PLACE_EDGE + i) * share
        spots[id, stop.at] = y
    return y
