"""The chart of the upper limb: attachments, landmarks of key points and autonomous zones as published."""

from __future__ import annotations

import pytest
from flat import assert_attached, patches
from shapely import Point

import plexusdraw
from plexusdraw import charts

CHART = charts.load("upper-limb")
PLEXUS = plexusdraw.load("brachial")


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
    assert_attached(CHART, id, *ATTACHED[id])


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
    assert point.view == view
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

    (area,) = [id for id, a in patches(CHART, "skin", side).items() if a.contains(Point(at))]
    assert tones.family(PLEXUS, area) == nerve


def test_the_ring_finger_is_shared_down_its_middle():
    """3 1/2 : 1 1/2, on the palm and on the back (statpearls-cutaneous, common practice)."""
    for side in ("front", "back"):
        found = patches(CHART, "skin", side)
        for down, across in ((91.1, 1.1), (93.0, 0.9)):
            lateral = [id for id, a in found.items() if a.contains(Point(across + 0.6, down))]
            medial = [id for id, a in found.items() if a.contains(Point(across - 0.6, down))]
            assert lateral[0] in ("palmar-lateral-three-and-a-half-digits", "dorsolateral-hand-and-first-web")
            assert medial[0] in ("palmar-medial-one-and-a-half-digits", "dorsomedial-hand")
