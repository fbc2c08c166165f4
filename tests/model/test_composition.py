"""Which roots a segment carries, found again by walking each way; ids from names; cycles."""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError
from itertools import permutations

import plainly
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from randoms import brachial, random_plexus, small

from plexusdraw.model import load
from plexusdraw.model.composition import between, carried, cycle, order, together
from plexusdraw.model.entities import Segment
from plexusdraw.model.ids import kebab, place_name, plain

MODELS = ("caudal", "two-part", "two-stages", "one-root", 0, 1, 2, 3, "brachial", "lumbosacral")
few = settings(max_examples=40)


@pytest.fixture(scope="module", params=MODELS, ids=str)
def plexus(request, tmp_path_factory):
    if request.param in ("brachial", "lumbosacral"):
        return load(request.param)
    if isinstance(request.param, str):
        return small(request.param)
    return random_plexus(tmp_path_factory.mktemp("random"), request.param)


def minor_on(plexus, way):
    """Whether a share is minor somewhere on a way into a segment."""
    return any(root_minor in plexus.segments[id].minor for id in way[1:] for root_minor in (way[0],))


def test_a_segment_carries_the_roots_that_have_a_way_into_it(plexus):
    found = carried(plexus)
    for id in plexus.segments:
        assert set(found[id]) == {root for root, _ in plainly.into(plexus, id)}


def test_a_share_is_minor_where_it_is_so_on_every_way(plexus):
    found = carried(plexus)
    for id in plexus.segments:
        ways = [(*(segment for segment, _ in steps), id) for _, steps in plainly.into(plexus, id)]
        for root, minor in found[id].items():
            assert minor == all(minor_on(plexus, way) for way in ways if way[0] == root), (id, root)


def test_roots_stand_in_their_order_everywhere(plexus):
    rank = plexus.roots.index
    for shares in carried(plexus).values():
        assert list(shares) == sorted(shares, key=rank)


def test_segments_stand_in_the_order_of_the_model_then_wholes(plexus):
    assert list(carried(plexus)) == [*plexus.segments, *plexus.wholes]


def test_parents_come_before_their_children(plexus):
    found = order(plexus.segments)
    assert sorted(found) == sorted(plexus.segments)
    for segment in plexus.segments.values():
        assert all(found.index(parent) < found.index(segment.id) for parent in segment.parents)


def test_what_all_parents_bring_is_what_a_segment_carries(plexus):
    shares = carried(plexus)
    for segment in plexus.segments.values():
        brought = [between(shares, parent, segment) for parent in segment.parents]
        if brought:
            assert {root for one in brought for root in one} == set(shares[segment.id])
            for root, minor in shares[segment.id].items():
                assert minor == all(one[root] for one in brought if root in one)


class TestWhole:
    """A nerve of several parts."""

    def test_it_carries_what_any_of_its_parts_does(self):
        plexus = small("two-part")
        assert dict(carried(plexus)["great-nerve"]) == {"A1": False, "A2": False}

    @pytest.mark.parametrize(
        ("inner", "outer", "wanted"),
        [(True, True, True), (True, False, False), (False, True, False), (False, False, False)],
    )
    def test_a_share_is_minor_where_it_is_so_in_every_part_that_has_it(self, inner, outer, wanted):
        plexus = small("two-part")
        one, other = plexus.wholes["great-nerve"].parts
        shares = {one: {"A2": inner}, other: {"A2": outer, "A1": True}}
        found = together(plexus, shares, plexus.wholes["great-nerve"])
        assert found == {"A1": True, "A2": wanted}
        assert list(found) == ["A1", "A2"]


