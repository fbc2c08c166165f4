"""How a question of the pool is put together: which wrong answers stand near, and the reason that each one has."""

from __future__ import annotations

from random import Random

import pytest
from randoms import brachial, small

from plexusdraw.clinic import supply
from plexusdraw.clinic.cases import asked
from plexusdraw.clinic.injury import injure
from plexusdraw.names import sites
from plexusdraw.sheets.worksheet.pool import injuries, lists
from plexusdraw.sheets.worksheet.pool.kit import Kit, listed, supplied_by, supplies, worded
from plexusdraw.sheets.worksheet.spec import Option

CAUDAL = small("caudal")


def options(*texts):
    return [Option(text, why=f"not {text}") for text in texts]


@pytest.mark.parametrize(
    ("items", "text"),
    [
        (["a"], "a"),
        (["a", "b"], "a and b"),
        (["a", "b", "c"], "a, b and others"),
        (["a", "b", "c", "d"], "a, b and others"),
        (["a, x"], "a, x"),
        (["a, x", "b"], "a, x; b"),
        (["a", "b, x"], "a; b, x"),
        (["a, x", "b", "c"], "a, x; b and others"),
        (["a", "b", "c, x"], "a, b and others"),
    ],
)
def test_things_in_a_row(items, text):
    assert listed(items) == text


def test_more_may_be_named():
    assert listed(["a", "b", "c"], 3) == "a and b and c"
    assert listed(["a", "b", "c", "d"], 3) == "a, b, c and others"


class TestWorded:
    """A question of four answers."""

    @pytest.mark.parametrize("seed", range(10))
    def test_it_has_the_right_answer_and_three_wrong_ones(self, seed):
        choice = worded(Kit(CAUDAL), "Which?", "r", options("a", "b", "c", "d"), Random(seed))
        assert choice.prompt == "Which?"
        assert [o.text for o in choice.options if o.right] == ["r"]
        wrong = [o for o in choice.options if not o.right]
        assert len({o.text for o in wrong}) == 3
        assert all(o.why == f"not {o.text}" for o in wrong)

    def test_the_right_one_stands_anywhere(self):
        places = set()
        for seed in range(40):
            choice = worded(Kit(CAUDAL), "Which?", "r", options("a", "b", "c"), Random(seed))
            places.add([o.right for o in choice.options].index(True))
        assert places == {0, 1, 2, 3}

    def test_what_is_spelled_as_the_right_one_or_as_another_is_no_wrong_answer(self):
        assert worded(Kit(CAUDAL), "?", "Right one", options("right-one", "a", "A", "b"), Random(1)) is None
        choice = worded(Kit(CAUDAL), "?", "Right one", options("right-one", "a", "A", "b", "c"), Random(1))
        assert {o.text for o in choice.options} == {"Right one", "a", "b", "c"}

    @pytest.mark.parametrize("many", [0, 1, 2])
    def test_with_fewer_than_three_wrong_ones_there_is_no_question(self, many):
        assert worded(Kit(CAUDAL), "?", "r", options(*"abc"[:many]), Random(1)) is None

    def test_near_ones_are_among_the_first_six_and_others_anywhere(self):
        every = options(*"abcdefghij")
        drawn = {near: set() for near in (True, False)}
        for near, found in drawn.items():
            for seed in range(60):
                choice = worded(Kit(CAUDAL, near=near), "?", "r", every, Random(seed))
                found |= {o.text for o in choice.options if not o.right}
        assert drawn[True] == set("abcdef")
        assert drawn[False] == set("abcdefghij")


def test_near_first_is_by_roots_in_common_and_else_as_it_was():
    roots = {"a": ("C5",), "b": ("C5", "C6"), "c": (), "d": ("C6", "C5", "C7"), "e": ("C7",)}
    kit = Kit(CAUDAL)
    assert kit.near_first(["C5", "C6"], list("abcde"), roots.__getitem__) == ["b", "d", "a", "c", "e"]
    assert kit.near_first([], list("edcba"), roots.__getitem__) == list("edcba")


