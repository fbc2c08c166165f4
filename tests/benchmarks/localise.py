"""How fast a place is found, beside a plain graph search: ``python tests/benchmarks/localise.py``.

Both look through the same single sites and pairs for the same findings, in this process, one after the other. The bit
sets are ``clinic.localise``. The plain search is networkx reachability, one site at a time: it takes the cut edges
out of the graph of each root's fibres and asks what that root still reaches. It times some of the pairs and scales up.
The last row is the work done once after loading. Aim: all singles and pairs in under 0.05 s.

The second table is random staged models, with the exponent of the growth with the number of sites. The last one is how
often the published place comes first, and among the first three (``tests/clinic/test_localise_rates.py``).
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections.abc import Iterable, Sequence
from itertools import combinations
from math import log
from pathlib import Path
from statistics import fmean, median
from time import perf_counter

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "support"), str(TESTS / "clinic"), str(TESTS.parent)]

import networkx as nx
from randoms import random_plexus

from plexusdraw.clinic.deficits import Loss, States
from plexusdraw.clinic.findings import Finding
from plexusdraw.clinic.localise import localise, places
from plexusdraw.clinic.places import Places
from plexusdraw.model import Plexus, load
from plexusdraw.names import sites
from plexusdraw.names.sites import Site
from plexusdraw.routes import fibres

EXAMINATIONS = 15
PAIRS_TIMED = 100
SIZES = ((5, 4, 3), (6, 5, 6), (8, 5, 12), (10, 6, 20), (12, 7, 30))
"""Roots, stages and widest stage of the random models."""

Lost = frozenset[tuple[str, str]]
"""Root and target that are no longer joined."""


class Plain:
    """The search that anyone would write first."""

    def __init__(self, plexus: Plexus) -> None:
        self.graphs: dict[str, nx.DiGraph[str]] = {root: nx.DiGraph() for root in plexus.roots}
        self.targets: dict[str, set[str]] = {root: set() for root in plexus.roots}
        for route in fibres.of(plexus).routes:
            steps = (*route.path, route.target)
            for step, after, at in zip(steps, steps[1:], route.exits, strict=False):
                self.graphs[route.root].add_edge(step, after, at=at)
            self.targets[route.root].add(route.target)

    def lost(self, cuts: Iterable[Site]) -> Lost:
        """What the cuts part from its root."""
        found: set[tuple[str, str]] = set()
        for root, graph in self.graphs.items():
            gone = [
                (cut.segment, child)
                for cut in cuts
                if cut.segment in graph
                for child, edge in graph[cut.segment].items()
                if edge["at"] >= cut.at
            ]
            reached = nx.descendants(nx.restricted_view(graph, [], gone), root)
            found.update((root, target) for target in self.targets[root] - reached)
        return frozenset(found)


def by_bits(rule: States, cuts: Iterable[Site]) -> Lost:
    """The same by the bit sets."""
    broken = rule.broken([(cut.segment, cut.at) for cut in cuts])
    pairs = {(route.root, route.target) for route in rule.routes}
    left = {(route.root, route.target) for route, bit in rule.bit.items() if not bit & broken}
    return frozenset(pairs - left)


def examination(plexus: Plexus, dice: random.Random) -> list[Finding]:
    """Part of what two random places do, so that pairs must be looked through."""
    known = places(plexus)
    chosen = dice.sample(known.all, 2)
    losses = known.losses(chosen[0].broken | chosen[1].broken)
    weak = [id for id, loss in zip(known.ids, losses, strict=True) if loss is Loss.WHOLE and id in plexus.muscles]
    whole = [id for id, loss in zip(known.ids, losses, strict=True) if loss is Loss.NONE and id in plexus.muscles]
    found = [Finding("paralysed", id, id) for id in dice.sample(weak, min(6, len(weak)))]
    return [*found, *(Finding("spared", id, id) for id in dice.sample(whole, min(4, len(whole))))]


def searched(plexus: Plexus) -> list[float]:
    """Seconds of searches through all single sites and pairs, an examination each, the shortest first."""
    dice, times = random.Random(1), list[float]()
    while len(times) < EXAMINATIONS:
        findings = examination(plexus, dice)
        start = perf_counter()
        answers = localise(plexus, findings).answers
        if answers and len(answers[0].cuts) > 1:  # otherwise no pair was looked at
            times.append(perf_counter() - start)
    return sorted(times)


def plainly(plain: Plain, cuts: Sequence[tuple[Site, ...]]) -> float:
    """Seconds of the plain search for these cuts."""
    start = perf_counter()
    for some in cuts:
        plain.lost(some)
    return perf_counter() - start


def made_ready(plexus: Plexus) -> float:
    """Seconds of the work done once for a loaded model: routes, sites and their consequences."""
    start = perf_counter()
    _ = Places(plexus).all
    return perf_counter() - start


def brachial() -> None:
    """The table of the built-in model."""
    plexus = load("brachial")
    ready = made_ready(plexus)
    plain, rule = Plain(plexus), places(plexus).rule
    singles = [(site,) for site in sites.all_sites(plexus)]
    assert all(plain.lost(cut) == by_bits(rule, cut) for cut in singles), "the two searches disagree"
    pairs = list(combinations([site for (site,) in singles], 2))
    times, theirs = searched(plexus), plainly(plain, singles)
    ours = median(times)
    some = random.Random(2).sample(pairs, PAIRS_TIMED)
    theirs_pairs = plainly(plain, some) * len(pairs) / len(some)
    print(f"brachial plexus: {len(singles)} sites, {len(pairs)} pairs\n")
    print("| search | seconds | ratio |\n|---|--:|--:|")
    print(f"| bit sets, singles and pairs | {ours:.4f} | 1 |")
    print(f"| the same, slowest of {EXAMINATIONS} examinations | {times[-1]:.4f} | {times[-1] / ours:.1f} |")
    print(f"| networkx, singles alone | {theirs:.2f} | {theirs / ours:.0f} |")
    print(f"| networkx, singles and pairs (scaled from {len(some)}) | {theirs + theirs_pairs:.1f} ", end="")
    print(f"| {(theirs + theirs_pairs) / ours:.0f} |\n| made ready once | {ready:.2f} | |\n")


def growth() -> None:
    """The table of random models."""
    rows = []
    print("| sites | bit sets, s | networkx, singles and pairs, s | ratio |\n|--:|--:|--:|--:|")
    for seed, (roots, stages, width) in enumerate(SIZES):
        with tempfile.TemporaryDirectory() as folder:
            plexus = random_plexus(Path(folder), seed, roots=roots, stages=stages, width=width)
        all_sites = sites.all_sites(plexus)
        pairs = list(combinations(all_sites, 2))
        some = random.Random(seed).sample(pairs, min(PAIRS_TIMED, len(pairs)))
        plain = Plain(plexus)
        theirs = plainly(plain, [(site,) for site in all_sites]) + plainly(plain, some) * len(pairs) / len(some)
        rows.append((len(all_sites), median(searched(plexus)), theirs))
        print(f"| {rows[-1][0]} | {rows[-1][1]:.4f} | {theirs:.1f} | {theirs / rows[-1][1]:.0f} |")
    first, second = (exponent([(row[0], row[i]) for row in rows]) for i in (1, 2))
    print(f"\ngrowth with the number of sites: bit sets n^{first:.1f}, networkx n^{second:.1f}")


def agreement() -> None:
    """The table of rates."""
    from test_localise_rates import SETS, rates

    print("\n| findings | cases | first | in the first three |\n|---|--:|--:|--:|")
    for name, cases in SETS.items():
        first, three, many = rates(cases())
        print(f"| {name} | {many} | {first:.0%} | {three:.0%} |")


def exponent(points: Sequence[tuple[int, float]]) -> float:
    """Slope of the straight line through the logarithms."""
    xs, ys = [log(x) for x, _ in points], [log(y) for _, y in points]
    x0, y0 = fmean(xs), fmean(ys)
    return sum((x - x0) * (y - y0) for x, y in zip(xs, ys, strict=True)) / sum((x - x0) ** 2 for x in xs)


if __name__ == "__main__":
    brachial()
    growth()
    agreement()
