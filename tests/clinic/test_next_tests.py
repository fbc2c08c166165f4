from __future__ import annotations

import math
from types import SimpleNamespace

import pytest
from examinations import examined, run
from randoms import brachial

from plexusdraw.clinic import next_tests
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.localise import localise, places
from plexusdraw.clinic.next_tests import bits, leading_of
from plexusdraw.clinic.places import Plausible
from plexusdraw.names import sites


def test_places_after_which_all_is_the_same_are_one():
    names = {place.sites[0].id: place for place in places(brachial()).all}
    assert [s.id for s in names["ulnar-nerve"].sites] == ["ulnar-nerve", "ulnar-nerve-at-elbow", "ulnar-nerve-at-arm"]
    vectors = [places(brachial())._consequences(place.broken) for place in places(brachial()).all]
    assert len(set(vectors)) == len(vectors)


@pytest.mark.parametrize(
    ("site", "plausible"),
    [
        ("C7", Plausible.USUAL),
        ("middle-trunk", Plausible.USUAL),
        ("posterior-division-of-middle-trunk", Plausible.UNUSUAL),
        ("posterior-cord", Plausible.USUAL),
        ("radial-nerve", Plausible.USUAL),
        ("recurrent-branch-of-median-nerve", Plausible.USUAL),
        ("median-nerve-at-carpal-tunnel", Plausible.USUAL),
        ("ulnar-nerve-at-elbow", Plausible.USUAL),
        ("median-nerve-at-forearm", Plausible.LESS),
        ("C7-preganglionic", Plausible.LESS),
        ("lateral-root-of-median-nerve", Plausible.UNUSUAL),
        ("contribution-to-phrenic-nerve", Plausible.UNUSUAL),
        ("ulnar-nerve-after-flexor-carpi-ulnaris", Plausible.UNUSUAL),
    ],
)
def test_what_is_a_usual_place(site, plausible):
    """Common practice, no source: where injuries are described."""
    plexus = brachial()
    assert {s.id: places(plexus).plausible(s) for s in sites.all_sites(plexus)}[site] is plausible


def test_a_sign_weighs_more_the_fewer_places_show_it():
    known = places(brachial())
    assert known.weight("horner-syndrome") > 2 > known.weight("wrist-drop") >= 1
    assert all(known.weight(sign) >= 1 for sign in brachial().signs)


def test_the_next_test_splits_the_leading_sites():
    result = run(weak=["deltoid", "biceps", "infraspinatus"], spared=["rhomboids", "serratus anterior"])
    leading = leading_of(result.answers)
    assert 3 <= len(leading) <= 8
    for test in result.next_tests:
        assert len({places(brachial()).seen_of(test.id, a.broken) for a in leading}) > 1
        assert set(test.normal) | set(test.changed) == {a.name for a in leading}
    assert [t.tells for t in result.next_tests] == sorted((t.tells for t in result.next_tests), reverse=True)
    assert not {t.id for t in result.next_tests} & {"deltoid", "biceps-brachii", "infraspinatus", "serratus-anterior"}
    assert result.next_tests[0].word == "splits the leading answers best"


def test_next_tests_are_of_usual_places_and_ask_for_dermatomes_among_roots_alone():
    plexus = brachial()
    for place in places(plexus).all:
        result = localise(plexus, examined(plexus, place.sites[0])[:3], top=200)
        if not result.answers:
            continue
        leading = leading_of(result.answers)
        assert all(a.plausible is not Plausible.UNUSUAL for a in leading[1:])
        roots = [all(cut.segment in plexus.roots for cut in a.cuts) for a in leading]
        asked = [t for t in result.next_tests if t.id in plexus.skin and plexus.skin[t.id].dermatome]
        assert not asked or (roots[0] and sum(roots) > 1)


def test_horner_tells_a_torn_root():
    result = run(weak=["APB", "interossei"], numb=["T1 dermatome"], spared=["FPL", "extensor indicis"])
    assert {"T1", "T1-preganglionic"} <= {a.id for a in leading_of(result.answers)}
    assert any(test.id == "horner-syndrome" for test in result.next_tests)


def test_one_bit_halves_two_places():
    assert bits([Loss.NONE, Loss.WHOLE]) == 1
    assert bits([Loss.NONE, Loss.NONE]) == 0
    assert bits(["a", "b", "c", "d"]) == 2


def test_next_tests_can_be_done_at_the_bedside():
    plexus = brachial()
    for place in places(plexus).all:
        result = localise(plexus, examined(plexus, place.sites[0])[:3])
        muscles = [plexus.muscles[test.id] for test in result.next_tests if test.id in plexus.muscles]
        assert all(muscle.testable for muscle in muscles)


CASES = {
    "roots": {"weak": ["deltoid", "biceps"], "numb": ["C5 dermatome"]},
    "trunk": {"weak": ["deltoid", "biceps", "infraspinatus"], "spared": ["rhomboids", "serratus anterior"]},
    "hand": {"weak": ["first dorsal interosseous"]},
    "drop": {"sign": ["wrist drop"]},
    "no drop": {"weak": ["brachioradialis"], "no_sign": ["wrist drop"]},
}


def entropy(values):
    """Mean number of halvings that tell which value it is."""
    shares = [values.count(value) / len(values) for value in set(values)]
    return sum(share * math.log2(1 / share) for share in shares)


