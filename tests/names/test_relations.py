"""Where on a nerve words of place lead: found again by walking along its course."""

from __future__ import annotations

import pytest
from randoms import brachial, random_plexus, small

from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load
from plexusdraw.model.entities import Exit, Place
from plexusdraw.names import sites
from plexusdraw.names.relations import related, true_of

FARTHER = ("after", "beyond", "past", "below", "distal to")
NEARER = ("before", "above", "proximal to")
AT = ("at", "in", "within", "inside", "at the place of")


def place(plexus, text):
    site = sites.parse(plexus, text)
    return site.segment, site.at


@pytest.mark.parametrize("word", AT)
def test_at_a_place_is_the_place(word):
    assert place(small("caudal"), f"thigh nerve {word} knee") == ("thigh-nerve", 2)
    assert place(small("caudal"), f"thigh nerve {word} the knee") == ("thigh-nerve", 2)


@pytest.mark.parametrize("just", ["", "just ", "immediately "])
@pytest.mark.parametrize("word", FARTHER)
def test_beyond_a_branch_is_after_it(word, just):
    assert place(small("caudal"), f"thigh nerve {just}{word} knee extensor") == ("thigh-nerve", 2)


@pytest.mark.parametrize("word", [*NEARER, "at"])
def test_before_a_branch_and_at_it_is_where_it_still_goes_along(word):
    assert place(small("caudal"), f"thigh nerve {word} knee extensor") == ("thigh-nerve", 1)


@pytest.mark.parametrize("word", NEARER)
def test_above_a_place_is_no_nearer_than_what_leaves_before_it(word):
    site = sites.parse(small("caudal"), f"thigh nerve {word} knee")
    assert (site.segment, site.at) == ("thigh-nerve", 2)
    assert site.name == "thigh nerve above knee"
    assert site.id == "thigh-nerve-above-knee"


@pytest.mark.parametrize("word", FARTHER)
def test_below_a_place_is_past_it(word):
    site = sites.parse(small("caudal"), f"thigh nerve {word} knee")
    assert (site.segment, site.at) == ("thigh-nerve", 3)
    assert site.name == "thigh nerve below knee"


@pytest.mark.parametrize("word", ["start", "origin", "its origin", "beginning"])
def test_the_start_of_a_nerve(word):
    assert sites.parse(small("caudal"), f"shin nerve at {word}") == sites.start(small("caudal"), "shin-nerve")


def test_of_a_group_all_members_count():
    """Before the first of them, after the last of them."""
    plexus = brachial()
    course = [i.to for i in plexus.segments["radial-nerve"].course if isinstance(i, Exit)]
    heads = [id for id in plexus.groups["triceps-brachii"].members if id in course]
    ats = [plexus.segments["radial-nerve"].position_of(id) for id in heads]
    assert len(heads) > 1
    assert place(plexus, "radial nerve before triceps") == ("radial-nerve", min(ats))
    assert place(plexus, "radial nerve after triceps") == ("radial-nerve", max(ats) + 1)


def test_the_word_branch_goes_with_what_leaves():
    plexus = small("caudal")
    assert place(plexus, "shin nerve after knee flexor branch") == place(plexus, "shin nerve after knee flexor")
    assert place(plexus, "shin nerve after knee flexor branches") == place(plexus, "shin nerve after knee flexor")


def test_a_place_on_a_branch_is_found_from_the_nerve():
    found = sites.parse(brachial(), "radial nerve at supinator arcade")
    assert found.segment == "deep-branch-of-radial-nerve"


def test_what_left_higher_up_has_left_already():
    """Past a branch of its parent, a nerve is at its start."""
    assert (
        sites.parse(brachial(), "posterior interosseous nerve distal to supinator").id == "posterior-interosseous-nerve"
    )
    assert sites.parse(small("caudal"), "front half after groin nerve") == sites.start(small("caudal"), "front-half")


@pytest.mark.parametrize(
    "text",
    ["thigh nerve at ankle", "thigh nerve after toe lifter", "hip nerve below knee", "front half before groin nerve"],
)
def test_what_is_nowhere_on_a_nerve_is_no_place_on_it(text):
    with pytest.raises(UnknownNameError):
        sites.parse(small("caudal"), text)


def test_a_text_without_a_word_of_place_tells_none():
    assert related(small("caudal"), "thigh nerve knee") is None
    assert related(small("caudal"), "knee") is None
    assert related(small("caudal"), "nothing at knee") is None


def test_several_places_of_one_name_beyond_a_nerve_are_told():
    with pytest.raises(UnknownNameError, match="Say which"):
        sites.parse(brachial(), "lower trunk at elbow")


