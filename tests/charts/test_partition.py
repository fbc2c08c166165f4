"""Lines that cut an outline: the pieces tile it, whatever the lines."""

from __future__ import annotations

import pytest
from flat import shape
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, union_all
from shapely.ops import split

from plexusdraw.charts.partition import CrossedTwiceError, below, holds, pieces
from plexusdraw.charts.splines import spline
from plexusdraw.scene import curves

few = settings(max_examples=12)
SQUARE = curves.join(
    [curves.line(a, b) for a, b in (((0, 0), (10, 0)), ((10, 0), (10, 10)), ((10, 10), (0, 10)), ((0, 10), (0, 0)))]
)
ROUND = spline([(0, -10), (10, 0), (0, 10), (-10, 0)], closed=True)
COORDINATE = st.floats(-3, 13)
ACROSS = st.tuples(st.tuples(st.just(-5.0), COORDINATE), st.tuples(st.just(15.0), COORDINATE))
DOWN = st.tuples(st.tuples(COORDINATE, st.just(-5.0)), st.tuples(COORDINATE, st.just(15.0)))


def areas(found):
    return [shape(piece).area for piece in found]


@few
@given(ACROSS, DOWN)
def test_pieces_of_a_square_are_those_that_straight_lines_cut_it_into(across, down):
    whole = shape(SQUARE)
    wanted, ends = [whole], (across, down)
    for a, b in ends:
        line = LineString([a, b])
        assume(all(line.distance(Point(corner)) > 1e-3 for corner in whole.exterior.coords))
        wanted = [part for one in wanted for part in split(one, line).geoms]
    assume(all(one.area > 1e-3 for one in wanted))
    found = pieces(SQUARE, [curves.line(a, b) for a, b in ends])
    assert sorted(areas(found)) == pytest.approx(sorted(one.area for one in wanted), rel=1e-4, abs=1e-4)


@few
@given(st.lists(st.tuples(st.floats(-8, 8), st.floats(-8, 8)), min_size=1, max_size=2))
def test_pieces_of_a_round_shape_tile_it(levels):
    borders = [curves.sweep((-12, a), (12, b)) for a, b in levels]
    try:
        found = pieces(ROUND, borders)
    except CrossedTwiceError:
        assume(False)
    assert sum(areas(found)) == pytest.approx(shape(ROUND).area, rel=1e-3)
    assert union_all([shape(p) for p in found]).area == pytest.approx(shape(ROUND).area, rel=1e-3)


def test_two_pieces_share_the_very_cubics_of_the_line_between_them():
    one, other = pieces(ROUND, [curves.sweep((-12, -3), (12, 4))])
    inner = set(one) & set(other)
    assert len(inner) >= 4


def test_a_line_that_ends_within_cuts_nothing():
    assert pieces(SQUARE, [curves.line((-5, 5), (5, 5))]) == [SQUARE]
    assert pieces(SQUARE, [curves.line((20, 0), (20, 10))]) == [SQUARE]
    assert pieces(SQUARE, []) == [SQUARE]


def test_lines_cut_one_after_the_other():
    found = pieces(SQUARE, [curves.line((-5, 5), (15, 5)), curves.line((5, -5), (5, 5.001))])
    assert sorted(areas(found)) == pytest.approx([25, 25, 50], abs=0.1)


def test_a_line_that_crosses_a_piece_twice_is_told_with_its_place():
    wave = spline([(-5, 5), (1, 5), (3, 12), (5, 5), (7, 12), (9, 5), (15, 5)])
    with pytest.raises(CrossedTwiceError) as told:
        pieces(SQUARE, [curves.line((-5, 2), (15, 2)), wave])
    assert told.value.args == (1,)


@few
@given(st.tuples(COORDINATE, COORDINATE))
def test_a_piece_holds_the_points_within_it(point):
    for piece in (SQUARE, ROUND):
        flat = shape(piece)
        assume(flat.boundary.distance(Point(point)) > 0.3)
        assert holds(piece, point) == flat.contains(Point(point))


@pytest.mark.parametrize(("level", "area"), [(-11, None), (0.0, 0.5), (5.0, None), (-5.0, None)])
def test_what_lies_below_a_level(level, area):
    found = below(ROUND, level)
    whole = shape(ROUND)
    half = whole.intersection(
        shape(
            curves.join(
                [
                    curves.line(a, b)
                    for a, b in (
                        ((-20, level), (20, level)),
                        ((20, level), (20, 20)),
                        ((20, 20), (-20, 20)),
                        ((-20, 20), (-20, level)),
                    )
                ]
            )
        )
    )
    assert shape(found).area == pytest.approx(half.area, rel=1e-2)
    if area is not None:
        assert shape(found).area == pytest.approx(whole.area * area, rel=1e-2)


def test_nothing_lies_below_its_lowest_point_and_all_below_one_above_it():
    assert below(SQUARE, 10) is None
    assert below(SQUARE, 11) is None
    assert below(SQUARE, 0) is SQUARE
    assert below(SQUARE, -3) is SQUARE
