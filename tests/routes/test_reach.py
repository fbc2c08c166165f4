from __future__ import annotations

import pytest
from randoms import brachial, small

from plexusdraw.api import figure
from plexusdraw.clinic import report
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Exit
from plexusdraw.names.sites import all_sites
from plexusdraw.routes.reach import reach, supplied
from plexusdraw.scene import Row


def test_a_segment_goes_up_to_itself_and_reaches_what_lies_beyond():
    found = report.trace(reach(small("caudal"), "groin nerve"), small("caudal"))
    assert found == {
        "id": "groin-nerve",
        "name": "groin nerve",
        "kind": "nerve",
        "roots": ["L3"],
        "roots_minor": ["L4"],
        "routes": [["L3", "groin-nerve"], ["L4", "groin-nerve"]],
        "muscles": ["groin-muscle"],
        "skin": [],
        "variants": [],
    }


def test_a_muscle_is_the_end_of_its_routes():
    found = reach(brachial(), "supraspinatus")
    assert found.paths[0] == ("C5", "upper-trunk", "suprascapular-nerve", "supraspinatus")
    assert found.muscles == ("supraspinatus",)
    assert (found.roots, found.roots_minor) == (("C5",), ("C6",))


def test_a_root_starts_its_only_route():
    found = reach(brachial(), "C7")
    assert found.paths == (("C7",),)
    assert "serratus-anterior" in found.muscles
    assert "deltoid" not in found.muscles


def test_a_level_reaches_only_what_leaves_beyond():
    whole, below = reach(brachial(), "radial nerve"), reach(brachial(), "spiral groove")
    assert "triceps-brachii-long-head" in whole.muscles
    assert "triceps-brachii-long-head" not in below.muscles
    assert "brachioradialis" in below.muscles
    assert report.trace(below, brachial())["name"] == "radial nerve at spiral groove"


def test_a_group_is_its_members():
    found = reach(brachial(), "rhomboids")
    assert found.entity.kind == "group"
    assert set(found.muscles) == {"rhomboid-minor", "rhomboid-major"}
    assert {route.target for route in found.routes} == set(found.muscles)


def test_skin_dermatome_reflex_and_outside():
    assert reach(small("caudal"), "sole skin").skin == ("sole-skin",)
    dermatome = reach(small("caudal"), "S1 dermatome")
    assert dermatome.skin == ("s1-dermatome",)
    assert {route.target for route in dermatome.routes} == {"sole-skin"}
    reflex = reach(small("caudal"), "knee reflex")
    assert (reflex.roots, reflex.roots_minor) == (("L4",), ("L3",))
    assert reach(small("caudal"), "back muscle").routes == ()
    assert reach(small("caudal"), "back muscle").muscles == ("back-muscle",)


def test_a_sign_cannot_be_followed():
    with pytest.raises(UnknownNameError, match="foot drop is a sign"):
        reach(small("caudal"), "foot drop")


MODELS = [brachial, lambda: small("caudal"), lambda: small("two-stages")]


@pytest.mark.parametrize("plexus", MODELS, ids=["brachial", "caudal", "two-stages"])
def test_what_a_site_reaches_is_what_its_cut_breaks(plexus):
    for site in all_sites(plexus()):
        injury = Injury(plexus(), [site])
        broken = {route for outcome in injury.muscles.values() for route in outcome.broken}
        broken |= {r for o in injury.skin.values() if not plexus().skin[o.id].dermatome for r in o.broken}
        assert set(reach(plexus(), site).routes) == broken, site.name


@pytest.mark.parametrize("plexus", MODELS, ids=["brachial", "caudal", "two-stages"])
def test_trace_highlight_and_table_say_the_same(plexus):
    """For each structure, reflex and named site: the rows lit, the strands lit and what trace lists."""
    model = plexus()
    scenes = figure(model, detail="muscles", paper="fit").pages()
    rows = {row.entity for page in scenes for row in page.scene.parts if isinstance(row, Row)}
    names = {s.name for s in all_sites(model)}
    names |= {
        e.name for e in model.entities() if e.kind not in ("sign", "place", "scenario") and e.id not in model.outside
    }
    for name in sorted(names):
        found = reach(model, name)
        views = [page.view for page in figure(model, detail="muscles", paper="fit", highlight=name).pages()]
        lit = {id for view in views for id, state in view.entities.items() if state == "highlit"}
        dermatomes = {id for id in found.skin if model.skin[id].dermatome}
        areas = {route.target for route in found.routes} - set(model.muscles) if dermatomes else set(found.skin)
        assert lit & rows == ({*found.muscles, *areas} & rows), name
        dots = {
            key[:2] for view in views for key, state in view.strands.items() if key[0] in rows and state == "highlit"
        }
        assert dots == {(r.target, r.root) for r in found.routes if r.target in rows}, name


@pytest.mark.parametrize("plexus", MODELS, ids=["brachial", "caudal", "two-stages"])
def test_a_nerve_supplies_what_it_reaches_in_the_order_in_which_it_leaves(plexus):
    for segment in plexus().segments.values():
        found, whole = supplied(plexus(), segment.id), reach(plexus(), segment)
        assert sorted(t.id for t in found) == sorted((*whole.muscles, *whole.skin))
        own = [i.to for i in segment.course if isinstance(i, Exit) and i.to in plexus().muscles]
        assert [t.id for t in found if t.id in own] == own


def test_a_place_without_a_name_in_the_model_can_be_followed():
    found = reach(brachial(), "C5 after dorsal scapular nerve")
    assert found.entity.name == "C5 after dorsal scapular nerve"
    assert "rhomboid-major" not in found.muscles
    assert "deltoid" in found.muscles


def test_reflexes_have_routes():
    assert {id: len(reach(brachial(), r).paths) for id, r in brachial().reflexes.items()} == {
        "biceps-reflex": 2,
        "brachioradialis-reflex": 2,
        "triceps-reflex": 9,
        "finger-flexor-reflex": 6,
    }


def test_a_root_has_left_where_its_last_branch_has():
    """Beyond its branches to the arm, a nerve holds only the roots that go on."""
    below = reach(brachial(), "musculocutaneous nerve after brachialis")
    assert set(below.muscles) == set()
    assert {*below.roots, *below.roots_minor} == {route.root for route in below.routes}
