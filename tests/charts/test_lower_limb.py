"""The chart of the lower limb: attachments, landmarks of key points and autonomous zones as published."""

from __future__ import annotations

import pytest
from flat import assert_attached, patches
from shapely import Point

import plexusdraw
from plexusdraw import charts

CHART = charts.load("lower-limb")
PLEXUS = plexusdraw.load("lumbosacral")

ATTACHED = {
    # Gray H, Anatomy of the Human Body, 1918, the pages given; muscle: part of the names of origin and insertion.
    "vastus-medialis": ("linea-aspera-medial", "patella-medial"),  # p. 471
    "vastus-intermedius": ("femur-front", "patella"),  # p. 471
    "gluteus-medius": ("ilium-outer", "greater-trochanter"),  # p. 475
    "gluteus-minimus": ("ilium-outer", "greater-trochanter-front"),  # p. 475
    "fibularis-tertius": ("fibula-front-lower", "metatarsal-5-base"),  # p. 482
    "extensor-digitorum-brevis": ("calcaneus", "extensor-tendons"),  # p. 490
    "extensor-hallucis-brevis": ("calcaneus", "great-proximal-base"),  # p. 490
    "flexor-digitorum-brevis": ("calcaneal-tuberosity", "flexor-tendons-of-toes"),  # p. 492
    "quadratus-plantae": ("calcaneus", "flexor-tendons-of-sole"),  # p. 493
    "first-lumbrical-of-foot": ("flexor-tendon-2", "second-proximal-base-medial"),  # p. 493
    "second-to-fourth-lumbricals-of-foot": ("flexor-tendon", "medial"),  # p. 493
    # The same book, from memory.
    "sartorius": ("anterior-superior-iliac-spine", "tibia-medial-upper"),
    "gracilis": ("pubic-arch", "tibia-medial-upper"),
    "semitendinosus": ("ischial-tuberosity", "tibia-medial-upper"),
    "rectus-femoris": ("anterior-inferior-iliac-spine", "patella"),
    "biceps-femoris-long-head": ("ischial-tuberosity", "fibula-head"),
    "biceps-femoris-short-head": ("linea-aspera-lateral", "fibula-head"),
    "semimembranosus": ("ischial-tuberosity", "medial-tibial-condyle"),
    "gluteus-maximus": ("ilium-behind|coccyx", "t"),
    "piriformis": ("sacrum-front", "greater-trochanter-top"),
    "psoas-major": ("vertebra", "lesser-trochanter"),
    "pectineus": ("pecten", "pectineal-line"),
    "popliteus": ("lateral-femoral-condyle", "tibia-behind"),
    "tibialis-anterior": ("tibia-lateral", "cuneiform"),
    "tibialis-posterior": ("tibia-and-fibula", "navicular"),
    "fibularis-brevis": ("fibula-side", "metatarsal-5-tuberosity"),
    "extensor-hallucis-longus": ("fibula-front", "great-distal-base"),
    "flexor-hallucis-longus": ("fibula-behind", "great-distal-base"),
    "soleus": ("soleal-line|fibula-behind", "calcaneus"),
    "gastrocnemius-medial-head": ("medial-femoral-condyle", "calcaneus"),
    "gastrocnemius-lateral-head": ("lateral-femoral-condyle", "calcaneus"),
}


@pytest.mark.parametrize("id", ATTACHED)
def test_muscles_are_attached_as_published(id):
    assert_attached(CHART, id, *ATTACHED[id])


def test_the_tendon_of_fibularis_longus_crosses_the_sole():
    (deep,) = [m for m in CHART.muscles if m.id == "fibularis-longus" and m.layer == "deep"]
    assert deep.insertion == ("metatarsal-1-base-plantar",)


LANDMARKED = {
    # International Standards for Neurological Classification of Spinal Cord Injury, revised 2019 (memory): root: view,
    # the landmark that the point lies next to, at most so far from it.
    "T12": ("front", "inguinal-ligament-middle", 0.5),
    "L3": ("front", "adductor-tubercle", 1.5),
    "L5": ("front", "third-proximal-base", 1.5),
    "S1": ("back", "calcaneal-tuberosity-lateral", 1.5),
    "S3": ("back", "ischial-tuberosity", 2.5),
}


@pytest.mark.parametrize("name", LANDMARKED)
def test_key_points_lie_where_the_standard_says(name):
    view, landmark, most = LANDMARKED[name]
    (point,) = [p for p in CHART.points if p.name == name]
    assert point.view == view
    assert Point(point.at).distance(Point(CHART.landmarks[landmark])) < most


def test_key_points_of_the_thigh_lie_midway():
    """L2 between the middle of the inguinal ligament and the medial femoral condyle, L1 between that and T12."""
    at = {p.name: p.at for p in CHART.points}
    for name, ends in (("L2", ("T12", "L3")), ("L1", ("T12", "L2"))):
        middle = [(a + b) / 2 for a, b in zip(*(at[end] for end in ends), strict=True)]
        assert Point(at[name]).distance(Point(middle)) < 0.6


ZONES = [
    # Zones in which one nerve alone gives feeling: common practice of examination, as the model's areas name them.
    ("front", (-1.7, 93.6), "medial-branch-of-deep-fibular-nerve"),  # first web
    ("front", (0.4, 90.0), "medial-dorsal-cutaneous-nerve"),  # dorsum
    ("front", (3.6, 91.0), "sural-nerve"),  # lateral border of the foot
    ("back", (3.7, 90.8), "sural-nerve"),
    ("front", (-3.0, 66.0), "medial-cutaneous-branches-of-leg"),  # medial leg: saphenous
    ("front", (-2.8, 81.2), "medial-cutaneous-branches-of-leg"),  # medial malleolus
    ("front", (5.0, 26.0), "lateral-femoral-cutaneous-nerve"),  # lateral thigh
    ("back", (-2.4, 93.0), "medial-plantar-nerve"),  # ball of the great toe
    ("back", (2.6, 92.4), "lateral-plantar-nerve"),  # lateral sole
    ("back", (0.0, 84.0), "medial-calcaneal-branches"),  # heel
    ("back", (0.0, 40.0), "posterior-femoral-cutaneous-nerve"),  # back of the thigh
]


@pytest.mark.parametrize(("view", "at", "nerve"), ZONES)
def test_autonomous_zones_belong_to_their_nerve(view, at, nerve):
    (area,) = [id for id, a in patches(CHART, "skin", view).items() if a.contains(Point(at))]
    assert nerve in PLEXUS.nerves_of[area]


def test_the_fourth_toe_is_shared_down_its_middle():
    """3 1/2 : 1 1/2 on the sole (wheeless, common practice)."""
    found = patches(CHART, "skin", "back")
    for down, across in ((95.6, 2.24), (97.0, 2.22)):
        assert found["medial-sole"].contains(Point(across - 0.35, down))
        assert found["lateral-sole"].contains(Point(across + 0.35, down))


def test_a_branch_of_two_nerves_has_a_colour_of_its_own():
    from plexusdraw.layout.limb import tones

    assert tones.family(PLEXUS, "lateral-border-of-foot") == "sural-nerve"
    assert tones.family(PLEXUS, "heel") == "tibial-nerve"
    assert "sural-nerve" in tones.families(PLEXUS)
