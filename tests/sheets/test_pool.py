"""Every question that can be made: its answer is right, and each wrong answer is wrong whichever source is right."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path
from random import Random

import pytest
from formpages import brachial
from randoms import rows, small, write

from plexusdraw import names
from plexusdraw.clinic.cases import asked
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, injure
from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.model import load
from plexusdraw.names import sites
from plexusdraw.routes.reach import reach
from plexusdraw.sheets.worksheet import class_set, pool
from plexusdraw.sheets.worksheet.pool import lists, movements
from plexusdraw.sheets.worksheet.spec import Spec

PUBLISHED = Path(__file__).parent.parent / "published"
DRAWS = 6
"""Each subject is asked so many times, with other wrong answers by chance."""


@cache
def made(plexus, level):
    """Every question of a level: topic, the structure it is about, the choice."""
    kit = pool.kit(plexus, level)
    found = []
    for topic, subjects in pool.TOPICS.items():
        for subject in subjects(kit):
            for draw in range(DRAWS):
                choice = subject.make(Random(f"{topic}/{subject.about}/{draw}"))
                if choice is not None:
                    found.append((topic, subject.about, choice))
    return found


@cache
def cut(plexus, site):
    return Injury(plexus, [site])


@cache
def named(plexus):
    return tuple(sites.all_sites(plexus))


def spared(plexus, nerve, target):
    """Whether a cut of a nerve surely leaves a muscle or skin area as it is."""
    outcome = cut(plexus, sites.start(plexus, nerve)).outcome(target)
    return outcome.loss is Loss.NONE and not outcome.disputed


def check(plexus, topic, about, choice):
    """One question, against the engine."""
    right = [o for o in choice.options if o.right]
    wrong = [o for o in choice.options if not o.right]
    assert len(right) == 1
    assert len(wrong) == 3
    assert len({o.text for o in choice.options}) == 4
    assert all(o.why for o in wrong)
    assert not right[0].why
    CHECKS[topic](plexus, about, choice, right[0], wrong)


@cache
def structure(plexus, text, kinds):
    """What an answer names."""
    return next(e for e in plexus.entities() if e.kind in kinds and text in (names.display(e), e.name))


def nerve_kinds(plexus):
    return frozenset(s.kind for s in plexus.segments.values())


def supply(plexus, about, choice, right, wrong):
    if about in plexus.segments:
        answers = {o.text: structure(plexus, o.text, frozenset(("muscle", "skin"))).id for o in (right, *wrong)}
        assert answers[right.text] in (*reach(plexus, about).muscles, *reach(plexus, about).skin)
        for option in wrong:
            assert spared(plexus, about, answers[option.text])
            assert "supplied by" in option.why
    else:
        ids = {o.text: structure(plexus, o.text, nerve_kinds(plexus)).id for o in (right, *wrong)}
        assert not spared(plexus, ids[right.text], about)
        assert cut(plexus, sites.start(plexus, ids[right.text])).outcome(about).loss is Loss.WHOLE
        assert all(spared(plexus, ids[o.text], about) for o in wrong)


def roots(plexus, about, choice, right, wrong):
    found = reach(plexus, plexus.segments[about])
    told = set(right.text.split(", "))
    assert {*found.roots, *found.roots_minor} == told
    either = {*told, *plexus.segments[about].variable}
    for option in wrong:
        held = set(option.text.split(", "))
        assert not set(found.roots) <= held or not held <= either
        assert re.search(r"missing|not of this nerve", option.why)


def origins(plexus, about, choice, right, wrong):
    before = {id for path in reach(plexus, plexus.segments[about]).paths for id in path[:-1]}
    ids = {o.text: structure(plexus, o.text, nerve_kinds(plexus)).id for o in (right, *wrong)}
    assert plexus.segments[about].parents == (ids[right.text],)
    assert before.isdisjoint(ids[o.text] for o in wrong)


def movers(plexus, about, choice, right, wrong):
    by_name = {m.name: m for m in plexus.muscles.values()}
    assert about in by_name[right.text].movements
    near = movements.joint(about)
    for option in wrong:
        muscle = by_name[option.text]
        assert about not in muscle.movements
        undoes = movements.opposite(about) in muscle.movements
        assert undoes or not any(movements.joint(m) & near for m in muscle.movements)


def injuries(plexus, about, choice, right, wrong):
    by_name = {m.name: m.id for m in plexus.muscles.values()}
    injury = cut(plexus, site_of(plexus, about))
    outcome = injury.outcome(by_name[right.text])
    assert outcome.loss is Loss.WHOLE
    assert not outcome.disputed
    for option in wrong:
        outcome = injury.outcome(by_name[option.text])
        assert outcome.loss is Loss.NONE
        assert not outcome.disputed


def site_of(plexus, id):
    return next(s for s in named(plexus) if s.id == id)


def localising(plexus, about, choice, right, wrong):
    """Each finding holds of the right site; of each wrong one some finding surely does not."""
    found = list(findings(plexus, choice.prompt))
    assert any(lost and plexus.entity(id).kind == "muscle" for id, lost in found)
    assert all(agrees(plexus, site_of(plexus, about), *one) is True for one in found)
    for option in wrong:
        told = [agrees(plexus, site_named(plexus, option.text), *one) for one in found]
        assert False in told


def site_named(plexus, text):
    for suffix in ("", f" {plexus.stages[0].singular}"):
        for site in named(plexus):
            if f"{site.name}{suffix}" == text:
                return site
    raise AssertionError(text)


def findings(plexus, prompt):
    said = {"Paralysed": True, "Full strength": False, "No feeling": True, "Normal feeling": False}
    by_name = {e.name: e.id for e in (*plexus.muscles.values(), *plexus.skin.values())}
    for word, rest in re.findall(r"(Paralysed|Full strength|No feeling|Normal feeling): (.*?)\. ", prompt):
        for name in rest.split("; "):
            yield by_name[name], said[word]


def agrees(plexus, site, id, lost):
    """True, False, or None where the sources differ or it is lost in part."""
    outcome = cut(plexus, site).outcome(id)
    if outcome.disputed or outcome.loss not in (Loss.NONE, Loss.WHOLE):
        return None
    return (outcome.loss is Loss.WHOLE) is lost


CHECKS = {
    "roots": roots,
    "origins": origins,
    "muscles": supply,
    "skin": supply,
    "movements": movers,
    "injuries": injuries,
    "sites": localising,
}


@pytest.mark.slow
@pytest.mark.parametrize("level", [1, 2, 3])
def test_every_question_of_the_built_in_plexus(level):
    found = made(brachial(), level)
    assert len(found) > 1000
    assert {topic for topic, _, _ in found} == set(pool.TOPICS)
    for topic, about, choice in found:
        check(brachial(), topic, about, choice)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_every_question_of_a_plexus_by_chance(seed, tmp_path):
    plexus = load(write(tmp_path, rows(seed)))
    found = made(plexus, 1 + seed % 3)
    for topic, about, choice in found:
        check(plexus, topic, about, choice)


@pytest.mark.parametrize("name", ["caudal", "one-root", "two-stages"])
def test_a_small_model_asks_what_it_can(name):
    for topic, about, choice in made(small(name), 2):
        check(small(name), topic, about, choice)


def published(name):
    with (PUBLISHED / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_no_wrong_answer_is_right_in_a_published_table_of_muscles():
    """tests/published/muscle_supply.csv, source beside each row; rows that differ from the model count as well."""
    told = {}
    for row in published("muscle_supply.csv"):
        told.setdefault(row["muscle"], set()).update(row["nerve"].split())
    plexus, asked = brachial(), 0
    for topic, about, choice in (*made(plexus, 1), *made(plexus, 3)):
        if topic == "muscles" and about in told:
            asked += 1
            ids = {o.text: structure(plexus, o.text, nerve_kinds(plexus)).id for o in choice.options}
            for option in choice.options:
                reached = {p for path in reach(plexus, plexus.segments[ids[option.text]]).paths for p in path}
                gives = any(reach_of(plexus, nerve, ids[option.text]) for nerve in told[about])
                if option.right:
                    assert told[about] & reached or gives, (about, option)
                else:
                    assert ids[option.text] not in told[about], (about, option)
                    assert not gives, (about, option)
    assert asked > 300


def reach_of(plexus, nerve, branch_of):
    """Whether a nerve comes from another."""
    return nerve in plexus.segments and any(branch_of in path for path in reach(plexus, plexus.segments[nerve]).paths)


def test_no_wrong_answer_is_right_in_a_published_table_of_roots():
    """tests/published/nerve_roots.csv, source beside each row; rows that differ from the model count as well."""
    told = {}
    for row in published("nerve_roots.csv"):
        full = frozenset(row["roots"].split())
        told.setdefault(row["nerve"], set()).update({full, full | set(row["minor"].split())})
    asked = 0
    for topic, about, choice in (*made(brachial(), 1), *made(brachial(), 3)):
        if topic == "roots" and about in told:
            asked += 1
            wrong = {frozenset(o.text.split(", ")) for o in choice.options if not o.right}
            assert not wrong & told[about], about
    assert asked > 100


def test_no_wrong_answer_is_a_mover_in_a_published_table():
    """tests/published/movers.csv, source beside each row; muscles that only help are no wrong answers either."""
    told = {}
    for row in published("movers.csv"):
        told.setdefault(row["movement"], set()).add(row["mover"])
    by_name, asked_for = {m.name: m.id for m in brachial().muscles.values()}, 0
    for topic, about, choice in (*made(brachial(), 1), *made(brachial(), 2)):
        if topic == "movements" and about in told:
            asked_for += 1
            for option in choice.options:
                assert option.right or by_name[option.text] not in told[about], (about, option)
    assert asked_for > 200


def test_wrong_answers_are_near():
    """Of a nerve of a muscle, at least one wrong answer shares a root with the muscle."""
    plexus = brachial()
    for topic, about, choice in made(plexus, 2):
        if topic == "muscles" and about in plexus.muscles:
            here = {*plexus.muscles[about].roots, *plexus.muscles[about].minor}
            ids = [structure(plexus, o.text, nerve_kinds(plexus)).id for o in choice.options if not o.right]
            assert any(here & set(reach(plexus, id).roots) for id in ids), about


def test_what_muscles_are_not_asked():
    """Two nerves, a nerve from outside, or a root that may come by another nerve."""
    asked = {about for topic, about, _ in made(brachial(), 1) if topic == "muscles"}
    assert not asked & {"subscapularis", "brachialis", "pectoralis-major-sternocostal-part", "levator-scapulae"}
    assert not asked & {"diaphragm", "anterior-scalene", "pectoralis-minor"}
    assert {"deltoid", "biceps-brachii", "opponens-pollicis"} <= asked


def test_lists_of_an_injury_hold_nothing_disputed():
    for site in ("upper trunk", "radial nerve at spiral groove", "medial cord", "C8"):
        injury = injure(brachial(), [site])
        for one in asked(injury):
            choice = lists.of_injury(injury, one)
            assert choice.several
            disputed = {brachial().entity(id).name if id in ids_of(brachial()) else id for id in one.disputed}
            assert disputed.isdisjoint(o.text for o in choice.options)
            right = {o.text for o in choice.options if o.right}
            names_of = {brachial().entity(id).name if id in ids_of(brachial()) else id for id in one.required}
            assert right <= names_of
            for option in choice.options:
                if not option.right and one.kind != "movement":
                    outcome = injury.outcome(structure(brachial(), option.text, frozenset(("muscle", "skin"))).id)
                    assert (outcome.loss, outcome.disputed) == (Loss.NONE, False)


def ids_of(plexus):
    return {e.id for e in plexus.entities()}


def test_four_answers_in_every_place():
    """The right answer stands at each letter about as often."""
    letters = [choice.letters for _, _, choice in made(brachial(), 2)]
    shares = {letter: letters.count(letter) / len(letters) for letter in "ABCD"}
    assert all(0.2 < share < 0.3 for share in shares.values()), shares


@pytest.mark.parametrize("kind", ["choice", "match", "cards"])
def test_what_cannot_be_asked_is_said(kind):
    with pytest.raises(UnknownNameError, match="cannot ask about"):
        class_set.maker(brachial(), Spec(kind=kind, ask=("toes",))).form(1)


def test_only_asks_about_one_structure():
    form = class_set.maker(brachial(), Spec(kind="choice", only="deltoid")).form(1)
    assert {q.prompt for q in form.questions} == {"Which nerve supplies the deltoid?"}
    with pytest.raises(SheetError, match="no question with one right answer"):
        class_set.maker(brachial(), Spec(kind="choice", only="subscapularis")).form(1)


@pytest.mark.parametrize("model", ["brachial", "lumbosacral", "cervical"])
@pytest.mark.parametrize("level", [1, 3])
def test_no_question_tells_its_answer(model, level):
    """Neither names the other: "Which muscle does the nerve to piriformis supply?", and which nerve the piriformis."""
    plexus = load(model)
    asked = {entity.id: entity for entity in plexus.entities()}
    for topic, about, choice in made(plexus, level):
        (right,) = (f" {option.text} " for option in choice.options if option.right)
        assert right not in f" {re.sub('[?.;:]', ' ', choice.prompt)} ", choice.prompt
        if topic in ("muscles", "skin") and about in asked:
            assert f" {asked[about].name} " not in right, choice.prompt
