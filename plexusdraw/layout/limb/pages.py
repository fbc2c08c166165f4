"""Which figures stand on which page, in which rows, how large, in which type."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.layout.limb import labels
from plexusdraw.layout.limb.labels import Extents, Frame, Item
from plexusdraw.layout.limb.plates import Plate
from plexusdraw.scene import MM_PER_PT, Point

Stack = tuple[Plate, ...]
"""Figures over each other."""
Row = tuple[Stack, ...]
Sheet = tuple[Row, ...]
"""Rows of one page."""

SMALLER = 0.88
"""From one type size that is tried to the next."""
BLANK_EMS = 6.0
"""Least width of a name, or of the box in its place."""
STEPS = 7
SMALLEST_K = 0.2
"""No figure has fewer mm a unit: a limb of 20 mm."""
NAME_EMS = (11.0, 8.2)
"""Widths at which a name is broken."""
UNBROKEN_EMS = 18.0
"""Where even the narrower names do not fit for their height: one line each, of nearly any length."""
NARROWER = 1.06
"""So much larger must figures become for the narrower names."""
WORD = "slightly weak"
"""The longest word for a state."""
BETWEEN = 1.6
"""Room between figures, in ems."""
HEADING = 1.9
"""Height of a figure's heading, in ems."""
HEADING_SIZE = 1.08
"""Type of a heading, as a multiple of the names'."""
LEADING = 1.16
GAP = 0.44
"""Between names, in ems."""
LEAST_LIMB = 0.4
"""On a page of several sets the limb is at least this share of the height that it would have alone."""


@dataclass(frozen=True, slots=True)
class Type:
    """Size of the names in pt, and the width at which they are broken, in ems."""

    size: float
    ems: float


