"""The rule for states, on supplies made by hand: every way to lose some of a few routes, as tables and by counting."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from randoms import brachial, small

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss, Supply, mrc
from plexusdraw.model.entities import Rule

NONE, SLIGHT, PART, WHOLE = Loss
A, B, C, D = 1, 2, 4, 8
"""Routes as bits."""


@pytest.mark.parametrize(
    ("supply", "broken", "muscle", "skin"),
    [
        (Supply(A | B, 0), 0, NONE, NONE),
        (Supply(A | B, 0), A, PART, PART),
        (Supply(A | B, 0), A | B, WHOLE, WHOLE),
        (Supply(A | B, 0), C, NONE, NONE),
        (Supply(A | B, C), C, SLIGHT, SLIGHT),
        (Supply(A | B, C), A | B, WHOLE, PART),
        (Supply(A | B, C), A | B | C, WHOLE, WHOLE),
        (Supply(A, C, backed=True), A, PART, PART),
        (Supply(A, C, backed=True), A | C, WHOLE, WHOLE),
        (Supply(A, C | D, backed=True), A | C, PART, PART),
        (Supply(A, 0, 0.25, backed=True), A, PART, PART),
        (Supply(A, 0, 0.25), A, WHOLE, PART),
        (Supply(A, 0, 1.0, safe=True), A, PART, PART),
        (Supply(A | B, 0, 1.0, safe=True), A | B, PART, PART),
        (Supply(0, A, 1.0, safe=True), A, SLIGHT, SLIGHT),
        (Supply(0, 0, 1.0, safe=True), A, NONE, NONE),
    ],
)
def test_losses_of_a_muscle_and_of_skin(supply, broken, muscle, skin):
    assert supply.loss(broken) is muscle
    assert supply.skin_loss(broken) is skin


SUPPLIES = [
    Supply(A | B, minor, outside, safe, backed)
    for minor, outside, safe, backed in product((0, C, C | D), (0.0, 0.25, 1.0), (False, True), (False, True))
]


@pytest.mark.parametrize("supply", SUPPLIES, ids=str)
def test_more_that_is_broken_never_spares_more_and_never_leaves_more(supply):
    every = range(16)
    for less, more in product(every, every):
        if less & ~more == 0:
            assert supply.loss(less) <= supply.loss(more)
            assert supply.skin_loss(less) <= supply.skin_loss(more)
            assert supply.remaining(less) >= supply.remaining(more)


@pytest.mark.parametrize(
    ("broken", "left"),
    [(0, 1.0), (A, (1 + 0.25) / 2.25), (C, 2 / 2.25), (A | B, 0.25 / 2.25), (A | B | C, 0.0), (D, 1.0)],
)
def test_a_minor_route_weighs_a_quarter(broken, left):
    assert Supply(A | B, C).remaining(broken) == pytest.approx(left)


def test_what_comes_from_outside_is_always_left():
    assert Supply(A, 0, 1.0, True).remaining(A) == pytest.approx(0.5)
    assert Supply(0, 0, 0.0).remaining(A) == 1.0


@pytest.mark.parametrize(
    ("loss", "remaining", "grade"),
    [
        (NONE, 1.0, "5"),
        (SLIGHT, 0.9, "4-5"),
        (PART, 0.75, "3-4"),
        (PART, 0.5, "3-4"),
        (PART, 0.49, "2-3"),
        (WHOLE, 0.1, "0-1"),
        (WHOLE, 0.0, "0"),
    ],
)
def test_strength_as_an_estimate(loss, remaining, grade):
    """Common practice, no source."""
    assert mrc(loss, remaining) == grade


@pytest.mark.parametrize(
    ("losses", "wanted"),
    [
        ([WHOLE, WHOLE], WHOLE),
        ([WHOLE, PART], PART),
        ([WHOLE, NONE], PART),
        ([PART, NONE], PART),
        ([SLIGHT, NONE], SLIGHT),
        ([NONE, NONE], NONE),
        ([SLIGHT, SLIGHT], SLIGHT),
    ],
)
def test_of_several_muscles_together(losses, wanted):
    """A movement is lost where every muscle that does it is; it is weak where one is weak or paralysed."""
    assert deficits._together(losses) is wanted


class TestSigns:
    """When a sign shows."""

    @pytest.fixture
    def rule(self):
        return deficits.of(small("caudal"))

    @staticmethod
    def cut(rule, *cuts):
        return rule.broken(cuts)

    @pytest.mark.parametrize(
        ("when", "cut", "holds"),
        [
            (Rule(lost=("hip-muscle",)), ("hip-nerve", 0), True),
            (Rule(lost=("hip-muscle",)), ("L3", 0), False),
            (Rule(weak=("hip-muscle",)), ("L3", 0), True),
            (Rule(weak=("hip-muscle",)), ("hip-nerve", 0), True),
            (Rule(weak=("hip-muscle",)), ("S1", 0), False),
            (Rule(spared=("hip-muscle",)), ("S1", 0), True),
            (Rule(spared=("hip-muscle",)), ("L3", 0), False),
            (Rule(weak=("knee-movers",)), ("S1", 0), True),
            (Rule(lost=("back-muscle",)), ("hip-nerve", 0), False),
            (Rule(lost=("hip-muscle",), spared=("toe-lifter",)), ("hip-nerve", 0), True),
            (Rule(lost=("hip-muscle",), spared=("hip-muscle",)), ("hip-nerve", 0), False),
            (Rule(all=(Rule(lost=("hip-muscle",)), Rule(weak=("toe-lifter",)))), ("hip-nerve", 0), False),
            (Rule(any=(Rule(lost=("hip-muscle",)), Rule(weak=("toe-lifter",)))), ("hip-nerve", 0), True),
            (Rule(any=(Rule(lost=("hip-muscle",)), Rule(weak=("toe-lifter",)))), ("L3", 0), False),
            (Rule(), ("L3", 0), True),
        ],
    )
    def test_all_that_is_listed_must_hold(self, rule, when, cut, holds):
        assert rule.holds(when, self.cut(rule, cut)) is holds

    def test_what_is_broken_in_part_is_neither_lost_nor_cut_but_weak(self, rule):
        broken = self.cut(rule, ("hip-nerve", 0))
        assert not rule.holds(Rule(lost=("hip-muscle",)), broken, whole=0)
        assert rule.holds(Rule(weak=("hip-muscle",)), broken, whole=0)
        assert not rule.holds(Rule(spared=("hip-muscle",)), broken, whole=0)

    @pytest.mark.parametrize("within", ["all", "any"])
    def test_so_it_is_in_rules_within_rules(self, rule, within):
        broken = self.cut(rule, ("hip-nerve", 0))
        lost, weak = Rule(lost=("hip-muscle",)), Rule(weak=("hip-muscle",))
        assert not rule.holds(Rule(**{within: (lost,)}), broken, whole=0)
        assert rule.holds(Rule(**{within: (weak,)}), broken, whole=0)
        assert rule.holds(Rule(**{within: (lost,)}), broken, whole=broken)
        assert rule.holds(Rule(**{within: (lost,)}), broken)

    def test_a_cut_that_a_sign_asks_for_may_lie_nearer_to_the_root(self):
        plexus = small("two-part")
        rule = deficits.of(plexus)
        (sign,) = plexus.signs.values()
        parts = plexus.wholes["great-nerve"].parts
        assert rule.holds(sign.when, rule.broken((part, 0) for part in parts))
        assert not rule.holds(sign.when, rule.broken([(parts[0], 0)])), "both parts are cut, or the whole is not"
        assert not rule.holds(sign.when, rule.broken((part, 1) for part in parts)), "beyond its start"

    def test_the_places_that_a_rule_asks_for_are_those_of_all_its_parts(self):
        plexus = small("two-part")
        rule = deficits.of(plexus)
        (sign,) = plexus.signs.values()
        parts = plexus.wholes["great-nerve"].parts
        bits = [rule.sign_cuts[part, 0] for part in parts]
        assert rule.asked_cuts(sign.when) == bits[0] | bits[1]
        assert rule.asked_cuts(Rule(all=(sign.when, Rule(lost=("calf",))))) == bits[0] | bits[1]
        assert rule.asked_cuts(Rule(lost=("calf",))) == 0
        assert bits[0].bit_count() == bits[1].bit_count() == 1


def test_bits_and_routes_are_two_ways_to_write_the_same():
    rule = deficits.of(small("caudal"))
    assert rule.routes_in(rule.bits(rule.routes)) == rule.routes
    assert rule.routes_in(0) == ()
    for route in rule.routes:
        assert rule.routes_in(rule.bit[route]) == (route,)
        assert rule.bits([route, route]) == rule.bit[route]


def test_cuts_break_together_what_each_of_them_breaks():
    rule = deficits.of(small("caudal"))
    cuts = [("L3", 0), ("hip-nerve", 0), ("shin-nerve", 2)]
    together = rule.broken(cuts)
    assert together == rule.broken(cuts[:1]) | rule.broken(cuts[1:2]) | rule.broken(cuts[2:])
    assert rule.broken([]) == 0
    assert rule.broken([("nowhere", 0)]) == 0


def test_members_of_a_group_and_roots_of_a_dermatome():
    rule = deficits.of(small("caudal"))
    assert rule.members("knee-movers") == ("knee-extensor", "knee-flexor")
    assert rule.members("hip-muscle") == ("hip-muscle",)
    assert rule.roots_of("s1-dermatome") == ("S1",)


@pytest.mark.parametrize(
    ("cut", "wanted"),
    [(("thigh-nerve", 0), PART), (("L3", 0), PART), (("hip-nerve", 0), NONE)],
)
def test_a_group_is_lost_with_all_its_members_and_weak_with_one(cut, wanted):
    rule = deficits.of(small("caudal"))
    assert rule.loss("knee-movers", rule.broken([cut])) is wanted


def test_all_members_lost_is_the_group_lost():
    rule = deficits.of(small("caudal"))
    assert rule.loss("knee-movers", rule.broken([("thigh-nerve", 0), ("shin-nerve", 0)])) is WHOLE


def test_what_no_fibres_reach_loses_nothing():
    rule = deficits.of(small("caudal"))
    assert rule.loss("back-muscle", rule.broken([(root, 0) for root in small("caudal").roots])) is NONE
    assert rule.loss("nowhere", 1) is NONE


def test_a_root_is_lost_where_all_its_routes_are():
    rule = deficits.of(small("caudal"))
    assert rule.loss("L3", rule.broken([("L3", 0)])) is WHOLE
    assert rule.loss("L3", rule.broken([("hip-nerve", 0)])) is PART
    assert rule.loss("S2", rule.broken([("hip-nerve", 0)])) is NONE


def test_movers_are_in_the_order_of_the_model_with_those_of_other_nerves_last():
    movers = deficits.of(small("caudal")).movers
    assert movers["hip flexion"] == ("groin-muscle", "hip-muscle")
    assert movers["standing up"] == ("back-muscle",)
    for ids in deficits.of(brachial()).movers.values():
        outside = [id in brachial().outside for id in ids]
        assert outside == sorted(outside)


class TestDermatomes:
    """The skin of a root changes where its fibres are hit on their way to every area that it covers."""

    @pytest.mark.parametrize(
        ("cuts", "state"),
        [
            ([("S1", 0)], WHOLE),
            ([("back-band", 0)], WHOLE),
            ([("shin-nerve", 0)], WHOLE),
            ([("hip-nerve", 0)], NONE),
            ([("L3", 0)], NONE),
        ],
    )
    def test_of_one_root(self, cuts, state):
        rule = deficits.of(small("caudal"))
        assert rule.loss("s1-dermatome", rule.broken(cuts)) is state

    def test_a_nerve_that_has_some_of_the_areas_alone_spares_it(self):
        rule = deficits.of(brachial())
        c8 = next(area for area in brachial().skin.values() if area.dermatome == ("C8",))
        cuts = {name: rule.broken([(name, 0)]) for name in ("C8", "lower-trunk", "ulnar-nerve")}
        assert rule.loss(c8.id, cuts["C8"]) >= PART
        assert rule.loss(c8.id, cuts["lower-trunk"]) >= PART
        assert rule.loss(c8.id, cuts["ulnar-nerve"]) <= SLIGHT

    def test_of_two_roots_that_share_no_area_each_counts_by_its_own(self):
        plexus = small("caudal")
        both = replace(plexus.skin["s1-dermatome"], dermatome=("L4", "S1"), roots=("L4", "S1"))
        rule = deficits.of(replace(plexus, skin=dict(plexus.skin) | {"s1-dermatome": both}))
        assert rule.loss("s1-dermatome", rule.broken([("S1", 0)])) is PART
        assert rule.loss("s1-dermatome", rule.broken([("L4", 0)])) is PART
        assert rule.loss("s1-dermatome", rule.broken([("hip-nerve", 0)])) is NONE
