"""What structures and places reach, worked out twice: by the package, and from all simple paths of the graph."""

from __future__ import annotations

import networkx as nx
import plainly
import pytest
from randoms import random_plexus, small

from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load
from plexusdraw.model.entities import Exit
from plexusdraw.names import sites
from plexusdraw.routes import fibres
from plexusdraw.routes.reach import END, Strands, find, leaves_at, reach, strands_of, supplied

MODELS = ("caudal", "two-part", "two-stages", "one-root", 0, 1, 2, 3, "lumbosacral")


@pytest.fixture(scope="module", params=MODELS, ids=str)
def plexus(request, tmp_path_factory):
    if request.param == "lumbosacral":
        return load(request.param)
    if isinstance(request.param, str):
        return small(request.param)
    return random_plexus(tmp_path_factory.mktemp("random"), request.param)


def every_way(plexus):
    """All ways to muscles and skin areas that have nerves."""
    return [way for target in plexus.targets if not target.dermatome for way in plainly.ways(plexus, target)]


def passing(ways, segment, at=0):
    """Those that pass a position of a segment."""
    return [way for way in ways if any(id == segment and leaves >= at for id, leaves in way.steps)]


def test_a_segment_reaches_what_has_a_way_through_it(plexus):
    ways = every_way(plexus)
    for segment in plexus.segments.values():
        found = reach(plexus, segment)
        mine = passing(ways, segment.id)
        assert {*found.muscles, *found.skin} == {way.target for way in mine}
        assert len(found.routes) == len(mine)
        assert {(r.root, r.target, r.path) for r in found.routes} == {
            (w.root, w.target, tuple(id for id, _ in w.steps)) for w in mine
        }


def test_a_site_reaches_what_leaves_at_it_or_beyond(plexus):
    ways = every_way(plexus)
    for site in list(sites.all_sites(plexus))[:60]:
        found = reach(plexus, site)
        mine = [way for segment, at in site.cuts for way in passing(ways, segment, at)]
        assert {*found.muscles, *found.skin} == {way.target for way in mine}, site.name
        assert len(found.routes) == len(mine)


def test_a_muscle_is_reached_by_its_ways_and_its_roots_are_theirs(plexus):
    for target in plexus.muscles.values():
        found, ways = reach(plexus, target), plainly.ways(plexus, target)
        assert set(found.paths) == {(*(id for id, _ in way.steps), target.id) for way in ways}
        principal = {way.root for way in ways if not way.minor}
        assert set(found.roots) == principal
        assert set(found.roots_minor) == {way.root for way in ways} - principal


def test_roots_stand_in_their_order(plexus):
    rank = plexus.roots.index
    for entity in (*plexus.segments.values(), *plexus.muscles.values()):
        found = reach(plexus, entity)
        for roots in (found.roots, found.roots_minor):
            assert list(roots) == sorted(roots, key=rank)
        assert not set(found.roots) & set(found.roots_minor)


def test_the_paths_of_a_segment_are_all_ways_from_a_root_down_to_it(plexus):
    graph = nx.DiGraph([(parent, s.id) for s in plexus.segments.values() for parent in s.parents])
    graph.add_nodes_from(plexus.segments)
    for segment in plexus.segments.values():
        found = reach(plexus, segment)
        roots = {*found.roots, *found.roots_minor}
        walked = {(*(id for id, _ in steps), segment.id) for _, steps in plainly.into(plexus, segment.id)}
        assert set(found.paths) == {way for way in walked if way[0] in roots}
        for root in roots - {segment.id}:
            assert {way for way in found.paths if way[0] == root} <= {
                tuple(path) for path in nx.all_simple_paths(graph, root, segment.id)
            }


def test_a_group_reaches_what_its_members_do(plexus):
    for group in plexus.groups.values():
        found = reach(plexus, group)
        assert {*found.muscles} == set(group.members)
        assert {r.target for r in found.routes} == {m for m in group.members if fibres.of(plexus).of(m)}


def test_strands_of_a_segment_run_up_to_its_roots_and_down_to_all_that_it_reaches(plexus):
    ways = every_way(plexus)
    for segment in plexus.segments.values():
        found = reach(plexus, segment).strands
        for way in passing(ways, segment.id):
            assert all((id, way.root) in found.along for id, _ in way.steps)
            assert (way.target, way.root) in found.targets
        assert found.targets == {(way.target, way.root) for way in passing(ways, segment.id)}


