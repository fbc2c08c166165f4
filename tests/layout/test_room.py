"""What stands in the way is asked about in whatever order; what is free never hangs on it."""

from __future__ import annotations

from random import Random
from types import SimpleNamespace

import pytest

from plexusdraw import fonts
from plexusdraw.layout.columns.room import Room, touches
from plexusdraw.scene import Box, Leader, Note, curves

BOUNDS = Box(0, 0, 100, 60)


def crowd(dice: Random):
    """A few texts, leaders and bundles at random places."""

    def point():
        return dice.uniform(0, 100), dice.uniform(0, 60)

    notes = [Note("legend", "legend", fonts.text("some words", *point(), 8), 20.0) for _ in range(6)]
    lines = [Leader("a", "nerve", curves.line(point(), point())) for _ in range(6)]
    swept = [curves.samples(curves.sweep(point(), point())) for _ in range(4)]
    bundles = [SimpleNamespace(entity=id, half=0.8, trace=trace) for id, trace in zip("abcd", swept, strict=True)]
    return bundles, [*notes, *lines]


@pytest.mark.parametrize("seed", range(5))
def test_what_was_asked_before_changes_no_answer(seed):
    dice = Random(seed)
    bundles, parts = crowd(dice)
    asked = Room.among(BOUNDS, bundles, parts)
    places = [Box(dice.uniform(-5, 95), dice.uniform(-5, 58), 12, 4) for _ in range(150)]
    paths = [((box.x, box.y), (box.right + 6, box.bottom)) for box in places]
    for box, path in zip(places, paths, strict=True):
        fresh = Room.among(BOUNDS, bundles, parts)
        assert asked.free(box, 0.5, "a", 1.5) == fresh.free(box, 0.5, "a", 1.5)
        assert asked.open(*path, "b", strands=True) == fresh.open(*path, "b", strands=True)
    found = {asked.free(box, 0.5, "a", 1.5) for box in places}
    assert found == {True, False}


@pytest.mark.parametrize("seed", range(5))
def test_free_is_what_meets_nothing(seed):
    dice = Random(seed)
    bundles, parts = crowd(dice)
    room = Room.among(BOUNDS, bundles, parts)
    for _ in range(80):
        box = Box(dice.uniform(0, 88), dice.uniform(0, 56), 12, 4)
        texts = any(box.meets(part.text.box, 0.5) for part in parts if isinstance(part, Note))
        leaders = any(touches(box, p.curve[0], p.curve[-1], 0.5) for p in parts if isinstance(p, Leader))
        strands = any(
            touches(box, p, q, 0.8 + (0.5 if b.entity == "a" else 1.5))
            for b in bundles
            for p, q in zip(b.trace, b.trace[1:], strict=False)
        )
        assert room.free(box, 0.5, "a", 1.5) == (not (texts or leaders or strands))


def test_own_strands_may_be_nearer():
    bundle = SimpleNamespace(entity="a", half=0.5, trace=[(0.0, 10.0), (100.0, 10.0)])
    room = Room.among(BOUNDS, [bundle], [])
    box = Box(40, 11.5, 10, 4)
    assert room.free(box, 0.5, "a", 3.0)
    assert not room.free(box, 0.5, "b", 3.0)
    assert room.holds(box)
    assert not room.holds(Box(95, 10, 10, 4))
