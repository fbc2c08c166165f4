"""What a page and a view say of themselves: boxes, reading order, states, secrets."""

from __future__ import annotations

import pytest
import sample
from hypothesis import given, settings
from hypothesis import strategies as st

from plexusdraw.scene import Box, Note, Pill, Strand
from plexusdraw.scene.view import View, strand_key

MM = st.integers(-20, 20)
SIZE = st.integers(1, 15)
BOX = st.builds(Box, MM, MM, SIZE, SIZE)
few = settings(max_examples=60)


def cells(box, grow=0):
    """The squares of 1 mm that a box covers."""
    return {
        (x, y) for x in range(box.x - grow, box.x + box.w + grow) for y in range(box.y - grow, box.y + box.h + grow)
    }


@few
@given(BOX, BOX)
def test_boxes_meet_where_they_cover_a_square_in_common(a, b):
    assert a.meets(b) == bool(cells(a) & cells(b))
    assert a.meets(b) == b.meets(a)


@few
@given(BOX, BOX, st.integers(0, 5))
def test_boxes_meet_at_a_distance_where_one_grown_by_it_covers_the_other(a, b, clear):
    assert a.meets(b, clear) == bool(cells(a, clear) & cells(b))


@few
@given(BOX, MM, MM)
def test_a_box_holds_what_lies_between_its_edges_and_on_them(box, x, y):
    inside = x in range(box.x, box.x + box.w + 1) and y in range(box.y, box.y + box.h + 1)
    assert box.holds(x, y) == inside


def test_boxes_that_touch_do_not_meet():
    assert not Box(0, 0, 5, 5).meets(Box(5, 0, 5, 5))
    assert not Box(0, 0, 5, 5).meets(Box(0, 5, 5, 5))
    assert Box(0, 0, 5, 5).meets(Box(4.9, 4.9, 5, 5))


def test_a_page_is_read_in_its_own_order_not_in_that_of_painting():
    scene = sample.scene()
    assert [scene.parts[i] for i in scene.reading] == list(scene.read())
    assert {type(p) for p in scene.read()}.isdisjoint({Strand})


def test_a_plate_of_several_lines_says_all_of_them():
    pill = next(p for p in sample.scene().parts if isinstance(p, Pill))
    assert pill.lines == (pill.text, *pill.more)


KEY = ("radial-nerve", "C7", None, 2)


@pytest.mark.parametrize("state", ["hidden", "dimmed", "highlit"])
def test_a_strand_without_a_state_of_its_own_is_hidden_dimmed_or_lit_with_its_nerve(state):
    assert View(asks=False, entities={"radial-nerve": state}).strand(KEY) == state


@pytest.mark.parametrize("state", ["lost", "weak", "blank", "slight", "reduced", "plain"])
def test_a_nerve_that_lost_something_says_nothing_of_its_single_strands(state):
    assert View(asks=False, entities={"radial-nerve": state}).strand(KEY) == "plain"


def test_the_state_of_a_strand_goes_before_that_of_its_nerve():
    view = View(asks=False, entities={"radial-nerve": "dimmed"}, strands={KEY: "lost"})
    assert view.strand(KEY) == "lost"
    assert view.strand((*KEY[:3], 3)) == "dimmed"
    assert view.entity("ulnar-nerve") == "plain"


def test_pieces_of_one_strand_have_keys_of_their_own():
    strands = [p for p in sample.scene().parts if isinstance(p, Strand)]
    keys = {strand_key(p) for p in strands}
    assert ("upper-trunk", "C5", "C5", -1) in keys
    assert ("upper-trunk", "C5", None, 0) in keys
    assert all(key[:2] == (p.entity, p.root) for key, p in zip(map(strand_key, strands), strands, strict=True))


@pytest.mark.parametrize(
    ("asks", "blanks", "secret"),
    [(False, {}, False), (True, {}, True), (False, {("C5", "name"): 1}, True), (True, {("C5", "name"): 1}, True)],
)
def test_a_page_is_secret_where_it_asks_and_where_it_has_blanks_whatever_it_says(asks, blanks, secret):
    assert View(asks=asks, blanks=blanks).secret is secret


def test_a_view_must_say_whether_it_asks():
    with pytest.raises(TypeError, match="asks"):
        View(title="A page")


class TestNotes:
    """Words of the page."""

    @pytest.fixture
    def notes(self):
        return {p.role: p for p in sample.scene().parts if isinstance(p, Note)}

    def test_the_title_is_that_of_the_view(self, notes):
        assert View(asks=False, title="Mine").note(notes["title"]) == "Mine"

    def test_other_notes_say_what_stands_on_the_page(self, notes):
        assert View(asks=False, title="Mine").note(notes["legend"]) == notes["legend"].text.string

    def test_a_view_may_put_other_words_in_their_place_or_leave_them_out(self, notes):
        legend = notes["legend"]
        assert View(asks=False, notes={"legend": "Other words."}).note(legend) == "Other words."
        assert View(asks=False, notes={"legend": None}).note(legend) == ""
        assert View(asks=False, title="Mine", notes={"title": None}).note(notes["title"]) == ""
