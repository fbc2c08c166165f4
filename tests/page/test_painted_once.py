"""What the page works out once, for all strands alike and for both limbs, is what is drawn of each. No browser."""

from __future__ import annotations

from itertools import accumulate

import pytest
from randoms import brachial

from plexusdraw.api import figure
from plexusdraw.look.appearance import Maker
from plexusdraw.look.marks import Disc
from plexusdraw.look.theme import load as load_theme
from plexusdraw.page.alike import Alike
from plexusdraw.page.answers import asked
from plexusdraw.page.build import THEMES
from plexusdraw.page.marks import Pools, flipped, hundredths, place
from plexusdraw.page.pictures import STATES, _Picture, label_key
from plexusdraw.page.strands import Strands
from plexusdraw.scene import Leader, Spot, Strand
from plexusdraw.scene.mirror import is_mirrored
from plexusdraw.scene.view import View, strand_key, strand_keys

LOOKS = tuple(map(load_theme, THEMES.values()))


@pytest.fixture(scope="module")
def pages():
    """The left limb and the right one."""
    return [figure(brachial(), detail="muscles", paper="fit", side=side).pages()[0].scene for side in ("left", "right")]


def told(slot, pools):
    """State → what is drawn: place, paint, dashes."""
    look, places, dashes = slot
    found = {}
    for state, numbers in pools.looks.values[look].items():
        drawn = zip(numbers[::3], numbers[1::3], numbers[2::3], strict=True)
        found[state] = [
            (places[at], pools.paints.values[paint], dash and pools.dashes.values[dashes[dash - 1]])
            for at, paint, dash in drawn
        ]
    return found


def test_strands_alike_are_drawn_as_each_is(pages):
    scene, _ = pages
    strands = [part for part in scene.parts if isinstance(part, Strand)]
    at_once, one_by_one = Pools(), Pools()
    maker = Strands(LOOKS, scene.roots, STATES, at_once)
    views = {s: View(asks=False, strands=dict.fromkeys(map(strand_key, strands), s)) for s in STATES}
    makers = {state: [Maker(scene, view, theme) for theme in LOOKS] for state, view in views.items()}
    assert {strand.minor for strand in strands} == {True, False}
    for strand in strands:
        drawn = {state: [tuple(one.draw(strand)) for one in makers[state]] for state in STATES}
        assert told(maker.slot(strand), at_once) == told(one_by_one.slot(drawn), one_by_one)
    assert len(at_once.looks.values) < len(strands) / 5


def test_parts_alike_are_drawn_as_each_is(pages):
    scene, _ = pages
    keys = strand_keys(scene.parts)
    at_once, one_by_one = (_Picture(scene, LOOKS, keys, asked(brachial(), scene), Pools()) for _ in range(2))
    at_once.runs()
    one_by_one.runs()
    parts = [(part, item) for part, item in at_once.made if not isinstance(part, Strand)]
    assert {type(part) for part, _ in parts} == {type(part) for part in scene.parts} - {Strand}
    slots = 0
    for part, item in parts:
        one_by_one.alike = Alike(one_by_one.pools, len(LOOKS))  # which has seen no part that is alike
        *same, own = one_by_one.part(part)
        assert item[:-1] == same
        assert [told(slot, at_once.pools) for slot in item[-1]] == [told(slot, one_by_one.pools) for slot in own], part
        slots += len(own)
    assert len(at_once.alike.kinds) < slots / 5


def test_places_that_are_one_by_rounding_alone_are_told_apart_where_they_are_not():
    """Parts of one key, of which one has two discs so near to each other that they are one in hundredths of a mm."""

    def slots(*shifts):
        pools = Pools()
        alike = Alike(pools, 1)
        for shift in shifts:

            def draw(way, theme, shift=shift):
                return [Disc(x=shift + d, y=1.0, r=0.5, fill="#000000") for d in (0.0, 0.004)]

            yield told(alike.slot("discs", {"plain": ("plain", 0)}, draw), pools)["plain"]

    both = list(slots(1.0, 1.002))
    assert [len({place for place, *_ in drawn}) for drawn in both] == [1, 2]
    assert both == [*slots(1.0), *slots(1.002)]


def points(place):
    """A place with points in place of steps."""
    letter, *rest = place
    if letter != "p":
        return [letter, *rest]
    return [letter, *accumulate(rest[::2]), *accumulate(rest[1::2])]


def near(place, other):
    """The same place but for roundings; a bar of a cut is the same from either end."""
    pairs = list(zip(points(place), points(other), strict=True))
    return all(abs(a - b) <= 1 if isinstance(a, int) else a == b for a, b in pairs)


@pytest.mark.parametrize("state", ["plain", "highlit", "blank"])
def test_what_is_mirrored_is_drawn_as_the_mirror_image(pages, state):
    wide = hundredths(pages[1].width)
    both = []
    for scene in pages:
        ids, cuts = (
            {p.entity for p in scene.parts if hasattr(p, "entity")},
            [p for p in scene.parts if isinstance(p, Spot)],
        )
        view = View(
            asks=False,
            entities={} if state == "blank" else dict.fromkeys(ids, state),
            blanks=dict.fromkeys(filter(None, map(label_key, scene.parts)), 8) if state == "blank" else {},
            cuts=tuple((spot.entity, spot.at) for spot in cuts),
        )
        both.append(Maker(scene, view, LOOKS[0]))
    found = 0
    for part, other in zip(*(scene.parts for scene in pages), strict=True):
        if not is_mirrored(part) or isinstance(part, Spot):
            continue
        ours, theirs = ([place(mark) for mark in maker.draw(p)] for maker, p in zip(both, (part, other), strict=True))
        assert len(ours) == len(theirs)
        assert all(near(flipped(a, wide), b) for a, b in zip(ours, theirs, strict=True)), part
        found += isinstance(part, Leader | Strand)
    assert found > 300
