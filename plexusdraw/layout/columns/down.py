"""Where the slots stand from top to bottom: as near to what they are tied to as their order and size allow.

Each column is projected onto its order by isotonic regression (pool adjacent violators; Barlow et al. 1972), columns in
turn, until nothing moves. Heights are then stretched to fill the page.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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
    ys = dict(near) if near else _start(plan, steps)
    floors = [list(itertools.accumulate(gaps, initial=0.0)) for gaps in steps]
    order = [*range(len(plan.columns)), *reversed(range(len(plan.columns) - 1))]
    totals = {id: sum(p.weight for p in pulls[id]) for id in plan.slots}
    links = {id: [(p.other, p.shift, p.weight) for p in pulls[id]] for id in plan.slots}
    weights = [[totals[id] or 1.0 for id in column] for column in plan.columns]
    for _ in range(SWEEPS):
        moved = 0.0
        for index in order:
            column = plan.columns[index]
            wanted = [_wanted(ys[id], ys, links[id], totals[id]) for id in column]
            for id, y in zip(column, isotonic(wanted, weights[index], floors[index]), strict=True):
                moved = max(moved, abs(y - ys[id]))
                ys[id] = y
        if moved < STILL_MM:
            break
    return ys


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


def _wanted(now: float, ys: Mapping[str, float], links: Sequence[tuple[str, float, float]], total: float) -> float:
    """The mean height that pulls (other, shift, weight) of *total* weight ask for."""
    if not total:
        return now
    asked = 0.0
    for other, shift, weight in links:
        asked += (ys[other] - shift) * weight
    return asked / total


def isotonic(wanted: Sequence[float], weights: Sequence[float], floors: Sequence[float]) -> list[float]:
    """The heights (mm) nearest *wanted* by weighted least squares, neighbours at least as far apart as *floors*."""
    blocks: list[tuple[float, float, int]] = []  # mean, weight, length
    for want, weight, floor in zip(wanted, weights, floors, strict=False):
        mean, mass, length = want - floor, weight, 1
        while blocks and blocks[-1][0] > mean:
            m, w, n = blocks.pop()
            mean = (mean * mass + m * w) / (mass + w)
            mass, length = mass + w, length + n
        blocks.append((mean, mass, length))
    flat = [mean for mean, _, length in blocks for _ in range(length)]
    return [mean + floor for mean, floor in zip(flat, floors, strict=False)]
