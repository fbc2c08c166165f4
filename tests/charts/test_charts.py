"""What holds of every built-in chart: areas tile it, muscles lie in it, all of its model is on it, points are right."""

from __future__ import annotations

import pytest
from flat import HAIR, patches, shape
from shapely import LineString, Point, union_all

import plexusdraw
from plexusdraw import charts
from plexusdraw.charts.chart import LAYERS
from plexusdraw.scene import curves

MODELS = ("brachial", "lumbosacral", "cervical")
CHARTS = {model: charts.of(plexusdraw.load(model)) for model in MODELS}
TILINGS = [
    (model, picture, view.id) for model in MODELS for picture in ("skin", "dermatomes") for view in CHARTS[model].views
]
MUSCLES = [
    pytest.param(model, muscle, id=f"{muscle.id} {muscle.view} {muscle.layer}")
    for model in MODELS
    for muscle in CHARTS[model].muscles
]
POINTS = [pytest.param(model, point, id=point.name) for model in MODELS for point in CHARTS[model].points]
OUTSIDE = {
    # What no nerve or root of the plexus supplies is there by name.
    "brachial": (
        {"top-of-shoulder", "axilla-and-upper-medial-arm"},
        {"c4-dermatome", "t2-dermatome"},
    ),
    "lumbosacral": ({"abdomen", "upper-buttock", "medial-buttock"}, {"t12-dermatome"}),
    "cervical": (
        {"forehead", "cheek", "temple-and-jaw", "back-of-the-scalp", "back-of-neck", "chest", "upper-lateral-arm"},
        {"trigeminal", "c5-dermatome", "t2-dermatome"},
    ),
}
TRUNK = {"brachial": -9.0, "lumbosacral": -4.0, "cervical": -100.0}
"""A muscle that arises medial to this may run lateral instead of down."""


def test_every_built_in_chart_is_that_of_a_model():
    assert {chart.id for chart in CHARTS.values()} == set(charts.charts())


@pytest.mark.parametrize(("model", "picture", "view"), TILINGS)
def test_areas_cover_the_outline(model, picture, view):
    whole = shape(CHARTS[model].outline("skin").curve)
    assert whole.is_valid
    union = union_all(list(patches(CHARTS[model], picture, view).values()))
    assert union.symmetric_difference(whole).area < HAIR * whole.area


@pytest.mark.parametrize(("model", "picture", "view"), TILINGS)
def test_areas_do_not_overlap(model, picture, view):
    pieces = [shape(p) for patch in CHARTS[model].tilings[picture][view].patches for p in patch.pieces]
    assert all(piece.is_valid and piece.area > 0.1 for piece in pieces)
    assert sum(p.area for p in pieces) == pytest.approx(union_all(pieces).area, rel=HAIR)


@pytest.mark.parametrize("picture", ["skin", "dermatomes"])
@pytest.mark.parametrize("model", ["brachial", "lumbosacral"])
def test_areas_go_on_round_the_limb(model, picture):
    """At the edge of the silhouette front and back show the same skin, but for short stretches and the hand or foot."""
    chart, known = CHARTS[model], plexusdraw.load(model).skin
    assert chart.closeup
    rim = shape(chart.outline("skin").curve).buffer(-0.15).exterior
    skin = [LineString(curves.samples(edge, 24)) for edge in chart.outline("skin").skin]
    points = [edge.interpolate(i * 0.4) for edge in skin for i in range(int(edge.length / 0.4))]
    near = [rim.interpolate(rim.project(p)) for p in points if p.y < chart.closeup.start]
    front, back = (patches(chart, picture, view) for view in ("front", "back"))
    pairs = [
        tuple(next(id for id, a in areas.items() if a.buffer(1e-6).covers(p)) for areas in (front, back)) for p in near
    ]
    other = [pair for pair in pairs if pair[0] != pair[1] and known.keys() & {*pair}]
    assert len(other) < 0.1 * len(pairs), sorted(set(other))


@pytest.mark.parametrize("model", MODELS)
def test_every_area_of_the_model_is_on_the_chart(model):
    chart, known = CHARTS[model], plexusdraw.load(model).skin
    skin, dermatomes = (
        {p.id for tiling in chart.tilings[picture].values() for p in tiling.patches}
        for picture in ("skin", "dermatomes")
    )
    assert {id for id, area in known.items() if not area.dermatome} <= skin
    assert {id for id, area in known.items() if area.dermatome} <= dermatomes
    assert (skin - set(known), dermatomes - set(known)) == OUTSIDE[model]


@pytest.mark.parametrize("model", MODELS)
def test_every_muscle_of_the_model_is_drawn_or_named_as_not_drawn(model):
    chart, known = CHARTS[model], set(plexusdraw.load(model).muscles)
    drawn = {muscle.id for muscle in chart.muscles}
    assert drawn.isdisjoint(chart.absent)
    assert drawn | set(chart.absent) == known
    assert all(chart.absent.values())


@pytest.mark.parametrize(("model", "muscle"), MUSCLES)
def test_a_muscle_lies_within_the_limb(model, muscle):
    limb = shape(CHARTS[model].outline("muscles").curve)
    belly = shape(muscle.shape.belly)
    assert belly.buffer(0).difference(limb).area < 0.01 * belly.area
    for sinew in muscle.shape.sinews:
        assert all(limb.buffer(0.05).contains(Point(p)) for p in curves.samples(sinew, 8))


@pytest.mark.parametrize(("model", "muscle"), MUSCLES)
def test_the_origin_is_proximal(model, muscle):
    """Above the insertion; of a muscle of the trunk above or medial; some run across or upwards, and say so."""
    (ax, ay), (bx, by) = muscle.path[0], muscle.path[-1]
    if muscle.across:
        assert (ax, ay) != (bx, by)
    elif ax < TRUNK[model]:
        assert ay < by or ax < bx
    else:
        assert ay < by


@pytest.mark.parametrize("model", MODELS)
def test_a_muscle_is_not_wholly_covered_by_others(model):
    """A name needs a spot of its muscle that no other painted later covers."""
    chart = CHARTS[model]
    for view, layer in ((view.id, layer) for view in chart.views for layer in LAYERS):
        held = [(m.id, shape(m.shape.belly).buffer(0)) for m in chart.muscles if (m.view, m.layer) == (view, layer)]
        seen = dict.fromkeys((id for id, _ in held), 0.0)
        for i, (id, belly) in enumerate(held):
            over = union_all([b for other, b in held[i + 1 :] if other != id])
            seen[id] = max(seen[id], belly.difference(over).area / belly.area)
        assert {id: share for id, share in seen.items() if share < 0.05} == {}


@pytest.mark.parametrize("model", MODELS)
def test_sources_are_named(model):
    chart = CHARTS[model]
    assert all(muscle.sources for muscle in chart.muscles)
    assert {s for m in chart.muscles for s in m.sources} <= set(chart.sources)


@pytest.mark.parametrize(("model", "point"), POINTS)
def test_key_points_fall_into_their_dermatome(model, point):
    """International Standards for Neurological Classification of Spinal Cord Injury; the chart says which edition."""
    at = Point(point.at)
    found = patches(CHARTS[model], "dermatomes", point.view)
    assert [id for id, area in found.items() if area.contains(at)] == [point.id]


@pytest.mark.parametrize("model", MODELS)
def test_every_dermatome_has_its_key_point(model):
    areas = {area.id for area in plexusdraw.load(model).skin.values() if area.dermatome}
    assert areas <= {point.id for point in CHARTS[model].points}
