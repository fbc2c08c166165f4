"""What may be asked of an injury: nothing is required that a source denies, nothing is wrong that a source has."""

from __future__ import annotations

from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw.clinic.cases import Asked, asked, examinable, fair, sure
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import injure
from plexusdraw.names.sites import all_sites


@pytest.fixture(scope="module")
def injuries():
    """All sites of the caudal plexus, and every fourth of the brachial one."""
    caudal = [injure(small("caudal"), [site]) for site in all_sites(small("caudal"))]
    return caudal + [injure(brachial(), [site]) for site in all_sites(brachial())[::4]]


def listed(injury, kind):
    return next((one for one in asked(injury) if one.kind == kind), None)


@pytest.mark.parametrize(
    ("cut", "what", "required"),
    [
        ("radial nerve at spiral groove", "Muscles paralysed", {"brachioradialis", "extensor-indicis", "supinator"}),
        ("radial nerve at spiral groove", "Movements lost", {"wrist extension", "thumb IP extension"}),
        ("radial nerve at spiral groove", "Skin areas without feeling", {"dorsolateral-hand-and-first-web"}),
        ("median nerve at carpal tunnel", "Muscles paralysed", {"abductor-pollicis-brevis", "second-lumbrical"}),
        ("median nerve at carpal tunnel", "Movements lost", {"thumb opposition"}),
        ("ulnar nerve at elbow", "Muscles paralysed", {"adductor-pollicis", "third-palmar-interosseous"}),
        ("ulnar nerve at elbow", "Skin areas without feeling", {"palmar-medial-one-and-a-half-digits"}),
    ],
)
def test_the_classical_losses_are_required(cut, what, required):
    """Common practice, no source."""
    (one,) = [one for one in asked(injure(brachial(), [cut])) if one.what == what]
    assert required <= set(one.required)


def test_every_list_has_something_required_and_nothing_twice(injuries):
    for injury in injuries:
        for one in asked(injury):
            assert one.required
            assert len(set(one.right)) == len(one.right)
            assert one.right == (*one.required, *one.disputed)


def test_lists_stand_muscles_first_then_movements_then_skin(injuries):
    order = ["muscle", "movement", "skin"]
    for injury in injuries:
        kinds = [one.kind for one in asked(injury)]
        assert kinds == sorted(set(kinds), key=order.index)


def test_what_is_required_is_lost_whichever_source_is_right(injuries):
    for injury in injuries:
        for one in asked(injury):
            if one.kind == "movement":
                assert all(injury.movements[name].loss is Loss.WHOLE for name in one.required)
                assert not any(injury.movements[name].disputed for name in one.required)
            elif one.what != "Muscles slightly weak":
                assert not any(injury.outcome(id).disputed for id in one.required)


def test_what_some_source_would_list_is_accepted(injuries):
    for injury in injuries:
        one = listed(injury, "muscle")
        if one is None or one.what == "Muscles slightly weak":
            continue
        least = Loss.WHOLE if one.what == "Muscles paralysed" else Loss.PART
        lost = {o.id for o in injury.muscles.values() if o.loss >= least}
        assert lost <= set(one.right)
        for id in one.disputed:
            assert injury.muscles[id].disputed


def test_paralysed_is_asked_where_one_surely_is_else_weak_else_slightly_weak(injuries):
    for injury in injuries:
        one = listed(injury, "muscle")
        states = [o for o in injury.muscles.values() if not o.disputed]
        if any(o.loss is Loss.WHOLE for o in states):
            assert one.what == "Muscles paralysed"
        elif any(o.loss is Loss.PART for o in states):
            assert one.what == "Muscles weak or paralysed"
        elif one is not None:
            assert one.what == "Muscles slightly weak"
            assert [o.kind for o in asked(injury)] == ["muscle"], "a site that does more is asked by what it does"


def test_dermatomes_are_not_asked_as_skin_areas(injuries):
    for injury in injuries:
        one = listed(injury, "skin")
        if one is not None:
            assert not any(injury.plexus.skin[id].dermatome for id in one.right)


def test_a_site_that_takes_nothing_is_asked_nothing():
    plexus = small("caudal")
    nothing = replace(injure(plexus, ["L3"]).sites[0], segment="thigh-nerve", at=9)
    assert asked(injure(plexus, [nothing])) == ()
    assert not fair(injure(plexus, [nothing]))
    assert not examinable(injure(plexus, [nothing]))


def test_slight_losses_are_asked_where_there_are_no_others():
    found = asked(injure(small("caudal"), ["deep branch of shin nerve after toe lifter"]))
    assert found == (Asked("muscle", "Muscles slightly weak", ("knee-flexor",), ()),)


def test_slight_losses_are_not_asked_where_skin_has_less_feeling():
    found = asked(injure(small("two-stages"), ["C6"]))
    assert found == (Asked("skin", "Skin areas with less feeling or none", ("front-skin",), ()),)


def test_a_case_is_fair_if_a_muscle_that_one_can_test_is_surely_paralysed(injuries):
    for injury in injuries:
        muscles = injury.plexus.muscles
        gone = [o for o in injury.muscles.values() if o.state == "paralysed" and not o.disputed]
        assert fair(injury) == any(muscles[o.id].testable for o in gone)


def test_a_case_is_examinable_if_a_listed_muscle_that_one_can_test_is_at_least_weak(injuries):
    for injury in injuries:
        one = listed(injury, "muscle")
        required = one.required if one else ()
        weak = [id for id in required if injury.muscles[id].state in ("weak", "paralysed")]
        assert examinable(injury) == any(injury.plexus.muscles[id].testable for id in weak)


def test_every_fair_case_is_examinable(injuries):
    fair_ones = [injury for injury in injuries if fair(injury)]
    assert fair_ones
    assert all(examinable(injury) for injury in fair_ones)


def test_an_examination_is_sure_of_what_is_wholly_lost_or_not_at_all(injuries):
    for injury in injuries:
        for outcome in injury.muscles.values():
            certain = outcome.state in ("spared", "paralysed") and not outcome.disputed
            assert sure(outcome) == certain


def test_muscles_that_cannot_be_tested_make_no_fair_case():
    plexus = small("caudal")
    hidden = {id: replace(m, testable=False) for id, m in plexus.muscles.items()}
    untestable = replace(plexus, muscles=hidden)
    assert fair(injure(plexus, ["hip nerve"]))
    assert not fair(injure(untestable, ["hip nerve"]))
    assert not examinable(injure(untestable, ["hip nerve"]))
    assert asked(injure(untestable, ["hip nerve"])), "it is listed all the same"
