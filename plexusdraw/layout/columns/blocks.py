"""Neighbours that change places together with all that goes on from them: what single exchanges cannot find.

A *block* is what stands together in a column. Where all that it leads to comes from it alone and stands together as
well, that is the same block a column further on; so a nerve and its dummies move as one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

MOST_TIDYING = 40
Near = tuple[list[tuple[str, int]], list[tuple[str, int]]]
"""Ids tied to one in the column before and in the one after, each with how far down in it the tie ends."""

PORTS = 64
"""More than the ports of any slot: a port is a fraction of a place."""
DRAWN, APART = 100, 1
"""What a crossing costs, and more where the two do not begin or end in one slot: beside a plate it is hardly seen."""


def saved(x: int, y: int) -> int:
    """What is saved when the upper of two ties becomes the lower; they end at *x* and *y*, ``PORTS`` for each place."""
    if x == y:
        return 0
    cost = DRAWN + APART * (x // PORTS != y // PORTS)
    return cost if x > y else -cost


class Blocks:
    """Columns whose blocks are exchanged while that saves crossings. *rank*: what to prefer where none are.

    *beside*: crossings of what is no tie, which tidying does not raise.
    """

    def __init__(
        self,
        columns: list[list[str]],
        fixed: Sequence[Collection[str]],
        between: Sequence[Sequence[tuple[str, str, int, int]]],
        rank: Mapping[str, int] | None = None,
        beside: Callable[[list[list[str]]], int] = lambda _: 0,
    ) -> None:
        self.columns, self.fixed, self.rank = columns, [set(ids) for ids in fixed], rank or {}
        self.beside = beside
        self.place = {id: i for column in columns for i, id in enumerate(column)}
        self.near: dict[str, Near] = {id: ([], []) for column in columns for id in column}
        for ties in between:
            for parent, child, leaves, reaches in ties:
                self.near[parent][1].append((child, reaches))
                self.near[child][0].append((parent, leaves))

    def settle(self) -> None:
        """Exchange while anything is saved."""
        while self._passes(tidy=False):
            pass

    def tidy(self) -> None:
        """Exchange what costs nothing into the preferred order, as long as that goes on, and at most so many times."""
        for _ in range(MOST_TIDYING):
            if not self._passes(tidy=True):
                break

    def _passes(self, *, tidy: bool) -> bool:
        moved = [self._pass(c, tidy=tidy) for c in range(len(self.columns))]
        return any(moved)

    def _pass(self, c: int, *, tidy: bool) -> bool:
        """One run down a column; whether anything moved."""
        moved, i = False, 0
        column = self.columns[c]
        while i < len(column) - 1:
            runs = self._runs(c, i)
            best = max(range(len(runs)), key=lambda k: runs[k][0], default=0)
            if runs and self._wanted(runs, best, tidy=tidy):
                before = self.beside(self.columns) if tidy else 0
                for at, (_, upper, lower) in enumerate(runs[: best + 1]):
                    self._exchange(c + at, upper, lower)
                if tidy and self.beside(self.columns) > before:
                    for at, (_, upper, lower) in enumerate(runs[: best + 1]):
                        self._exchange(c + at, lower, upper)
                else:
                    moved = True
            i += 1
        return moved

    def _wanted(self, runs: Sequence[tuple[int, list[str], list[str]]], best: int, *, tidy: bool) -> bool:
        if not tidy:
            return runs[best][0] > 0
        if runs[best][0] != 0:
            return False
        ends = [[self.rank[id] for id in block if id in self.rank] for block in runs[best][1:]]
        return bool(ends[0] and ends[1]) and min(ends[0]) > max(ends[1])

    def _runs(self, c: int, i: int) -> list[tuple[int, list[str], list[str]]]:
        """What is saved when two neighbours change places in one column, in two, ...; the blocks of each column."""
        upper, lower = [self.columns[c][i]], [self.columns[c][i + 1]]
        found: list[tuple[int, list[str], list[str]]] = []
        gained = 0
        while True:
            if self.fixed[c] & {*upper} and self.fixed[c] & {*lower}:
                return found
            gained += sum(self._gain(a, b) for a in upper for b in lower)
            found.append((gained, upper, lower))
            next_upper, next_lower = self._next(upper), self._next(lower)
            if not next_upper or not next_lower or self.place[next_upper[-1]] + 1 != self.place[next_lower[0]]:
                return found
            # the ties that go on from both would have crossed, counted on either side, and do not now
            pairs = sum(len(self.near[a][1]) for a in upper) * sum(len(self.near[b][1]) for b in lower)
            gained += 2 * pairs * (DRAWN + APART)
            upper, lower, c = next_upper, next_lower, c + 1

    def _next(self, block: Sequence[str]) -> list[str]:
        """The block to which one leads, if it leads nowhere else and nothing else leads there."""
        ids = sorted({child for id in block for child, _ in self.near[id][1]}, key=self.place.__getitem__)
        alone = all(parent in block for id in ids for parent, _ in self.near[id][0])
        together = bool(ids) and self.place[ids[-1]] - self.place[ids[0]] == len(ids) - 1
        return ids if alone and together else []

    def _gain(self, a: str, b: str) -> int:
        """What is saved when *a*, standing over *b*, goes under it."""
        place = self.place
        return sum(
            saved(place[x] * PORTS + i, place[y] * PORTS + j)
            for mine, theirs in zip(self.near[a], self.near[b], strict=True)
            for x, i in mine
            for y, j in theirs
        )

    def _exchange(self, c: int, upper: Sequence[str], lower: Sequence[str]) -> None:
        start = self.place[upper[0]]
        for at, id in enumerate((*lower, *upper), start=start):
            self.columns[c][at] = id
            self.place[id] = at
