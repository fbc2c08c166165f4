"""Who stands over whom: the fewest crossings of ties that the anatomical order allows.

A stage whose order is given keeps it; free stages and dummy slots may move. Exact where the choice is small, found
by DP over the orders of consecutive columns; else sweeps of medians and swaps of neighbours from the listed order
(Sugiyama, Tagawa and Toda 1981; Gansner et al. 1993), which is a heuristic.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import combinations, pairwise, permutations
from math import factorial, inf
from typing import TYPE_CHECKING

from plexusdraw.layout.columns.blocks import APART, DRAWN, PORTS, Blocks, saved
from plexusdraw.layout.columns.plan import Plan, branches_cross

if TYPE_CHECKING:
    from random import Random

EXACT_ORDERS = 800
"""Most orders of one column tried in full (6! = 720)."""
EXACT_PAIRS = 20_000
"""Most pairs of orders of two neighbouring columns tried in full."""
ROUNDS = 12
SHAKES = 16
"""Times that the search starts anew from its best order; for large models fewer, so that they stay quick."""
SHAKEN_SLOTS = 3000
SHAKEN_BY = 5.0
"""Most places by which a slot is moved then."""

Link = tuple[str, str, int, int]
"""Parent and child of a tie, and how far down in each it leaves and arrives: its ports."""
Pairs = Sequence[Link]


def arrange(plan: Plan) -> None:
    """Reorder the columns of *plan* in place."""
    fixed = [_fixed(plan, c) for c in range(len(plan.columns))]
    between = links(plan)
    if all(len(f) == len(c) for f, c in zip(fixed, plan.columns, strict=True)):
        return
    choices = [_choices(column, keep) for column, keep in zip(plan.columns, fixed, strict=True)]
    small = all(c is not None for c in choices) and all(
        len(a or ()) * len(b or ()) <= EXACT_PAIRS for a, b in pairwise(choices)
    )
    if small:
        plan.columns = _exact([c or [] for c in choices], between)
    else:
        beside = partial(branches_cross, plan)
        plan.columns = _searched(plan.columns, fixed, between, beside)
        Blocks(plan.columns, fixed, between, _rank(plan), beside).tidy()


def links(plan: Plan) -> list[list[Link]]:
    """The ties from each column to the next, with their ports: what leaves or arrives further down has a higher one."""
    leaving: dict[str, dict[int, float]] = {}
    reaching: dict[str, dict[int, float]] = {}
    offsets = {id: slot.offsets(1.0) for id, slot in plan.slots.items()}
    for i, tie in enumerate(plan.ties):
        out, into = offsets[tie.parent], offsets[tie.child]
        leaving.setdefault(tie.parent, {})[i] = -sum(out[tie.leaves(r)] for r in tie.roots) / len(tie.roots)
        reaching.setdefault(tie.child, {})[i] = -sum(into[tie.arrives(r)] for r in tie.roots) / len(tie.roots)
    found: list[list[Link]] = [[] for _ in plan.columns[1:]]
    ports = [{id: _ranks(places) for id, places in side.items()} for side in (leaving, reaching)]
    for i, tie in enumerate(plan.ties):
        link = (tie.parent, tie.child, ports[0][tie.parent][i], ports[1][tie.child][i])
        found[plan.slots[tie.parent].column].append(link)
    return found


def _ranks(places: dict[int, float]) -> dict[int, int]:
    """Each key with the rank of its value; values that are alike share one."""
    distinct = sorted({round(value, 6) for value in places.values()})
    return {key: min(distinct.index(round(value, 6)), PORTS - 1) for key, value in places.items()}


def _rank(plan: Plan) -> dict[str, int]:
    """Place in the file of each slot, and of each dummy that belongs to one segment that of the segment."""
    listed = {id: i for i, id in enumerate(plan.plexus.segments)}
    listed |= {whole.id: listed[whole.parts[0]] for whole in plan.plexus.wholes.values()}
    owners = {id: {segment for segment, _ in slot.lanes} for id, slot in plan.slots.items() if slot.dummy}
    rank = {id: listed[id] for id in plan.slots if id in listed}
    return rank | {id: listed[next(iter(own))] for id, own in owners.items() if len(own) == 1}


def crossings(upper: Sequence[str], lower: Sequence[str], ties: Pairs, *, fans: bool = True) -> int:
    """Crossings of *ties* between two neighbouring columns: pairs that change their order.

    *fans*: also those that begin or end in one slot. Counted with a Fenwick tree in O(n log n), so that large models
    stay quick.
    """
    a = {id: i * PORTS for i, id in enumerate(upper)}
    b = {id: i * PORTS for i, id in enumerate(lower)}
    ends = sorted((a[p] + i * fans, b[c] + j * fans) for p, c, i, j in ties)
    if len(ends) < 24:
        return sum(1 for i, (x, y) in enumerate(ends) for (u, v) in ends[i + 1 :] if (x - u) * (y - v) < 0)
    return _inversions(ends, len(lower) * PORTS)


def _cost(upper: Sequence[str], lower: Sequence[str], ties: Pairs) -> int:
    """What the crossings between two columns cost."""
    return DRAWN * crossings(upper, lower, ties) + APART * crossings(upper, lower, ties, fans=False)


def total_crossings(plan: Plan) -> int:
    """Crossings of ties in the whole plan, side branches apart."""
    return sum(crossings(*pair, ties) for pair, ties in zip(pairwise(plan.columns), links(plan), strict=True))


def _inversions(ends: list[tuple[int, int]], size: int) -> int:
    tree = [0] * (size + 1)
    total = 0
    for seen, (_, y) in enumerate(ends):
        i, under = y + 1, 0
        while i > 0:
            under += tree[i]
            i -= i & -i
        total += seen - under
        i = y + 1
        while i <= size:
            tree[i] += 1
            i += i & -i
    return total


def _fixed(plan: Plan, column: int) -> list[str]:
    given = plan.plexus.stages[column].order == "given"
    return [id for id in plan.columns[column] if given and not plan.slots[id].dummy]


def _choices(column: list[str], keep: list[str]) -> list[tuple[str, ...]] | None:
    """Every order of a column that leaves *keep* in order, the listed one first; None where there are too many."""
    if len(keep) == len(column):
        return [tuple(column)]
    if factorial(len(column)) // factorial(len(keep)) > EXACT_ORDERS:
        return None
    free = [id for id in column if id not in set(keep)]
    orders = {tuple(o) for p in permutations(free) for o in _merged(list(p), keep)}
    rank = {id: i for i, id in enumerate(column)}
    return sorted(orders, key=lambda o: [rank[id] for id in o])


def _merged(free: list[str], keep: list[str]) -> Iterator[list[str]]:
    """Every way to put *free*, in their order, between *keep*, in theirs."""
    for places in combinations(range(len(free) + len(keep)), len(free)):
        first, second = iter(free), iter(keep)
        taken = set(places)
        yield [next(first) if i in taken else next(second) for i in range(len(free) + len(keep))]


def _exact(choices: list[list[tuple[str, ...]]], between: Sequence[Pairs]) -> list[list[str]]:
    """The least total over all combinations; at a tie, the orders nearest the listed ones."""
    best: list[tuple[float, int]] = [(0, 0)] * len(choices[0])
    back: list[list[int]] = []
    for column in range(1, len(choices)):
        came: list[int] = []
        costs: list[tuple[float, int]] = []
        nearest = sorted(range(len(best)), key=lambda i: (best[i], i))
        for rank, lower in enumerate(choices[column]):
            cost: tuple[float, int] = (inf, 0)
            origin = 0
            for i in nearest:
                before, ranks = best[i]
                if before > cost[0]:  # and so are the rest, whatever they cross
                    break
                now = (before + _cost(choices[column - 1][i], lower, between[column - 1]), ranks + rank)
                cost, origin = min((cost, origin), (now, i))
            costs.append(cost)
            came.append(origin)
        best = costs
        back.append(came)
    index = min(range(len(best)), key=lambda i: (best[i], i))
    orders = [index]
    for came in reversed(back):
        index = came[index]
        orders.append(index)
    return [list(c[i]) for c, i in zip(choices, reversed(orders), strict=True)]


def _searched(
    columns: list[list[str]],
    fixed: list[list[str]],
    between: Sequence[Pairs],
    beside: Callable[[list[list[str]]], int],
) -> list[list[str]]:
    """The best of sweeps from the listed order, and then from the best so far with everything shaken a little.

    *beside*: crossings of what is no tie, which count as well.
    """
    from random import Random  # noqa: PLC0415

    dice = Random(0)
    best: list[list[str]] = columns
    least: int | None = None
    for shaken in range(1 + min(SHAKES, SHAKEN_SLOTS // sum(map(len, columns)))):
        start = [_shaken(c, keep, dice) for c, keep in zip(best, fixed, strict=True)] if shaken else best
        found = _swept(start, fixed, between)
        Blocks(found, fixed, between).settle()
        now = _sum(found, between) + (DRAWN + APART) * beside(found)
        if least is None or now <= least:
            best, least = found, now
        if least == 0:
            break
    return best


def _shaken(column: list[str], keep: list[str], dice: Random) -> list[str]:
    """A column whose slots have moved a few places at random; the fixed ones keep their order."""
    place = {id: i + dice.uniform(-SHAKEN_BY, SHAKEN_BY) for i, id in enumerate(column)}
    place |= dict(zip(keep, sorted(place[id] for id in keep), strict=True))
    return sorted(column, key=place.__getitem__)


def _swept(columns: list[list[str]], fixed: list[list[str]], between: Sequence[Pairs]) -> list[list[str]]:
    best = [list(c) for c in columns]
    least = _sum(best, between)
    work = [list(c) for c in columns]
    for turn in range(ROUNDS):
        forward = turn % 2 == 0
        for c in range(len(work)) if forward else reversed(range(len(work))):
            _by_mean(work, c, fixed[c], between, forward)
            _swap(work, c, set(fixed[c]), between)
        now = _sum(work, between)
        if now < least:
            best, least = [list(c) for c in work], now
        elif turn > 3:
            break
    return best


def _sum(columns: list[list[str]], between: Sequence[Pairs]) -> int:
    return sum(_cost(*pair, ties) for pair, ties in zip(pairwise(columns), between, strict=True))


def _by_mean(work: list[list[str]], c: int, keep: list[str], between: Sequence[Pairs], forward: bool) -> None:
    """Sort the movable slots of a column by the mean place of their neighbours; the fixed ones keep their order."""
    other = c - 1 if forward else c + 1
    if not 0 <= other < len(work) or len(keep) == len(work[c]):
        return
    place = {id: i for i, id in enumerate(work[other])}
    near: dict[str, list[int]] = {id: [] for id in work[c]}
    for parent, child, *_ in between[min(c, other)]:
        mine, theirs = (child, parent) if forward else (parent, child)
        near[mine].append(place[theirs])
    mean = {id: sum(p) / len(p) if p else i * len(place) / len(work[c]) for i, (id, p) in enumerate(near.items())}
    floor = -1.0
    for id in keep:  # a fixed slot never sorts before the fixed one above it
        floor = mean[id] = max(mean[id], floor)
    rank = {id: i for i, id in enumerate(work[c])}
    work[c] = sorted(work[c], key=lambda id: (mean[id], rank[id]))


def _swap(work: list[list[str]], c: int, keep: set[str], between: Sequence[Pairs]) -> None:
    """Exchange neighbours while that saves crossings."""
    near = _neighbours(work, c, between)
    column = work[c]
    for _ in range(len(column)):
        changed = False
        for i in range(len(column) - 1):
            a, b = column[i], column[i + 1]
            if not (a in keep and b in keep) and _gain(near[a], near[b]) > 0:
                column[i], column[i + 1] = b, a
                changed = True
        if not changed:
            break


def _neighbours(work: list[list[str]], c: int, between: Sequence[Pairs]) -> dict[str, tuple[list[int], list[int]]]:
    near: dict[str, tuple[list[int], list[int]]] = {id: ([], []) for id in work[c]}
    if c > 0:
        place = {id: i * PORTS for i, id in enumerate(work[c - 1])}
        for parent, child, port, _ in between[c - 1]:
            near[child][0].append(place[parent] + port)
    if c + 1 < len(work):
        place = {id: i * PORTS for i, id in enumerate(work[c + 1])}
        for parent, child, _, port in between[c]:
            near[parent][1].append(place[child] + port)
    return near


def _gain(a: tuple[list[int], list[int]], b: tuple[list[int], list[int]]) -> int:
    """What is saved when *a*, standing over *b*, goes under it."""
    return sum(saved(x, y) for mine, theirs in zip(a, b, strict=True) for x in mine for y in theirs)
