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


def settle(
    plan: Plan,
    extents: Mapping[str, Extent],
    pulls: Mapping[str, Sequence[Pull]],
    clear: float,
    stretch: float = 1.0,
    near: Mapping[str, float] | None = None,
) -> dict[str, float]:
    """Middle line of every slot, mm, y down; the least distances times *stretch*, *clear* mm between extents.

    *near*: heights to start from, such as those found before with a little less room.
    """
    steps = [
        [
            (extents[a].below + extents[b].above) * room_stretch(stretch) + clear * stretch
            for a, b in itertools.pairwise(column)
        ]
        for column in plan.columns
    ]
    start = near or _start(plan, steps)
    ids = [id for column in plan.columns for id in column]
    number = {id: i for i, id in enumerate(ids)}
    ys = [start[id] for id in ids]
    links = [[(number[p.other], p.shift, p.weight) for p in pulls[id]] for id in ids]
    totals = [sum(weight for _, _, weight in own) for own in links]
    firsts = itertools.accumulate(map(len, plan.columns), initial=0)
    columns = [
        _Column(
            slice(first, first + len(column)),
            list(itertools.accumulate(gaps, initial=0.0)),
            links[first : first + len(column)],
            totals[first : first + len(column)],
            [total or 1.0 for total in totals[first : first + len(column)]],
        )
        for first, column, gaps in zip(firsts, plan.columns, steps, strict=False)
    ]
    order = [*columns, *reversed(columns[:-1])]
    for _ in range(SWEEPS):
        if max([column.level(ys) for column in order]) < STILL_MM:
            break
    return dict(zip(ids, ys, strict=True))


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of slots: where they stand among all, how far under the first each stands at least (mm), its links.

    A link is the number of another slot, how much lower (mm) that stands when it is straight, and how hard it pulls.
    """

    slots: slice
    floors: list[float]
    links: list[list[tuple[int, float, float]]]
    totals: list[float]
    weights: list[float]
    """The totals; 1 where nothing pulls."""

    def level(self, ys: list[float]) -> float:
        """Move the slots, in *ys*, to where their links pull them; the farthest move, mm."""
        here = ys[self.slots]
        wanted: list[float] = []
        for now, own, total in zip(here, self.links, self.totals, strict=True):
            asked = 0.0
            for other, shift, weight in own:
                asked += (ys[other] - shift) * weight
            wanted.append(asked / total if total else now)
        found = isotonic(wanted, self.weights, self.floors)
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
