from __future__ import annotations

from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw.clinic import deficits
from plexusdraw.clinic.findings import GAINS, KINDS, check, finding, graded
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.errors import FindingsError, UnknownNameError
from plexusdraw.model import load
from plexusdraw.names import sites

CONTRADICTIONS = (
    [("weak", "biceps"), ("spared", "biceps")],
    [("paralysed", "biceps"), ("slight", "biceps")],
    [("weak", "triceps long head"), ("spared", "triceps")],
    [("paralysed", "triceps"), ("spared", "triceps long head")],
    [("numb", "medial arm"), ("feels", "medial arm")],
    [("sign", "Horner"), ("no-sign", "Horner")],
    [("reflex-lost", "biceps reflex"), ("reflex-kept", "biceps reflex")],
    [("weak", "elbow flexion"), ("spared", "elbow flexion")],
)


COMPATIBLE = (
    [("weak", "biceps"), ("paralysed", "biceps")],
    [("weak", "triceps"), ("spared", "triceps long head")],
    [("slight", "triceps"), ("paralysed", "triceps long head")],
    [("weak", "elbow flexion"), ("spared", "biceps")],
    [("reflex-lost", "biceps reflex"), ("spared", "biceps")],
)


@pytest.mark.parametrize("told", CONTRADICTIONS, ids=str)
def test_findings_that_contradict_each_other_are_refused(told):
    plexus = brachial()
    for order in (told, told[::-1]):
        found = [finding(plexus, kind, text) for kind, text in order]
        with pytest.raises(FindingsError, match="cannot both be true") as refused:
            localise(plexus, found)
        assert all(f.text in str(refused.value) for f in found)


@pytest.mark.parametrize("told", COMPATIBLE, ids=str)
def test_findings_that_may_both_be_true(told):
    plexus = brachial()
    assert localise(plexus, [finding(plexus, kind, text) for kind, text in told]).answers


def test_movements_groups_and_outside_structures_are_findings():
    plexus = brachial()
    assert finding(plexus, "weak", "elbow flexion").movement
    assert finding(plexus, "weak", "rhomboids").about == "rhomboids"
    assert finding(plexus, "spared", "trapezius").about == "trapezius"
    assert finding(plexus, "numb", "C5 dermatome").about == "c5-dermatome"
    with pytest.raises(UnknownNameError):
        finding(plexus, "numb", "pronator teres")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("biceps=0", "paralysed"),
        ("biceps = 3", "moderate"),
        ("biceps=4-", "slight"),
        ("biceps=5/5", "spared"),
        ("triceps 0/5", "paralysed"),
        ("M4 biceps", "slight"),
        ("MRC grade 2 elbow flexion", "moderate"),
    ],
)
def test_grades(text, kind):
    assert graded(brachial(), text).kind == kind
    assert finding(brachial(), kind, text) == graded(brachial(), text)


def test_a_strength_says_how_weak_it_is_and_must_be_of_the_kind():
    assert finding(brachial(), "weak", "deltoid 3/5").kind == "moderate"
    for kind, text in (("weak", "deltoid 5/5"), ("spared", "M4 deltoid"), ("paralysed", "deltoid 1/5")):
        with pytest.raises(FindingsError, match="a strength of"):
            finding(brachial(), kind, text)
    assert finding(brachial(), "weak", "lumbricals 1-2").about == "lumbricals-1-2"


@pytest.mark.parametrize(
    "text", ["biceps", "biceps=6", "biceps=", "=3", "nobody=3", "biceps=3X", "biceps=X3", "biceps=3/4", "biceps=33"]
)
def test_what_is_no_grade(text):
    with pytest.raises(UnknownNameError):
        graded(brachial(), text)


def test_gains_grow_with_what_is_found_and_fall_with_what_is_not():
    assert set(GAINS) == set(KINDS)
    for kind in ("spared", "feels", "reflex-kept", "no-sign"):
        assert list(GAINS[kind]) == sorted(GAINS[kind], reverse=True)
        assert GAINS[kind][0] == 0
    for kind in ("paralysed", "numb", "weak", "reflex-lost", "sign"):
        assert list(GAINS[kind]) == sorted(GAINS[kind])
        assert GAINS[kind][-1] == 1


def test_group_findings_count_by_their_members():
    plexus = small("caudal")
    rule = deficits.of(plexus)
    movers = finding(plexus, "paralysed", "knee movers")
    half = rule.broken([("thigh-nerve", 0)])
    assert movers.gain(rule, half) == 0.5
    assert movers.gain(rule, 0) == 0
    assert movers.against(rule, 0)
    assert not movers.against(rule, half)
    assert finding(plexus, "spared", "knee movers").gain(rule, half) == GAINS["spared"][3]


def test_a_movement_counts_by_the_share_of_its_muscles():
    plexus = brachial()
    rule = deficits.of(plexus)
    elbow = finding(plexus, "weak", "elbow flexion")
    by = {
        cut: elbow.gain(rule, injure(plexus, [cut]).broken) for cut in ("radial nerve", "musculocutaneous nerve", "C7")
    }
    assert by["musculocutaneous nerve"] > by["radial nerve"] > by["C7"]