class TestCycle:
    """Rings in a graph."""

    @staticmethod
    def graph(**parents):
        return {id: Segment(id=id, name=id, kind="x", parents=tuple(above)) for id, above in parents.items()}

    def test_there_is_none_in_a_model(self, plexus):
        assert cycle(plexus.segments) == ()

    @pytest.mark.parametrize(
        ("parents", "ring"),
        [
            ({"a": "a"}, "aa"),
            ({"a": "b", "b": "a"}, "aba"),
            ({"a": "c", "b": "a", "c": "b"}, "abca"),
            ({"r": "", "b": "rc", "c": "b"}, "bcb"),
            ({"z": "y", "y": "z", "r": ""}, "zyz"),
        ],
    )
    def test_it_is_told_from_parent_to_child_from_the_first_in_the_model(self, parents, ring):
        segments = self.graph(**parents)
        assert cycle(segments) == tuple(ring)
        with pytest.raises(CycleError):
            order(segments)

    @pytest.mark.parametrize("names", list(permutations("abcd")), ids="".join)
    def test_it_begins_with_its_first_in_the_model_whatever_the_order_there(self, names):
        parents = dict(zip("abcd", "dabc", strict=True))
        segments = self.graph(**{name: parents[name] for name in names})
        start = "abcd".index(names[0])
        assert "".join(cycle(segments)) == ("abcdabcd")[start : start + 5]

    def test_a_parent_that_is_not_there_is_no_part_of_the_order(self):
        assert order(self.graph(a="x", b="a")) == ("a", "b")


@pytest.mark.parametrize(
    ("name", "id"),
    [
        ("Upper trunk", "upper-trunk"),
        ("C5", "C5"),
        ("Co1", "Co1"),
        ("Tha12", "Tha12"),
        ("c5", "c5"),
        ("C123", "c123"),
        ("C5 root", "c5-root"),
        ("Erb's point", "erbs-point"),
        ("lumbricals 1–2", "lumbricals-1-2"),
        ("Médian (nerve)", "median-nerve"),
        ("  x  ", "x"),
        ("a_b", "a-b"),
        ("***", ""),
        ("Straße", "strasse"),
    ],
)
def test_an_id_is_the_name_in_small_letters_with_hyphens_and_a_root_keeps_its_case(name, id):
    assert kebab(name) == id


@few
@given(st.text(max_size=20))
def test_the_id_of_an_id_is_the_id(name):
    assert kebab(kebab(name)) == kebab(name)
    assert " " not in kebab(name)


@pytest.mark.parametrize(("text", "wanted"), [("Ürgêns", "urgens"), ("ÅSE", "ase"), ("ok", "ok"), ("", "")])
def test_plain_text_has_no_accents_and_no_capitals(text, wanted):
    assert plain(text) == wanted


@pytest.mark.parametrize(
    ("segment", "place", "synonyms", "wanted"),
    [
        ("ulnar nerve", "elbow", (), "ulnar nerve at elbow"),
        ("radial nerve", "above elbow", (), "radial nerve above elbow"),
        ("median nerve", "in carpal tunnel", (), "median nerve in carpal tunnel"),
        ("x", "below knee", (), "x below knee"),
        ("x", "before y", (), "x before y"),
        ("x", "after y", (), "x after y"),
        ("x", "beyond y", (), "x beyond y"),
        ("x", "between y and z", (), "x between y and z"),
        ("x", "proximal third", (), "x proximal third"),
        ("x", "distal third", (), "x distal third"),
        ("x", "near z", (), "x near z"),
        ("x", "inguinal ligament", (), "x at inguinal ligament"),
        ("x", "attic", (), "x at attic"),
        ("C5", "preganglionic", (), "C5 at preganglionic"),
        ("C5", "preganglionic", ("C5 preganglionic",), "C5 preganglionic"),
        ("C5", "preganglionic", ("C6 preganglionic",), "C5 at preganglionic"),
    ],
)
def test_a_place_is_named_with_its_nerve(segment, place, synonyms, wanted):
    assert place_name(segment, place, synonyms) == wanted


def test_a_root_that_is_narrowed_away_goes_no_further():
    plexus = small("caudal")
    segments = dict(plexus.segments)
    segments["front-half"] = replace(segments["front-half"], only_roots=("L3",))
    found = carried(replace(plexus, segments=segments))
    assert set(found["front-half"]) == set(found["thigh-nerve"]) == {"L3"}
    assert "L4" in found["rear-half"]


def test_the_built_in_brachial_plexus_carries_what_the_trade_teaches():
    """Common practice, no source: C5 to T1 in three trunks, five roots in the posterior cord."""
    found = carried(brachial())
    assert [set(found[f"{name}-trunk"]) for name in ("upper", "middle", "lower")] == [
        {"C5", "C6"},
        {"C7"},
        {"C8", "T1"},
    ]
    assert set(found["lateral-cord"]) == {"C5", "C6", "C7"}
    assert set(found["medial-cord"]) == {"C8", "T1"}
    assert set(found["posterior-cord"]) == {"C5", "C6", "C7", "C8", "T1"}
