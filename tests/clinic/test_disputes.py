"""Where sources differ: the rule in words, on targets and routes made by hand."""

from __future__ import annotations

from dataclasses import replace

import plainly
import pytest
from randoms import brachial, small

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.disputes import disputed, variable_ways
from plexusdraw.clinic.injury import injure
from plexusdraw.routes import fibres

PLEXUS = small("caudal")
MUSCLE = PLEXUS.muscles["hip-muscle"]


def said(target, loss, cuts, left=False):
    return disputed(PLEXUS, target, loss, fibres.of(PLEXUS).of(target.id), left, cuts)


def test_what_rests_on_minor_roots_alone_is_disputed():
    assert said(MUSCLE, Loss.SLIGHT, [])


def test_what_is_wholly_lost_is_disputed_if_something_may_be_left():
    assert not said(MUSCLE, Loss.WHOLE, [("hip-nerve", 0)])
    assert said(MUSCLE, Loss.WHOLE, [("hip-nerve", 0)], left=True)
    assert said(replace(MUSCLE, outside={"L2": "other"}), Loss.WHOLE, [("hip-nerve", 0)])
    assert not said(replace(MUSCLE, variable={"L9": "x"}), Loss.WHOLE, [("hip-nerve", 0)]), "it comes by that nerve"
    assert said(replace(MUSCLE, variable={"L9": "x"}), Loss.WHOLE, [("L3", 0), ("L4", 0)]), "a root of its own"


def test_what_is_not_lost_is_disputed_if_a_variable_root_may_be():
    assert not said(MUSCLE, Loss.NONE, [("S1", 0)])
    assert said(replace(MUSCLE, variable={"S1": "x"}), Loss.NONE, [("S1", 0)])
    assert not said(replace(MUSCLE, variable={"S1": "x"}), Loss.NONE, [("S2", 0)])


def test_what_is_weak_is_disputed_if_minor_roots_alone_stand_in():
    toe = PLEXUS.muscles["toe-lifter"]
    assert said(toe, Loss.PART, [("L5", 0)]), "L5 is its one principal root"
    assert not said(MUSCLE, Loss.PART, [("L3", 0)]), "L4 is principal too"
    assert not said(replace(toe, outside={"L9": "other"}), Loss.PART, [("L5", 0)])
    assert said(replace(toe, outside={"L9": "other"}, outside_minor=("L9",)), Loss.PART, [("L5", 0)])


def test_weak_skin_is_never_disputed():
    assert not said(PLEXUS.skin["inner-leg-skin"], Loss.PART, [("L4", 0)])


def test_of_two_cuts_of_a_segment_the_nearer_counts():
    target = replace(MUSCLE, variable={"L4": "x"})
    far, near = ("L4", 9), ("front-band", 0)
    for cuts in ([far, near], [near, far], [("front-band", 9), near], [near, ("front-band", 9)]):
        assert said(target, Loss.NONE, cuts)


def test_a_variable_root_may_come_by_any_way_of_the_graph_whatever_narrows_it():
    """The thigh nerve is narrowed to L3 and L4; a variable S1 may come by the back band all the same."""
    knee = replace(PLEXUS.muscles["knee-extensor"], variable={"S1": "x"})
    ways = variable_ways(PLEXUS, knee, "S1", ())
    assert [[segment for segment, _ in way] for way in ways] == [["S1", "back-band", "front-half", "thigh-nerve"]]
    assert ways[0][-1][1] == PLEXUS.segments["thigh-nerve"].position_of("knee-extensor")


def test_where_the_graph_has_no_way_it_joins_the_nerve_at_its_start():
    routes = fibres.of(PLEXUS).of("knee-extensor")
    ways = variable_ways(PLEXUS, PLEXUS.muscles["knee-extensor"], "T9", routes)
    assert ways == ((("thigh-nerve", PLEXUS.segments["thigh-nerve"].position_of("knee-extensor")),),)
    assert variable_ways(PLEXUS, PLEXUS.muscles["knee-extensor"], "T9", ()) == ((),)


@pytest.mark.parametrize("cut", ["C5", "C7", "upper trunk", "posterior cord", "median nerve at elbow", "T1"])
def test_of_the_built_in_model_what_is_disputed_is_what_another_count_of_roots_would_tell_otherwise(cut):
    """A muscle wholly lost is disputed exactly where a minor, an outside or a variable root may be left."""
    plexus, injury = brachial(), injure(brachial(), [cut])
    cuts = [c for site in injury.sites for c in site.cuts]
    for id, outcome in injury.muscles.items():
        target = plexus.muscles[id]
        every = plainly.ways(plexus, target)
        if outcome.loss is Loss.WHOLE and not target.variable:
            assert outcome.disputed == (any(not w.cut_by(cuts) for w in every) or bool(target.outside)), id
        if outcome.loss is Loss.NONE and not target.variable:
            assert not outcome.disputed
        if outcome.loss is Loss.SLIGHT:
            assert outcome.disputed
