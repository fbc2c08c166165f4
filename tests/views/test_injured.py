"""An injury on a page: each piece of strand against the routes that run in it, each row against its muscle."""

from __future__ import annotations

import pytest
from randoms import brachial, small

import plexusdraw
from plexusdraw.clinic.injury import injure
from plexusdraw.names import sites
from plexusdraw.routes import fibres
from plexusdraw.scene import Row, Spot, Strand
from plexusdraw.scene.view import strand_key
from plexusdraw.views import injured

MODELS = {"caudal": lambda: small("caudal"), "two-part": lambda: small("two-part"), "brachial": brachial}
PLACES = {
    "caudal": [
        "L3",
        "S1",
        "back band",
        "shin nerve at neck of fibula",
        "thigh nerve at knee",
        "rear half",
        "hip nerve",
    ],
    "two-part": ["A1", "great nerve", "great nerve at mid thigh", "inner nerve", "outer part of great nerve"],
    "brachial": ["C5", "upper trunk", "posterior cord", "radial nerve at spiral groove", "ulnar nerve at elbow"],
}
CASES = [pytest.param(name, place, id=f"{name} {place}") for name, places in PLACES.items() for place in places]


@pytest.fixture(scope="module")
def scenes():
    """Each model with its table."""
    made = {name: plexusdraw.figure(load(), detail="muscles", paper="fit").pages() for name, load in MODELS.items()}
    return {name: pages[0].scene for name, pages in made.items()}


def beyond(plexus, segments):
    """Segments with all that comes of them."""
    found, todo = set(), list(segments)
    while todo:
        found.add(id := todo.pop())
        todo += plexus.children[id]
    return found


def of(kind, scene):
    return [p for p in scene.parts if isinstance(p, kind)]


@pytest.mark.parametrize(("name", "place"), CASES)
def test_a_row_says_what_became_of_its_muscle_and_nothing_where_it_is_spared(scenes, name, place):
    plexus = MODELS[name]()
    injury = injure(plexus, [place])
    shown = injured.states(scenes[name], injury)
    words = {"paralysed": "paralysed", "weak": "weak", "slight": "slightly weak", "lost": "lost", "reduced": "reduced"}
    for row in of(Row, scenes[name]):
        assert shown.words.get(row.entity, "") == words.get(injury.outcome(row.entity).state, "")
        assert (row.entity in shown.entities) == (row.entity in shown.words)


@pytest.mark.parametrize(("name", "place"), CASES)
def test_a_dot_is_crossed_where_no_route_of_its_root_is_left_by_its_nerve(scenes, name, place):
    plexus = MODELS[name]()
    injury = injure(plexus, [place])
    cuts = dict(injury.cuts)
    shown = injured.states(scenes[name], injury)
    for row in of(Row, scenes[name]):
        for dot in row.dots:
            mine = [r for r in fibres.of(plexus).of(row.entity) if r.root == dot.root and row.via in (None, r.path[-1])]
            hit = [any(r.broken_by(segment, at) for segment, at in cuts.items()) for r in mine]
            state = shown.strands.get((row.entity, dot.root, row.via, 0))
            if all(hit) and hit:
                assert state == "lost"
            elif not any(hit):
                assert state in (None, "plain")


@pytest.mark.parametrize(("name", "place"), CASES)
def test_strands_nearer_to_the_cord_than_the_cut_stay_alive(scenes, name, place):
    plexus = MODELS[name]()
    injury = injure(plexus, [place])
    shown = injured.states(scenes[name], injury)
    above = {id for segment, _ in injury.cuts for way in fibres.of(plexus).ways(segment) for id in way[:-1]}
    below = beyond(plexus, [segment for segment, _ in injury.cuts])
    for part in of(Strand, scenes[name]):
        if part.entity in above and part.source is not None:
            assert strand_key(part) not in shown.strands
        if part.entity in plexus.segments and part.entity not in below:
            assert strand_key(part) not in shown.strands


@pytest.mark.parametrize(("name", "place"), CASES)
def test_a_partial_cut_kills_no_strand(scenes, name, place):
    injury = injure(MODELS[name](), [place], partial=True)
    whole = injure(MODELS[name](), [place])
    some, all_ = (injured.states(scenes[name], one) for one in (injury, whole))
    drawn = {strand_key(p) for p in of(Strand, scenes[name])}
    assert {state for key, state in some.strands.items() if key in drawn} <= {"weak"}
    assert set(some.strands) & drawn == set(all_.strands) & drawn


