"""Where the slots stand from top to bottom: as near to what they are tied to as their order and size allow.

Each column is projected onto its order by isotonic regression (pool adjacent violators; Barlow et al. 1972), columns in
turn, until nothing moves. Heights are then stretched to fill the page.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import add, le, sub

from plexusdraw.layout.columns.plan import Plan

SWEEPS = 60
STILL_MM = 0.02


@dataclass(frozen=True, slots=True)
class Extent:
    """Room a slot needs over and under its middle line, mm, its branches' labels included."""

    above: float
    below: float


@dataclass(frozen=True, slots=True)
class Pull:
    """A tie as seen from one slot: how much lower (mm) the other stands when it is straight, how hard it pulls."""

    other: str
    shift: float
    weight: float


class Rows:
    """The columns of a plan, and what pulls their slots, made ready to be settled time and again."""

    def __init__(self, plan: Plan, pulls: Mapping[str, Sequence[Pull]]) -> None:
        self._plan = plan
        self._ids = [id for column in plan.columns for id in column]
        number = {id: i for i, id in enumerate(self._ids)}
        links = [[(number[p.other], p.shift, p.weight) for p in pulls[id]] for id in self._ids]
        totals = [sum(weight for _, _, weight in own) for own in links]
        firsts = itertools.accumulate(map(len, plan.columns), initial=0)
        slots = [slice(first, first + len(column)) for first, column in zip(firsts, plan.columns, strict=False)]
        self._columns = [_Column(own, links[own], totals[own]) for own in slots]
        self._first = [*self._columns, *reversed(self._columns[:-1])]
        at_rest = len(slots) > 1 and all(totals[slots[0]])  # a sweep ends with the column with which the next begins
        self._again = self._first[1:] if at_rest else self._first

    def settle(
        self,
        extents: Mapping[str, Extent],
        clear: float,
        stretch: float = 1.0,
        near: Mapping[str, float] | None = None,
    ) -> dict[str, float]:
        """Middle line of every slot, mm, y down; least distances times *stretch*, *clear* mm between extents.

        *near*: heights to start from, such as those found before with a little less room.
        """
        room, apart = room_stretch(stretch), clear * stretch
        steps = [
            [(extents[a].below + extents[b].above) * room + apart for a, b in itertools.pairwise(column)]
            for column in self._plan.columns
        ]
        start = near or _start(self._plan, steps)
        ys = [start[id] for id in self._ids]
        for column, gaps in zip(self._columns, steps, strict=True):
            column.floors = list(itertools.accumulate(gaps, initial=0.0))
        order = self._first
        for _ in range(SWEEPS):
            if max([column.level(ys) for column in order]) < STILL_MM:
                break
            order = self._again
        return dict(zip(self._ids, ys, strict=True))

    def least(self, extents: Mapping[str, Extent]) -> float:
        """Height of the column that is highest where each slot is as near to the next as the last *extents* let it, mm.

        What was settled is never less high, whatever pulls it.
        """
        filled = ((ids, column) for ids, column in zip(self._plan.columns, self._columns, strict=True) if ids)
        return max(
            (extents[ids[0]].above + column.floors[-1] + extents[ids[-1]].below for ids, column in filled), default=0.0
        )


class _Column:
    """A column of slots: where they stand among all, what pulls them, how far under the first each stands at least, mm.

    A link is the number of another slot, how much lower (mm) that stands when it is straight, and how hard it pulls.
    """

    def __init__(self, slots: slice, links: list[list[tuple[int, float, float]]], totals: list[float]) -> None:
        self.slots = slots
        self.floors: list[float] = []
        self._pulled = list(zip(links, totals, strict=True))
        self._weights = [total or 1.0 for total in totals]  # 1 where nothing pulls

    def level(self, ys: list[float]) -> float:
        """Move the slots, in *ys*, to where their links pull them; the farthest move, mm."""
        here = ys[self.slots]
        wanted: list[float] = []
        for i, (links, total) in enumerate(self._pulled):
            asked = 0.0
            for other, shift, weight in links:
                asked += (ys[other] - shift) * weight
            wanted.append(asked / total if total else here[i])
        found = isotonic(wanted, self._weights, self.floors)
        ys[self.slots] = found
        return max(map(abs, map(sub, found, here)), default=0.0)


def room_stretch(stretch: float) -> float:
    """Factor by which the room of slots grows at a *stretch* of the distances between them."""
    return 1 + (stretch - 1) * 0.6


def _start(plan: Plan, steps: list[list[float]]) -> dict[str, float]:
    """Columns stacked at their least distances, all centred on 0."""
    ys: dict[str, float] = {}
    for column, gaps in zip(plan.columns, steps, strict=True):
        y = -sum(gaps) / 2
        for i, id in enumerate(column):
            ys[id] = y
            y += gaps[i] if i < len(gaps) else 0.0
    return ys


def isotonic(wanted: Sequence[float], weights: Sequence[float], floors: Sequence[float]) -> list[float]:
    """The heights (mm) nearest *wanted* by weighted least squares, neighbours at least as far apart as *floors*."""
    free = list(map(sub, wanted, floors))
    if all(map(le, free, free[1:])):  # none is too near to the one before
        return list(map(add, free, floors))
    blocks: list[tuple[float, float, int]] = []  # mean, weight, length
    for own, weight in zip(free, weights, strict=False):
        mean, mass, length = own, weight, 1
        while blocks and blocks[-1][0] > mean:
            m, w, n = blocks.pop()
            mean = (mean * mass + m * w) / (mass + w)
            mass, length = mass + w, length + n
        blocks.append((mean, mass, length))
    flat = [mean for mean, _, length in blocks for _ in range(length)]
    return list(map(add, flat, floors))