@dataclass(frozen=True, slots=True)
class Block:
    """A name in lines; its width and height with the room for its state, mm."""

    lines: tuple[str, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """A page: rows of stacks of figures with their names, *k* mm a unit."""

    rows: tuple[tuple[tuple[tuple[Plate, Frame], ...], ...], ...]
    k: float
    type: Type
    width: float
    height: float


class Setter:
    """Sets figures for a room of *width* x *height* mm, names as *words* give them."""

    def __init__(
        self,
        words: dict[str, tuple[str, ...]],
        with_states: frozenset[str],
        sizes: tuple[float, float],
        blank: tuple[float, float],
    ) -> None:
        self.words, self.with_states, self.least_blank = words, with_states, blank  # states: of which entities
        self.smallest, self.largest_size = sizes
        self.extents: dict[int, tuple[Sequence[Point], Extents]] = {}
        self.blocks: dict[tuple[str, float, float], Block] = {}

    def block(self, entity: str, size: float, ems: float) -> Block:
        """A name in lines, measured once."""
        key = (entity, size, ems)
        if key not in self.blocks:
            lines = tuple(fonts.wrap(self.words[entity], ems * size * MM_PER_PT, size))
            step = size * MM_PER_PT * LEADING
            blank = self.blank(size)
            width = max(blank[0], *(fonts.width(line, size) for line in lines))
            height = max(blank[1], step * len(lines))
            if entity in self.with_states:
                width = max(width, fonts.width(WORD, max(self.smallest, 0.86 * size), bold=True))
                height += step
            self.blocks[key] = Block(lines, width, height)
        return self.blocks[key]

    def blank(self, size: float) -> tuple[float, float]:
        """Width and height, mm, of the box in place of a name; every name has room for it."""
        em = size * MM_PER_PT
        return max(self.least_blank[0], BLANK_EMS * em), max(self.least_blank[1], LEADING * em)

    def frame(self, plate: Plate, k: float, type_: Type, mend: bool) -> Frame:
        """A figure with its names, *k* mm a unit of the whole limb."""
        key = id(plate.outline)
        if key not in self.extents:
            self.extents[key] = plate.outline, Extents(plate.outline)  # kept, so that no other takes its id
        em, own = type_.size * MM_PER_PT, k * plate.scale
        items = []
        for named in plate.named:
            block = self.block(named.entity, type_.size, type_.ems)
            items.append(
                Item(named.entity, named.kind, (named.at[0] * own, named.at[1] * own), block.width, block.height)
            )
        made = labels.place(plate, self.extents[key][1], items, own, em, GAP * em, mend)
        half = fonts.width(plate.title, HEADING_SIZE * type_.size, bold=True) / 2
        left = min(made.box.x, plate.middle * own - half)
        right = max(made.box.right, plate.middle * own + half)
        return replace(made, box=replace(made.box, x=left, w=right - left))

    def sheet(self, sheet: Sheet, k: float, type_: Type, mend: bool = True) -> Fitted:
        """A page at one size."""
        em = type_.size * MM_PER_PT
        rows = tuple(tuple(tuple((p, self.frame(p, k, type_, mend)) for p in stack) for stack in row) for row in sheet)
        width = max(
            sum(max(f.box.w for _, f in stack) for stack in row) + BETWEEN * em * (len(row) - 1) for row in rows
        )
        height = sum(max(sum(f.box.h + HEADING * em for _, f in stack) for stack in row) for row in rows)
        return Fitted(rows, k, type_, width, height + em * (len(rows) - 1))

    def largest(self, sheet: Sheet, type_: Type, room: tuple[float, float], least: float = 0.0) -> Fitted | None:
        """The largest figures that leave room for names; None if they would be smaller than *least* mm a unit."""
        width, height = room
        high = min(height / max(sum(p.box.h * p.scale for p in stack) for stack in row) for row in sheet)
        low = least = max(least, SMALLEST_K)
        if not _within(self.sheet(sheet, least, type_, mend=False), room):
            return None
        for _ in range(STEPS):
            k = (low + high) / 2
            made = self.sheet(sheet, k, type_, mend=False)
            low, high = (k, high) if made.width <= width and made.height <= height else (low, k)
        for _ in range(STEPS):  # leaders that must not cross may ask for a little more room
            made = self.sheet(sheet, low, type_)
            if _within(made, room):
                return made
            low *= 0.97
        return None

    def best(self, sheet: Sheet, room: tuple[float, float], least: float = 0.0) -> Fitted | None:
        """The best balance of figures and type; names in narrower lines where that helps much."""
        wide, narrow = (self.largest(sheet, Type(self.smallest, ems), room, least) for ems in NAME_EMS)
        plain = narrow if narrow and (wide is None or narrow.k > NARROWER * wide.k) else wide
        plain = plain or self.largest(sheet, Type(self.smallest, UNBROKEN_EMS), room, least)
        if plain is None:
            return None
        best, size = plain, self.largest_size
        while size > self.smallest * 1.04:
            made = self.largest(sheet, Type(size, plain.type.ems), room, least)
            if made is not None and _worth(made) > _worth(best):
                best = made
            elif best is not plain:
                break
            size *= SMALLER
        return best


def _worth(made: Fitted) -> float:
    """Large figures and large type, weighed: names then take about half of the width."""
    return made.k * made.type.size


def _within(made: Fitted, room: tuple[float, float]) -> bool:
    return made.width <= room[0] and made.height <= room[1]


def arrangements(sets: Sequence[Sequence[Plate]]) -> Iterator[tuple[bool, tuple[tuple[Sheet, ...], ...]]]:
    """Ways to spread sets of figures over pages, fewest pages first; for each number of pages, several.

    Each with a word whether figures may be small then: where they have no more pages to spread to.
    """
    yield False, tuple((sheet,) for sheet in _together(sets))
    if len(sets) > 1:
        each = [_together([one]) for one in sets]
        yield False, tuple(tuple(ways[i] for ways in each) for i in range(min(map(len, each))))
    apart = [stack for one in sets for stack in _views(one)]
    yield True, (tuple(((tuple((p,) for p in stack)),) for stack in apart),)
    yield True, (tuple((((plate,),),) for one in sets for plate in one),)


def _together(sets: Sequence[Sequence[Plate]]) -> list[Sheet]:
    """Pages that hold all sets: in one row, close-ups beside or under the limbs, or a row for each set."""
    rows = [_row(one) for one in sets]
    split = [(tuple((p,) for p in one if not p.close), tuple((p,) for p in one if p.close)) for one in sets]
    found: list[Sheet] = [(tuple(stack for row in rows for stack in row),)]
    if all(close for _, close in split):
        found.append((tuple(s for limb, _ in split for s in limb), tuple(s for _, close in split for s in close)))
    if len(sets) > 1:
        found.append(tuple(rows))
    return found


def _row(one: Sequence[Plate]) -> Row:
    """Limbs side by side, their close-ups over each other."""
    limbs = tuple((p,) for p in one if not p.close)
    close = tuple(p for p in one if p.close)
    return (*limbs, close) if close else limbs


def _views(one: Sequence[Plate]) -> list[Stack]:
    """Each view with its close-up."""
    return [tuple(p for p in one if p.side == view) for view in dict.fromkeys(p.side for p in one)]
