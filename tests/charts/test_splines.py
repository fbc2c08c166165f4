"""Smooth chains through the points of a chart, spindles and digits: what they pass, how wide they are."""

from __future__ import annotations

from itertools import pairwise
from math import dist, hypot

import pytest
from flat import shape
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plexusdraw.charts.splines import SINEW, SMALL, Knot, Run, digit, outline, sheet, spindle, spline
from plexusdraw.scene import curves

few = settings(max_examples=25)
PERCENT = st.floats(-50, 50)
POINTS = st.lists(st.tuples(PERCENT, PERCENT), min_size=2, max_size=7, unique=True)
SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def apart(points, least=1.0):
    return all(dist(a, b) >= least for a, b in pairwise(points))


def ways(curve, index):
    """Directions in which a chain arrives at the joint after a cubic, and leaves it."""
    pieces = list(curves.cubics(curve))
    return curves.angle(pieces[index], at_end=True), curves.angle(pieces[(index + 1) % len(pieces)])


class TestSpline:
    """A chain through points."""

    @few
    @given(POINTS)
    def test_it_passes_every_point_in_order(self, points):
        assert list(spline(points)[::3]) == points
        assert list(spline(points, closed=True)[::3]) == [*points, points[0]]

    @few
    @given(POINTS)
    def test_it_is_smooth_at_every_inner_point(self, points):
        assume(apart(points) and all(dist(a, b) > 1 for a, b in zip(points, points[2:], strict=False)))
        curve = spline(points)
        for index in range(len(points) - 2):
            arrives, leaves = ways(curve, index)
            assert abs((arrives - leaves + 180) % 360 - 180) < 1e-3

    def test_a_closed_one_is_smooth_where_it_closes(self):
        arrives, leaves = ways(spline(SQUARE, closed=True), 3)
        assert arrives == pytest.approx(leaves)

    def test_at_a_sharp_point_it_has_a_corner(self):
        curve = spline(SQUARE, frozenset({1}), closed=True)
        arrives, leaves = ways(curve, 0)
        assert abs(arrives - leaves) > 30
        assert ways(curve, 1)[0] == pytest.approx(ways(curve, 1)[1])

    def test_with_corners_everywhere_it_is_straight_from_point_to_point(self):
        curve = spline(SQUARE, frozenset(range(4)), closed=True)
        assert shape(curve).area == pytest.approx(100)

    @few
    @given(POINTS)
    def test_handles_are_a_third_of_the_way_to_the_neighbour(self, points):
        for c in curves.cubics(spline(points)):
            third = dist(c[0], c[3]) / 3
            assert dist(c[0], c[1]) == pytest.approx(third, abs=1e-6)
            assert dist(c[2], c[3]) == pytest.approx(third, abs=1e-6)

    def test_between_two_points_it_is_a_straight_line(self):
        assert {y for _, y in curves.samples(spline([(0, 3), (9, 3)]))} == {3}


class TestOutline:
    """A silhouette."""

    def test_without_a_cut_all_of_it_is_skin(self):
        whole, skin, cut = outline([Knot(p) for p in SQUARE])
        assert skin == (whole,)
        assert cut == ()

    def test_where_the_limb_is_cut_off_the_edge_is_straight_and_no_skin(self):
        knots = [Knot(SQUARE[0], "cut"), *map(Knot, SQUARE[1:])]
        whole, (skin,), (cut,) = outline(knots)
        assert (cut[0], cut[-1]) == (SQUARE[0], SQUARE[1])
        assert {y for _, y in curves.samples(cut)} == {0}
        assert (skin[0], skin[-1]) == (SQUARE[1], SQUARE[0])
        assert len(whole) == len(skin) + len(cut) - 1

    def test_two_cuts_leave_two_edges_of_skin(self):
        knots = [Knot(p, "cut" if i in (0, 2) else "") for i, p in enumerate(SQUARE)]
        _, skin, cut = outline(knots)
        assert [(edge[0], edge[-1]) for edge in cut] == [(SQUARE[0], SQUARE[1]), (SQUARE[2], SQUARE[3])]
        assert sorted((edge[0], edge[-1]) for edge in skin) == sorted([(SQUARE[1], SQUARE[2]), (SQUARE[3], SQUARE[0])])

    def test_neighbouring_cuts_leave_no_skin_between(self):
        knots = [Knot(p, "cut" if i < 2 else "") for i, p in enumerate(SQUARE)]
        _, skin, cut = outline(knots)
        assert len(cut) == 2
        assert [(edge[0], edge[-1]) for edge in skin] == [(SQUARE[2], SQUARE[0])]


