"""The picture of one long nerve: order, places, cuts, and that nothing collides."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
import randoms
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import plexusdraw
from plexusdraw.errors import FitError, UnknownNameError
from plexusdraw.layout.checks import faults, texts
from plexusdraw.model.entities import Exit, Place
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Label, Leader, Row, Scene, Spot, Strand

PAPERS = ("a4", "letter")


def nerves(plexus: Plexus) -> list[str]:
    """Terminal nerves, and every other one with a course."""
    last = plexus.stages[-1].id
    return [s.id for s in plexus.segments.values() if s.stage == last or (s.stage is None and s.course)]


def drawable(plexus: Plexus) -> list[str]:
    """Every segment that something leaves."""
    return [id for id, s in plexus.segments.items() if s.course or plexus.children[id]]


def page(plexus: Plexus, nerve: str, **choices):
    return plexusdraw.figure(plexus, nerve=nerve, **choices).pages()[0]


def scene(plexus: Plexus, nerve: str, **choices) -> Scene:
    return page(plexus, nerve, **choices).scene


def named(drawn: Scene, id: str) -> Label:
    return next(p for p in drawn.parts if isinstance(p, Label) and p.entity == id)


def height(drawn: Scene, id: str) -> float:
    """Middle line of a row or a name."""
    for part in drawn.parts:
        if isinstance(part, Row) and part.entity == id:
            return part.name.box.y + part.name.box.h / 2
    box = named(drawn, id).blank
    return box.y + box.h / 2


def followed(plexus: Plexus, nerve: str) -> list[str]:
    """Muscles and skin areas in the order in which a nerve and its branches reach them."""
    found: list[str] = []
    for item in plexus.segments[nerve].course:
        if isinstance(item, Exit):
            found += followed(plexus, item.to) if item.to in plexus.segments else [item.to]
    return found


def strands(drawn: Scene, id: str) -> list[Strand]:
    return [p for p in drawn.parts if isinstance(p, Strand) and p.entity == id]


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("paper", PAPERS)
def test_no_nerve_has_a_fault(brachial, paper, side):
    drawn = {id: scene(brachial, id, paper=paper, side=side) for id in nerves(brachial)}
    assert {id: faults(s) for id, s in drawn.items() if faults(s)} == {}
    assert min(t.size for s in drawn.values() for t in texts(s)) >= 6


@pytest.mark.parametrize("naming", ["short", "english", "latin"])
@pytest.mark.parametrize("with_roots", [False, True])
def test_no_nerve_has_a_fault_in_any_wording(brachial, naming, with_roots):
    drawn = {id: scene(brachial, id, naming=naming, with_roots=with_roots) for id in nerves(brachial)}
    assert {id: faults(s) for id, s in drawn.items() if faults(s)} == {}


@pytest.mark.parametrize("paper", ["a4 portrait", "16:9", "4:3", "square", "a5", "a0", "fit"])
def test_every_paper_holds_or_names_one_that_does(brachial, paper):
    for id in nerves(brachial):
        try:
            assert faults(scene(brachial, id, paper=paper)) == []
        except FitError as error:
            assert "it fits --paper a4" in str(error)


@pytest.mark.parametrize("path", sorted(randoms.MODELS.glob("*.yaml")), ids=lambda p: p.stem)
def test_nerves_of_other_plexuses_hold(path):
    plexus = plexusdraw.load(path)
    for id in drawable(plexus):
        assert faults(scene(plexus, id, paper="fit")) == []


@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    seed=st.integers(0, 10_000),
    roots=st.integers(1, 12),
    stages=st.integers(2, 7),
    long_names=st.booleans(),
    paper=st.sampled_from(["fit", "a4"]),
)
def test_any_segment_of_a_random_model_holds_or_is_refused(random_plexus, seed, roots, stages, long_names, paper):
    plexus = random_plexus(seed, roots=roots, stages=stages, width=4, branches=6, long_names=long_names)
    for id in drawable(plexus):
        try:
            assert faults(scene(plexus, id, paper=paper)) == []
        except FitError:
            assert paper != "fit"


@pytest.mark.parametrize("nerve", ["radial-nerve", "median-nerve", "ulnar-nerve", "axillary-nerve"])
def test_rows_stand_in_the_order_of_the_course(brachial, nerve):
    rows = [p for p in scene(brachial, nerve).parts if isinstance(p, Row)]
    assert [p.entity for p in rows] == followed(brachial, nerve)
    ys = [p.name.y for p in rows]
    assert ys == sorted(ys)


@pytest.mark.parametrize("nerve", ["radial-nerve", "median-nerve", "ulnar-nerve", "deep-branch-of-ulnar-nerve"])
def test_branches_and_levels_stand_between_their_neighbours(brachial, nerve):
    drawn = scene(brachial, nerve)
    course = brachial.segments[nerve].course
    ys = [height(drawn, item.id if isinstance(item, Place) else item.to) for item in course]
    assert ys == sorted(ys)


def test_positions_of_every_nerve_run_down_it(brachial):
    drawn = scene(brachial, "radial-nerve")
    for id in ("radial-nerve", "deep-branch-of-radial-nerve", "posterior-interosseous-nerve"):
        spots = [p for p in drawn.parts if isinstance(p, Spot) and p.entity == id]
        assert [p.at for p in spots] == list(range(len(brachial.segments[id].course)))
        ys = [p.y for p in spots]
        assert ys == sorted(ys)
        assert {p.angle for p in spots} == {90.0}


def test_a_level_has_its_line_where_its_cut_is_marked(brachial):
    drawn = scene(brachial, "radial-nerve")
    ticks = {p.entity: p.curve[0][1] for p in drawn.parts if isinstance(p, Leader) and p.kind == "place"}
    spots = {(p.entity, p.at): p.y for p in drawn.parts if isinstance(p, Spot)}
    for level, y in ticks.items():
        _, segment, at = brachial.places[level]
        assert spots[segment.id, at] == pytest.approx(y)


@pytest.mark.parametrize("nerve", ["radial-nerve", "median-nerve", "suprascapular-nerve"])
def test_pieces_of_a_strand_follow_each_other_without_a_seam(brachial, nerve):
    for root in brachial.roots:
        pieces = [s for s in strands(scene(brachial, nerve), nerve) if s.root == root]
        for a, b in pairwise(pieces):
            assert b.at > a.at
            assert 0 <= a.curve[-1][1] - b.curve[0][1] < 0.2
            assert a.curve[-1][0] == pytest.approx(b.curve[0][0])


def test_strands_keep_one_order_and_end_with_their_last_branch(brachial):
    """T1 is in the radial nerve only for the anconeus."""
    pieces = strands(scene(brachial, "radial-nerve"), "radial-nerve")
    xs = {s.root: s.curve[0][0] for s in pieces if s.at == 0}
    assert sorted(xs, key=lambda r: -xs[r]) == list(brachial.roots)
    anconeus = brachial.segments["radial-nerve"].position_of("anconeus")
    assert max(s.at for s in pieces if s.root == "T1") == anconeus


def test_a_muscle_has_a_strand_and_a_dot_for_each_root(brachial):
    drawn = scene(brachial, "radial-nerve")
    for row in (p for p in drawn.parts if isinstance(p, Row)):
        twigs = {(s.root, s.minor) for s in strands(drawn, row.entity)}
        assert {(d.root, d.minor) for d in row.dots} == twigs


def test_the_right_limb_is_the_mirror_image(brachial):
    left, right = (strands(scene(brachial, "ulnar-nerve", side=side), "ulnar-nerve") for side in ("left", "right"))
    width = scene(brachial, "ulnar-nerve").width
    assert [[(width - x, y) for x, y in s.curve] for s in left] == [list(s.curve) for s in right]


@pytest.mark.parametrize(
    ("site", "nerve", "at"),
    [
        ("radial nerve at spiral groove", "radial-nerve", 7),
        ("posterior interosseous nerve", "posterior-interosseous-nerve", 0),
        ("superficial branch of radial nerve", "superficial-branch-of-radial-nerve", 0),
        ("radial nerve after anconeus", "radial-nerve", 7),
    ],
)
def test_the_cut_is_marked_where_it_is(brachial, site, nerve, at):
    drawn = page(brachial, "injured", injure=site)
    assert drawn.view.cuts == ((nerve, at),)
    assert any(isinstance(p, Spot) and (p.entity, p.at) == (nerve, at) for p in drawn.scene.parts)


def test_only_what_lies_beyond_the_cut_is_lost(brachial):
    drawn = page(brachial, "injured", injure="radial nerve at spiral groove")
    cut = next(p for p in drawn.scene.parts if isinstance(p, Spot) and (p.entity, p.at) == ("radial-nerve", 7))
    for part in drawn.scene.parts:
        if isinstance(part, Strand):
            state = drawn.view.strand((part.entity, part.root, part.source, part.at))
            last = part.curve[-1][1]
            assert state == ("lost" if last > cut.y + 0.5 else "plain"), (part.entity, part.at)


def test_the_words_of_rows_are_those_of_the_injury(brachial):
    """Wrist extensors fail and triceps does not: common practice, no source."""
    words = page(brachial, "injured", injure="radial nerve at spiral groove").view.words
    assert words["extensor-carpi-radialis-longus"] == "paralysed"
    assert words["brachialis"] == "slightly weak"
    assert "triceps-brachii-long-head" not in words


def test_a_muscle_with_two_branches_loses_the_dots_of_one(brachial):
    view = page(brachial, "axillary nerve", injure="anterior branch of axillary nerve").view
    assert view.strands["deltoid", "C5", "anterior-branch-of-axillary-nerve", 0] == "lost"
    assert view.strands["deltoid", "C5", "posterior-branch-of-axillary-nerve", 0] == "plain"
    assert view.words["deltoid"] == "weak"


@pytest.mark.parametrize("model", ["brachial", "lumbosacral", "cervical"])
def test_root_letters_stand_in_their_order_where_no_parent_divides_them(model):
    """Of the phrenic nerve C5 comes by itself, C3 and C4 by a loop."""
    plexus, kept = plexusdraw.load(model), 0
    for nerve in (s.id for s in plexus.staged(plexus.stages[-1].id)):
        letters = [
            p for p in scene(plexus, nerve, paper="fit").parts if isinstance(p, Label) and p.entity in plexus.roots
        ]
        drawn = [plexus.roots.index(p.entity) for p in sorted(letters, key=lambda p: p.blank.y)]
        apart = len(set(drawn)) == len(drawn)  # each root comes by one parent
        assert not apart or drawn == sorted(drawn), nerve
        kept += apart
    assert kept


def test_a_lost_root_is_grey_from_its_letter(brachial):
    drawn = page(brachial, "radial nerve", injure="C7")
    states = {
        s.root: drawn.view.strand((s.entity, s.root, s.source, s.at)) for s in strands(drawn.scene, "radial-nerve")
    }
    assert states == {"C5": "plain", "C6": "plain", "C7": "lost", "C8": "plain", "T1": "plain"}


def test_highlight_keeps_the_way_to_one_muscle(brachial):
    drawn = page(brachial, "radial nerve", highlight="supinator")
    lit = {s.entity for s in drawn.scene.parts if isinstance(s, Strand) and _lit(drawn.view, s)}
    assert lit == {"radial-nerve", "deep-branch-of-radial-nerve", "supinator"}


def _lit(view, strand: Strand) -> bool:
    return view.strand((strand.entity, strand.root, strand.source, strand.at)) == "highlit"


def test_a_view_moves_nothing(brachial):
    plain = scene(brachial, "radial nerve", title="x")
    for choices in ({"injure": "radial nerve at elbow"}, {"highlight": "C7"}, {"hide": "labels"}):
        assert scene(brachial, "radial nerve", title="x", **choices) == plain


def test_a_sheet_with_blanks_does_not_say_which_nerve_it_is(brachial):
    svg = plexusdraw.figure(brachial, nerve="radial nerve", hide="labels").render("svg").decode()
    for word in ("adial", "nterosseous", "supinator", "spiral", "groove", "posterior"):
        assert word not in svg


def test_names_in_one_line_tell_nothing_by_what_stands_after_them(brachial):
    drawn = scene(brachial, "radial nerve")
    after = [s.curve[0][0] for id in ("posterior-arm", "lower-lateral-arm") for s in strands(drawn, id)]
    assert max(after) == pytest.approx(min(after))


@pytest.mark.parametrize(
    ("choices", "message"),
    [
        ({}, "say which nerve"),
        ({"injure": "upper trunk"}, "say which nerve"),
        ({"injure": ("radial nerve", "ulnar nerve")}, "radial nerve, ulnar nerve"),
        ({"nerve": "deltoid"}, "deltoid is a muscle"),
        ({"nerve": "radial nerve", "upto": "trunks"}, "has no stages"),
    ],
)
def test_what_is_no_nerve_is_refused(brachial, choices, message):
    with pytest.raises(UnknownNameError, match=message):
        plexusdraw.figure(brachial, **{"nerve": "injured"} | choices)


def test_the_nerve_of_a_place_or_of_an_injury_is_drawn(brachial):
    assert page(brachial, "carpal tunnel").view.title == "Median nerve"
    notch, branch = "suprascapular nerve at spinoglenoid notch", "posterior interosseous nerve"
    assert page(brachial, "injured", injure=notch).view.title == f"Injury of {notch}"
    assert page(brachial, "injured", injure=branch).view.title == f"Radial nerve: injury of {branch}"


def test_a_nerve_that_nothing_leaves_is_refused(tmp_path):
    """Some segments of random models have neither a course nor children."""
    models = (plexusdraw.load(randoms.write(tmp_path, randoms.rows(seed))) for seed in range(20))
    idle = ((m, s) for m in models for s in m.segments.values() if s.id not in drawable(m))
    plexus, segment = next(idle)
    with pytest.raises(UnknownNameError, match="nothing leaves it"):
        plexusdraw.figure(plexus, nerve=segment.id)


def test_a_nerve_that_goes_on_ends_in_the_names_of_what_it_becomes(brachial):
    drawn = scene(brachial, "posterior cord")
    ends = [p.entity for p in drawn.parts if isinstance(p, Label) and p.entity in ("axillary-nerve", "radial-nerve")]
    assert sorted(ends) == ["axillary-nerve", "radial-nerve"]
    assert not any(isinstance(p, Row) and p.entity == "supinator" for p in drawn.parts)


def test_own_labels_and_large_blanks_have_their_room(brachial):
    from plexusdraw.layout.fit import Options, layout
    from plexusdraw.layout.labels import Wording
    from plexusdraw.layout.paper import paper
    from plexusdraw.routes.fibres import of

    wording = Wording(own=(("radial-nerve-at-axilla", "a place with a very long name"),), blank=(40.0, 6.0))
    drawn = layout(brachial, of(brachial), Options(page=paper("a3"), nerve="radial-nerve", wording=wording))[0]
    assert faults(drawn) == []
    assert named(drawn, "radial-nerve-at-axilla").lines[0].string == "a place with a very long name"
    assert named(drawn, "deep-branch-of-radial-nerve").blank.h >= 5.5


def test_the_checks_see_a_fault_here_too(brachial):
    drawn = scene(brachial, "radial nerve")
    name = named(drawn, "deep-branch-of-radial-nerve")
    onto = replace(name, blank=replace(name.blank, x=name.blank.x - 30))
    assert faults(replace(drawn, parts=(*drawn.parts, onto)))
