"""Strands: one for each root, constant in width, smooth, joined without steps, never twisted."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from math import hypot

import pytest

import plexusdraw
from plexusdraw.layout.checks import dense
from plexusdraw.layout.columns.bundles import HAIR
from plexusdraw.routes.fibres import of
from plexusdraw.scene import Strand, curves


@pytest.fixture(scope="module")
def strands(brachial):
    scene = plexusdraw.figure(brachial, detail="nerves").pages()[0].scene
    return [p for p in scene.parts if isinstance(p, Strand)]


def test_a_strand_for_each_root_that_the_graph_lets_through(brachial, strands):
    drawn: dict[str, list[str]] = defaultdict(list)
    for s in strands:
        drawn[s.entity].append(s.root)
    for id, roots in drawn.items():
        assert set(roots) == set(of(brachial).carried[id]), id


def test_five_roots_in_the_radial_nerve_and_two_in_the_ulnar(strands):
    """Radial C5-T1, ulnar C8 T1: OpenStax-independent tables in tests/published/nerve_roots.csv (S04, S18)."""
    roots = {id: {s.root for s in strands if s.entity == id} for id in ("radial-nerve", "ulnar-nerve")}
    assert roots["radial-nerve"] == {"C5", "C6", "C7", "C8", "T1"}
    assert roots["ulnar-nerve"] == {"C8", "T1"}


def test_neighbouring_strands_keep_their_distance_along_the_normal(strands):
    """Bundles of one tie: strand order and pitch hold within 5 % at every point."""
    bundles: dict[tuple, list[Strand]] = defaultdict(list)
    for s in strands:
        if s.source is not None and not s.minor:
            bundles[s.entity, s.source, s.at, len(s.curve)].append(s)
    checked = 0
    for (entity, *_), group in bundles.items():
        for a, b in pairwise(group):
            pitch = min(hypot(p[0] - a.curve[0][0], p[1] - a.curve[0][1]) for p in dense(b.curve, 0.05))
            near = [min(hypot(p[0] - q[0], p[1] - q[1]) for q in dense(b.curve, 0.05)) for p in dense(a.curve)[3:-3]]
            if abs(b.curve[0][0] - a.curve[0][0]) < 0.01 and near:
                assert max(near) <= pitch * 1.05, entity
                assert min(near) >= pitch * 0.95, entity
                checked += 1
    assert checked > 10


def test_each_strand_is_smooth_where_its_cubics_meet(strands):
    for s in strands:
        for before, after in pairwise(curves.cubics(s.curve)):
            (ax, ay), (bx, by) = curves.velocity(before, 1.0), curves.velocity(after, 0.0)
            turn = abs(ax * by - ay * bx) / (hypot(ax, ay) * hypot(bx, by))
            assert turn < 0.02, (s.entity, s.root)
            assert ax * bx + ay * by > 0


def test_pieces_of_a_strand_join_in_place_and_direction(brachial, strands):
    """From the root end to the last piece of the nerve, for every tie of every root."""
    slots = {(s.entity, s.root): s for s in strands if s.source is None and s.at == 0}
    joined = 0
    for s in strands:
        goal = slots.get((s.entity, s.root))
        if s.source is None or goal is None or s.curve[-1][0] > goal.curve[-1][0]:
            continue
        ends_here = abs(s.curve[-1][0] - goal.curve[0][0]) < 0.5
        if ends_here:
            assert abs(s.curve[-1][1] - goal.curve[0][1]) < HAIR + 0.02, (s.entity, s.root)
            assert abs(curves.angle(s.curve, at_end=True) - curves.angle(goal.curve)) < 1.5
            joined += 1
    assert joined >= 25


def test_width_is_one_for_all_strands_of_a_kind(strands):
    widths: dict[bool, set[float]] = defaultdict(set)
    for s in strands:
        widths[s.kind == "nerve" and "root-of" not in s.entity].add(round(s.width, 6))
    assert all(len(found) == 1 for found in widths.values())


def test_order_in_a_bundle_is_the_order_of_the_roots(brachial, strands):
    for id in ("posterior-cord", "radial-nerve", "median-nerve", "lower-trunk"):
        heights = {s.root: s.curve[0][1] for s in strands if s.entity == id and s.source is None}
        assert list(dict(sorted(heights.items(), key=lambda item: item[1]))) == [
            r for r in brachial.roots if r in heights
        ]


def test_both_ends_of_a_loop_turn_toward_each_other_on_one_line():
    """A sweep goes on to the right all the way; the ends of a loop stand upright at one place."""
    drawn = plexusdraw.figure("cervical").pages()[0].scene
    strands = [p for p in drawn.parts if isinstance(p, Strand) and p.entity == "ansa-cervicalis" and p.source]
    assert {s.source for s in strands} == {"superior-root-of-ansa-cervicalis", "inferior-root-of-ansa-cervicalis"}
    upright: dict[str, list[float]] = {}
    for strand in strands:
        steps = [(c, t / 40) for c in curves.cubics(strand.curve) for t in range(41)]
        found = [curves.point(c, t)[0] for c, t in steps if abs(curves.velocity(c, t)[0]) < 1e-6]
        assert found, strand.source
        upright.setdefault(strand.source, []).append(sum(found) / len(found))
    middles = [sum(xs) / len(xs) for xs in upright.values()]
    assert max(middles) - min(middles) < 2 * strands[0].width
