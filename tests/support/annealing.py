"""Fewest crossings by simulated annealing: a graph, a count and a search that share nothing with those of the layout.

The graph is read from the model: nodes in the columns of their stages, one for each column that a nerve passes, and
side branches, which cross what stands between them and the border or neighbour at which they end. Neighbours
change places where the anatomical order allows; worse orders are taken with a chance that falls as the search cools
(Kirkpatrick, Gelatt, Vecchi 1983). It proves no least, but where it finds fewer crossings than are drawn, the layout's
are not the fewest.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from math import exp
from random import Random

from plexusdraw.model.entities import Exit
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

Tie = tuple[tuple[str, float], tuple[str, float]]
"""Two nodes, and how far down in each (0 to 1) the middle of the tie's strands is."""


@dataclass
class Layers:
    """Columns of nodes, those whose order is given, ties to the next column, and side branches with their nodes."""

    columns: list[list[str]]
    kept: set[str]
    ties: list[Tie] = field(default_factory=list)
    branches: dict[str, list[str]] = field(default_factory=dict)
    sides: dict[str, str | None] = field(default_factory=dict)
    behind: set[str] = field(default_factory=set)

    def crossings(self) -> int:
        """Pairs of ties between the same columns that change their order, and what side branches cross."""
        place = {id: i for column in self.columns for i, id in enumerate(column)}
        level = {id: c for c, column in enumerate(self.columns) for id in column}
        found = 0
        ends = [(level[a], place[a] + i, place[b] + j) for (a, i), (b, j) in self.ties]
        for n, (c, start, end) in enumerate(ends):
            found += sum(1 for d, s, e in ends[n + 1 :] if c == d and (start - s) * (end - e) < 0)
        return found + self.crossed(place, level)

    def crossed(self, place: dict[str, int], level: dict[str, int]) -> int:
        """Bundles that side branches cross, each at the border where it crosses fewer."""
        return sum(self._crossed(id, place, level) for id in self.branches)

    def _crossed(self, id: str, place: dict[str, int], level: dict[str, int]) -> int:
        nodes = self.branches[id]
        out = id in self.behind or len({level[n] for n in nodes}) > 1
        options = []
        for side in ("cranial", "caudal") if self.sides[id] is None else (self.sides[id],):
            crossed = 0
            for column in {level[n] for n in nodes}:
                size = len(self.columns[column])
                depth = sorted(
                    place[n] if side == "cranial" else size - 1 - place[n] for n in nodes if level[n] == column
                )
                end = -1 if out else depth[0] - 1
                crossed += sum(d - end - 1 for d in depth)
            options.append(crossed)
        return min(options)


def layers(plexus: Plexus) -> Layers:
    """The graph of a model, columns in the order of the file."""
    fibres = Fibres(plexus)
    stage = {s.id: i for i, s in enumerate(plexus.stages)}
    drawn = {
        s.id: s.whole or s.id
        for s in plexus.segments.values()
        if s.stage is not None and s.drawn and fibres.carried[s.id]
    }
    column = {node: stage[str(plexus.segments[id].stage)] for id, node in drawn.items()}
    made = Layers([[] for _ in plexus.stages], set())
    for node in dict.fromkeys(drawn.values()):
        made.columns[column[node]].append(node)
        if plexus.stages[column[node]].order == "given":
            made.kept.add(node)
    for id, goal in drawn.items():
        _tied(plexus, fibres, made, (id, goal), drawn, column)
    for id in drawn:
        _branched(plexus, made, id, drawn, column)
    _spread(made)
    return made


def _spread(made: Layers) -> None:
    """Put what only passes a column where its parents stand, to begin with."""
    share = {id: i / len(made.columns[0]) for i, id in enumerate(made.columns[0])}
    for column in made.columns[1:]:
        high = 0.0
        for id in column:
            parents = [share[a] for (a, _), (b, _) in made.ties if b == id]
            share[id] = sum(parents) / len(parents) if parents else high
            if id in made.kept:
                share[id] = high = max(share[id], high)
        column.sort(key=share.__getitem__)