@pytest.mark.parametrize(
    ("cuts", "kind", "gain"),
    [
        ([], "weak", 0.0),
        ([("hip-nerve", 0)], "weak", 0.75),
        ([("hip-nerve", 0)], "paralysed", 0.375),
        ([("hip-nerve", 0), ("groin-nerve", 0)], "weak", 1.0),
        ([("front-band", 0)], "spared", -0.45),
    ],
)
def test_a_movement_gains_by_its_loss_and_by_how_many_of_its_muscles_are_weak(cuts, kind, gain):
    """Hip flexion has two muscles; the groin muscle has a root from outside, so that it is never paralysed."""
    plexus = small("caudal")
    rule = deficits.of(plexus)
    broken = rule.broken(cuts)
    assert finding(plexus, kind, "hip flexion").gain(rule, broken) == pytest.approx(gain)


def test_of_movements_that_differ_after_a_comma_one_is_asked_which():
    with pytest.raises(UnknownNameError, match=r"may mean finger DIP flexion, .*finger DIP flexion, .* Say which"):
        finding(brachial(), "weak", "finger DIP flexion")


def test_a_movement_goes_before_a_muscle_that_only_has_its_words_in_its_name():
    plexus = small("caudal")
    helper = replace(plexus.muscles["groin-muscle"], name="helper of toe lifting")
    plexus = replace(plexus, muscles=dict(plexus.muscles) | {helper.id: helper})
    assert finding(plexus, "weak", "toe lifting").movement
    assert finding(plexus, "weak", "helper of toe lifting").about == "groin-muscle"


@pytest.mark.parametrize(
    ("text", "movement"),
    [
        ("plantar flexion", "ankle plantarflexion"),
        ("dorsi flexion of the ankle", "ankle dorsiflexion"),
        ("big toe extension", "great-toe extension"),
    ],
)
def test_a_movement_in_other_words(text, movement):
    """Written apart what is one word, and by another word for it."""
    assert finding(load("lumbosacral"), "weak", text).about == movement


def test_a_movement_by_some_of_its_words():
    assert finding(brachial(), "weak", "pronation").about == "forearm pronation"
    assert finding(brachial(), "weak", "external rotation (slight)").about == "shoulder external rotation"
    assert finding(brachial(), "weak", "finger flexors").about == "finger-flexors"
    with pytest.raises(UnknownNameError, match="thumb IP extension"):
        finding(brachial(), "weak", "thumb extension")


def test_a_numb_dermatome_of_two_roots_is_explained_best_by_what_takes_both():
    plexus = small("odd-targets")
    rule = deficits.of(plexus)
    numb = finding(plexus, "numb", "F2–F3 dermatome")

    def gain(*cuts):
        found = [sites.parse(plexus, cut) for cut in cuts]
        return numb.gain(rule, rule.broken([(site.segment, site.at) for site in found]))

    assert gain("F2", "F3") > gain("F2") > gain("F1") == 0
    assert gain("F2", "F3") == 1


def test_a_remark_in_brackets_is_left_aside():
    assert finding(brachial(), "sign", "Horner syndrome (same side)").about == "horner-syndrome"


def test_a_numb_dermatome_is_explained_in_part_by_what_takes_some_of_its_skin():
    """The more of the root's fibres a place hits, the better; nothing that spares them explains it."""
    plexus = brachial()
    rule = deficits.of(plexus)

    def gain(kind, about, *cuts):
        found = [sites.parse(plexus, cut) for cut in cuts]
        return finding(plexus, kind, about).gain(rule, rule.broken([(site.segment, site.at) for site in found]))

    root, cord, nerve = (gain("numb", "C6 dermatome", cut) for cut in ("C6", "lateral cord", "musculocutaneous nerve"))
    assert root > cord > nerve > 0
    assert gain("numb", "C8 dermatome", "lower trunk") > gain("numb", "C8 dermatome", "medial cord")
    assert gain("numb", "C6 dermatome", "C5") == 0, "the lateral forearm is reduced, but not by C6"
    assert gain("feels", "C6 dermatome", "median nerve at carpal tunnel") >= -0.1, (
        "its key point is on the thumb's back"
    )


TOGETHER = (
    [
        ("weak", "rotator cuff"),
        *(("spared", m) for m in ("supraspinatus", "infraspinatus", "teres minor", "subscapularis")),
    ],
    [("weak", "thumb abduction"), ("spared", "abductor pollicis brevis"), ("spared", "abductor pollicis longus")],
    [("spared", "shoulder abduction"), ("paralysed", "deltoid"), ("paralysed", "supraspinatus")],
    [("paralysed", "shoulder abduction"), ("spared", "deltoid")],
    [("paralysed", "shoulder abduction"), ("slight", "m. supraspinatus")],
)


@pytest.mark.parametrize("found", TOGETHER)
def test_what_cannot_be_true_together_is_refused_and_told(found):
    made = [finding(brachial(), kind, text) for kind, text in found]
    with pytest.raises(FindingsError, match="cannot be true beside") as error:
        check(deficits.of(brachial()), made)
    assert all(f'"{one.text}"' in str(error.value) for one in made)
    for i in range(len(made)):  # without any one of them it may be so
        check(deficits.of(brachial()), made[:i] + made[i + 1 :])


@pytest.mark.parametrize(
    "found",
    [
        [("weak", "rotator cuff"), ("spared", "supraspinatus"), ("spared", "infraspinatus")],
        [("weak", "shoulder abduction"), ("spared", "deltoid")],
        [("paralysed", "shoulder abduction"), ("weak", "deltoid")],
        [("spared", "shoulder abduction"), ("paralysed", "deltoid")],
    ],
)
def test_what_may_be_true_together_is_taken(found):
    made = [finding(brachial(), kind, text) for kind, text in found]
    check(deficits.of(brachial()), made)
    assert localise(brachial(), made).findings == tuple(made)