def test_nerves_to_choose_from_are_those_of_which_something_is_asked_in_model_order():
    order = list(brachial().segments)
    for fine in (False, True):
        kit = Kit(brachial(), fine=fine)
        ids = [nerve.id for nerve in kit.nerves]
        assert ids == sorted(ids, key=order.index)
        own = {n.id for n in kit.supply.nerves()}
        assert set(ids) == own | ({n.id for n in kit.supply.nerves(True)} if fine else set())
    assert len(Kit(brachial(), fine=True).nerves) > len(Kit(brachial()).nerves)


def test_reasons_say_who_supplies_what():
    assert supplies(CAUDAL, "hip-nerve") == "supplies hip muscle"
    assert supplies(CAUDAL, "thigh-nerve") == "supplies knee extensor and inner leg skin"
    assert supplied_by(CAUDAL, CAUDAL.muscles["hip-muscle"]) == "supplied by the hip nerve"
    assert supplied_by(CAUDAL, CAUDAL.muscles["knee-flexor"]) == (
        "supplied by the shin nerve and deep branch of shin nerve"
    )


class TestCuts:
    """Sites that make a fair case."""

    def test_they_have_a_name_of_the_trade_and_lie_on_no_root_but_at_its_start(self):
        for cut in injuries.cuts(brachial()):
            assert "-after-" not in cut.site.id
            assert cut.site.segment not in brachial().roots or cut.site.id == cut.site.segment

    def test_none_that_is_fair_is_left_out(self):
        listed_ids = {cut.site.id for cut in injuries.cuts(CAUDAL)}
        for site in sites.all_sites(CAUDAL):
            injury = injure(CAUDAL, [site])
            gone = [o for o in injury.muscles.values() if o.state == "paralysed" and not o.disputed]
            plain = "-after-" not in site.id and (site.segment not in CAUDAL.roots or site.id == site.segment)
            assert (site.id in listed_ids) == (plain and bool(gone)), site.id

    def test_a_root_is_called_one(self):
        cut = injuries.Cut(brachial(), sites.parse(brachial(), "C5"))
        assert cut.name == "C5 root"
        assert injuries.Cut(brachial(), sites.parse(brachial(), "upper trunk")).name == "upper trunk"

    def test_sure_is_what_is_lost_or_spared_whichever_source_is_right(self):
        cut = injuries.Cut(brachial(), sites.parse(brachial(), "upper trunk"))
        for id, outcome in cut.sure.items():
            assert outcome.state in ("paralysed", "lost", "spared")
            assert not outcome.disputed
            assert not (id in brachial().skin and brachial().skin[id].dermatome)
        assert set(cut.lost) == {id for id, o in cut.sure.items() if o.state in ("paralysed", "lost")}