def _tied(
    plexus: Plexus, fibres: Fibres, made: Layers, end: tuple[str, str], drawn: dict[str, str], column: dict[str, int]
) -> None:
    """Ties to one segment, through a node in each column between; where it skips columns, its fibres join first."""
    id, goal = end

    def strands(node: str) -> list[tuple[str, str]]:
        return [(s, root) for s, home in drawn.items() if home == node for root in fibres.carried[s]]

    origins = [
        (p, link)
        for parent in plexus.segments[id].parents
        for p, link in ([(parent, "")] if parent in drawn else [(x, parent) for x in plexus.segments[parent].parents])
        if p in drawn and fibres.between(link or p, id)
    ]
    first = max((column[drawn[p]] for p, _ in origins), default=0) + 1
    joins = first < column[goal] and not any(link for _, link in origins)
    stop = first if joins else column[goal]
    own = [(id, root) for root in fibres.carried[id]]
    run = [(f"{id}/{c}", own) for c in range(stop, column[goal])] + [(goal, strands(goal))]
    for p, link in origins:
        start, roots = column[drawn[p]], fibres.between(link or p, id)
        passed = [(f"{p}/{link}/{id}/{c}", [(id, root) for root in roots]) for c in range(start + 1, stop)]
        steps = [(drawn[p], strands(drawn[p])), *passed, run[0]]
        _chained(made, steps, start, [(p, root) for root in roots], [(id, root) for root in roots])
    if joins:
        _chained(made, run, stop, own, own)


Strands = list[tuple[str, str]]


def _chained(made: Layers, steps: list[tuple[str, Strands]], column: int, first: Strands, rest: Strands) -> None:
    """Ties from node to node, each node with its strands; those that go on are called *first* in the first node."""
    for c, (node, _) in enumerate(steps, start=column):
        if node not in made.columns[c]:
            made.columns[c].append(node)
    for (a, before), (b, after) in pairwise(steps):
        made.ties.append(((a, _middle(before, first)), (b, _middle(after, rest))))
        first = rest


def _middle(strands: Strands, some: Strands) -> float:
    return round(sum(strands.index(s) + 0.5 for s in some) / len(some) / len(strands), 9)


def _branched(plexus: Plexus, made: Layers, id: str, drawn: dict[str, str], column: dict[str, int]) -> None:
    """The side branches of one segment."""
    last = column[drawn[id]] == len(plexus.stages) - 1
    for item in plexus.segments[id].course:
        child = plexus.segments.get(item.to) if isinstance(item, Exit) else None
        if child is None or child.stage is not None or not child.drawn or (last and not child.offshoot):
            continue
        if any(child.id in s.parents and s.stage is not None for s in plexus.segments.values()):
            continue
        made.branches.setdefault(child.id, []).append(drawn[id])
        made.sides[child.id] = child.side
        if child.passes_behind:
            made.behind.add(child.id)


def fewest(made: Layers, seed: int, steps: int = 30_000, hot: float = 2.5, cold: float = 0.08) -> int:
    """Fewest crossings found; the columns are left as the search ended."""
    dice = Random(seed)
    place = {id: i for column in made.columns for i, id in enumerate(column)}
    level = {id: c for c, column in enumerate(made.columns) for id in column}
    before: dict[str, list[tuple[str, float]]] = {}
    after: dict[str, list[tuple[str, float]]] = {}
    for parent, child in made.ties:
        before.setdefault(child[0], []).append(parent)
        after.setdefault(parent[0], []).append(child)
    sources = {level[node] for nodes in made.branches.values() for node in nodes}
    movable = [c for c, ids in enumerate(made.columns) if len(ids) > 1 and not made.kept.issuperset(ids)]
    now = least = made.crossings()
    branching = made.crossed(place, level)
    for step in range(steps if movable else 0):
        c = dice.choice(movable)
        column = made.columns[c]
        at = dice.randrange(len(column) - 1)
        a, b = column[at], column[at + 1]
        if a in made.kept and b in made.kept:
            continue
        change = sum(
            ((place[y] + j) > (place[x] + i)) - ((place[y] + j) < (place[x] + i))
            for side in (before, after)
            for x, i in side.get(a, ())
            for y, j in side.get(b, ())
        )
        place[a], place[b] = at + 1, at
        branches = made.crossed(place, level) if c in sources else branching
        change += branches - branching
        if change <= 0 or dice.random() < exp(-change / (hot * (cold / hot) ** (step / steps))):
            column[at], column[at + 1] = b, a
            now, branching = now + change, branches
            least = min(least, now)
        else:
            place[a], place[b] = at, at + 1
    assert now == made.crossings()
    return least
