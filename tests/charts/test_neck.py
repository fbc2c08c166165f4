"""The chart of the side of head and neck: attachments, landmarks of key points and areas of the nerves as published."""

from __future__ import annotations

import pytest
from flat import assert_attached, patches
from shapely import Point

import plexusdraw
from plexusdraw import charts

CHART = charts.load("neck")
PLEXUS = plexusdraw.load("cervical")

ATTACHED = {
    # Gray H, Anatomy of the Human Body, 1918, the pages given; muscle: part of the names of origin and insertion.
    "thyrohyoid": ("thyroid-cartilage", "hyoid-greater-horn"),  # p. 394
    "sternothyroid": ("manubrium", "thyroid-cartilage"),  # p. 394 (insertion)
    "omohyoid-inferior-belly": ("scapula-superior-border", "omohyoid-tendon"),  # p. 394
    "omohyoid-superior-belly": ("omohyoid-tendon", "hyoid-body"),  # p. 394
    "levator-scapulae": ("transverse-process", "scapula-superior-angle"),  # p. 435
    # The same book, from memory.
    "sternocleidomastoid": ("manubrium|clavicle-medial", ""),
    "sternohyoid": ("manubrium", "hyoid-body"),
    "geniohyoid": ("mandible", "hyoid-body"),
    "scalenus-anterior": ("transverse-process", "rib-1-scalene-tubercle"),
    "scalenus-medius": ("transverse-process", "rib-1-behind"),
    "longus-capitis": ("transverse-process", "occiput-basilar"),
    "rectus-capitis-lateralis": ("atlas", "occiput-jugular"),
}


@pytest.mark.parametrize("id", ATTACHED)
def test_muscles_are_attached_as_published(id):
    assert_attached(CHART, id, *ATTACHED[id])


def test_sternocleidomastoid_reaches_mastoid_and_nuchal_line():
    (muscle,) = [m for m in CHART.muscles if m.id == "sternocleidomastoid"]
    assert muscle.insertion == ("mastoid-process", "superior-nuchal-line")


LANDMARKED = {
    # International Standards for Neurological Classification of Spinal Cord Injury, key sensory points, June 2008.
    "C2": ("occipital-protuberance", 2.5),  # at least 1 cm lateral to it; 1 is 4 mm
    "C3": ("clavicle-medial-third", 5.5),  # in the supraclavicular fossa
    "C4": ("acromion", 1.5),  # over the acromioclavicular joint
}


@pytest.mark.parametrize("name", LANDMARKED)
def test_key_points_lie_where_the_standard_says(name):
    landmark, most = LANDMARKED[name]
    (point,) = [p for p in CHART.points if p.name == name]
    assert Point(point.at).distance(Point(CHART.landmarks[landmark])) < most


AREAS = [
    # As the sources of the model's areas have it: what lies at a place, and the nerve of the plexus that feels there.
    ((6.0, 26.0), "lesser-occipital-nerve"),  # behind the upper ear
    ((0.0, 38.0), "great-auricular-nerve"),  # lobule of the ear
    ((-3.4, 46.0), "great-auricular-nerve"),  # angle of the jaw
    ((-6.0, 62.0), "transverse-cervical-nerve"),  # side of the larynx
    ((-13.0, 86.0), "medial-supraclavicular-nerve"),  # manubrium
    ((4.0, 84.0), "lateral-supraclavicular-nerve"),  # tip of the shoulder
]


@pytest.mark.parametrize(("at", "nerve"), AREAS)
def test_areas_belong_to_their_nerve(at, nerve):
    (area,) = [id for id, a in patches(CHART, "skin", "side").items() if a.contains(Point(at))]
    assert nerve in PLEXUS.nerves_of[area]


def test_the_face_is_the_trigeminal_nerve():
    found = patches(CHART, "skin", "side")
    for place in ((-18.0, 18.0), (-20.0, 34.0), (-20.0, 48.0), (-6.0, 28.0)):
        (area,) = [id for id, a in found.items() if a.contains(Point(place))]
        assert area not in PLEXUS.skin
