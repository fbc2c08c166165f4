"""Fewest crossings by simulated annealing: a search that shares nothing with the one of the layout.

Neighbours in a column change places where the anatomical order allows; worse orders are taken with a chance that falls
as the search cools (Kirkpatrick, Gelatt, Vecchi 1983). It proves no least, but where it finds fewer crossings than the
layout, the layout's are not the fewest.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from random import Random

Ties = Sequence[tuple[str, str]]


def fewest(columns: Sequence[Sequence[str]], kept: Sequence[set[str]], ties: Sequence[Ties], seed: int) -> int:
    """Fewest crossings found. *kept*: of each column the ids whose order is given; *ties* lead to the next column."""
    dice = Random(seed)
    work = [list(column) for column in columns]
    place = {id: i for column in work for i, id in enumerate(column)}
    before, after = _neighbours(ties)
    movable = [c for c, column in enumerate(work) if len(column) > 1 and len(kept[c]) < len(column)]
    now = least = total(work, ties)
    steps, hot, cold = 60_000, 3.0, 0.08
    for step in range(steps if movable else 0):
        heat = hot * (cold / hot) ** (step / steps)
        column = work[dice.choice(movable)]
        c = work.index(column)
        i = dice.randrange(len(column) - 1)
        a, b = column[i], column[i + 1]
        if a in kept[c] and b in kept[c]:
            continue
        change = sum(
            (place[y] > place[x]) - (place[y] < place[x])
            for side in (before, after)
            for x in side.get(a, ())
            for y in side.get(b, ())
        )
        if change <= 0 or dice.random() < exp(-change / heat):
            column[i], column[i + 1] = b, a
            place[a], place[b] = i + 1, i
            now += change
            least = min(least, now)
    return least


def _neighbours(ties: Sequence[Ties]) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    before: dict[str, list[str]] = {}
    after: dict[str, list[str]] = {}
    for parent, child in (tie for column in ties for tie in column):
        before.setdefault(child, []).append(parent)
        after.setdefault(parent, []).append(child)
    return before, after


def total(columns: Sequence[Sequence[str]], ties: Sequence[Ties]) -> int:
    """Crossings counted straight from the definition."""
    found = 0
    for upper, lower, here in zip(columns, columns[1:], ties, strict=False):
        ends = [(upper.index(parent), lower.index(child)) for parent, child in here]
        found += sum(1 for i, a in enumerate(ends) for b in ends[i + 1 :] if (a[0] - b[0]) * (a[1] - b[1]) < 0)
    return found
