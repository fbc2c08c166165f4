"""The other limb: all but words and their order is the mirror image."""

from __future__ import annotations

import pytest
import sample

from plexusdraw.scene import Note, Pill, Row, Spot, Strand
from plexusdraw.scene.mirror import is_mirrored, mirrored

LEFT = sample.scene()
RIGHT = mirrored(LEFT)
PAIRS = list(zip(LEFT.parts, RIGHT.parts, strict=True))


def of(kind):
    """Parts of a kind, each with what became of it."""
    found = [(a, b) for a, b in PAIRS if isinstance(a, kind)]
    assert found
    return found


def test_the_page_says_which_limb_it_is_and_is_else_the_same_page():
    assert (LEFT.side, RIGHT.side) == ("left", "right")
    assert (RIGHT.width, RIGHT.height, RIGHT.margin) == (LEFT.width, LEFT.height, LEFT.margin)
    assert RIGHT.reading == LEFT.reading
    assert [type(p) for p in RIGHT.parts] == [type(p) for p in LEFT.parts]


def test_strands_run_the_other_way():
    for a, b in of(Strand):
        assert b.curve == tuple((pytest.approx(LEFT.width - x), pytest.approx(y)) for x, y in a.curve)
        assert b.width == a.width


def test_cuts_lie_across_the_mirrored_strands():
    for a, b in of(Spot):
        assert (b.x, b.y) == (pytest.approx(LEFT.width - a.x), a.y)
        assert (a.angle + b.angle) % 360 == pytest.approx(180)


def test_every_word_stays_a_word():
    for a, b in of(Pill):
        assert b.text.string == a.text.string
        assert b.box.w == pytest.approx(a.box.w)
        assert b.box.x + b.box.w / 2 == pytest.approx(LEFT.width - a.box.x - a.box.w / 2)


def test_what_is_said_of_the_page_stays_at_its_head_and_foot():
    kept = [(a, b) for a, b in of(Note) if a.role not in ("table-heading", "table-root")]
    assert kept
    assert all(a == b for a, b in kept)


def test_the_heading_of_the_table_goes_with_the_table():
    ((a, b),) = [(a, b) for a, b in of(Note) if a.role == "table-heading"]
    assert b.text.box.right == pytest.approx(LEFT.width - a.text.box.x)


def test_roots_stand_in_the_table_from_left_to_right_as_before():
    """C5 is left of C6 in either limb, in the head and in every row."""
    for scene in (LEFT, RIGHT):
        heads = [p for p in scene.parts if isinstance(p, Note) and p.role == "table-root"]
        assert [p.text.string for p in sorted(heads, key=lambda p: p.text.x)] == list(sample.ROOTS)


def test_a_dot_stands_under_its_root_and_the_free_cells_under_the_others():
    at = {p.text.string: p.text.x for p in RIGHT.parts if isinstance(p, Note) and p.role == "table-root"}
    for a, b in of(Row):
        assert [(d.root, d.minor) for d in b.dots] == [(d.root, d.minor) for d in a.dots]
        assert all(d.x == pytest.approx(at[d.root]) for d in b.dots)
        free = {root for root in at if root not in {d.root for d in a.dots}}
        assert sorted(x for x, _ in b.empty) == pytest.approx(sorted(at[root] for root in free))


def test_mirrored_twice_every_part_is_where_it_was():
    again = mirrored(RIGHT)
    for (a, _), c in zip(PAIRS, again.parts, strict=True):
        if isinstance(a, Strand):
            assert c.curve == tuple((pytest.approx(x), pytest.approx(y)) for x, y in a.curve)
        if isinstance(a, Row):
            assert [d.x for d in c.dots] == pytest.approx([d.x for d in a.dots])


def test_only_notes_and_rows_are_more_than_a_mirror_image():
    assert {type(p) for p in LEFT.parts if not is_mirrored(p)} == {Note, Row}
