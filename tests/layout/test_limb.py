"""What must hold of every picture of a limb: nothing collides, leaders do not cross, type stays readable."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from night import by_day, first

import plexusdraw
from plexusdraw.errors import FitError
from plexusdraw.layout.checks import faults, texts
from plexusdraw.layout.limb import labels
from plexusdraw.scene import Area, Heading, Label, Leader, Note, Shape, Word

PICTURES = ("skin", "muscles", "dermatomes")
PAPERS = ("a4", "16:9", "square", "a5", "fit", "a4 portrait", "4:3", "letter", "letter portrait", "a3", "a0", "poster")
OTHERS = {"lumbosacral": "sciatic nerve", "cervical": "great auricular nerve"}
"""Other models that have a chart, and an injury of each."""
MODELS = ("brachial", *OTHERS)


def scenes(model="brachial", **choices):
    return [page.scene for page in plexusdraw.figure(model, **choices).pages()]


@pytest.mark.parametrize("injure", [(), ("upper trunk",)], ids=["plain", "injured"])
@pytest.mark.parametrize("paper", first(PAPERS, 5))
@pytest.mark.parametrize("limb", PICTURES)
def test_nothing_collides_or_leaves_the_page(limb, paper, injure):
    assert [f for scene in scenes(limb=limb, paper=paper, injure=injure) for f in faults(scene)] == []


@pytest.mark.parametrize("paper", first(["a4", "4:3", "a5", "a4 portrait", "16:9", "fit"], 3))
@pytest.mark.parametrize("limb", PICTURES)
@pytest.mark.parametrize("model", OTHERS)
def test_nothing_collides_on_other_charts(model, limb, paper):
    found = scenes(model, limb=limb, paper=paper, injure=OTHERS[model], side="right")
    assert [f for scene in found for f in faults(scene)] == []


@pytest.mark.parametrize("naming", ["short", "english", "latin"])
@pytest.mark.parametrize("model", OTHERS)
def test_every_name_style_of_other_charts_is_free_of_faults(model, naming):
    found = [s for limb in PICTURES for s in scenes(model, limb=limb, naming=naming, by="root", paper="a3")]
    assert [f for scene in found for f in faults(scene)] == []


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("naming", ["short", "english", "latin"])
@pytest.mark.parametrize("by", ["nerve", "root", "state"])
@pytest.mark.nightly
def test_every_name_style_side_and_colouring_is_free_of_faults(naming, side, by):
    found = scenes(limb="muscles", naming=naming, side=side, by=by, paper="a3")
    assert [f for scene in found for f in faults(scene)] == []


@pytest.mark.parametrize("layer", ["superficial", "deep"])
def test_one_layer(layer):
    (scene,) = scenes(limb="muscles", layer=layer)
    assert faults(scene) == []
    other = {"superficial": "brachialis", "deep": "deltoid"}[layer]
    assert other not in {getattr(part, "entity", "") for part in scene.parts}


def test_both_layers_stand_side_by_side_where_there_is_room():
    assert [len(scenes(limb="muscles", paper=paper)) for paper in ("a3", "a4", "letter", "a4 portrait")] == [1, 1, 1, 2]


@pytest.mark.parametrize(("paper", "least"), [("a4", 6.0), ("letter portrait", 6.0), ("16:9", 14.0), ("4:3", 10.5)])
@pytest.mark.parametrize("limb", PICTURES)
def test_type_stays_readable(limb, paper, least):
    found = scenes(limb=limb, paper=paper, injure="radial nerve at spiral groove")
    assert min(text.size for scene in found for text in texts(scene)) >= least


@pytest.mark.parametrize("model", MODELS)
def test_on_a_slide_names_of_what_changes_go_before_those_of_all_else(model):
    """So that an injury stands on few slides; the legend says which names are left out."""
    injury = {**OTHERS, "brachial": "radial nerve at spiral groove", "lumbosacral": "common fibular nerve"}[model]
    found = scenes(model, limb="muscles", paper="16:9", naming="latin", injure=injury)
    assert len(found) <= 2
    named = {p.entity for s in found for p in s.parts if isinstance(p, Label)}
    drawn = {p.entity for s in found for p in s.parts if isinstance(p, Area) and p.kind == "muscle"}
    harmed = {id for id, o in plexusdraw.injure(plexusdraw.load(model), [injury]).muscles.items() if o.loss}
    assert harmed & drawn <= named
    said = " ".join(p.text.string for s in found for p in s.parts if isinstance(p, Note))
    assert (named == drawn) != ("Named is only what changes." in said)


MATRIX = list(
    product(MODELS, PICTURES, ("a4", "a4 portrait", "letter", "16:9", "4:3", "a3"), ("short", "english", "latin"))
)[::5]
"""A fifth of all; each paper, naming and picture of each model comes up."""


@pytest.mark.parametrize("case", by_day(MATRIX, MATRIX[::2]), ids=" ".join)
def test_no_picture_of_the_matrix_is_refused(case):
    model, limb, paper, naming = case
    least = {"16:9": 14.0, "4:3": 10.5}.get(paper, 6.0)
    for scene in scenes(model, limb=limb, paper=paper, naming=naming, hide="labels", theme="grayscale"):
        assert faults(scene) == []
        assert min(text.size for text in texts(scene)) >= least


def test_too_small_a_paper_is_refused_with_one_that_would_do():
    with pytest.raises(FitError, match=r"does not fit on 60x60 mm; it would on a"):
        scenes(limb="muscles", paper="60x60")


@pytest.mark.parametrize("limb", PICTURES)
@pytest.mark.parametrize("model", MODELS)
def test_all_that_is_drawn_has_a_name(model, limb):
    found = scenes(model, limb=limb)
    drawn = {p.entity for s in found for p in s.parts if isinstance(p, Area) and p.kind != "legend"}
    assert drawn == {p.entity for s in found for p in s.parts if isinstance(p, Label)}


@pytest.mark.parametrize("model", MODELS)
def test_a_leader_ends_in_its_own_area(model):
    """And, of a muscle, where none that lies over it hides it."""
    from shapely import Point, Polygon, unary_union

    from plexusdraw.scene import curves

    for scene in scenes(model, limb="muscles"):
        areas = [
            (p.entity, unary_union([Polygon(curves.samples(c, 12)).buffer(0) for c in p.curves]))
            for p in scene.parts
            if isinstance(p, Area) and p.kind == "muscle"
        ]
        pins = [p for p in scene.parts if isinstance(p, Shape) and p.role == "pin"]
        assert pins
        for pin in pins:
            over = [entity for entity, area in areas if area.contains(Point(pin.curve[0]))]
            assert over[-1:] == [pin.entity]


def test_the_right_limb_is_mirrored_and_its_text_is_not():
    (left,), (right,) = scenes(limb="skin"), scenes(limb="skin", side="right")
    bodies = [next(p.curve for p in s.parts if isinstance(p, Shape) and p.role == "body") for s in (left, right)]
    (ax, ay), *_ = bodies[0]
    (bx, by), *_ = bodies[1]
    for (x, y), (u, v) in zip(*bodies, strict=True):
        assert x - ax == pytest.approx(bx - u, abs=1e-6)
        assert y - ay == pytest.approx(v - by, abs=1e-6)
    heads = [[p.text.string for p in s.parts if isinstance(p, Heading)] for s in (left, right)]
    assert heads[0] == heads[1] == ["Front", "Back", "Palm of the hand", "Back of the hand"]
    assert right.side == "right"
    assert "right upper limb" in {p.text.string for p in right.parts if isinstance(p, Note)}


def test_hands_are_drawn_larger():
    (scene,) = scenes(limb="skin")
    bodies = [p.curve for p in scene.parts if isinstance(p, Shape) and p.role == "body"]
    assert len(bodies) == 4
    heights = [max(y for _, y in curve) - min(y for _, y in curve) for curve in bodies]
    # The hand is a quarter of the limb (common practice of anthropometry); close up it is nearly twice as large.
    assert heights[2] > 1.8 * 0.25 * heights[0]


def test_room_for_words_only_after_an_injury():
    assert not any(isinstance(p, Word) for s in scenes(limb="muscles") for p in s.parts)
    (scene,) = scenes(limb="muscles", layer="deep", injure="C5")
    words = [p for p in scene.parts if isinstance(p, Word)]
    assert len(words) == len([p for p in scene.parts if isinstance(p, Label)])


def test_no_room_for_a_state_beside_what_has_none():
    """The palest areas belong to no nerve of the plexus, so an injury has no word for them."""
    (scene,) = scenes("cervical", limb="skin", injure="great auricular nerve")
    known = set(plexusdraw.load("cervical").skin)
    assert {p.entity for p in scene.parts if isinstance(p, Label)} - known
    assert {p.entity for p in scene.parts if isinstance(p, Word)} <= known


def test_what_is_not_drawn_is_named_in_lines_that_fit():
    for paper in ("a4", "a5", "16:9"):
        for scene in scenes("lumbosacral", limb="muscles", paper=paper):
            said = " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.key.startswith("absent"))
            assert said.startswith("Not drawn: cremaster,")
            assert said.endswith("perineal muscles.")  # one name for four


def test_one_view_has_one_figure_and_mirrors_it():
    for side, limb in (("left", "left side of the neck"), ("right", "right side of the neck")):
        (scene,) = scenes("cervical", limb="skin", side=side)
        assert [p.text.string for p in scene.parts if isinstance(p, Heading)] == ["Side view"]
        assert limb in {p.text.string for p in scene.parts if isinstance(p, Note)}
    faces = [
        next(p.curve[0][0] for p in scene.parts if isinstance(p, Leader) and p.entity == "forehead")
        for side in ("left", "right")
        for scene in scenes("cervical", limb="skin", side=side)
    ]
    assert faces[0] < faces[1]


def test_a_view_moves_nothing():
    plain = scenes(limb="muscles", layer="deep")
    assert plain == scenes(limb="muscles", layer="deep", hide="labels")
    assert plain == scenes(limb="muscles", layer="deep", highlight="C7")


def test_spread_keeps_order_distance_and_bounds():
    ys = labels.spread([5.0, 5.0, 6.0, 40.0], [4.0, 4.0, 4.0, 4.0], 0.0, 42.0)
    assert ys == sorted(ys)
    assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(ys))
    assert ys[0] >= 2.0
    assert ys[-1] <= 40.0
    assert ys[3] == 40.0


def test_leaders_start_at_the_edge_of_their_name():
    for scene in scenes(limb="skin"):
        lines = {(p.entity, p.curve[0]) for p in scene.parts if isinstance(p, Leader)}
        for label in (p for p in scene.parts if isinstance(p, Label)):
            boxes = [line.box for line in label.lines]
            near = [
                start
                for entity, start in lines
                if entity == label.entity
                and min(abs(start[0] - min(b.x for b in boxes)), abs(start[0] - max(b.right for b in boxes))) < 2
            ]
            assert near
