"""Chains of cubics, held against sums over many small steps: no formula of the module is used to judge it."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, degrees, dist, hypot, pi, radians, sin

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plexusdraw.scene import curves

MM = st.floats(-200, 200)
POINT = st.tuples(MM, MM)
CUBIC = st.tuples(POINT, POINT, POINT, POINT)
T = st.floats(0, 1)
few = settings(max_examples=25)


def by_halves(c, t):
    """The point of a cubic by repeated mixing of neighbours, as a person constructs it with a ruler."""
    points = list(c)
    while len(points) > 1:
        points = [((1 - t) * a + t * b, (1 - t) * y + t * z) for (a, y), (b, z) in pairwise(points)]
    return points[0]


def near(a, b, within=1e-6):
    return dist(a, b) <= within


def arch(radius=30.0, turn=90.0, start=0.0):
    """An arc about the origin as one cubic, from *start* degrees on, y down."""
    k = 4 / 3 * (1 - cos(radians(turn) / 2)) / sin(radians(turn) / 2) * radius
    a, b = radians(start), radians(start + turn)
    p, q = (radius * cos(a), radius * sin(a)), (radius * cos(b), radius * sin(b))
    return (p, (p[0] - k * sin(a), p[1] + k * cos(a)), (q[0] + k * sin(b), q[1] - k * cos(b)), q)


@few
@given(CUBIC, T)
def test_a_point_is_what_a_ruler_would_construct(c, t):
    assert near(curves.point(c, t), by_halves(c, t))


@few
@given(CUBIC)
def test_a_cubic_begins_and_ends_in_its_outer_points_and_leaves_towards_the_inner_ones(c):
    assert near(curves.point(c, 0), c[0])
    assert near(curves.point(c, 1), c[3])
    assert near(curves.velocity(c, 0), (3 * (c[1][0] - c[0][0]), 3 * (c[1][1] - c[0][1])))
    assert near(curves.velocity(c, 1), (3 * (c[3][0] - c[2][0]), 3 * (c[3][1] - c[2][1])))


@few
@given(CUBIC, st.floats(0.01, 0.99))
def test_velocity_and_acceleration_are_how_fast_point_and_velocity_change(c, t):
    step = 1e-4
    for rate, value in ((curves.velocity, curves.point), (curves.acceleration, curves.velocity)):
        before, after = value(c, t - step), value(c, t + step)
        measured = ((after[0] - before[0]) / (2 * step), (after[1] - before[1]) / (2 * step))
        assert near(rate(c, t), measured, 1e-2)


@few
@given(POINT, POINT, T)
def test_a_line_runs_straight_and_evenly(a, b, t):
    here = curves.point(curves.line(a, b), t)
    assert near(here, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))


@few
@given(POINT, POINT)
def test_a_sweep_leaves_and_arrives_level_and_turns_about_its_middle(a, b):
    c = curves.sweep(a, b)
    assert c[0] == a
    assert c[3] == b
    assert c[1][1] == a[1]
    assert c[2][1] == b[1]
    assert near(curves.point(c, 0.5), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))


@few
@given(st.floats(5, 200), st.floats(-100, 100))
def test_a_sweep_to_the_right_never_runs_back(width, height):
    xs = [x for x, _ in curves.samples(curves.sweep((0, 0), (width, height)), 20)]
    assert all(b >= a for a, b in pairwise(xs))


@pytest.mark.parametrize("height", [40.0, -40.0, 8.0, -8.0])
@pytest.mark.parametrize("first", [None, 2.0, 9.0])
def test_a_riser_goes_level_upright_and_level_again(height, first):
    chain = curves.riser((0, 10), 20, (45, 10 + height), 6, first)
    assert chain[0] == (0, 10)
    assert chain[-1] == (45, 10 + height)
    assert len(chain) % 3 == 1
    assert curves.angle(chain) == pytest.approx(0)
    assert curves.angle(chain, at_end=True) == pytest.approx(0)
    down = 1 if height > 0 else -1
    ys = [down * y for _, y in curves.samples(chain, 20)]
    xs = [x for x, _ in curves.samples(chain, 20)]
    assert all(b >= a - 1e-9 for a, b in pairwise(ys))
    assert all(b >= a - 1e-9 for a, b in pairwise(xs))


def test_a_riser_stands_upright_at_its_place_for_as_long_as_there_is_height():
    chain = curves.riser((0, 0), 20, (45, 60), 6)
    upright = [y for x, y in curves.samples(chain, 40) if abs(x - 20) < 1e-9]
    high = 6 * curves.TALL
    assert min(upright) == pytest.approx(high)
    assert max(upright) == pytest.approx(60 - high)


def test_a_riser_without_height_for_two_turns_has_two_that_meet_in_the_middle():
    chain = curves.riser((0, 0), 20, (45, 6), 6)
    upright = [y for x, y in curves.samples(chain, 40) if abs(x - 20) < 1e-9]
    assert upright == [pytest.approx(3)]


def test_a_riser_whose_turn_begins_where_it_starts_has_no_level_piece_before_it():
    long, short = curves.riser((0, 0), 20, (45, 60), 6), curves.riser((14, 0), 20, (45, 60), 6)
    assert len(long) == len(short) + 3
    assert len(curves.riser((14, 0), 20, (26, 60), 6)) == len(short) - 3


@few
@given(st.lists(CUBIC, min_size=1, max_size=4))
def test_joined_pieces_are_read_again_as_they_were(pieces):
    chain = [pieces[0]]
    for piece in pieces[1:]:
        chain.append((chain[-1][3], *piece[1:]))
    joined = curves.join(chain)
    assert len(joined) == 1 + 3 * len(chain)
    assert list(curves.cubics(joined)) == chain


@few
@given(st.lists(CUBIC, min_size=1, max_size=3), st.integers(1, 20))
def test_samples_are_points_at_even_steps_with_both_ends(pieces, count):
    chain = curves.join([pieces[0], *((before[3], *c[1:]) for before, c in pairwise(pieces))])
    found = curves.samples(chain, count)
    assert len(found) == 1 + count * len(pieces)
    for i, place in enumerate(found):
        index = min(i // count, len(pieces) - 1)
        c = list(curves.cubics(chain))[index]
        assert near(place, by_halves(c, i / count - index), 1e-5)


def test_samples_of_a_level_piece_keep_its_height_to_the_last_digit():
    assert {y for _, y in curves.samples(curves.line((0, 0.1), (7, 0.1)), 9)} == {0.1}


@few
@given(CUBIC, st.floats(0, 0.45), st.floats(0.55, 1))
def test_a_part_lies_on_the_whole(c, start, end):
    cut = curves.part(c, start, end)
    for t in (0, 0.3, 0.5, 0.9, 1):
        assert near(curves.point(cut, t), by_halves(c, start + t * (end - start)), 1e-5)


@few
@given(st.floats(0, 0.9), st.floats(1.1, 1.9))
def test_a_part_of_a_chain_goes_over_the_joint(start, end):
    chain = curves.join([curves.line((0, 0), (10, 0)), curves.line((10, 0), (10, 20))])
    cut = curves.part(chain, start, end)
    assert near(cut[0], (10 * start, 0))
    assert near(cut[-1], (10, 20 * (end - 1)))
    assert any(near(p, (10, 0)) for p in cut)


def test_a_part_that_ends_at_a_joint_has_no_empty_piece_beyond_it():
    chain = curves.join([curves.line((0, 0), (10, 0)), curves.line((10, 0), (10, 20))])
    assert len(curves.part(chain, 0, 1)) == 4
    assert len(curves.part(chain, 1, 2)) == 4


@few
@given(st.floats(0.1, 50), st.floats(0.1, 50), st.floats(-180, 180))
def test_a_stretched_chain_goes_on_straight_at_both_ends(before, after, turn):
    way = (cos(radians(turn)), sin(radians(turn)))
    c = curves.line((0, 0), (10 * way[0], 10 * way[1]))
    longer = curves.stretched(c, before, after)
    assert near(longer[0], (-before * way[0], -before * way[1]))
    assert near(longer[-1], ((10 + after) * way[0], (10 + after) * way[1]))
    assert longer[3:7] == c


@pytest.mark.parametrize(("before", "after", "pieces"), [(0, 0, 1), (3, 0, 2), (0, 3, 2), (3, 3, 3)])
def test_a_chain_is_stretched_where_it_is_asked_for_alone(before, after, pieces):
    assert len(curves.stretched(arch(), before, after)) == 1 + 3 * pieces


@pytest.mark.parametrize("way", [-135, -90, -30, 0, 45, 90, 170])
def test_an_angle_turns_down_from_the_right_at_either_end(way):
    c = curves.line((3, 4), (3 + cos(radians(way)), 4 + sin(radians(way))))
    assert curves.angle(c) == pytest.approx(way)
    assert curves.angle(c, at_end=True) == pytest.approx(way)


def test_the_angle_at_an_end_is_that_of_the_end():
    assert curves.angle(arch(turn=90)) == pytest.approx(90)
    assert abs(curves.angle(arch(turn=90), at_end=True)) == pytest.approx(180)


class TestOffset:
    """A strand beside another."""

    @pytest.mark.parametrize("by", [-4.0, -1.5, 0.0, 1.5, 4.0])
    def test_every_point_of_it_is_as_far_from_the_curve_as_asked(self, by):
        c = curves.sweep((0, 0), (60, 40))
        on = curves.samples(c, 400)
        for p in curves.samples(curves.offset(c, by), 12)[1:-1]:
            assert min(dist(p, q) for q in on) == pytest.approx(abs(by), abs=0.1)

    def test_it_lies_above_a_curve_that_heads_right(self):
        beside = curves.offset(curves.line((0, 0), (30, 0)), 2)
        assert all(y == pytest.approx(-2) for _, y in beside)
        assert beside[0][0] == pytest.approx(0)
        assert beside[-1][0] == pytest.approx(30)

    def test_beside_an_arc_it_is_an_arc_of_another_radius(self):
        for by in (-5.0, 5.0):
            beside = curves.samples(curves.offset(arch(30, 90), by), 8)
            assert {round(hypot(*p), 1) for p in beside} == {30 + by}

    @few
    @given(st.floats(-3, 3), st.floats(-3, 3))
    def test_it_passes_from_one_distance_to_the_other(self, start, end):
        beside = curves.offset(curves.line((0, 0), (60, 0)), start, end)
        ys = [-y for _, y in curves.samples(beside, 8)]
        assert ys[0] == pytest.approx(start)
        assert ys[-1] == pytest.approx(end)
        assert ys[len(ys) // 2] == pytest.approx((start + end) / 2)
        rising = [b - a for a, b in pairwise(ys)]
        assert all(step * (end - start) >= -1e-9 for step in rising)

    def test_it_leaves_and_arrives_in_the_direction_of_the_curve(self):
        c = curves.sweep((0, 0), (60, 40))
        for start, end in ((1, 1), (-3, 2), (0, 4)):
            beside = curves.offset(c, start, end)
            assert curves.angle(beside) == pytest.approx(curves.angle(c), abs=1e-6)
            assert curves.angle(beside, at_end=True) == pytest.approx(curves.angle(c, at_end=True), abs=1e-6)

    @few
    @given(st.floats(-3, 3), st.floats(-3, 3))
    def test_no_kink_that_an_eye_could_see_is_where_its_pieces_meet(self, start, end):
        c = curves.join([curves.sweep((0, 0), (40, 30)), curves.sweep((40, 30), (90, 10))])
        pieces = list(curves.cubics(curves.offset(c, start, end)))
        for a, b in pairwise(pieces):
            assert a[3] == b[0]
            assert curves.angle(a, at_end=True) == pytest.approx(curves.angle(b), abs=1)

    def test_two_that_never_bend_tighter_than_their_distance_do_not_meet(self):
        c = curves.sweep((0, 0), (70, 50))
        one, two = (curves.samples(curves.offset(c, by), 10) for by in (1.5, -1.5))
        assert min(dist(p, q) for p in one for q in two) > 2.9


@few
@given(CUBIC)
def test_nothing_beside_a_curve_is_the_curve(c):
    assume(all(hypot(*curves.velocity(c, t / 8)) > 1 for t in range(9)))
    for p, q in zip(curves.samples(curves.offset(c, 0), 3), curves.samples(c, 12), strict=True):
        assert near(p, q, 1e-4)


def test_angles_are_those_of_the_first_and_last_handle():
    c = ((0, 0), (1, 1), (5, 2), (5, 7))
    assert curves.angle(c) == pytest.approx(degrees(atan2(1, 1)))
    assert curves.angle(c, at_end=True) == pytest.approx(degrees(pi / 2))
