"""Planes of strands, and parts that keep their fibres apart."""

from __future__ import annotations

import pytest
from randoms import small

import plexusdraw
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.model import load
from plexusdraw.names import sites
from plexusdraw.routes import planes
from plexusdraw.routes.reach import reach
from plexusdraw.scene import Label, Pill, Spot, Strand


@pytest.mark.parametrize(
    ("model", "segment", "root", "plane"),
    [
        ("lumbosacral", "S1", "S1", set()),
        ("lumbosacral", "femoral-nerve", "L3", {"posterior"}),
        ("lumbosacral", "obturator-nerve", "L3", {"anterior"}),
        ("lumbosacral", "sciatic-nerve", "S1", {"anterior", "posterior"}),
        ("lumbosacral", "tibial-nerve", "S1", {"anterior"}),
        ("lumbosacral", "common-fibular-nerve", "S1", {"posterior"}),
        ("lumbosacral", "posterior-femoral-cutaneous-nerve", "S2", {"anterior", "posterior"}),
        ("brachial", "radial-nerve", "C7", {"posterior"}),
        ("brachial", "median-nerve", "C7", {"anterior"}),
        ("brachial", "suprascapular-nerve", "C5", set()),
    ],
)
def test_planes_are_those_of_the_divisions(model, segment, root, plane):
    """Posterior divisions for the extensor side, anterior for the flexor side (Britannica 1911; Gray 1918, p. 959)."""
    assert planes.of(load(model)).of(segment, root) == plane


def test_parts_keep_their_fibres_apart():
    plexus = load("lumbosacral")
    after = injure(plexus, ["anterior division of S1"])
    assert after.muscles["biceps-femoris-short-head"].loss == 0
    assert after.muscles["extensor-hallucis-longus"].loss == 0
    assert after.muscles["gastrocnemius-medial-head"].remaining == pytest.approx(0.2)
    assert injure(plexus, ["posterior division of S1"]).muscles["gastrocnemius-medial-head"].loss == 0


def test_the_whole_is_one_site_and_each_part_another():
    plexus = load("lumbosacral")
    whole = injure(plexus, ["sciatic nerve at mid thigh"])
    assert len(whole.sites) == 1
    parts = injure(
        plexus, ["tibial part of sciatic nerve at mid thigh", "peroneal division of sciatic nerve at mid thigh"]
    )
    assert {id: o.state for id, o in whole.muscles.items()} == {id: o.state for id, o in parts.muscles.items()}
    assert whole.muscles["semitendinosus"].state == "spared"
    assert whole.muscles["biceps-femoris-short-head"].state == "paralysed"
    assert injure(plexus, ["sciatic nerve"]).muscles["semitendinosus"].state == "paralysed"
    assert set(reach(plexus, "sciatic nerve").muscles) >= {"soleus", "tibialis-anterior", "semitendinosus"}
    assert "sciatic-nerve" in {site.id for site in sites.all_sites(plexus)}


def test_a_whole_is_drawn_as_one_bundle_with_one_name():
    page = plexusdraw.figure(small("two-part"), injure="great nerve at mid thigh").pages()[0]
    named = [p.entity for p in page.scene.parts if isinstance(p, Pill | Label)]
    assert named.count("great-nerve") == 1
    assert not {"inner-part-of-great-nerve", "outer-part-of-great-nerve"} & {*named}
    strands = [p for p in page.scene.parts if isinstance(p, Strand) and p.whole == "great-nerve" and p.at == 0]
    heights = {(p.entity, p.root): p.curve[0][1] for p in strands}
    assert len(heights) == len({*heights.values()}) == 4, "both roots of both parts side by side"
    spots = [p for p in page.scene.parts if isinstance(p, Spot) and (p.entity, p.at) in page.view.cuts]
    assert [spot.x for spot in spots] == [spots[0].x] * 2, "one cut across both parts"
    assert page.view.entity("great-nerve") == "weak", "whole before the cut, lost beyond it"


def test_a_whole_nerve_can_be_the_answer():
    plexus = load("lumbosacral")
    findings = injure(plexus, ["sciatic nerve"])
    weak = [id for id, outcome in findings.muscles.items() if outcome.state == "paralysed"]
    from plexusdraw.clinic.findings import finding

    first = localise(plexus, [finding(plexus, "weak", id) for id in weak]).answers[0]
    assert first.cuts[0].id.startswith("sciatic-nerve")


@pytest.mark.parametrize("part", ["lumbar", "sacral plexus", "gluteal"])
def test_a_part_is_drawn_with_what_feeds_it_and_nothing_else(part):
    plexus = load("lumbosacral")
    figure = plexusdraw.figure(plexus, part=part, detail="nerves")
    shown = {p.entity for p in figure.pages()[0].scene.parts if isinstance(p, Strand)}
    assert ("femoral-nerve" in shown) == (part == "lumbar")
    assert ("tibial-nerve" in shown) == (part != "lumbar")
    assert ("S4" in shown) == (part == "sacral plexus")
    for by in ("plane", "nerve"):
        assert plexusdraw.figure(plexus, part=part, by=by).render("svg")


def test_colour_by_plane_has_a_legend_and_a_second_mark():
    from plexusdraw.look import theme

    for name in theme.names():
        pens = theme.load(name).planes
        assert set(pens) == {"anterior", "posterior", "both", "neutral"}
        assert len({(pen.core, pen.core_dash) for pen in (pens["anterior"], pens["posterior"], pens["both"])}) == 3
        page = theme.load(name).page
        assert all(theme.contrast(pen.strand, page) >= 3 for pen in pens.values()), name
    for mode in ("plane", "nerve"):
        view = plexusdraw.figure("lumbosacral", by=mode, highlight="L5").pages()[0].view
        assert view.hues
        assert view.hues.samples
    with pytest.raises(plexusdraw.errors.UnknownNameError, match="choose from root, plane, nerve"):
        plexusdraw.figure("brachial", by="moon").pages()


@pytest.mark.parametrize("name", ["brachial", "lumbosacral"])
def test_fibres_that_arrive_in_a_part_with_a_plane_have_it_and_others_bring_their_own(name):
    found = planes.of(load(name))
    for segment in found.plexus.segments.values():
        for parent in segment.parents:
            for root in found.fibres.between(parent, segment.id):
                wanted = found.of(parent, root) if segment.plane == "middle" else {segment.plane}
                assert found.arriving(segment.id, root, parent) == wanted


def test_from_each_parent_comes_its_own_plane():
    """A nerve of both planes holds anterior fibres from the one and posterior ones from the other of its parents."""
    plexus = load("lumbosacral")
    found = planes.of(plexus)
    nerve = plexus.segments["posterior-femoral-cutaneous-nerve"]
    brought = {
        parent: found.arriving(nerve.id, "S2", parent)
        for parent in nerve.parents
        if "S2" in found.fibres.carried[parent]
    }
    assert len(brought) > 1
    assert frozenset().union(*brought.values()) == {"anterior", "posterior"}


def test_fibres_that_do_not_run_in_a_nerve_have_no_plane_there():
    assert planes.of(load("brachial")).of("ulnar-nerve", "C5") == frozenset()
