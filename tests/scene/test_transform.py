"""Parts moved, flipped, enlarged and left out: whatever kind a part is, all of it goes along."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass, replace

import pytest
import sample

from plexusdraw.scene import Area, Box, Dot, Label, Note, Pill, Row, Scene, Shape, Sinew, Spot, Text, Word
from plexusdraw.scene.transform import FLIPPED, Move, changed, enlarged

SQUARE = ((0, 0), (1, 0), (9, 0), (10, 0), (10, 3), (10, 7), (10, 10))
TEXT = Text("deep", 12, 30, 8, "start", False, Box(12, 27, 9, 4))
LIMB = (
    Area("belly", "muscle", (SQUARE, SQUARE[::-1]), tone=2),
    Sinew("belly", "muscle", SQUARE, 0.6),
    Shape("skin", "limb", "edge", SQUARE),
    Word("belly", "muscle", TEXT),
)
KINDS = [
    pytest.param(kind, found, id=kind.__name__)
    for kind, found in {type(p): p for p in (*sample.scene().parts, *LIMB)}.items()
]
SHIFTS = [Move(5), Move(-3, 12), Move(0, k=2), Move(4, -1, k=0.5)]
FLIPS = [Move(100, flip=True), Move(100, 7, flip=True, k=3)]


def by_hand(move, x, y):
    """Where a point goes by the words of the rule: flip, enlarge, move."""
    x = -x if move.flip else x
    return (pytest.approx(move.k * x + move.dx), pytest.approx(move.k * y + move.dy))


def points(found):
    """All places that a part holds, found by the names and forms of its fields."""
    if isinstance(found, Box):
        return [(found.x, found.y), (found.right, found.bottom)]
    if is_dataclass(found):
        here = [(found.x, found.y)] if isinstance(found, Text | Dot | Spot) else []
        return here + [p for f in fields(found) for p in points(getattr(found, f.name))]
    if isinstance(found, tuple):
        if len(found) == 2 and all(isinstance(n, int | float) for n in found):
            return [found]
        return [p for one in found for p in points(one)]
    return []


def sizes(found):
    """All lengths that grow with a part."""
    grown = {"width", "size", "r", "half", "room"}
    if isinstance(found, tuple):
        return [n for one in found for n in sizes(one)]
    if not is_dataclass(found) or isinstance(found, Box):
        return []
    own = [getattr(found, f.name) for f in fields(found) if f.name in grown]
    return own + [n for f in fields(found) for n in sizes(getattr(found, f.name))]


@pytest.mark.parametrize("move", SHIFTS, ids=str)
@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_every_place_of_a_part_goes_along(kind, part, move):
    moved = move.part(part)
    assert type(moved) is kind
    assert points(moved) == [by_hand(move, *p) for p in points(part)]
    assert points(part)


@pytest.mark.parametrize("move", FLIPS, ids=str)
@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_a_flipped_part_lies_where_its_mirror_image_does(kind, part, move):
    """Of a box the right edge becomes the left one, so places are compared as a set of coordinates."""
    moved = points(move.part(part))
    wanted = [(move.dx - move.k * x, move.k * y + move.dy) for x, y in points(part)]
    for axis in (0, 1):
        assert sorted(p[axis] for p in moved) == pytest.approx(sorted(p[axis] for p in wanted))


@pytest.mark.parametrize("move", [*SHIFTS, *FLIPS], ids=str)
@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_widths_type_and_room_grow_with_it(kind, part, move):
    assert sizes(move.part(part)) == pytest.approx([move.k * n for n in sizes(part)])


@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_what_a_part_is_stays(kind, part):
    for move in (*SHIFTS, *FLIPS):
        moved = move.part(part)
        for name in ("entity", "kind", "root", "source", "at", "minor", "role", "key", "tone", "roots", "via", "nerve"):
            assert getattr(moved, name, None) == getattr(part, name, None)


@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_flipped_twice_a_part_is_where_it_was(kind, part):
    flip = Move(297, flip=True)
    again = flip.part(flip.part(part))
    assert points(again) == [pytest.approx(p) for p in points(part)]


@pytest.mark.parametrize(("kind", "part"), KINDS)
def test_there_and_back_again(kind, part):
    again = Move(-6, 3, k=1).part(Move(6, -3).part(part))
    assert points(again) == [pytest.approx(p) for p in points(part)]


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_text_stays_readable_when_it_is_flipped(anchor):
    text = replace(TEXT, anchor=anchor)
    moved = Move(100, flip=True).text(text)
    assert moved.string == "deep"
    assert moved.box == Box(100 - 21, 27, 9, 4)
    assert FLIPPED[moved.anchor] == anchor
    assert (moved.anchor == anchor) == (anchor == "middle")


def test_a_cut_that_points_down_right_points_down_left_when_flipped():
    spot = Spot("C5", "root", 0, 10, 20, 30.0, 2)
    assert Move(100, flip=True).part(spot).angle == 150
    assert Move(100).part(spot).angle == 30


def test_a_label_that_names_no_strands_names_none_afterwards():
    label = next(p for p in sample.scene().parts if isinstance(p, Label))
    bare, named = replace(label, strands_y=None), replace(label, strands_y=40.0)
    assert Move(1, 2, k=3).part(bare).strands_y is None
    assert Move(1, 2, k=3).part(named).strands_y == 122


def test_all_lines_of_a_plate_and_all_cells_of_a_row_go_along():
    plate = replace(next(p for p in sample.scene().parts if isinstance(p, Pill)), more=(TEXT, TEXT))
    assert [line.x for line in Move(5).part(plate).more] == [17, 17]
    row = next(p for p in sample.scene().parts if isinstance(p, Row))
    moved = Move(5, 2).part(row)
    assert [d.x for d in moved.dots] == [d.x + 5 for d in row.dots]
    assert list(moved.empty) == [(x + 5, y + 2) for x, y in row.empty]
    assert moved.badge.x == row.badge.x + 5


def test_what_is_no_part_is_told_by_name():
    @dataclass
    class Ribbon:
        entity: str

    with pytest.raises(TypeError, match="no way to move Ribbon"):
        Move(1).part(Ribbon("x"))


class TestChanged:
    """A scene with parts changed or left out."""

    def test_it_is_read_in_the_same_order(self):
        scene = sample.scene()
        without = changed(scene, lambda p: None if isinstance(p, Pill) else p)
        assert without.read() == tuple(p for p in scene.read() if not isinstance(p, Pill))
        assert without.parts == tuple(p for p in scene.parts if not isinstance(p, Pill))
        assert len(without.parts) < len(scene.parts)

    def test_nothing_but_parts_changes(self):
        scene = sample.scene()
        same = changed(scene, lambda p: p)
        assert same == scene

    def test_of_an_empty_page_nothing_is_read(self):
        empty = changed(sample.scene(), lambda p: None)
        assert (empty.parts, empty.reading) == ((), ())


@pytest.mark.parametrize("k", [0.5, 1, 2.5])
def test_an_enlarged_page_keeps_its_proportions(k):
    scene = sample.scene()
    large = enlarged(scene, k)
    assert (large.width, large.height, large.margin) == (k * 297, k * 210, k * 10)
    assert isinstance(large, Scene)
    assert len(large.parts) == len(scene.parts)
    for before, after in zip(scene.parts, large.parts, strict=True):
        assert points(after) == [(pytest.approx(k * x), pytest.approx(k * y)) for x, y in points(before)]
        assert sizes(after) == pytest.approx([k * n for n in sizes(before)])
    assert [p.text.string for p in large.parts if isinstance(p, Note)] == [
        p.text.string for p in scene.parts if isinstance(p, Note)
    ]
