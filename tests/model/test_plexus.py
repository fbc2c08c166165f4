"""What a plexus answers of itself, and its parts drawn alone."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import networkx as nx
import pytest
from randoms import random_plexus, small

from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load, regions
from plexusdraw.model.entities import Exit, Region
from plexusdraw.model.minor import without_minor
from plexusdraw.model.plexus import Taught
from plexusdraw.routes import fibres

MODELS = ("caudal", "two-part", "two-stages", 1, 2, "lumbosacral")


@pytest.fixture(scope="module", params=MODELS, ids=str)
def plexus(request, tmp_path_factory):
    if request.param == "lumbosacral":
        return load(request.param)
    if isinstance(request.param, str):
        return small(request.param)
    return random_plexus(tmp_path_factory.mktemp("random"), request.param)


def items(segment):
    """Ids along a course."""
    return [item.to if isinstance(item, Exit) else item.id for item in segment.course]


def test_children_are_those_that_name_a_segment_as_parent(plexus):
    for id, children in plexus.children.items():
        assert set(children) == {s.id for s in plexus.segments.values() if id in s.parents}


def test_children_stand_in_the_order_in_which_they_leave(plexus):
    for id, children in plexus.children.items():
        course = items(plexus.segments[id])
        assert [c for c in children if c in course] == [c for c in course if c in children]
        assert all(c in course for c in children[: len([c for c in children if c in course])]), "the end comes last"


def test_what_is_not_listed_leaves_at_the_end(plexus):
    for segment in plexus.segments.values():
        course = items(segment)
        for child in plexus.children[segment.id]:
            assert plexus.exit_of(segment.id, child) == (course.index(child) if child in course else len(course))


def test_nerves_of_a_target_are_those_in_whose_course_it_stands(plexus):
    for target, nerves in plexus.nerves_of.items():
        assert list(nerves) == [s.id for s in plexus.segments.values() if target in items(s)]
    assert set(plexus.nerves_of) == {*plexus.muscles, *plexus.skin}


def test_positions_on_a_course(plexus):
    for segment in plexus.segments.values():
        for at, id in enumerate(items(segment)):
            assert segment.position_of(id) == at
        with pytest.raises(KeyError):
            segment.position_of("nowhere")
        with pytest.raises(KeyError):
            segment.place_at("nowhere")


def test_a_cut_at_a_place_lies_where_the_place_does(plexus):
    for id, (place, segment, at) in plexus.places.items():
        cuts = plexus.cuts_at(id)
        if segment.parts:
            assert [part for part, _ in cuts] == list(segment.parts)
            assert all(plexus.segments[part].course[there].name == place.name for part, there in cuts)
        else:
            assert cuts == ((segment.id, at),)
            assert segment.course[at] is place


def test_a_cut_of_a_segment_lies_at_its_start_and_of_a_whole_at_that_of_all_its_parts(plexus):
    for id in plexus.segments:
        assert plexus.cuts_at(id) == ((id, 0),)
        assert plexus.members(id) == (id,)
        assert plexus.segment(id) is plexus.segments[id]
    for id, whole in plexus.wholes.items():
        assert plexus.cuts_at(id) == tuple((part, 0) for part in whole.parts)
        assert plexus.members(id) == whole.parts
        assert plexus.segment(id) is whole
    with pytest.raises(KeyError):
        plexus.segment("nowhere")


def test_every_entity_is_found_by_its_id_and_stands_once(plexus):
    every = plexus.entities()
    assert len({e.id for e in every}) == len(every)
    for entity in every:
        assert plexus.entity(entity.id) is entity
        assert plexus.has(entity.id)
    assert not plexus.has("nowhere")
    for unknown in (plexus.entity, plexus.target):
        with pytest.raises(KeyError):
            unknown("nowhere")


def test_targets_are_muscles_then_skin(plexus):
    assert [t.id for t in plexus.targets] == [*plexus.muscles, *plexus.skin]
    assert all(plexus.target(t.id) is t for t in plexus.targets)


def test_roots_are_the_segments_of_the_first_stage(plexus):
    assert plexus.roots == tuple(s.id for s in plexus.segments.values() if not s.parents)
    assert [s.id for s in plexus.staged(plexus.stages[0].id)] == list(plexus.roots)


def test_the_graph_has_no_ring_and_an_edge_for_each_branch(plexus):
    graph = plexus.graph
    assert nx.is_directed_acyclic_graph(graph)
    assert {n for n, degree in graph.in_degree() if not degree} == {
        *plexus.roots,
        *(s.id for s in plexus.skin.values() if s.dermatome),
    }
    for parent, child, at in graph.edges(data="at"):
        assert plexus.exit_of(parent, child) == at
    assert dict(graph.nodes(data="kind")) == {id: plexus.entity(id).kind for id in graph}


class TestColours:
    """A root keeps its colour whatever joins."""

    def test_it_is_its_place_among_the_roots(self):
        assert small("caudal").palette == ("L3", "L4", "L5", "S1", "S2")

    @pytest.mark.parametrize(
        ("base", "wanted"),
        [
            (("L4", "L5", "S1", "S2"), ("L4", "L5", "S1", "S2", "L3")),
            (("L2", "L3", "L4", "L5", "S1", "S2"), ("L2", "L3", "L4", "L5", "S1", "S2")),
            (("S2", "S1"), ("S2", "S1", "L3", "L4", "L5")),
        ],
    )
    def test_what_joins_comes_last_and_what_is_gone_keeps_its_place(self, base, wanted):
        assert replace(small("caudal"), base_roots=base).palette == wanted

    def test_a_variant_moves_no_colour(self):
        plain, varied = load("brachial"), load("brachial", ["prefixed"])
        assert varied.palette[: len(plain.roots)] == plain.roots


class TestTaught:
    """What a course makes of it."""

    def test_without_one_nothing_is_left_out_and_all_is_shown(self):
        plexus = small("caudal")
        assert not plexus.is_selection
        assert not plexus.leaves_out("hip-nerve")
        assert plexus.shows_minor
        assert plexus.laid_out is plexus
        assert plexus.drawn is plexus

    def test_what_it_leaves_out_is_told(self):
        plexus = replace(small("caudal"), taught=Taught("mine", left_out=frozenset({"gone"})))
        assert plexus.is_selection
        assert plexus.leaves_out("gone")
        assert not plexus.leaves_out("elsewhere")

    def test_one_that_says_what_it_keeps_leaves_out_what_the_model_does_not_know(self):
        plexus = replace(small("caudal"), taught=Taught("mine", left_out=frozenset({"gone"}), keeps=True))
        assert plexus.leaves_out("elsewhere")
        assert not plexus.leaves_out("hip-nerve")

    def test_one_that_changes_words_alone_is_no_selection(self):
        assert not replace(small("caudal"), taught=Taught("mine")).is_selection

    def test_minor_shares_that_it_hides_are_laid_out_no_more(self):
        plexus = replace(small("caudal"), taught=Taught("mine", minor=False))
        assert not plexus.shows_minor
        assert all(not s.minor for s in plexus.laid_out.segments.values())
        assert plexus.segments["groin-nerve"].minor == ("L4",)

    def test_what_still_counts_is_a_target_but_has_no_name(self):
        plexus = small("caudal")
        hidden = plexus.muscles["hip-muscle"]
        rest = MappingProxyType({id: m for id, m in plexus.muscles.items() if id != "hip-muscle"})
        cut = replace(plexus, muscles=rest, unseen=MappingProxyType({"hip-muscle": hidden}))
        assert cut.targets[-1] is hidden
        assert cut.target("hip-muscle") is cut.entity("hip-muscle") is hidden
        assert not cut.has("hip-muscle")
        assert hidden not in cut.entities()


class TestWithoutMinor:
    """Principal shares alone, for pictures that hide the others."""

    def test_only_principal_shares_are_carried(self, plexus):
        before, after = fibres.of(plexus).carried, fibres.of(without_minor(plexus)).carried
        for id in plexus.segments:
            assert dict(after[id]) == {root: False for root, minor in before[id].items() if not minor}

    def test_a_target_is_reached_by_its_principal_routes_alone(self, plexus):
        bare = without_minor(plexus)
        for target in plexus.targets:
            if target.dermatome:
                continue
            shares = fibres.of(plexus).carried
            wanted = {
                (r.path, r.exits)
                for r in fibres.of(plexus).of(target.id)
                if not r.minor and not any(shares[id][r.root] for id in r.path)
            }
            assert {(r.path, r.exits) for r in fibres.of(bare).of(target.id)} == wanted, target.id

    def test_positions_stay(self, plexus):
        bare = without_minor(plexus)
        assert [items(s) for s in bare.segments.values()] == [items(s) for s in plexus.segments.values()]
        assert bare.palette == plexus.palette

    @pytest.mark.parametrize(
        ("item", "wanted"),
        [
            (Exit("knee-flexor", None, ("S1",)), Exit("knee-flexor", ("L5",))),
            (Exit("knee-flexor", ("L5", "S1"), ("S1",)), Exit("knee-flexor", ("L5",))),
            (Exit("knee-flexor", (), ("S1",)), Exit("knee-flexor", ())),
            (Exit("knee-flexor", ("L5",)), Exit("knee-flexor", ("L5",))),
            (Exit("knee-flexor"), Exit("knee-flexor")),
        ],
    )
    def test_a_branch_brings_what_it_brings_in_full(self, item, wanted):
        plexus = small("caudal")
        nerve = replace(plexus.segments["shin-nerve"], course=(item,))
        segments = MappingProxyType(dict(plexus.segments) | {nerve.id: nerve})
        assert without_minor(replace(plexus, segments=segments)).segments[nerve.id].course == (wanted,)

    def test_nothing_from_outside_is_minor(self):
        plexus = small("two-stages")
        muscle = replace(plexus.muscles["second-muscle"], outside={"C4": "n", "C3": "m"}, outside_minor=("C3",))
        bare = without_minor(replace(plexus, muscles=MappingProxyType({muscle.id: muscle})))
        assert dict(bare.muscles[muscle.id].outside) == {"C4": "n"}
        assert bare.muscles[muscle.id].outside_minor == ()


class TestRegions:
    """A part of a plexus, drawn alone."""

    lumbosacral = staticmethod(lambda: load("lumbosacral"))

    @pytest.mark.parametrize("text", ["sacral-plexus", "Sacral plexus", "SACRAL", "sacral"])
    def test_a_part_is_known_by_id_name_and_first_word(self, text):
        assert regions.of(self.lumbosacral(), text).id == "sacral-plexus"

    def test_an_unknown_part_is_told_with_those_there_are(self):
        plexus = self.lumbosacral()
        with pytest.raises(UnknownNameError) as told:
            regions.of(plexus, "solar")
        names = ", ".join(region.name for region in plexus.regions.values())
        assert str(told.value) == f'the lumbosacral plexus has no part "solar"; its parts are {names}'
        with pytest.raises(UnknownNameError, match=r"its file names none \(regions\)"):
            regions.of(small("caudal"), "solar")

    @pytest.mark.parametrize("nerves", [("hip-nerve",), ("thigh-nerve", "groin-nerve"), ("shin-nerve",)])
    def test_it_is_its_nerves_with_what_feeds_them_and_what_comes_of_them(self, nerves):
        plexus = small("caudal")
        drawn = regions.drawn_alone(plexus, Region(id="r", name="the part", kind="region", nerves=nerves)).drawn
        graph = nx.DiGraph([(p, s.id) for s in plexus.segments.values() for p in s.parents])
        wanted = {id for n in nerves for id in (n, *nx.ancestors(graph, n), *nx.descendants(graph, n))}
        assert list(drawn.segments) == [id for id in plexus.segments if id in wanted]
        for segment in drawn.segments.values():
            assert set(segment.parents) == set(plexus.segments[segment.id].parents) & wanted
            assert segment.course == plexus.segments[segment.id].course, "a position means the same in both"
        reached = {id for segment in drawn.segments.values() for id in items(segment)}
        assert set(drawn.muscles) == reached & set(plexus.muscles)
        assert set(drawn.skin) == reached & set(plexus.skin)
        assert drawn.name == "the part"

    def test_what_is_computed_is_that_of_the_whole(self):
        plexus = self.lumbosacral()
        part = regions.drawn_alone(plexus, regions.of(plexus, "lumbar"))
        assert part.segments is plexus.segments
        assert part.muscles is plexus.muscles
        assert part.drawn is not part
        assert part.drawn.palette == plexus.palette

    def test_stages_without_a_segment_are_gone_but_for_the_first_and_the_last(self):
        plexus = small("caudal")
        drawn = regions.drawn_alone(plexus, Region(id="r", name="r", kind="region", nerves=("groin-nerve",))).drawn
        assert [stage.id for stage in drawn.stages] == ["roots", "ends"]
        hip = regions.drawn_alone(plexus, Region(id="r", name="r", kind="region", nerves=("hip-nerve",))).drawn
        assert [stage.id for stage in hip.stages] == ["roots", "bands", "ends"]

    def test_a_group_is_kept_where_all_its_members_are(self):
        plexus = small("caudal")
        both, one = (
            regions.drawn_alone(plexus, Region(id="r", name="r", kind="region", nerves=nerves)).drawn
            for nerves in (("thigh-nerve", "shin-nerve"), ("hip-nerve",))
        )
        assert "knee-movers" in both.groups
        assert "knee-movers" not in one.groups

    def test_of_a_nerve_of_several_parts_only_those_that_belong_to_it(self):
        plexus = small("two-part")
        nerves = ("inner-part-of-great-nerve",)
        drawn = regions.drawn_alone(plexus, Region(id="r", name="r", kind="region", nerves=nerves)).drawn
        assert drawn.wholes["great-nerve"].parts == nerves
        whole = regions.drawn_alone(plexus, Region(id="r", name="r", kind="region", nerves=("great-nerve",))).drawn
        assert whole.wholes["great-nerve"].parts == plexus.wholes["great-nerve"].parts
