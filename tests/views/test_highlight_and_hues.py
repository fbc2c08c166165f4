"""What is lit, and what a colour stands for, by the fibres alone: found again here by walking through the model."""

from __future__ import annotations

import pytest
from randoms import brachial, small

import plexusdraw
from plexusdraw.errors import UnknownNameError
from plexusdraw.routes import fibres
from plexusdraw.routes.reach import reach
from plexusdraw.scene import Pill, Row, Strand
from plexusdraw.scene.view import strand_key
from plexusdraw.views import highlight, hues

MODELS = {"caudal": lambda: small("caudal"), "two-part": lambda: small("two-part"), "brachial": brachial}


@pytest.fixture(scope="module", params=MODELS)
def drawn(request):
    """A plexus and its page with the table."""
    plexus = MODELS[request.param]()
    return plexus, plexusdraw.figure(plexus, detail="muscles", paper="fit").pages()[0].scene


def strands(scene):
    return [p for p in scene.parts if isinstance(p, Strand)]


def test_of_a_root_exactly_its_own_strands_are_lit(drawn):
    plexus, scene = drawn
    for root in plexus.roots:
        _, states = highlight.states(scene, reach(plexus, root).strands)
        for part in strands(scene):
            assert (states[strand_key(part)] == "highlit") == (part.root == root), part
        lit = {key[1] for key, state in states.items() if state == "highlit"}
        assert lit == {root}


def test_a_structure_is_lit_with_what_feeds_it_and_what_comes_of_it(drawn):
    plexus, scene = drawn
    for segment in plexus.segments.values():
        entities, _ = highlight.states(scene, reach(plexus, segment).strands)
        routes = fibres.of(plexus).through(segment.id)
        on_the_way = {id for route in routes for id in route.path}
        lit = {id for id, state in entities.items() if state == "highlit"}
        assert on_the_way & set(entities) <= lit
        assert {r.target for r in routes} & set(entities) == lit & {*plexus.muscles, *plexus.skin}


def test_all_that_has_a_name_is_either_lit_or_dimmed(drawn):
    plexus, scene = drawn
    entities, states = highlight.states(scene, reach(plexus, plexus.roots[0]).strands)
    assert {p.entity for p in scene.parts if isinstance(p, Strand | Pill | Row)} <= set(entities)
    assert set(entities.values()) | set(states.values()) == {"highlit", "dimmed"}
    assert not {stage.id for stage in plexus.stages} & set(entities), "columns are never dimmed"


def test_below_a_branch_a_strand_is_dimmed_where_only_the_branch_is_asked_for():
    plexus = small("caudal")
    scene = plexusdraw.figure(plexus, detail="muscles", paper="fit").pages()[0].scene
    _, states = highlight.states(scene, reach(plexus, "groin nerve").strands)
    of_l3 = {(k[0], k[2]): s for k, s in states.items() if k[1] == "L3" and k[0] in ("L3", "front-band", "groin-nerve")}
    assert of_l3["groin-nerve", "L3"] == "highlit"
    assert of_l3["front-band", "L3"] == "dimmed"


class TestHues:
    """Colour by plane and by nerve."""

    def test_the_colour_of_a_root_needs_no_hues(self, drawn):
        assert hues.hues(*drawn, "root") is None

    def test_other_things_a_colour_could_stand_for_are_refused_with_those_that_it_can(self, drawn):
        with pytest.raises(UnknownNameError, match='colour cannot stand for "size"; choose from root, plane, nerve'):
            hues.hues(*drawn, "size")

    @pytest.mark.parametrize("by", ["plane", "nerve"])
    def test_every_strand_and_every_dot_has_one(self, drawn, by):
        plexus, scene = drawn
        found = hues.hues(plexus, scene, by).strands
        assert {(p.entity, p.root, p.source) for p in strands(scene)} <= set(found)
        dots = {(p.entity, d.root, p.nerve) for p in scene.parts if isinstance(p, Row) for d in p.dots}
        assert dots <= set(found)

    def test_by_plane_a_division_gives_its_colour_to_what_comes_of_it(self, drawn):
        """Walked here from each strand up to the first segment with a plane on each of its ways."""
        plexus, scene = drawn

        def above(id, root):
            segment = plexus.segments[id]
            if segment.plane != "middle":
                return {segment.plane}
            parents = [p for p in segment.parents if root in fibres.of(plexus).between(p, id)]
            return {plane for p in parents for plane in above(p, root)}

        found = hues.hues(plexus, scene, "plane").strands
        for part in strands(scene):
            if part.source is None and part.entity in plexus.segments:
                planes = above(part.entity, part.root)
                wanted = "both" if len(planes) > 1 else next(iter(planes), "neutral")
                assert found[part.entity, part.root, None] == wanted, part

    def test_the_legend_names_the_planes_that_are_there_and_no_others(self, drawn):
        made = hues.hues(*drawn, "plane")
        assert {hue for hue, _ in made.samples} == set(made.strands.values())
        assert [text for _, text in made.samples] == [hues.SAID[hue] for hue, _ in made.samples]

    def test_by_nerve_every_nerve_of_the_last_column_has_a_colour_of_its_own(self, drawn):
        plexus, scene = drawn
        found = hues.hues(plexus, scene, "nerve").strands
        last = {s.id for s in plexus.staged(plexus.stages[-1].id)}
        own = {}
        for part in strands(scene):
            if part.entity in last and part.source is None:
                own.setdefault(part.entity, set()).add(found[part.entity, part.root, None])
        assert all(len(colours) == 1 for colours in own.values())
        every = [colour for colours in own.values() for colour in colours]
        assert len(set(every)) == len(every) >= 2
        assert "neutral" not in every

    def test_by_nerve_fibres_that_several_nerves_share_have_none_yet(self):
        plexus = small("caudal")
        scene = plexusdraw.figure(plexus, detail="muscles", paper="fit").pages()[0].scene
        found = hues.hues(plexus, scene, "nerve")
        assert found.strands["L3", "L3", None] == "neutral", "for thigh, groin and hip nerve"
        assert found.samples == (("neutral", hues.SHARED),)

    def test_the_legend_says_nothing_of_colours_that_are_hidden_or_not_there(self):
        pages = plexusdraw.figure("lumbosacral", upto="divisions", by="plane").pages()
        assert [hue for hue, _ in pages[0].view.hues.samples] == ["anterior", "posterior", "neutral"]
        whole = plexusdraw.figure("lumbosacral", by="plane").pages()
        assert "both" in {hue for hue, _ in whole[0].view.hues.samples}
        tables = plexusdraw.figure("lumbosacral", part="sacral", by="nerve", detail="muscles").pages()
        assert [bool(page.view.hues.samples) for page in tables] == [True, False], "no strand stands beside the table"
