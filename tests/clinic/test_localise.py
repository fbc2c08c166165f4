from __future__ import annotations

import random

import pytest
from effort import calls
from examinations import examined, run, run_top
from night import first
from randoms import brachial, random_plexus

from plexusdraw.clinic import deficits
from plexusdraw.clinic import localise as module
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import NORMAL, Finding, finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise, places
from plexusdraw.clinic.places import Plausible
from plexusdraw.names import sites


def explains(plexus, findings, cuts):
    rule = deficits.of(plexus)
    broken = rule.broken([(cut.segment, cut.at) for cut in cuts])
    return sum(f.gain(rule, broken) for f in findings)


def own(answers, place):
    """Where a place stands among the answers, from 1, and its answer."""
    return next((i, a) for i, a in enumerate(answers, 1) if (place.sites[0],) in a.alike)


@pytest.mark.parametrize("seed", first(range(40), 10))
def test_a_full_examination_finds_the_site_again(seed):
    """First, or behind a more plausible place that explains all but a little less."""
    plexus = brachial()
    place = random.Random(seed).choice(places(plexus).all)
    result = localise(plexus, examined(plexus, place.sites[0]), top=200)
    rank, answer = own(result.answers, place)
    assert not answer.unexplained
    assert not answer.contradicted
    assert answer.agrees == max(a.agrees for a in result.answers)
    assert rank == 1 or all(a.plausible < answer.plausible for a in result.answers[: rank - 1])
    assert rank <= 3


