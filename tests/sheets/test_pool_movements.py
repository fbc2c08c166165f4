"""Questions on movements: what undoes one, where it is, and which muscles surely do something else."""

from __future__ import annotations

from random import Random

import pytest
from randoms import brachial

from plexusdraw.model import load
from plexusdraw.sheets.worksheet.pool import movements as module
from plexusdraw.sheets.worksheet.pool.kit import Kit
from plexusdraw.sheets.worksheet.pool.movements import OPPOSITE, beside_joint, joint, opposite


@pytest.mark.parametrize(("action", "other"), [pair for a, b in OPPOSITE for pair in ((a, b), (b, a))])
def test_actions_undo_each_other_at_the_same_joint(action, other):
    assert opposite(f"elbow {action}") == f"elbow {other}"
    assert opposite(f"finger DIP {action}, index and middle") == f"finger DIP {other}, index and middle"
    assert opposite(opposite(f"big toe {action}")) == f"big toe {action}"


@pytest.mark.parametrize("movement", ["thumb opposition", "hypothenar skin wrinkling", "standing up", "rotation"])
def test_what_nothing_undoes_has_no_opposite(movement):
    assert opposite(movement) == ""


@pytest.mark.parametrize(
    ("movement", "words"),
    [
        ("elbow flexion", {"elbow"}),
        ("shoulder internal rotation", {"shoulder"}),
        ("finger DIP flexion, ring and little", {"finger", "DIP"}),
        ("wrist radial deviation", {"wrist"}),
        ("thumb opposition", {"thumb"}),
        ("flexion", set()),
        ("medial rotation", set()),
    ],
)
def test_where_a_movement_is(movement, words):
    assert joint(movement) == words


@pytest.mark.parametrize("movement", ["elbow flexion", "wrist extension", "shoulder abduction"])
def test_joints_that_a_muscle_moves_together_are_beside_each_other(movement):
    kit = Kit(brachial())
    wanted = set(joint(movement))
    for muscle in brachial().muscles.values():
        joints = [joint(m) for m in muscle.movements]
        if any(set(j) & joint(movement) for j in joints):
            wanted |= {word for j in joints for word in j}
    assert beside_joint(kit, movement) == wanted


@pytest.fixture(scope="module", params=["brachial", "lumbosacral"])
def kit(request):
    return Kit(load(request.param))


def questions(kit):
    """Each movement with its muscles and a question."""
    for subject in module.movements(kit):
        for seed in range(3):
            choice = subject.make(Random(seed))
            if choice is not None:
                yield subject.about, list(kit.supply.movers(subject.about)), choice


def test_subjects_are_the_movements_that_muscles_of_the_plexus_do(kit):
    subjects = list(module.movements(kit))
    assert [s.about for s in subjects] == [m for m in kit.supply.rule.movers if list(kit.supply.movers(m))]
    assert {s.topic for s in subjects} == {"movements"}


def test_the_right_one_does_it_and_can_be_examined_if_any_can(kit):
    for movement, movers, choice in questions(kit):
        assert choice.prompt == f"Which of these muscles is a main mover in {movement}?"
        (right,) = [m for m in movers if m.name in {o.text for o in choice.options if o.right}]
        assert right.testable or not any(m.testable for m in movers)


def test_wrong_ones_do_the_opposite_or_act_far_from_there(kit):
    by_name = {m.name: m for m in kit.plexus.muscles.values()}
    for movement, movers, choice in questions(kit):
        near = beside_joint(kit, movement)
        for option in (o for o in choice.options if not o.right):
            muscle = by_name[option.text]
            assert muscle not in movers
            if option.why == f"does {opposite(movement)}":
                assert opposite(movement) in muscle.movements
            else:
                assert muscle.testable
                assert not any(joint(m) & near for m in muscle.movements)
                assert option.why.startswith("does ")
                assert muscle.movements[0] in option.why


def test_two_at_most_do_the_opposite(kit):
    seen = set()
    for movement, _, choice in questions(kit):
        undo = [o for o in choice.options if o.why == f"does {opposite(movement)}"]
        seen.add(len(undo))
    assert max(seen) == 2
    assert seen <= {0, 1, 2}
