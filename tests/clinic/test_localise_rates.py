"""How often the place comes first: the findings of published injuries, alone, with a stray one, and of two at once.

The findings are those of ``tests/published/vignettes.yaml``, source beside each. A stray finding is a muscle told weak
that the injury spares. ``python tests/benchmarks/localise.py`` prints the rates.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator

import pytest
from scripts import script

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import NORMAL, Finding, finding
from plexusdraw.clinic.localise import localise, places

agreement = script("agreement")
PLEXUS, RULE = agreement.PLEXUS, agreement.RULE
PARTS = {"paralysed": "weak", "weak": "weak", "spared": "spared", "skin_lost": "numb", "skin_spared": "feels"}
VIGNETTES = agreement.document("vignettes")["vignettes"]


def told(case) -> list[Finding]:
    """The findings of a vignette that do not contradict each other."""
    found = [finding(PLEXUS, kind, text) for part, kind in PARTS.items() for text in case.get(part, ())]
    found += [finding(PLEXUS, "sign", text) for text in case.get("signs", ())]
    found = [*found, *agreement.findings({k: case[k] for k in ("reflexes", "horner") if k in case})]
    return without_conflict(list(dict.fromkeys(found)))


def without_conflict(found: list[Finding]) -> list[Finding]:
    changed = {m for f in found if f.kind not in NORMAL for m in f.members(RULE)}
    return [f for f in found if f.kind not in NORMAL or not f.members(RULE) & changed]


def rank(found: list[Finding], cuts: list[str]) -> int:
    """Place of the right answer among the first twenty, counted from 1; 99 if it is not there."""
    right = agreement.seen(cuts)
    for i, answer in enumerate(localise(PLEXUS, found, 20).answers, 1):
        if answer.seen == right:
            return i
    return 99


def cases() -> Iterator[tuple[list[Finding], list[str]]]:
    """Vignettes with a source, from whose findings a place can be told."""
    for case in VIGNETTES:
        found = told(case)
        if case.get("sources") and sum(f.kind not in NORMAL for f in found) > 1:
            yield found, case["cut"]


def with_stray(found: list[Finding], cuts: list[str], seed: int) -> list[Finding]:
    """One more muscle told weak, of those that the bedside can test and the injury spares."""
    broken = agreement.broken(cuts)
    about = {m for f in found for m in f.members(RULE)}
    spared = [m for m in PLEXUS.muscles.values() if m.testable and RULE.loss(m.id, broken) is Loss.NONE]
    free = [m for m in spared if m.id not in about]
    if not free:
        return found
    stray = random.Random(seed).choice(free)
    return [*found, Finding("weak", stray.id, stray.name)]


def stray(seeds: Iterable[int]) -> Iterator[tuple[list[Finding], list[str]]]:
    for seed in seeds:
        for found, cuts in cases():
            if sum(f.kind not in NORMAL for f in found) > 3:
                yield with_stray(found, cuts, seed), cuts


def two() -> Iterator[tuple[list[Finding], list[str]]]:
    """Pairs of vignettes of one cut each, each with two findings and more that the other injury does not explain."""
    singles = [(found, cuts) for found, cuts in cases() if len(cuts) == 1]
    dice = random.Random(1)
    for _ in range(60):
        (a, cut_a), (b, cut_b) = dice.sample(singles, 2)
        both = agreement.broken([*cut_a, *cut_b])
        own = (
            sum(f.kind not in NORMAL and f.against(RULE, agreement.broken(cut)) for f in found)
            for found, cut in ((a, cut_b), (b, cut_a))
        )
        if min(own) > 1:
            found = list(dict.fromkeys(f for f in (*a, *b) if f.kind not in NORMAL or not f.against(RULE, both)))
            yield without_conflict(found), [*cut_a, *cut_b]


def rates(some: Iterator[tuple[list[Finding], list[str]]]) -> tuple[float, float, int]:
    """Share of first places, of first three, and the number of cases."""
    ranks = [rank(found, cuts) for found, cuts in some]
    return sum(r == 1 for r in ranks) / len(ranks), sum(r <= 3 for r in ranks) / len(ranks), len(ranks)


SETS = {
    "published injuries": cases,
    "with a stray finding": lambda: stray(range(1)),
    "with other stray findings": lambda: stray(range(1, 3)),
    "two at once": two,
}


@pytest.mark.parametrize(
    ("name", "first", "three"),
    [
        ("published injuries", 0.95, 1.0),
        ("with a stray finding", 0.9, 0.95),
        pytest.param("with other stray findings", 0.9, 0.95, marks=pytest.mark.nightly),
        pytest.param("two at once", 0.8, 0.95, marks=pytest.mark.nightly),
    ],
)
def test_the_place_comes_first(name, first, three):
    found = rates(SETS[name]())
    assert found[0] >= first, found
    assert found[1] >= three, found
    assert found[2] > 20


@pytest.mark.nightly
def test_all_together():
    """Two at once are the hardest: what tells the lower trunk from the medial cord is often not among the findings."""
    found = [rates(some()) for some in SETS.values()]
    number = sum(n for *_, n in found)
    assert sum(first * n for first, _, n in found) / number >= 0.9
    assert sum(three * n for _, three, n in found) / number >= 0.95


def test_places_told_apart_are_looked_up_by_what_the_bedside_shows():
    assert rank([finding(PLEXUS, "weak", "serratus anterior"), finding(PLEXUS, "sign", "winged scapula")], ["C5"]) > 1
    assert {place.seen for place in places(PLEXUS).all} > {agreement.seen(["C7"])}