@pytest.mark.parametrize("name", ["caudal", "two-stages", "brachial"])
def test_words_of_place_lead_past_every_branch_of_every_nerve(name):
    plexus = brachial() if name == "brachial" else small(name)
    for segment in plexus.segments.values():
        for at, item in enumerate(segment.course):
            if not isinstance(item, Exit) or not plexus.has(item.to):
                continue
            other = plexus.entity(item.to).name
            if other.startswith(segment.name) or "," in other:
                continue
            before, after = (sites.parse(plexus, f"{segment.name} {word} {other}") for word in ("before", "after"))
            assert (before.segment, before.at) == (segment.id, at), (segment.name, other)
            assert (after.segment, after.at) == (segment.id, at + 1), (segment.name, other)


@pytest.mark.parametrize("seed", range(4))
def test_words_of_place_lead_past_every_branch_of_random_nerves(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    for segment in plexus.segments.values():
        for at, item in enumerate(segment.course):
            if isinstance(item, Exit) and segment.stage is not None:
                site = related(plexus, f"{segment.id} after {item.to}")
                assert (site.segment, site.at) == (segment.id, at + 1)
            if isinstance(item, Place):
                assert sites.parse(plexus, f"{segment.name} at {item.name}").at == at


class TestTrueOf:
    """What is said of a site after a comma must be true of it."""

    @pytest.mark.parametrize("at", range(5))
    def test_before_and_after_split_the_course_at_the_branch(self, at):
        plexus = small("caudal")
        site = sites.Site("thigh-nerve", at, "x", "x")
        leaves = plexus.segments["thigh-nerve"].position_of("knee-extensor")
        assert true_of(plexus, site, "before knee extensor") == (at <= leaves)
        assert true_of(plexus, site, "after knee extensor") == (at > leaves)
        assert true_of(plexus, site, "beyond knee extensor branches") == (at > leaves)

    @pytest.mark.parametrize("at", range(5))
    def test_its_branches_are_all_that_leave_it(self, at):
        plexus = small("caudal")
        course = plexus.segments["shin-nerve"].course
        exits = [i for i, item in enumerate(course) if isinstance(item, Exit)]
        site = sites.Site("shin-nerve", at, "x", "x")
        assert true_of(plexus, site, "before its branches") == (at <= min(exits))
        assert true_of(plexus, site, "after all its branches") == (at > max(exits))

    def test_what_is_no_clause_of_place_is_not_true(self):
        site = sites.parse(small("caudal"), "thigh nerve at knee")
        assert not true_of(small("caudal"), site, "painful")
        assert not true_of(small("caudal"), site, "at knee extensor")
        assert not true_of(small("caudal"), site, "before toe lifter")

    def test_past_a_branch_of_a_parent_all_of_a_nerve_lies(self):
        site = sites.parse(small("caudal"), "front half")
        assert true_of(small("caudal"), site, "after groin nerve")
        assert not true_of(small("caudal"), site, "after sole skin")

    def test_on_a_nerve_of_two_parts_it_is_true_if_it_is_of_one(self):
        site = sites.parse(small("two-part"), "great nerve at mid thigh")
        assert true_of(small("two-part"), site, "after inner twig")
        assert true_of(small("two-part"), site, "before outer twig")
        assert not true_of(small("two-part"), site, "before inner twig")


class TestParts:
    """Places of a nerve of several parts."""

    @pytest.mark.parametrize(
        ("text", "cuts"),
        [
            ("great nerve", {("inner-part-of-great-nerve", 0), ("outer-part-of-great-nerve", 0)}),
            ("great nerve at notch", {("inner-part-of-great-nerve", 0), ("outer-part-of-great-nerve", 0)}),
            ("main nerve at mid thigh", {("inner-part-of-great-nerve", 2), ("outer-part-of-great-nerve", 1)}),
            ("great nerve below mid thigh", {("inner-part-of-great-nerve", 3), ("outer-part-of-great-nerve", 2)}),
            ("great nerve above mid thigh", {("inner-part-of-great-nerve", 2), ("outer-part-of-great-nerve", 1)}),
            ("inner part of great nerve at mid thigh", {("inner-part-of-great-nerve", 2)}),
            ("great nerve at ankle", {("inner-nerve", 1)}),
            ("great nerve below ankle", {("inner-nerve", 2)}),
        ],
    )
    def test_a_place_is_cut_on_every_part(self, text, cuts):
        assert set(sites.parse(small("two-part"), text).cuts) == cuts

    def test_a_place_that_lies_nowhere_beyond_is_told(self):
        with pytest.raises(UnknownNameError):
            sites.parse(small("two-part"), "great nerve at knee")

    def test_of_the_built_in_nerve_of_two_parts(self):
        plexus = load("lumbosacral")
        (whole,) = plexus.wholes.values()
        site = sites.parse(plexus, f"{whole.name} at mid thigh")
        assert {segment for segment, _ in site.cuts} == set(whole.parts)
