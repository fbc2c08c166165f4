"""The chart of the upper limb: areas tile it, muscles lie in it as described, key points fall where they should."""

from __future__ import annotations

import pytest
from shapely import Point, Polygon, union_all

import plexusdraw
from plexusdraw import charts
from plexusdraw.charts.chart import SIDES
from plexusdraw.scene import Curve, curves

CHART = charts.load("upper-limb")
PLEXUS = plexusdraw.load("brachial")
FINE = 24
HAIR = 1e-4
"""Share of an area that flattening curves may cost."""
TILINGS = [(picture, side) for picture in ("skin", "dermatomes") for side in SIDES]


def shape(curve: Curve) -> Polygon:
    return Polygon(curves.samples(curve, FINE))


def patches(picture: str, side: str) -> dict[str, Polygon]:
    found = CHART.tilings[picture][side].patches
    return {patch.id: union_all([shape(piece) for piece in patch.pieces]) for patch in found}


@pytest.mark.parametrize(("picture", "side"), TILINGS)
def test_areas_cover_the_outline(picture, side):
    whole = shape(CHART.outline("skin").curve)
    union = union_all(list(patches(picture, side).values()))
    assert union.symmetric_difference(whole).area < HAIR * whole.area


@pytest.mark.parametrize(("picture", "side"), TILINGS)
def test_areas_do_not_overlap(picture, side):
    pieces = [shape(p) for patch in CHART.tilings[picture][side].patches for p in patch.pieces]
    assert all(piece.is_valid and piece.area > 0.1 for piece in pieces)
    assert sum(p.area for p in pieces) == pytest.approx(union_all(pieces).area, rel=HAIR)


def test_every_area_of_the_model_is_on_the_chart():
    skin = {p.id for side in SIDES for p in CHART.tilings["skin"][side].patches}
    dermatomes = {p.id for side in SIDES for p in CHART.tilings["dermatomes"][side].patches}
    known = {area.id: area for area in PLEXUS.skin.values()}
    assert {id for id, area in known.items() if not area.dermatome} <= skin
    assert {id for id, area in known.items() if area.dermatome} <= dermatomes
    # What no nerve of the plexus supplies is there by name.
    assert skin - set(known) == {"top-of-shoulder", "axilla-and-upper-medial-arm"}
    assert dermatomes - set(known) == {"c4-dermatome", "t2-dermatome"}


def test_every_muscle_of_the_model_is_drawn_or_named_as_not_drawn():
    drawn = {muscle.id for muscle in CHART.muscles}
    assert drawn <= set(PLEXUS.muscles)
    assert drawn.isdisjoint(CHART.absent)
    assert drawn | set(CHART.absent) == set(PLEXUS.muscles)
    assert all(CHART.absent.values())


def named(muscle) -> str:
    return f"{muscle.id} {muscle.side} {muscle.layer}"


@pytest.mark.parametrize("muscle", CHART.muscles, ids=named)
def test_a_muscle_lies_within_the_limb(muscle):
    limb = shape(CHART.outline("muscles").curve)
    belly = shape(muscle.shape.belly)
    assert belly.buffer(0).difference(limb).area < 0.01 * belly.area
    for sinew in muscle.shape.sinews:
        assert all(limb.buffer(0.05).contains(Point(p)) for p in curves.samples(sinew, 8))


@pytest.mark.parametrize("muscle", CHART.muscles, ids=named)
def test_the_origin_is_proximal(muscle):
    """Nearer to the trunk: of a muscle of the trunk above or medial, else above; some run across."""
    (ax, ay), (bx, by) = muscle.path[0], muscle.path[-1]
    if muscle.across:
        assert ax != bx
    elif ax < -9:  # origin on the trunk: above or medial
        assert ay < by or ax < bx
    else:
        assert ay < by


