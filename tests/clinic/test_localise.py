from __future__ import annotations

import random
import time

import pytest
from randoms import brachial, random_plexus, small

from plexusdraw.clinic import deficits
from plexusdraw.clinic import localise as module
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import GAINS, KINDS, NORMAL, Finding, finding, graded
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise, places
from plexusdraw.errors import UnknownNameError
from plexusdraw.names import sites

MUSCLE = {Loss.NONE: "spared", Loss.SLIGHT: "slight", Loss.PART: "moderate", Loss.WHOLE: "paralysed"}


def examined(plexus, site):
    """All that an examination would find after a cut, reduced skin aside."""
    after = injure(plexus, [site])
    found = [Finding(MUSCLE[o.loss], o.id, o.name) for o in after.muscles.values()]
    found += [
        Finding("numb" if o.loss is Loss.WHOLE else "feels", o.id, o.name)
        for o in after.skin.values()
        if o.loss is not Loss.PART
    ]
    shown = {sign.id for sign in after.signs}
    return found + [Finding("sign" if s.id in shown else "no-sign", s.id, s.name) for s in plexus.signs.values()]


def explains(plexus, findings, cuts):
    rule = deficits.of(plexus)
    broken = rule.broken([(cut.segment, cut.at) for cut in cuts])
    return sum(f.gain(rule, broken) for f in findings)


@pytest.mark.parametrize("seed", range(40))
def test_a_full_examination_finds_the_site_again(seed):
    plexus = brachial()
    place = random.Random(seed).choice(places(plexus).all)
    findings = examined(plexus, place.sites[0])
    answers = localise(plexus, findings).answers
    assert explains(plexus, findings, answers[0].cuts) == explains(plexus, findings, place.sites[:1])
    best = [a for a in answers if a.score == answers[0].score]
    same = [places(plexus).losses(a.broken) for a in best]
    assert place.losses in same
    assert not answers[0].unexplained
    assert not answers[0].contradicted