class TestDigit:
    """The edge of a digit."""

    AXIS = ((0.0, 0.0), (0.0, 10.0), (0.0, 20.0))

    def test_it_goes_down_one_side_round_the_tip_and_back(self):
        found = digit(self.AXIS, (2.0, 1.5))
        assert found[len(found) // 2] == (0.0, 20.0)
        assert found[0] == (pytest.approx(2.0), 0.0)
        assert found[-1] == (pytest.approx(-2.0), 0.0)

    def test_it_is_as_wide_as_it_is_said_to_be_and_alike_on_both_sides(self):
        found = digit(self.AXIS, (2.0, 1.5))
        for (x, y), (back, level) in zip(found, reversed(found), strict=True):
            assert x == pytest.approx(-back)
            assert y == pytest.approx(level)
        assert [abs(x) for x, _ in found[:2]] == pytest.approx([2.0, 1.5])

    def test_it_is_narrower_near_the_tip(self):
        *_, (x, y), tip, _, _, _ = digit(self.AXIS, (2.0, 1.5))
        assert 0 < x < 1.5
        assert 10 < y < tip[1] == 20

    def test_a_slanting_one_is_as_wide_across_its_axis(self):
        found = digit(((0.0, 0.0), (6.0, 8.0), (12.0, 16.0)), (2.0, 1.0))
        assert dist(found[0], found[-1]) == pytest.approx(4.0)
        assert dist(found[1], found[-2]) == pytest.approx(2.0)


class TestRun:
    """A path measured."""

    @pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.9, 1.0])
    def test_along_a_straight_path_a_share_is_a_share(self, share):
        run = Run.of([(0, 0), (0, 4), (0, 20)])
        (x, y), (nx, ny) = run.at(share)
        assert (x, y) == (pytest.approx(0), pytest.approx(20 * share, abs=0.05))
        assert (nx, ny) == (pytest.approx(1), pytest.approx(0, abs=1e-9))

    @few
    @given(POINTS, st.floats(0, 1), st.floats(0, 1))
    def test_farther_along_is_never_nearer_to_the_start(self, points, a, b):
        assume(apart(points))
        run = Run.of(points)
        assert run.place(min(a, b)) <= run.place(max(a, b)) + 1e-9

    @few
    @given(POINTS)
    def test_halves_of_a_path_are_of_one_length(self, points):
        assume(apart(points))
        run = Run.of(points)

        def length(curve):
            return sum(dist(a, b) for a, b in pairwise(curves.samples(curve, 60)))

        first, second = length(run.part(0.0, 0.5)), length(run.part(0.5, 1.0))
        assert first == pytest.approx(second, rel=0.02, abs=0.05)

    @few
    @given(POINTS, st.floats(0, 1))
    def test_normals_are_of_length_one_and_across_the_path(self, points, share):
        assume(apart(points))
        run = Run.of(points)
        _, normal = run.at(share)
        assert hypot(*normal) == pytest.approx(1) or normal == (0, 0)


class TestSpindle:
    """A belly with tendons."""

    def belly(self, **more):
        return spindle([(0, 0)], [], [(0, 40)], (4, 6, 4), **more)

    def width(self, made, level):
        xs = [x for x, y in curves.samples(made.belly, 80) if abs(y - level) < 0.2]
        return max(xs) - min(xs)

    def test_it_is_as_wide_as_it_is_said_to_be_at_even_distances(self):
        made = self.belly()
        assert [self.width(made, level) for level in (10, 20, 30)] == pytest.approx([4, 6, 4], abs=0.1)

    def test_its_ends_are_narrow_unless_they_are_wide(self):
        made = self.belly()
        assert dist(made.belly[0], made.belly[-1]) == pytest.approx(0)
        assert self.width(made, 0) == pytest.approx(SMALL, abs=0.1)
        wide = spindle([(-5, 0), (5, 0)], [], [(0, 40)], (4,))
        assert {(-5, 0), (5, 0)} <= set(wide.belly)

    def test_without_tendons_it_has_none(self):
        assert self.belly().sinews == ()

    def test_a_tendon_is_the_rest_of_the_path(self):
        made = self.belly(lead=0.25, tendon=0.5)
        top, bottom = made.sinews
        assert top[0] == (0, 0)
        assert bottom[-1] == (pytest.approx(0), pytest.approx(40))
        ys = [y for _, y in curves.samples(made.belly, 40)]
        assert min(ys) == pytest.approx(10, abs=0.2)
        assert max(ys) == pytest.approx(20, abs=0.2)
        assert self.width(made, 10) == pytest.approx(SINEW, abs=0.3)

    def test_tendons_overlap_the_belly_so_that_no_gap_shows(self):
        top, bottom = self.belly(lead=0.25, tendon=0.5).sinews
        assert top[-1][1] > 10
        assert bottom[0][1] < 20

    def test_further_tendons_begin_at_its_end(self):
        made = self.belly(tendons=[[(5, 50)], [(-5, 50)]])
        assert [(c[0][1], c[-1]) for c in made.sinews] == [(pytest.approx(40), (5, 50)), (pytest.approx(40), (-5, 50))]

    @pytest.mark.parametrize("label", [0.2, 0.5, 0.8])
    def test_its_label_lies_in_its_thick(self, label):
        made = self.belly(label=label)
        assert made.middle == (pytest.approx(0), pytest.approx(40 * label, abs=0.1))
        assert shape(made.belly).covers(shape(made.belly).representative_point())

    def test_it_bends_with_its_path(self):
        made = spindle([(0, 0)], [(10, 20)], [(0, 40)], (4, 4, 4))
        assert shape(made.belly).is_valid
        assert max(x for x, _ in curves.samples(made.belly)) == pytest.approx(12, abs=0.3)


class TestSheet:
    """A flat muscle between two edges."""

    def test_it_lies_between_its_edges(self):
        made = sheet([(0, 0), (10, 0)], [[(0, 5)], [(10, 5)]], [(0, 10), (10, 10)])
        assert shape(made.belly).area == pytest.approx(100, rel=0.01)
        assert made.middle == (pytest.approx(5), pytest.approx(5, abs=0.1))
        assert made.sinews == ()

    def test_it_may_come_to_a_point(self):
        made = sheet([(0, 0), (10, 0)], [[], []], [(5, 10)])
        assert shape(made.belly).area == pytest.approx(50, rel=0.01)
        assert made.belly[0] == made.belly[-1]
