"""What a course keeps: words for what is meant, and what comes along or goes with it, against closures by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from randoms import brachial, small

from plexusdraw.courses import is_course, left_out
from plexusdraw.courses.keeping import has_nerves, meant, needs, one, with_needs, without
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load

CAUDAL = small("caudal")
EVERY = left_out.ids(CAUDAL)
few = settings(max_examples=40)
SOME = st.frozensets(st.sampled_from(sorted(EVERY)), max_size=6)


def closed(ids, step):
    """Ids with all that single steps lead to from them."""
    found = set(ids)
    while more := {other for id in found for other in step(id)} - found:
        found |= more
    return found


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("bands", {"front-band", "back-band"}),
        ("band", None),
        ("halves", {"front-half", "rear-half"}),
        ("terminal branches", {"thigh-nerve", "shin-nerve"}),
        ("Ends", {"thigh-nerve", "shin-nerve"}),
        ("muscles", set(CAUDAL.muscles)),
        ("skin", {"inner-leg-skin", "sole-skin"}),
        ("dermatomes", {"l3-dermatome", "s1-dermatome"}),
        ("side branches", {"joining-root", "groin-nerve", "hip-nerve", "deep-branch-of-shin-nerve"}),
        ("reflexes", {"knee-reflex", "heel-reflex"}),
        ("signs", {"foot-drop", "limp", "torn-l5"}),
        ("places", set(CAUDAL.places)),
        ("groups", {"knee-movers"}),
        ("knee movers", {"knee-movers", "knee-extensor", "knee-flexor"}),
        ("TL", {"toe-lifter"}),
        ("superior band", {"front-band"}),
        ("drop foot", {"foot-drop"}),
        ("back muscle", {"back-muscle"}),
    ],
)
def test_what_a_text_means(text, ids):
    if ids is None:
        with pytest.raises(UnknownNameError):
            meant(CAUDAL, text)
    else:
        assert meant(CAUDAL, text) == ids


def test_a_part_of_a_plexus_is_its_nerves():
    plexus = load("lumbosacral")
    region = plexus.regions["sacral-plexus"]
    wanted = {part for id in region.nerves for part in plexus.members(id)}
    assert meant(plexus, "sacral plexus") == wanted


def test_a_muscle_goes_before_the_place_that_is_called_after_it():
    found = one(brachial(), "supinator")
    assert found.kind == "muscle"


@pytest.mark.parametrize("text", ["nowhere", "elbow"])
def test_what_means_nothing_or_several_things_is_told(text):
    with pytest.raises(UnknownNameError):
        meant(brachial(), text)


@pytest.mark.parametrize(
    ("id", "wanted"),
    [
        ("L3", set()),
        ("front-band", {"L3", "L4"}),
        ("hip-nerve", {"front-band"}),
        ("hip-muscle", {"hip-nerve"}),
        ("knee-flexor", {"shin-nerve", "deep-branch-of-shin-nerve"}),
        ("sole-skin", {"shin-nerve"}),
        ("s1-dermatome", {"S1"}),
        ("knee-movers", {"knee-extensor", "knee-flexor"}),
        ("knee-reflex", {"knee-extensor"}),
        ("thigh-nerve-at-knee", {"thigh-nerve"}),
        ("back-muscle", set()),
        ("foot-drop", set()),
    ],
)
def test_what_a_thing_needs(id, wanted):
    assert needs(CAUDAL, id) == wanted


def test_a_nerve_of_several_parts_needs_them_and_its_places_need_all_of_them():
    plexus = small("two-part")
    parts = set(plexus.wholes["great-nerve"].parts)
    assert needs(plexus, "great-nerve") == parts
    assert needs(plexus, "great-nerve-at-notch") == parts


def test_of_a_plexus_drawn_otherwise_both_ways_are_needed():
    other = replace(
        CAUDAL, segments=dict(CAUDAL.segments) | {"hip-nerve": replace(CAUDAL.segments["hip-nerve"], parents=("L4",))}
    )
    assert needs(replace(CAUDAL, drawing=other), "hip-nerve") == {"front-band", "L4"}


@few
@given(SOME)
def test_what_is_kept_stands_on_its_own(ids):
    """All that it needs is there too, and keeping what is kept adds nothing but by what signs show."""
    kept = with_needs(CAUDAL, ids)
    assert ids <= kept
    signs = set(CAUDAL.signs)
    assert all(needs(CAUDAL, id) <= kept for id in kept - signs)
    assert with_needs(CAUDAL, kept - signs) - signs == kept - signs


@few
@given(SOME)
def test_nothing_is_kept_but_what_is_needed_and_what_is_complete(ids):
    def step(id):
        sign = CAUDAL.signs.get(id)
        parts = sign.when.parts() if sign else ()
        return {*needs(CAUDAL, id), *(other for part in parts for other in (*part.lost, *part.weak, *part.cut))}

    needed = closed(ids, step)
    for id in with_needs(CAUDAL, ids) - needed:
        whole = id in {*CAUDAL.groups, *CAUDAL.places, *CAUDAL.reflexes} and needs(CAUDAL, id) <= with_needs(
            CAUDAL, ids
        )
        assert whole or id in CAUDAL.signs, id


@few
@given(SOME, SOME)
def test_more_that_is_asked_for_keeps_no_less(a, b):
    assert with_needs(CAUDAL, a) <= with_needs(CAUDAL, a | b)


@few
@given(SOME)
def test_what_is_left_out_takes_along_all_that_needs_it_and_nothing_else(ids):
    kept = without(CAUDAL, EVERY, ids)
    gone = closed(ids, lambda id: {other for other in EVERY if id in needs(CAUDAL, other)})
    assert kept == EVERY - gone


def test_a_group_is_there_where_all_its_members_are():
    assert "knee-movers" in with_needs(CAUDAL, frozenset({"knee-extensor", "knee-flexor"}))
    assert "knee-movers" not in with_needs(CAUDAL, frozenset({"knee-extensor"}))


def test_a_sign_is_there_where_something_that_it_shows_by_is():
    assert "foot-drop" in with_needs(CAUDAL, frozenset({"toe-lifter"}))
    assert "foot-drop" not in with_needs(CAUDAL, frozenset({"hip-muscle"}))
    assert "limp" in with_needs(CAUDAL, frozenset({"hip-muscle"}))


class TestParts:
    """A nerve of several parts."""

    plexus = small("two-part")
    every = left_out.ids(plexus)

    def test_it_is_there_with_one_of_them(self):
        assert "great-nerve" in with_needs(self.plexus, frozenset({"inner-flexor"}))
        assert "outer-part-of-great-nerve" not in with_needs(self.plexus, frozenset({"inner-flexor"}))

    def test_it_stays_while_one_of_them_does(self):
        kept = without(self.plexus, self.every, frozenset({"inner-part-of-great-nerve"}))
        assert "great-nerve" in kept
        assert "outer-part-of-great-nerve" in kept

    def test_it_goes_with_the_last_of_them(self):
        both = frozenset(self.plexus.wholes["great-nerve"].parts)
        assert "great-nerve" not in without(self.plexus, self.every, both)

    def test_without_it_its_parts_are_gone(self):
        kept = without(self.plexus, self.every, frozenset({"great-nerve"}))
        assert not kept & {*self.plexus.wholes["great-nerve"].parts, "calf", "shin", "inner-nerve"}


@pytest.mark.parametrize(
    ("ids", "some"),
    [
        ({"L3", "L4"}, False),
        (set(), False),
        ({"L3", "groin-nerve"}, True),
        ({"back-muscle"}, False),
        ({"front-band"}, True),
    ],
)
def test_whether_anything_is_kept_that_comes_from_a_root(ids, some):
    assert has_nerves(CAUDAL, frozenset(ids)) is some


@pytest.mark.parametrize(
    ("text", "course"),
    [
        ("course: 1\nname: x\n", True),
        ("plexusdraw: 1\n", False),
        ("# course: 1\nplexusdraw: 1\n", False),
        ("name: x\ncourse: 1\nplexusdraw: 1\n", True),
        ("plexusdraw: 1\nsegments:\n  - {name: x, course: [a]}\n", False),
        ("course : 1\n", True),
        ("  course: 1\n", False),
        ("", False),
        ("courses: 1\n", False),
    ],
)
def test_a_course_file_is_told_from_a_model_by_its_first_key(text, course):
    assert is_course(text) is course