@pytest.mark.parametrize("seed", first(range(10), 4))
def test_a_full_examination_finds_the_site_again_in_random_models(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    for place in places(plexus).all:
        assert any(place.losses)
        findings = examined(plexus, place.sites[0])
        if all(f.kind in NORMAL for f in findings):
            continue
        answers = localise(plexus, findings, top=200).answers
        _, answer = own([a for a in answers if len(a.cuts) == 1], place)
        assert not answer.unexplained
        assert not answer.contradicted
        assert answers[0].score >= answer.score


@pytest.mark.parametrize("seed", first(range(40), 10))
def test_one_stray_finding_does_not_lead_astray(seed):
    """All that the bedside shows after a usual place, and one muscle told weak that is not."""
    plexus, dice = brachial(), random.Random(seed)
    known = places(plexus)
    usual = [
        p for p in known.all if p.plausible is Plausible.USUAL and sum(loss > Loss.SLIGHT for loss in p.losses) > 4
    ]
    place = dice.choice(usual)
    found = [f for f in examined(plexus, place.sites[0]) if f.about in known.bedside]
    stray = dice.choice([f for f in found if f.kind == "spared"])
    found = [Finding("weak", f.about, f.name) if f == stray else f for f in found]
    answers = localise(plexus, found).answers
    assert len(answers[0].cuts) == 1
    assert own(answers, place)[0] == 1


def test_upper_trunk_or_c5():
    result = run(weak=["deltoid", "biceps", "infraspinatus"], spared=["rhomboids", "serratus anterior"])
    ids = [answer.id for answer in result.answers[:2]]
    assert ids == ["upper-trunk", "C5-after-long-thoracic-nerve"], "as good, but the trunk is the usual place"
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


TWO = {
    "paralysed": ["FPL", "FDP radial half", "deltoid"],
    "numb": ["badge area"],
    "spared": ["biceps", "FCR", "triceps"],
    "feels": ["palmar lateral 3.5 digits"],
}


def test_two_injuries_where_one_does_not_do():
    assert run(**TWO).answers[0].id == "axillary-nerve+anterior-interosseous-nerve"
    assert run(**TWO).answers[0].score < 1
    one = run(**(TWO | {"numb": []}))
    assert all(len(answer.cuts) == 1 for answer in one.answers), "one finding asks for no second place"
    assert one.answers[0].id == "anterior-interosseous-nerve"


def test_one_finding_that_only_one_place_explains_asks_for_it():
    """Horner syndrome comes with T1 torn from the cord and with nothing else (T1 case papers)."""
    found = {"weak": ["deltoid", "biceps", "infraspinatus"], "spared": ["triceps", "APB", "rhomboids"]}
    assert run(**found).answers[0].id == "upper-trunk"
    best = run(**found, sign=["Horner"]).answers[0]
    assert best.id == "T1-preganglionic+upper-trunk"
    assert not best.unexplained


def test_the_best_single_place_is_always_shown():
    for top in (1, 2, 3):
        answers = run_top(top, **TWO)
        assert len(answers[0].cuts) == 2
        singles = [answer for answer in answers if len(answer.cuts) == 1]
        assert singles[0].id == next(a.id for a in run_top(200, **TWO) if len(a.cuts) == 1)


def test_what_no_single_place_explains_is_said():
    assert [f.text for f in run(weak=["trapezius", "deltoid"]).unexplained] == ["weak trapezius"]
    assert run(weak=["deltoid"]).unexplained == ()
    alone = run(weak=["trapezius"])
    assert (alone.answers, alone.next_tests) == ((), ())
    assert [f.text for f in alone.unexplained] == ["weak trapezius"]


NEIGHBOURS = {
    "paralysed": ["deltoid", "biceps", "brachioradialis", "infraspinatus", "rhomboids"],
    "spared": ["triceps", "interossei"],
}


def test_neighbours_are_likelier_pairs_than_far_places():
    assert run(**NEIGHBOURS).answers[0].name == "C5 and C6"
    plexus = brachial()
    search = module._Search(places(plexus), [finding(plexus, "weak", "deltoid")])
    by_id = {site.id: place for place in places(plexus).all for site in place.sites}
    for a, b, cost in (
        ("C5", "C6", module.NEIGHBOUR),
        ("upper-trunk", "middle-trunk", module.NEIGHBOUR),
        ("lateral-cord", "posterior-cord", module.NEIGHBOUR),
        ("C5", "C7", module.SECOND),
        ("C5", "middle-trunk", module.SECOND),
        ("axillary-nerve", "radial-nerve", module.SECOND),
    ):
        assert search._cost((by_id[a], by_id[b])) == cost, (a, b)


MANY_PAIRS = {
    "paralysed": ["rhomboid minor", "rhomboid major", "infraspinatus"],
    "moderate": ["brachialis", "FPL"],
    "weak": ["APB", "interossei", "adductor pollicis"],
}
"""Many pairs explain more of this than any single place."""


def test_the_best_pair_does_not_hang_on_how_many_answers_are_asked_for():
    every = run_top(1000, **MANY_PAIRS)
    assert sum(len(answer.cuts) == 2 for answer in every) > 10
    assert len(run(**MANY_PAIRS).answers) == 10
    for top in (2, 15, 1000):
        answers = run_top(top, **MANY_PAIRS)
        assert [a.score for a in answers[:-1]] == [a.score for a in every[: len(answers) - 1]]
    assert every[0].score > max(answer.score for answer in every if len(answer.cuts) == 1)


def test_the_best_places_of_too_many_are_paired(monkeypatch):
    best = run(**TWO).answers[0]
    monkeypatch.setattr(module, "_MOST_PLACES", 12)
    assert run(**TWO).answers[0] == best


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
    monkeypatch.setattr(module, "NEIGHBOUR", 0)
    monkeypatch.setattr(module, "NEXT", 0)
    assert runs(paralysed=["serratus anterior", "trapezius"]) == [], "the long thoracic nerve does as well"


def test_a_sign_that_no_single_place_explains(monkeypatch):
    names = [answer.name for answer in run(sign=["flail arm"]).answers]
    assert names[0] == "lateral cord to medial cord", "fewest cuts"
    assert "C5 to T1" in names
    assert [f.text for f in run(sign=["flail arm"]).unexplained] == ["flail arm"]
    monkeypatch.setattr(module, "NEXT", 2)
    assert run(sign=["flail arm"]).answers == (), "the cuts cost more than the sign is worth"


def test_runs_are_looked_for_in_stages_of_a_few(monkeypatch):
    monkeypatch.setattr(module, "_MOST_NEIGHBOURS", 5)
    assert "C5 to T1" in runs(**FLAIL)
    monkeypatch.setattr(module, "_MOST_NEIGHBOURS", 4)
    assert "C5 to T1" not in runs(**FLAIL)


@pytest.mark.parametrize(
    ("found", "name", "others"),
    [
        (
            {"paralysed": ["flexor carpi ulnaris", "interossei"], "spared": ["APB"]},
            "ulnar nerve",
            ["ulnar nerve at elbow"],
        ),
        ({"paralysed": ["extensor indicis"], "spared": ["ECRB", "supinator"]}, "posterior interosseous nerve", []),
        (
            {"weak": ["triceps", "FCR", "pronator teres"], "spared": ["deltoid", "biceps", "APB"]},
            "C7",
            ["middle trunk"],
        ),
        (NEIGHBOURS, "C5 and C6", ["C5 preganglionic and C6"]),
    ],
)
def test_places_that_no_bedside_test_tells_apart_are_one_answer(found, name, others):
    """C7 and the middle trunk cannot be told apart at the bedside (chapter on wrist drop)."""
    answers = run(**found).answers
    assert answers[0].name == name
    assert answers[0].places[0] == name
    assert set(others) <= set(answers[0].places)
    assert len({answer.seen for answer in answers}) == len(answers)


def test_the_places_of_an_answer_look_alike():
    plexus = brachial()
    known = places(plexus)
    for found in (NEIGHBOURS, TWO, FLAIL, {"weak": ["interossei", "APB"]}):
        for answer in run_top(30, **found):
            assert answer.cuts == answer.alike[0]
            for cuts in answer.alike:
                assert known.seen(known.rule.broken([(cut.segment, cut.at) for cut in cuts])) == answer.seen


def test_the_more_plausible_place_comes_first():
    assert [a.plausible for a in run(weak=["triceps"]).answers[:4]] == [Plausible.USUAL] * 4
    disc = run(
        slight=["triceps"], weak=["finger extensors", "FCR"], reflex_lost=["triceps reflex"], numb=["C7 dermatome"]
    )
    assert disc.answers[0].name == "C7"


def test_strength_of_1_to_4_may_be_a_partial_injury():
    result = run(slight=["triceps"], paralysed=["wrist extensors", "finger extensors"], spared=["deltoid"])
    assert result.answers[0].id == "radial-nerve"
    assert result.answers[0].partial
    assert "slightly weak triceps brachii" in result.answers[0].explained
    assert not run(paralysed=["triceps", "wrist extensors"], spared=["deltoid"]).answers[0].partial


def test_muscles_of_the_back_tell_a_torn_root():
    """Paraspinal muscles are changed in preganglionic injury and root disease only (model's note)."""
    found = {"weak": ["triceps", "FCR", "extensor digitorum"], "spared": ["deltoid", "interossei", "biceps"]}
    assert run(**found).answers[0].cuts[0].id == "C7"
    torn = run(**(found | {"weak": [*found["weak"], "cervical paraspinals"]})).answers
    assert torn[0].id == "C7-preganglionic"
    assert not torn[0].unexplained
    assert run(**(found | {"spared": [*found["spared"], "cervical paraspinals"]})).answers[0].id == "C7"


def test_normal_findings_alone_have_no_answer():
    result = run(spared=["deltoid"])
    assert (result.answers, result.next_tests) == ((), ())
    assert localise(brachial(), []).answers == ()


def test_a_result_says_what_was_asked():
    for found in ({"spared": ["deltoid"]}, {"weak": ["deltoid"], "spared": ["biceps"]}):
        result = run(**found)
        assert result.plexus is brachial()
        assert [(f.kind, f.name.split()[0]) for f in result.findings] == [(k, text) for k, [text] in found.items()]


def test_all_sites_and_pairs_are_looked_through_in_a_moment():
    plexus = brachial()
    texts = ["deltoid", "first dorsal interosseous", "FCU", "pronator teres", "triceps"]
    findings = [finding(plexus, "weak", text) for text in texts]
    findings += [finding(plexus, "spared", text) for text in ("biceps", "ECRL", "supraspinatus", "APB")]

    def anew():
        module.places.cache_clear()
        localise(plexus, findings)

    anew()  # what is kept of a plexus is there
    assert calls(anew) < 350_000  # a tenth of a second on a usual machine


def test_a_site_of_an_answer_can_be_injured():
    for answer in run(weak=["interossei"]).answers:
        for cut in answer.cuts:
            assert sites.parse(brachial(), cut.id) == cut


@pytest.mark.parametrize("seed", first(range(25), 8))
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
