"""Variants of the built-in models against what is published of them, in tests/published/variants.yaml."""

from __future__ import annotations

from collections import Counter

import pytest
from scripts import script

from plexusdraw.clinic.compare import drawn_otherwise
from plexusdraw.clinic.injury import injure
from plexusdraw.layout.columns.plan import plan
from plexusdraw.layout.fit import Options, layout
from plexusdraw.model import load
from plexusdraw.names import scenarios
from plexusdraw.routes import fibres
from plexusdraw.scene import Label
from plexusdraw.yamlfile.document import Faults

PLAIN = load()
CASES = script("agreement").document("variants")["variants"]
MODELS = ("brachial", "lumbosacral", "cervical")
CONVENTIONS = [v.id for v in PLAIN.variants.values() if v.kind == "convention"]


def test_every_variant_of_bodies_has_a_case():
    bodies = {(model, v.id) for model in MODELS for v in load(model).variants.values() if v.kind != "convention"}
    assert {(case.get("model", "brachial"), case["variant"]) for case in CASES} == bodies


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["variant"])
def test_what_a_variant_changes(case):
    model = case.get("model", "brachial")
    plain, varied = load(model), load(model, [case["variant"]])
    for row in case["injuries"]:
        states = injure(varied, row["cut"])
        assert {id: states.outcome(id).state for id in row["after"]} == row["after"], (case["says"], row["cut"])
        if "plain" in row:
            states = injure(plain, row["cut"])
            assert {id: states.outcome(id).state for id in row["plain"]} == row["plain"], row["cut"]


@pytest.mark.parametrize("case", [case for case in CASES if "figure" in case], ids=lambda case: case["variant"])
def test_how_often_a_variant_is_found(case):
    first = load(case.get("model", "brachial")).variants[case["variant"]].prevalence[0]
    assert first.value.startswith(case["figure"])
    assert case["of"] in first.sources


@pytest.mark.parametrize("name", CONVENTIONS)
def test_a_convention_changes_no_result(name):
    varied = load("brachial", [name])
    assert drawn_otherwise(varied) == ()
    for site in ("radial nerve", "axillary nerve", "posterior cord", "thoracodorsal nerve", "C7"):
        ours, theirs = injure(PLAIN, [site]), injure(varied, [site])
        assert {id: o.state for id, o in ours.muscles.items()} == {id: o.state for id, o in theirs.muscles.items()}


@pytest.mark.parametrize("name", PLAIN.variants)
def test_named_injuries_are_understood_with_every_variant(name):
    faults = Faults("brachial.yaml")
    scenarios.check(load("brachial", [name]), faults)
    assert faults.found == []


@pytest.mark.parametrize("name", load("lumbosacral").variants)
def test_the_lumbosacral_plexus_is_drawn_with_every_variant(name):
    varied = load("lumbosacral", [name])
    (scene,) = layout(varied.drawn, fibres.of(varied.drawn), Options())
    named = {part.entity for part in scene.parts if isinstance(part, Label) and part.role == "name"}
    added = set(varied.segments) - set(load("lumbosacral").segments)
    assert {"femoral-nerve", "lateral-femoral-cutaneous-nerve", *added} <= named


def test_side_branches_by_column_with_the_axillary_nerve_off_the_radial():
    """2, 2, 0, 7 and 1: common practice, no source."""
    drawn = load("brachial", ["axillary-from-radial"]).drawn
    counts = Counter(branch.column for branch in plan(drawn, fibres.of(drawn), "nerves").branches)
    assert [counts[column] for column in range(len(drawn.stages))] == [2, 2, 0, 7, 1]


@pytest.mark.parametrize("name", ["prefixed", "postfixed"])
def test_roots_keep_their_colours(name):
    """A root's colour is its place in the palette; what joins comes last."""
    joined = load("brachial", [name])
    assert joined.palette[: len(PLAIN.roots)] == PLAIN.palette == PLAIN.roots
    assert len(joined.palette) == len(joined.roots) == 6