@pytest.mark.parametrize("case", CASES)
class TestRule:
    """The rule in words, worked out a second time."""

    @pytest.fixture
    def result(self, case):
        return run(**CASES[case])

    @staticmethod
    def states(result, id):
        """What each leading answer shows of a thing: 0 normal, 1 changed, 2 lost; of a sign 0 or 1."""
        known, leading = places(brachial()), leading_of(result.answers)
        if id in brachial().signs:
            rule = brachial().signs[id].when
            return [int(known.rule.holds(rule, a.broken)) for a in leading]
        return [known.seen_of(id, a.broken) for a in leading]

    def test_a_test_tells_the_mean_of_normal_or_not_and_which_of_three(self, result):
        assert result.next_tests
        for test in result.next_tests:
            found = self.states(result, test.id)
            assert test.tells == pytest.approx((entropy(found) + entropy([s > 0 for s in found])) / 2)

    def test_it_names_the_answers_after_which_it_is_normal_and_those_after_which_it_is_not(self, result):
        names = [a.name for a in leading_of(result.answers)]
        for test in result.next_tests:
            found = self.states(result, test.id)
            assert list(test.normal) == [name for name, s in zip(names, found, strict=True) if s == 0]
            assert list(test.changed) == [name for name, s in zip(names, found, strict=True) if s > 0]

    def test_words_go_by_how_much_it_tells_of_the_best(self, result):
        best, *others = result.next_tests
        assert best.word == "splits the leading answers best"
        for test in others:
            well = test.tells >= 0.75 * best.tells
            assert test.word == ("splits them well" if well else "splits them less")

    def test_no_two_have_the_same_results_and_there_are_five_at_most(self, result):
        found = [tuple(self.states(result, test.id)) for test in result.next_tests]
        assert len(set(found)) == len(found) <= 5

    def test_none_that_tells_more_is_left_out(self, result):
        known = places(brachial())
        asked = {t.id for t in result.next_tests}
        done = {m for f in result.findings for id in (f.about, *f.ids(known.rule)) for m in known.rule.members(id)}
        least = min(t.tells for t in result.next_tests)
        taken = {tuple(self.states(result, id)) for id in asked}
        for id in known.bedside:
            found = self.states(result, id)
            tells = (entropy(found) + entropy([s > 0 for s in found])) / 2
            if id not in done and tuple(found) not in taken and len(result.next_tests) == 5:
                assert tells <= least + 1e-9, id

    def test_nothing_is_asked_that_was_found_already(self, result):
        known = places(brachial())
        about = {m for f in result.findings for m in known.rule.members(f.about)}
        assert not about & {t.id for t in result.next_tests}


@pytest.mark.parametrize("kind", ["sign", "no_sign"])
@pytest.mark.parametrize("sign", ["horner-syndrome", "wrist-drop"])
def test_a_sign_that_was_looked_for_is_not_asked_again(kind, sign):
    result = run(**{kind: [brachial().signs[sign].name]}, weak=["abductor pollicis brevis"])
    assert result.next_tests
    assert sign not in {test.id for test in result.next_tests}


USUAL, LESS, UNUSUAL = Plausible


@pytest.mark.parametrize(
    ("answers", "leading"),
    [
        ([(1.0, USUAL)], [1.0]),
        ([(1.0, USUAL), (0.9, USUAL), (0.5, USUAL), (0.4, USUAL)], [1.0, 0.9, 0.5]),
        ([(1.0, USUAL), (0.95, LESS), (0.9, USUAL), (0.85, USUAL), (0.5, USUAL)], [1.0, 0.95, 0.9, 0.85]),
        ([(1.0, USUAL), (0.95, UNUSUAL), (0.9, USUAL), (0.2, UNUSUAL)], [1.0, 0.9]),
        ([(1.0, UNUSUAL), (0.3, USUAL), (0.2, USUAL), (0.1, USUAL)], [1.0, 0.3, 0.2]),
        ([(1.0, USUAL), (0.75, USUAL), (0.6, USUAL), (0.57, USUAL), (0.56, USUAL)], [1.0, 0.75, 0.6]),
        ([(1.0 - i / 100, USUAL) for i in range(12)], [1.0 - i / 100 for i in range(8)]),
    ],
)
def test_the_answers_to_be_told_apart(answers, leading):
    """The best, and those not unusual that score at most 0.2 less: three at least, eight at most."""
    made = [SimpleNamespace(score=score, plausible=plausible) for score, plausible in answers]
    assert [a.score for a in leading_of(made)] == leading


def test_muscles_by_which_a_sign_shows_may_still_be_examined():
    known, answers = places(brachial()), run(weak=["triceps"]).answers
    plain = list(next_tests.choose(known, [], answers))
    for kind in ("sign", "no-sign"):
        assert list(next_tests.choose(known, [finding(brachial(), kind, "wrist drop")], answers)) == plain
    shown_by = {m for part in brachial().signs["wrist-drop"].when.parts() for m in (*part.lost, *part.weak)}
    assert {test.id for test in plain} & {m for id in shown_by for m in known.rule.members(id)}


@pytest.mark.parametrize(("weak", "roots"), [(["deltoid", "biceps"], True), (["first dorsal interosseous"], False)])
def test_dermatomes_are_examined_where_roots_lead(weak, roots):
    known, leading = places(brachial()), leading_of(run(weak=weak).answers)
    asked = [id for id, _ in next_tests._results(known, leading)]
    dermatomes = [area.id for area in brachial().skin.values() if area.dermatome]
    only_roots = [all(cut.segment in brachial().roots for cut in a.cuts) for a in leading]
    assert (only_roots[0] and sum(only_roots) > 1) is roots
    assert asked == [*known.bedside, *(s.id for s in known.placed_signs), *(dermatomes if roots else ())]