@pytest.mark.parametrize(("name", "place"), CASES)
def test_a_nerve_is_lost_where_all_its_strands_are_and_weak_where_some_are(scenes, name, place):
    shown = injured.states(scenes[name], injure(MODELS[name](), [place]))
    rows = {r.entity for r in of(Row, scenes[name])}
    by_entity = {}
    for part in of(Strand, scenes[name]):
        for id in {part.entity, part.whole} - {""}:
            by_entity.setdefault(id, set()).add(shown.strands.get(strand_key(part), "alive"))
    for id, states in by_entity.items():
        if id not in rows:
            wanted = None if states == {"alive"} else "lost" if states == {"lost"} else "weak"
            assert shown.entities.get(id) == wanted, id


@pytest.mark.parametrize(("name", "place"), CASES)
def test_each_cut_is_marked_on_its_own_nerve_no_further_than_it_is(scenes, name, place):
    injury = injure(MODELS[name](), [place])
    marks = injured.cuts(scenes[name], injury)
    spots = {(s.entity, s.at) for s in of(Spot, scenes[name])}
    assert set(marks) <= spots
    for entity, at in marks:
        ((_, cut),) = [c for c in injury.cuts if c[0] == entity]
        assert at <= cut
        assert not [s for s in spots if s[0] == entity and at < s[1] <= cut], "a nearer mark is there"


def test_a_nerve_that_is_not_drawn_has_no_mark(scenes):
    injury = injure(small("caudal"), ["deep branch of shin nerve"])
    drawn = {s.entity for s in of(Spot, scenes["caudal"])}
    assert {entity for entity, _ in injured.cuts(scenes["caudal"], injury)} == {"deep-branch-of-shin-nerve"} & drawn


def test_a_piece_stands_for_all_up_to_the_next_mark(scenes):
    last = injured.last_positions(scenes["caudal"])
    by_entity = {}
    for spot in of(Spot, scenes["caudal"]):
        by_entity.setdefault(spot.entity, set()).add(spot.at)
    for entity, places in by_entity.items():
        order = sorted(places)
        for here, following in zip(order, [*order[1:], None], strict=True):
            assert last[entity, here] == (here if following is None else following - 1)
    assert len(last) == len({(s.entity, s.at) for s in of(Spot, scenes["caudal"])})


class TestLegend:
    """What the signs mean."""

    @pytest.mark.parametrize(
        ("places", "partial", "begins"),
        [
            (["L3"], False, "Bars: the cut. Grey and dashed: fibres cut off beyond it."),
            (["L3"], True, "Bars: the cut, which spares some fibres."),
            (["L3:partial"], False, "Bars: the cut, which spares some fibres."),
            (["L3:partial", "S1"], False, "Bars: the cuts. Grey and dashed: fibres cut off. Dashed: cut in part."),
            (["L3", "S1"], False, "Bars: the cut. Grey and dashed: fibres cut off beyond it."),
        ],
    )
    def test_it_tells_whole_cuts_from_those_that_spare_some_fibres(self, scenes, places, partial, begins):
        injury = injure(small("caudal"), places, partial)
        assert injured.legend(scenes["caudal"], injury).startswith(begins)

    def test_dots_are_explained_where_there_is_a_table(self, scenes):
        injury = injure(small("caudal"), ["L3"])
        plain = plexusdraw.figure(small("caudal"), detail="nerves", paper="fit").pages()[0].scene
        assert injured.legend(scenes["caudal"], injury).endswith("Dots: filled, principal; ring, minor; cross, lost.")
        assert "Dots" not in injured.legend(plain, injury)

    def test_a_page_without_a_mark_speaks_of_no_bars_and_a_table_alone_of_no_strands(self):
        (course,) = plexusdraw.figure("cervical", nerve="phrenic nerve", injure="C4").pages()
        assert not course.view.cuts
        assert course.view.notes["legend"].startswith("Grey and dashed: fibres cut off before they come here.")
        drawing, table = plexusdraw.figure("lumbosacral", detail="muscles", injure="L5").pages()
        assert drawing.view.notes["legend"].startswith("Bars: the cut.")
        assert table.view.notes["legend"] == "Dots: filled, principal; ring, minor; cross, lost."


def test_every_site_can_be_shown(scenes):
    """Of every place that has a name, what is lost on the page lies beyond it."""
    plexus = small("caudal")
    for site in sites.all_sites(plexus):
        shown = injured.states(scenes["caudal"], injure(plexus, [site]))
        below = beyond(plexus, [site.segment])
        reached = {target for target, nerves in plexus.nerves_of.items() if below & set(nerves)}
        assert {key[0] for key in shown.strands} <= below | reached, site.name