def test_strands_run_no_further_than_fibres_go(plexus):
    """Above a segment each piece ends where the next leaves it; an arrival is from a parent."""
    for segment in plexus.segments.values():
        found = reach(plexus, segment).strands
        for id, root, source in found.arrivals:
            if id in plexus.segments:
                assert source in plexus.segments[id].parents
                assert root in fibres.of(plexus).between(source, id)
            else:
                assert source in plexus.nerves_of[id]


def test_strands_of_several_are_those_of_each(plexus):
    some = list(plexus.segments.values())[::3]
    together = strands_of(plexus, some)
    each = [reach(plexus, one).strands for one in some]
    assert together.targets == set().union(*(one.targets for one in each))
    assert together.arrivals == set().union(*(one.arrivals for one in each))
    for key, to in together.along.items():
        assert to == max(one.along[key] for one in each if key in one.along)


def test_a_nerve_supplies_what_it_reaches_and_no_offshoot_does(plexus):
    def by_offshoot(way, segment):
        ids = [id for id, _ in way.steps]
        return any(plexus.segments[id].offshoot for id in ids[ids.index(segment) + 1 :])

    ways = every_way(plexus)
    for segment in plexus.segments.values():
        mine = [way for way in passing(ways, segment.id) if not by_offshoot(way, segment.id)]
        found = [t.id for t in supplied(plexus, segment.id)]
        assert set(found) == {way.target for way in mine if way.target not in plexus.unseen}
        kinds = [id in plexus.skin for id in found]
        assert kinds == sorted(kinds), "muscles first"


class TestStrands:
    """How far fibres run."""

    def test_the_farther_of_two_runs_counts(self):
        found = Strands()
        found.run("a", "C5", 2)
        found.run("a", "C5", 1)
        found.run("a", "C6", 0)
        assert found.along == {("a", "C5"): 2, ("a", "C6"): 0}

    def test_a_route_is_followed_from_root_to_target(self):
        (route, *_) = fibres.of(small("two-stages")).of("second-muscle")
        found = Strands()
        found.follow(route)
        assert found.along == {("C5", "C5"): 1, ("main-nerve", "C5"): 2}
        assert found.arrivals == {("main-nerve", "C5", "C5"), ("second-muscle", "C5", "main-nerve")}
        assert found.targets == {("second-muscle", "C5")}

    def test_what_is_not_in_a_course_leaves_at_its_end(self):
        plexus = small("caudal")
        assert leaves_at(plexus, "L3", "front-band") == END
        assert leaves_at(plexus, "L3", "groin-nerve") == 0
        assert leaves_at(plexus, "shin-nerve", "deep-branch-of-shin-nerve") == 2


class TestFind:
    """What a text means, to be followed."""

    @pytest.mark.parametrize(
        ("text", "id", "kind"),
        [
            ("hip nerve", "hip-nerve", "nerve"),
            ("TL", "toe-lifter", "muscle"),
            ("thigh nerve at knee", "thigh-nerve-at-knee", "place"),
            ("thigh nerve after knee extensor", "thigh-nerve-after-knee-extensor", "place"),
            ("heel reflex", "heel-reflex", "reflex"),
            ("knee movers", "knee-movers", "group"),
        ],
    )
    def test_structures_places_and_reflexes(self, text, id, kind):
        found = find(small("caudal"), text)
        assert (found.id, found.kind) == (id, kind)

    @pytest.mark.parametrize("text", ["nowhere", "thigh nerve at ankle", "nobody at home"])
    def test_what_is_neither_is_told_as_a_name_would_be(self, text):
        with pytest.raises(UnknownNameError) as told:
            find(small("caudal"), text)
        assert text in str(told.value)

    def test_a_place_of_no_name_is_reached_as_a_site(self):
        plexus = small("caudal")
        text = "thigh nerve after knee extensor"
        assert reach(plexus, text).muscles == reach(plexus, sites.parse(plexus, text)).muscles == ()
        assert reach(plexus, text).skin == ("inner-leg-skin",)


def test_items_of_a_course_that_are_no_segments_have_no_ways_of_their_own(plexus):
    for segment in plexus.segments.values():
        for item in segment.course:
            if isinstance(item, Exit) and item.to in plexus.muscles:
                assert fibres.of(plexus).through(item.to) == ()
