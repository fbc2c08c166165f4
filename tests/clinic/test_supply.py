"""The one nerve of a muscle, a skin area or a movement, against all ways through the model."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import plainly
import pytest
from randoms import brachial, small

from plexusdraw.clinic import supply
from plexusdraw.clinic.deficits import Loss
from plexusdraw.model import load

MODELS = {
    "caudal": lambda: small("caudal"),
    "two-part": lambda: small("two-part"),
    "brachial": brachial,
    "lumbosacral": lambda: load("lumbosacral"),
}


@pytest.fixture(scope="module", params=MODELS)
def known(request):
    return supply.of(MODELS[request.param]())


def ways(known, target):
    return [[segment for segment, _ in way.steps] for way in plainly.ways(known.plexus, target)]


def test_asked_is_only_what_this_plexus_alone_supplies(known):
    for target in known.targets:
        assert not target.outside
        assert not target.dermatome
        assert ways(known, target)


def test_what_is_not_asked_has_its_reason(known):
    asked = {t.id for t in known.targets}
    for target in known.plexus.targets:
        if target.id not in asked:
            assert target.outside or target.dermatome or not ways(known, target) or known.stray(target)


def test_a_nerve_is_on_every_way_to_what_it_supplies(known):
    for target in known.targets:
        for fine in (False, True):
            nerve = known.nerve(target, fine)
            if nerve is not None:
                assert all(nerve.id in way for way in ways(known, target)), (target.id, nerve.id)
                assert nerve.drawn


def test_the_last_branch_is_what_gives_it_off(known):
    for target in known.targets:
        nerve = known.nerve(target, fine=True)
        if nerve is not None:
            assert known.plexus.nerves_of[target.id] == (nerve.id,)


def test_a_nerve_of_the_plexus_is_of_the_last_stage_or_a_side_branch(known):
    last = known.plexus.stages[-1].id
    for nerve in known.nerves():
        assert nerve.stage in (None, last)
    order = list(known.plexus.segments)
    for fine in (False, True):
        ids = [order.index(nerve.id) for nerve in known.nerves(fine)]
        assert ids == sorted(ids)
        assert len(set(ids)) == len(ids)


def test_nerves_are_those_of_some_target(known):
    for fine in (False, True):
        found = {nerve.id for t in known.targets if (nerve := known.nerve(t, fine)) is not None}
        assert {nerve.id for nerve in known.nerves(fine)} == found


def test_a_muscle_that_two_nerves_reach_has_no_one_nerve(known):
    last = known.plexus.stages[-1].id
    for target in known.targets:
        on_the_way = {
            next((s for s in way if known.plexus.segments[s].stage == last), None) for way in ways(known, target)
        }
        if len(on_the_way) > 1 and None not in on_the_way:
            assert known.nerve(target) is None, target.id


def test_fibres_that_reach_a_target_may_supply_it(known):
    for target in known.targets[:12]:
        through = {segment for way in ways(known, target) for segment in way}
        assert all(known.may_supply(id, target) for id in through)


def test_what_a_cut_would_not_touch_and_no_source_brings_does_not_supply(known):
    for target in known.targets[:8]:
        through = {segment for way in ways(known, target) for segment in way}
        for id in list(known.plexus.segments)[::5]:
            if id not in through and not target.variable:
                assert not known.may_supply(id, target), (id, target.id)


def test_a_movement_has_a_nerve_where_all_its_muscles_have_it(known):
    for movement, movers in known.rule.movers.items():
        nerve = known.movement_nerve(movement)
        own = [known.plexus.muscles.get(id) for id in movers]
        if nerve is None:
            nerves = {known.nerve(m).id if m is not None and known.nerve(m) else None for m in own}
            assert None in nerves or len(nerves) > 1
        else:
            assert {known.nerve(m).id for m in own} == {nerve.id}


def test_movers_are_the_muscles_of_this_plexus(known):
    for movement in known.rule.movers:
        found = [m.id for m in known.movers(movement)]
        assert found == [m.id for m in known.plexus.muscles.values() if movement in m.movements]


def test_a_cut_is_worked_out_once_and_is_that_of_the_start(known):
    id = known.plexus.roots[0]
    assert known.cut(id) is known.cut(id)
    assert [site.id for site in known.cut(id).sites] == [id]


def test_a_segment_may_move_what_its_cut_weakens(known):
    for id in list(known.plexus.segments)[::6]:
        for movement, lost in known.cut(id).movements.items():
            if lost.loss is not Loss.NONE:
                assert known.may_move(id, movement)


class TestStray:
    """Roots that some sources count and that no nerve of the target is known to bring."""

    @staticmethod
    def with_variable(**variable):
        plexus = small("caudal")
        muscle = replace(plexus.muscles["hip-muscle"], variable=variable)
        return supply.of(replace(plexus, muscles=MappingProxyType(dict(plexus.muscles) | {"hip-muscle": muscle})))

    def test_a_muscle_with_one_is_not_asked(self):
        known = self.with_variable(L9="x")
        muscle = known.plexus.muscles["hip-muscle"]
        assert known.stray(muscle) == ("L9",)
        assert known.nerve(muscle) is None
        assert "hip-muscle" not in {t.id for t in known.targets}

    def test_a_root_that_its_nerve_carries_is_none(self):
        known = self.with_variable(L3="x")
        assert known.stray(known.plexus.muscles["hip-muscle"]) == ()
        assert known.nerve(known.plexus.muscles["hip-muscle"]).id == "hip-nerve"

    def test_a_root_that_its_nerve_may_have_is_none(self):
        knee = small("caudal").muscles["knee-flexor"]
        assert dict(knee.variable)
        assert supply.of(small("caudal")).stray(knee) == (), "the shin nerve may have S3"

    def test_a_segment_with_that_root_may_supply_the_muscle(self):
        known = self.with_variable(S1="x")
        assert known.may_supply("S1", known.plexus.muscles["hip-muscle"])
        assert not known.may_supply("S2", known.plexus.muscles["hip-muscle"])


@pytest.mark.parametrize(
    ("muscle", "nerve"),
    [
        ("deltoid", "axillary-nerve"),
        ("flexor-carpi-ulnaris", "ulnar-nerve"),
        ("pronator-teres", "median-nerve"),
        ("supraspinatus", "suprascapular-nerve"),
        ("extensor-indicis", "radial-nerve"),
        ("brachialis", None),
    ],
)
def test_the_nerves_of_the_arm(muscle, nerve):
    """Common practice, no source; brachialis has two: tests/published/muscle_supply.csv."""
    known = supply.of(brachial())
    found = known.nerve(brachial().muscles[muscle])
    assert (found and found.id) == nerve


@pytest.mark.parametrize(
    ("muscle", "branch"),
    [
        ("deltoid", "posterior-branch-of-axillary-nerve"),
        ("flexor-carpi-ulnaris", "ulnar-nerve"),
        ("extensor-indicis", "posterior-interosseous-nerve"),
        ("adductor-pollicis", "deep-branch-of-ulnar-nerve"),
        ("supraspinatus", "suprascapular-nerve"),
    ],
)
def test_the_last_branches_of_the_arm(muscle, branch):
    """Common practice, no source; deltoid is asked by one branch only where the other has none of it."""
    known = supply.of(brachial())
    found = known.nerve(brachial().muscles[muscle], fine=True)
    nerves = brachial().nerves_of[muscle]
    assert (found and found.id) == (branch if nerves == (branch,) else None)


class TestMay:
    """What a segment may supply or move, as some sources have it."""

    @pytest.fixture
    def known(self):
        plexus = small("caudal")
        muscle = replace(plexus.muscles["toe-lifter"], variable={"S2": "x"})
        return supply.of(replace(plexus, muscles=MappingProxyType(dict(plexus.muscles) | {"toe-lifter": muscle})))

    @pytest.mark.parametrize(("segment", "may"), [("L5", True), ("S2", True), ("L3", False), ("hip-nerve", False)])
    def test_a_root_that_some_count_may_supply_and_move(self, known, segment, may):
        """No route of S2 goes there, and its cut takes nothing; yet sources differ."""
        assert known.may_supply(segment, known.plexus.muscles["toe-lifter"]) is may
        assert known.may_move(segment, "toe lifting") is may