def asked_of(topic, cut, seed):
    """The question of a topic about a cut."""
    subject = next(s for s in topic(Kit(brachial())) if s.about == cut.site.id)
    return subject.make(Random(seed))


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("place", ["radial nerve at spiral groove", "musculocutaneous nerve", "ulnar nerve at elbow"])
class TestQuestions:
    """What a cut paralyses, and which cut explains findings."""

    @pytest.fixture
    def cut(self, place):
        site = sites.parse(brachial(), place)
        return next(cut for cut in injuries.cuts(brachial()) if cut.site.id == site.id)

    def test_the_cut_is_named_and_the_right_muscle_is_surely_paralysed(self, cut, seed, place):
        choice = asked_of(injuries.injuries, cut, seed)
        assert choice.prompt == (
            f"One injury cuts the {place}; nothing else is injured. Which of these muscles is paralysed?"
        )
        (right,) = [o.text for o in choice.options if o.right]
        (one,) = [one for one in asked(cut.injury) if one.what == "Muscles paralysed"]
        assert right in {brachial().muscles[id].name for id in one.required}

    def test_a_wrong_muscle_is_spared_and_says_by_what(self, cut, seed, place):
        choice = asked_of(injuries.injuries, cut, seed)
        by_name = {m.name: m for m in brachial().muscles.values()}
        for option in (o for o in choice.options if not o.right):
            outcome = cut.injury.muscles[by_name[option.text].id]
            assert outcome.state == "spared"
            through = any(cut.site.segment in route.path for route in outcome.left)
            segment = brachial().segments[cut.site.segment].name
            if through:
                assert option.why == f"spared: its branch leaves the {segment} before the cut"
            else:
                roots = [r for r in brachial().roots if r in {route.root for route in outcome.left}]
                assert option.why.startswith(f"spared: {', '.join(roots)} by the ")

    def test_each_other_site_is_contradicted_by_a_finding_that_is_told(self, cut, seed, place):
        choice = asked_of(injuries.sites, cut, seed)
        assert choice.prompt.endswith("Which one injury explains all of this?")
        (right,) = [o.text for o in choice.options if o.right]
        assert right == cut.name
        by_name = {other.name: other for other in injuries.cuts(brachial())}
        for option in (o for o in choice.options if not o.right):
            other = by_name[option.text]
            told = [o for o in cut.sure.values() if o.name in option.why and o.name in choice.prompt]
            assert told, option.why
            assert any(other.sure[o.id].loss is not o.loss for o in told if o.id in other.sure)


class TestLists:
    """Lists as "choose all that apply"."""

    def test_of_an_injury_right_are_those_required_and_wrong_those_surely_spared(self):
        injury = injure(brachial(), ["radial nerve at spiral groove"])
        for one in asked(injury):
            choice = lists.of_injury(injury, one)
            assert choice.prompt == f"{one.what}: choose all that apply."
            names = {id: id if one.kind == "movement" else brachial().entity(id).name for id in one.required}
            right = [o.text for o in choice.options if o.right]
            assert set(right) <= set(names.values())
            assert 1 <= len(right) <= 5
            wrong = [o for o in choice.options if not o.right]
            assert 1 <= len(wrong) <= 5
            starts = "kept by " if one.kind == "movement" else "spared: supplied by the "
            assert all(o.why.startswith(starts) for o in wrong)
            texts = [o.text.casefold() for o in choice.options]
            assert texts == sorted(texts)

    def test_roots_of_a_nerve(self):
        choice = lists.of_roots(CAUDAL, "thigh-nerve", "Roots of the thigh nerve")
        assert choice.prompt == "Roots of the thigh nerve: choose all that apply."
        assert [(o.text, o.right, o.why) for o in choice.options] == [
            ("L3", True, ""),
            ("L4", True, ""),
            *((root, False, "not of this nerve") for root in ("L5", "S1", "S2")),
        ]

    def test_small_and_variable_shares_are_no_options(self):
        texts = {o.text for o in lists.of_roots(CAUDAL, "groin-nerve", "?").options}
        assert texts == {"L3", "L5", "S1", "S2"}

    def test_a_nerve_that_has_all_roots_makes_no_question(self):
        assert lists.of_roots(small("one-root"), "only-nerve", "?") is None

    def test_what_a_nerve_supplies_beside_what_it_does_not_reach(self):
        known = supply.of(CAUDAL)
        targets = [CAUDAL.muscles["hip-muscle"]]
        choice = lists.of_supply(CAUDAL, "hip-nerve", targets, "Muscles of the hip nerve")
        assert choice.prompt == "Muscles of the hip nerve: choose all that apply."
        assert [o.text for o in choice.options if o.right] == ["hip muscle"]
        by_name = {m.name: m for m in CAUDAL.muscles.values()}
        for option in (o for o in choice.options if not o.right):
            assert not known.may_supply("hip-nerve", by_name[option.text])
            assert option.why == supplied_by(CAUDAL, by_name[option.text])
