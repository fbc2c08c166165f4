"""The page's results against Python's: every single site, 300 random pairs, all published examples."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from randoms import brachial
from ruamel.yaml import YAML

from plexusdraw.clinic import report
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import localise
from plexusdraw.names import sites
from plexusdraw.names.cited import plain

PLEXUS = brachial()
SITES = sites.all_sites(PLEXUS)
KINDS = {"weak": "weak", "normal": "spared", "skin_lost": "numb", "skin_normal": "feels", "signs": "sign"}
EXAMPLES = YAML(typ="safe").load(Path(__file__).parents[1] / "published" / "inverse.yaml")["questions"]

INJURE = """
const page = await plexusdraw;
return JSON.stringify(arguments[0].map(([ids, partial]) => page.injure(ids, partial)));
"""
LOCALISE = "return (await plexusdraw).localise(arguments[0], arguments[1])"


def near(value):
    """The same value, numbers to 0.001, as the two languages round ties differently; notes as the page shows them."""
    if isinstance(value, dict):
        return {key: plain(PLEXUS, v) if key == "note" else near(v) for key, v in value.items()}
    if isinstance(value, list):
        return [near(v) for v in value]
    return pytest.approx(value, abs=0.0011) if isinstance(value, float) else value


def same_injuries(page, cases):
    import json

    asked = [([site.id for site in cuts], partial) for cuts, partial in cases]
    for (cuts, partial), found in zip(cases, json.loads(page.run(INJURE, asked)), strict=True):
        assert found == near(report.injury(Injury(PLEXUS, cuts, partial))), [site.id for site in cuts]


@pytest.mark.parametrize("partial", [False, True])
def test_every_single_site(one_page, partial):
    assert len(SITES) > 100
    same_injuries(one_page, [((site,), partial) for site in SITES])


def test_300_random_pairs(one_page):
    dice = random.Random(8)
    same_injuries(one_page, [(tuple(dice.sample(SITES, 2)), dice.random() < 0.3) for _ in range(300)])


def findings_of(case):
    found = [finding(PLEXUS, kind, text) for key, kind in KINDS.items() for text in case.get(key, ())]
    return [*found, finding(PLEXUS, "no-sign", "Horner syndrome")] if case.get("horner") is False else found


def same_places(page, findings, top=20):
    told = [{"kind": f.kind, "about": f.about, "name": f.name, "movement": f.movement} for f in findings]
    assert page.run(LOCALISE, told, top) == near(report.localise(localise(PLEXUS, findings, top)))


@pytest.mark.parametrize("case", EXAMPLES, ids=lambda case: case["id"])
def test_published_examples_of_finding_the_site(one_page, case):
    same_places(one_page, findings_of(case))


def test_findings_that_need_two_places(one_page):
    texts = [
        ("weak", "deltoid"),
        ("numb", "badge area"),
        ("weak", "first dorsal interosseous"),
        ("weak", "FCU"),
        ("spared", "triceps"),
        ("spared", "biceps"),
    ]
    findings = [finding(PLEXUS, kind, text) for kind, text in texts]
    assert len(localise(PLEXUS, findings).answers[0].cuts) == 2
    same_places(one_page, findings)


@pytest.mark.parametrize("seed", range(12))
def test_what_two_random_injuries_show(one_page, seed):
    """Muscles and skin after two cuts, some of them, so that pairs and runs are looked through."""
    dice = random.Random(seed)
    after = Injury(PLEXUS, dice.sample(SITES, 2))
    outcomes = [*after.muscles.values(), *after.skin.values()]
    worse = [o for o in outcomes if o.loss > 1]
    some = [*dice.sample(worse, min(7, len(worse))), *dice.sample([o for o in outcomes if not o.loss], 5)]
    kinds = {"muscle": ("spared", "weak"), "skin": ("feels", "numb")}
    same_places(one_page, [finding(PLEXUS, kinds[o.kind][o.loss > 1], o.name) for o in some])


@pytest.mark.parametrize(
    "told",
    [
        [("sign", "flail arm")],
        [("weak", "trapezius"), ("weak", "deltoid")],
        [("weak", "cervical paraspinals"), ("weak", "triceps"), ("spared", "deltoid")],
        [("sign", "Horner"), ("weak", "deltoid"), ("weak", "biceps"), ("spared", "APB")],
    ],
)
def test_signs_and_what_is_outside(one_page, told):
    same_places(one_page, [finding(PLEXUS, kind, text) for kind, text in told])


def test_movements_reflexes_and_grades(one_page):
    texts = [
        ("weak", "elbow extension"),
        ("slight", "biceps"),
        ("reflex-lost", "triceps reflex"),
        ("moderate", "triceps"),
    ]
    same_places(one_page, [finding(PLEXUS, kind, text) for kind, text in texts])


def test_only_normal_findings_explain_nothing(one_page):
    same_places(one_page, [finding(PLEXUS, "spared", "deltoid")])