@pytest.mark.parametrize("seed", range(10))
def test_a_full_examination_finds_the_site_again_in_random_models(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    for place in places(plexus).all:
        assert any(place.losses)
        findings = examined(plexus, place.sites[0])
        if all(f.kind in NORMAL for f in findings):
            continue
        best = localise(plexus, findings).answers[0]
        assert explains(plexus, findings, best.cuts) == explains(plexus, findings, place.sites[:1])


def run(**found):
    plexus = brachial()
    findings = [finding(plexus, kind.replace("_", "-"), text) for kind, texts in found.items() for text in texts]
    return localise(plexus, findings)


def test_upper_trunk_or_c5():
    result = run(weak=["deltoid", "biceps", "infraspinatus"], spared=["rhomboids", "serratus anterior"])
    ids = [answer.id for answer in result.answers[:2]]
    assert set(ids) == {"upper-trunk", "C5-after-long-thoracic-nerve"}
    assert result.answers[0].explained[0] == "weak deltoid"


def test_what_speaks_against_a_site_is_named():
    result = run(paralysed=["biceps"], spared=["brachialis"])
    whole = next(a for a in result.answers if a.id == "musculocutaneous-nerve")
    assert whole.contradicted == ("spared brachialis",)
    assert whole.explained == ("paralysed biceps brachii",)


def test_two_injuries_only_where_no_single_one_explains_all():
    """Two would agree better with how slight the losses are, but C8 alone explains both."""
    answers = run(slight=["extensor digiti minimi", "flexor carpi ulnaris"]).answers
    assert not answers[0].unexplained
    assert all(len(answer.cuts) == 1 for answer in answers)


def test_two_injuries_where_one_does_not_do():
    result = run(weak=["trapezius"])
    assert result.answers == ()
    result = run(paralysed=["anterior interosseous muscles", "deltoid"], spared=["biceps", "FCR", "triceps"])
    assert len(result.answers[0].cuts) == 2
    assert "anterior-interosseous-nerve" in result.answers[0].id
    assert result.answers[0].score < 1


MANY_PAIRS = {
    "paralysed": ["diaphragm", "rhomboid minor"],
    "moderate": ["brachialis", "FPL"],
    "weak": ["APB"],
}
"""Some 80 pairs explain more of this than any single place."""


def test_the_best_pair_does_not_hang_on_how_many_answers_are_asked_for():
    plexus = brachial()
    findings = [finding(plexus, kind, text) for kind, texts in MANY_PAIRS.items() for text in texts]
    every = localise(plexus, findings, top=1000).answers
    assert sum(len(answer.cuts) == 2 for answer in every) > 60
    assert len(localise(plexus, findings).answers) == 10
    for top in (1, 15, 1000):
        answers = localise(plexus, findings, top=top).answers
        assert [a.score for a in answers] == [a.score for a in every[:top]]
    assert every[0].score > max(answer.score for answer in every if len(answer.cuts) == 1)


def test_the_best_places_of_too_many_are_paired(monkeypatch):
    found = {"paralysed": ["anterior interosseous muscles", "deltoid"], "spared": ["biceps", "FCR", "triceps"]}
    best = run(**found).answers[0]
    monkeypatch.setattr(module, "_MOST_PLACES", 12)
    assert run(**found).answers[0] == best


FLAIL = {
    "paralysed": ["deltoid", "triceps", "interossei"],
    "weak": ["serratus anterior", "trapezius"],
    "sign": ["flail arm"],
}


@pytest.mark.parametrize(
    ("horner", "name"),
    [
        ({"sign": ["flail arm", "Horner"]}, "C5 preganglionic to T1 preganglionic"),
        ({"no_sign": ["Horner"]}, "C5 to T1"),
        ({}, "C5 to T1"),
    ],
)
def test_a_run_of_roots_is_one_answer(horner, name):
    """Torn from the cord only where Horner syndrome says so: it needs T1 cut before its ganglion."""
    result = run(**(FLAIL | horner))
    answer = result.answers[0]
    assert answer.name == name
    assert answer.unexplained == ("weak trapezius",)
    assert not answer.contradicted
    shown = [sign.id for sign in injure(brachial(), answer.cuts).signs]
    assert ("horner-syndrome" in shown) == ("Horner syndrome" in answer.explained)
    assert [answer.id for answer in result.answers].count(answer.id) == 1


def neighbours(plexus, answer):
    """Whether the cuts of an answer are of one stage of given order, each next to the one before."""
    for stage in plexus.stages:
        ids = [segment.id for segment in plexus.staged(stage.id)]
        cuts = [cut.segment for cut in answer.cuts]
        if stage.order == "given" and cuts[0] in ids:
            first = ids.index(cuts[0])
            return cuts == ids[first : first + len(cuts)]
    return False


def runs(**found):
    """Names of all answers of three cuts and more."""
    plexus = brachial()
    findings = [finding(plexus, kind, text) for kind, texts in found.items() for text in texts]
    answers = [a for a in localise(plexus, findings, top=1000).answers if len(a.cuts) > 2]
    assert all(neighbours(plexus, answer) for answer in answers)
    return [answer.name for answer in answers]


def test_runs_are_of_three_neighbours_and_more():
    assert "C5 to C7" in runs(paralysed=["serratus anterior", "deltoid"], weak=["triceps", "trapezius"])
    assert "upper trunk to lower trunk" in runs(**FLAIL)
    terminal = ["deltoid", "biceps", "interossei", "triceps", "APB", "trapezius"]
    assert len(runs(paralysed=terminal)) > 2


def test_a_run_explains_more_than_any_single_place(monkeypatch):
    monkeypatch.setattr(module, "SECOND_CUT", 0)
    monkeypatch.setattr(module, "NEXT_CUT", 0)
    assert runs(paralysed=["serratus anterior", "trapezius"]) == [], "the long thoracic nerve does as well"


def test_a_sign_that_no_single_place_explains(monkeypatch):
    assert run(sign=["flail arm"]).answers == (), "the cuts cost more than one sign is worth"
    monkeypatch.setattr(module, "SECOND_CUT", 0.5)
    monkeypatch.setattr(module, "NEXT_CUT", 0.1)
    answers = run(sign=["flail arm"]).answers
    assert answers
    assert all(len(answer.cuts) > 1 for answer in answers)


def test_runs_are_looked_for_in_stages_of_a_few(monkeypatch):
    monkeypatch.setattr(module, "_MOST_NEIGHBOURS", 5)
    assert "C5 to T1" in runs(**FLAIL)
    monkeypatch.setattr(module, "_MOST_NEIGHBOURS", 4)
    assert "C5 to T1" not in runs(**FLAIL)


def test_places_that_cannot_be_told_apart_are_one():
    names = {place.sites[0].id: place for place in places(brachial()).all}
    assert [s.id for s in names["ulnar-nerve"].sites] == ["ulnar-nerve", "ulnar-nerve-at-arm", "ulnar-nerve-at-elbow"]
    answer = run(paralysed=["flexor carpi ulnaris", "interossei"], spared=["APB"]).answers[0]
    assert answer.name == "ulnar nerve (start to elbow)"
    answer = run(paralysed=["extensor indicis"], spared=["ECRB", "supinator"]).answers[0]
    assert answer.name == "deep branch of radial nerve after supinator or posterior interosseous nerve"
    answer = run(paralysed=["adductor pollicis", "abductor digiti minimi"], spared=["palmaris brevis"]).answers[0]
    assert answer.name.endswith(" or deep branch of ulnar nerve (start to Guyon canal)")
    vectors = [module.places(brachial())._consequences(place.broken) for place in places(brachial()).all]
    assert len(set(vectors)) == len(vectors)


def test_the_next_test_splits_the_leading_sites():
    result = run(weak=["deltoid", "biceps", "infraspinatus"], spared=["rhomboids", "serratus anterior"])
    test = result.next_tests[0]
    leading = [a for a in result.answers if a.score >= result.answers[0].score - module.LEADING]
    rule = deficits.of(brachial())
    assert len({max(rule.loss(test.id, a.broken), Loss.SLIGHT) for a in leading}) > 1
    assert [t.tells for t in result.next_tests] == sorted((t.tells for t in result.next_tests), reverse=True)
    assert test.id not in {"deltoid", "biceps-brachii", "infraspinatus", "serratus-anterior"}


def test_one_bit_halves_two_places():
    assert module._bits([Loss.NONE, Loss.WHOLE]) == 1
    assert module._bits([Loss.NONE, Loss.NONE]) == 0
    assert module._bits(["a", "b", "c", "d"]) == 2


def test_normal_findings_alone_have_no_answer():
    result = run(spared=["deltoid"])
    assert (result.answers, result.next_tests) == ((), ())
    assert localise(brachial(), []).answers == ()


def test_a_result_says_what_was_asked():
    for found in ({"spared": ["deltoid"]}, {"weak": ["deltoid"], "spared": ["biceps"]}):
        result = run(**found)
        assert result.plexus is brachial()
        assert [(f.kind, f.name.split()[0]) for f in result.findings] == [(k, text) for k, [text] in found.items()]


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
    [("biceps=0", "paralysed"), ("biceps = 3", "moderate"), ("biceps=4-", "slight"), ("biceps=5/5", "spared")],
)
def test_grades(text, kind):
    assert graded(brachial(), text).kind == kind


