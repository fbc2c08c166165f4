from __future__ import annotations

import pytest
from randoms import brachial, small

from plexusdraw.clinic import report
from plexusdraw.errors import UnknownNameError
from plexusdraw.routes.trace import trace


def test_a_segment_goes_up_to_itself_and_reaches_what_lies_beyond():
    found = report.trace(trace(small("caudal"), "groin nerve"), small("caudal"))
    assert found == {
        "id": "groin-nerve",
        "name": "groin nerve",
        "kind": "nerve",
        "roots": ["L3"],
        "roots_minor": ["L4"],
        "routes": [["L3", "groin-nerve"], ["L4", "groin-nerve"]],
        "muscles": ["groin-muscle"],
        "skin": [],
    }


def test_a_muscle_is_the_end_of_its_routes():
    found = trace(brachial(), "supraspinatus")
    assert found.routes[0] == ("C5", "upper-trunk", "suprascapular-nerve", "supraspinatus")
    assert found.muscles == ("supraspinatus",)
    assert (found.roots, found.roots_minor) == (("C5",), ("C6",))


def test_a_root_starts_its_only_route():
    found = trace(brachial(), "C7")
    assert found.routes == (("C7",),)
    assert "serratus-anterior" in found.muscles
    assert "deltoid" not in found.muscles


def test_a_level_reaches_only_what_leaves_beyond():
    whole, below = trace(brachial(), "radial nerve"), trace(brachial(), "spiral groove")
    assert "triceps-brachii-long-head" in whole.muscles
    assert "triceps-brachii-long-head" not in below.muscles
    assert "brachioradialis" in below.muscles
    assert report.trace(below, brachial())["name"] == "radial nerve at spiral groove"


def test_a_group_is_its_members():
    found = trace(brachial(), "rhomboids")
    assert found.entity.kind == "group"
    assert set(found.muscles) == {"rhomboid-minor", "rhomboid-major"}
    assert {route[-1] for route in found.routes} == set(found.muscles)


def test_skin_dermatome_reflex_and_outside():
    assert trace(small("caudal"), "sole skin").skin == ("sole-skin",)
    dermatome = trace(small("caudal"), "S1 dermatome")
    assert dermatome.skin == ("s1-dermatome",)
    assert {route[-1] for route in dermatome.routes} == {"sole-skin"}
    reflex = trace(small("caudal"), "knee reflex")
    assert (reflex.roots, reflex.roots_minor) == (("L4",), ("L3",))
    assert trace(small("caudal"), "back muscle").routes == ()
    assert trace(small("caudal"), "back muscle").muscles == ("back-muscle",)


def test_a_sign_cannot_be_followed():
    with pytest.raises(UnknownNameError, match="foot drop is a sign"):
        trace(small("caudal"), "foot drop")