ATTACHED = {
    # Gray H, Anatomy of the Human Body, 1918, the pages given; muscle: part of the names of origin and insertion.
    "deltoid": ("clavicle|acromion|spine", "deltoid-tuberosity"),  # p. 440
    "pectoralis-minor": ("rib-3|rib-5", "coracoid"),  # p. 438
    "subclavius": ("rib-1", "clavicle"),  # p. 438
    "levator-scapulae": ("transverse-process", "scapula"),  # p. 435
    "infraspinatus": ("infraspinous", "greater-tubercle-middle"),  # p. 441
    "teres-minor": ("lateral-border", "greater-tubercle-low"),  # p. 441
    "brachialis": ("humerus-front", "ulnar-tuberosity"),  # p. 444
    "biceps-brachii": ("coracoid|supraglenoid", "radial-tuberosity"),  # p. 444 (insertion)
    "pronator-teres": ("medial-supracondylar", "radius-middle-lateral"),  # p. 446
    "flexor-carpi-radialis": ("medial-epicondyle", "metacarpal-2-base"),  # p. 446
    "extensor-carpi-ulnaris": ("lateral-epicondyle", "metacarpal-5-base"),  # p. 454
    "extensor-indicis": ("ulna-behind", "index"),  # p. 456
    "adductor-pollicis": ("capitate|metacarpal-3", "thumb-proximal-base-medial"),  # p. 462
    "flexor-digiti-minimi-brevis": ("hook-of-hamate", "little-proximal-base"),  # p. 464
    "opponens-digiti-minimi": ("hook-of-hamate", "metacarpal-5-shaft"),  # p. 464
}


@pytest.mark.parametrize("id", ATTACHED)
def test_muscles_are_attached_as_published(id):
    origin, insertion = ATTACHED[id]
    for muscle in (m for m in CHART.muscles if m.id == id):
        assert all(any(part in name for part in origin.split("|")) for name in muscle.origin)
        assert all(insertion in name for name in muscle.insertion)


def test_sources_are_named():
    assert all(muscle.sources for muscle in CHART.muscles)
    assert {s for m in CHART.muscles for s in m.sources} <= set(CHART.sources)


@pytest.mark.parametrize("point", CHART.points, ids=lambda p: p.name)
def test_key_points_fall_into_their_dermatome(point):
    """International Standards for Neurological Classification of Spinal Cord Injury, key sensory points, June 2008."""
    at = Point(point.at)
    assert [id for id, area in patches("dermatomes", point.side).items() if area.contains(at)] == [point.id]


LANDMARKED = {
    # The same sheet says where: root: view, the landmark that the point lies next to, at most so far from it.
    "C5": ("front", "lateral-epicondyle", 2.0),
    "T1": ("front", "medial-epicondyle", 2.0),
    "C6": ("back", "thumb-proximal-base-front", 2.5),
    "C7": ("back", "middle-proximal-base-lateral", 3.0),
    "C8": ("back", "little-proximal-base-lateral", 2.5),
    "C4": ("front", "acromion", 4.5),
}


@pytest.mark.parametrize("name", LANDMARKED)
def test_key_points_lie_where_the_standard_says(name):
    view, landmark, most = LANDMARKED[name]
    (point,) = [p for p in CHART.points if p.name == name]
    assert point.side == view
    assert Point(point.at).distance(Point(CHART.landmarks[landmark])) < most


AUTONOMOUS = [
    # Zones in which one nerve alone gives feeling: common practice of examination, as the model's areas name them.
    ("front", (6.4, 18.0), "axillary-nerve"),  # lower deltoid, where a badge sits
    ("back", (8.6, 84.0), "radial-nerve"),  # first web, behind
    ("front", (8.7, 97.0), "median-nerve"),  # tip of the index
    ("back", (8.7, 97.0), "median-nerve"),
    ("front", (-4.1, 93.6), "ulnar-nerve"),  # tip of the little finger
    ("back", (-4.1, 93.6), "ulnar-nerve"),
    ("front", (4.6, 62.0), "musculocutaneous-nerve"),  # radial side of the forearm
]


@pytest.mark.parametrize(("side", "at", "nerve"), AUTONOMOUS)
def test_autonomous_zones_belong_to_their_nerve(side, at, nerve):
    from plexusdraw.layout.limb import tones

    (area,) = [id for id, a in patches("skin", side).items() if a.contains(Point(at))]
    assert tones.family(PLEXUS, area) == nerve


def test_the_ring_finger_is_shared_down_its_middle():
    """3 1/2 : 1 1/2, on the palm and on the back (statpearls-cutaneous, common practice)."""
    for side in SIDES:
        found = patches("skin", side)
        for down, across in ((91.1, 1.1), (93.0, 0.9)):
            lateral = [id for id, a in found.items() if a.contains(Point(across + 0.6, down))]
            medial = [id for id, a in found.items() if a.contains(Point(across - 0.6, down))]
            assert lateral[0] in ("palmar-lateral-three-and-a-half-digits", "dorsolateral-hand-and-first-web")
            assert medial[0] in ("palmar-medial-one-and-a-half-digits", "dorsomedial-hand")