@pytest.mark.parametrize("text", ["biceps", "biceps=6", "biceps=", "=3", "nobody=3"])
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


def test_all_sites_and_pairs_are_looked_through_in_a_moment():
    plexus = brachial()
    texts = ["deltoid", "first dorsal interosseous", "FCU", "pronator teres", "triceps"]
    findings = [finding(plexus, "weak", text) for text in texts]
    findings += [finding(plexus, "spared", text) for text in ("biceps", "ECRL", "supraspinatus", "APB")]

    def seconds():
        module.places.cache_clear()
        start = time.process_time()
        localise(plexus, findings)
        return time.process_time() - start

    assert min(seconds() for _ in range(5)) < 0.1


def test_a_site_of_an_answer_can_be_injured():
    for answer in run(weak=["interossei"]).answers:
        for cut in answer.cuts:
            assert sites.parse(brachial(), cut.id) == cut


def test_group_findings_count_by_their_members():
    plexus = small("caudal")
    rule = deficits.of(plexus)
    movers = finding(plexus, "paralysed", "knee movers")
    half = rule.broken([("thigh-nerve", 0)])
    assert movers.gain(rule, half) == 0.5
    assert movers.gain(rule, 0) == -1
    assert finding(plexus, "spared", "knee movers").gain(rule, half) == -1.5


@pytest.mark.parametrize("seed", range(25))
def test_part_of_an_examination(seed):
    """Two places' findings mixed: what every answer and every proposed test must hold to."""
    plexus, dice = brachial(), random.Random(seed)
    chosen = [examined(plexus, place.sites[0]) for place in dice.sample(places(plexus).all, 2)]
    abnormal = [f for found in chosen for f in found if f.kind not in NORMAL]
    normal = [f for found in chosen for f in found if f.kind in NORMAL and f.about not in {a.about for a in abnormal}]
    findings = [*dice.sample(abnormal, min(5, len(abnormal))), *dice.sample(normal, 4)]
    result = localise(plexus, findings, top=60)
    examined_ids = {f.about for f in findings}
    assert not examined_ids & {test.id for test in result.next_tests}
    singles = [a.score for a in result.answers if len(a.cuts) == 1]
    for answer in result.answers:
        assert len(answer.explained) + len(answer.unexplained) + len(answer.contradicted) == len(result.findings)
        if len(answer.cuts) == 2:
            assert answer.score > max(singles, default=0)
            alone = max(explains(plexus, result.findings, [cut]) for cut in answer.cuts)
            assert explains(plexus, result.findings, answer.cuts) > alone


def test_next_tests_can_be_done_at_the_bedside():
    plexus = brachial()
    for place in places(plexus).all:
        result = localise(plexus, examined(plexus, place.sites[0])[:3])
        muscles = [plexus.muscles[test.id] for test in result.next_tests if test.id in plexus.muscles]
        assert all(muscle.testable for muscle in muscles)


def test_a_movement_by_some_of_its_words():
    assert finding(brachial(), "weak", "pronation").about == "forearm pronation"
    assert finding(brachial(), "weak", "external rotation (slight)").about == "shoulder external rotation"
    assert finding(brachial(), "weak", "finger flexors").about == "finger-flexors"
    with pytest.raises(UnknownNameError, match="thumb IP extension"):
        finding(brachial(), "weak", "thumb extension")


def test_a_remark_in_brackets_is_left_aside():
    assert finding(brachial(), "sign", "Horner syndrome (same side)").about == "horner-syndrome"
