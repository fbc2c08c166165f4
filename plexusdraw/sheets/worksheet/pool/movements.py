"""Questions on movements: which muscle is a main mover.

A model lists what a muscle mainly does, so a muscle near the joint may help although it is not listed. So wrong answers
are muscles that do the opposite there, or that act at joints which no muscle of the model moves together with this one,
of these the few that share fewest roots, and only what a student examines.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from random import Random

from plexusdraw.model.entities import Target
from plexusdraw.sheets.worksheet.pool.kit import NEAREST, Draw, Kit, Subject, listed, worded
from plexusdraw.sheets.worksheet.spec import Choice, Option

OPPOSITE = (
    ("flexion", "extension"),
    ("abduction", "adduction"),
    ("internal rotation", "external rotation"),
    ("medial rotation", "lateral rotation"),
    ("upward rotation", "downward rotation"),
    ("pronation", "supination"),
    ("elevation", "depression"),
    ("protraction", "retraction"),
    ("radial deviation", "ulnar deviation"),
    ("dorsiflexion", "plantarflexion"),
    ("inversion", "eversion"),
)
"""Actions that undo each other (common practice)."""
_UNDONE = {a: b for pair in OPPOSITE for a, b in (pair, pair[::-1])}


def movements(kit: Kit) -> Iterator[Subject]:
    """A muscle of a movement."""
    for movement in kit.supply.rule.movers:
        if any(True for _ in kit.supply.movers(movement)):
            yield Subject("movements", movement, partial(_muscle_of, kit, movement))


def _muscle_of(kit: Kit, movement: str) -> Draw:
    movers = list(kit.supply.movers(movement))
    against = opposite(movement)
    beside = beside_joint(kit, movement)
    undo, far = [], []
    for muscle in kit.plexus.muscles.values():
        if muscle in movers or not muscle.movements:
            continue
        if against in muscle.movements:
            undo.append(Option(muscle.name, why=f"does {against}"))
        elif muscle.testable and not any(joint(m) & beside for m in muscle.movements):
            far.append(muscle)
    shared = {root for m in movers for root in (*m.roots, *m.minor)}
    far.sort(key=lambda m: len(shared & {*m.roots, *m.minor}))
    rest = [Option(m.name, why=f"does {listed(m.movements)}") for m in far[:NEAREST]]
    right = sorted(movers, key=lambda m: not m.testable)[: max(1, sum(m.testable for m in movers))]
    prompt = f"Which of these muscles is a main mover in {movement}?"

    def draw(rng: Random) -> Choice | None:
        first = list(undo)
        rng.shuffle(first)
        return worded(kit, prompt, rng.choice(right).name, [*first[:2], *rest], rng)

    return draw


def opposite(movement: str) -> str:
    """The movement that undoes one: "elbow extension" for "elbow flexion"; empty if there is none."""
    words, comma, rest = movement.partition(",")
    for length in (2, 1):
        start, action = words.split()[:-length], " ".join(words.split()[-length:])
        if action in _UNDONE:
            return " ".join([*start, _UNDONE[action]]) + comma + rest
    return ""


def joint(movement: str) -> frozenset[str]:
    """Words for where a movement is: all but the action."""
    words = movement.partition(",")[0].split()
    two = " ".join(words[-2:]) in _UNDONE
    return frozenset(words[: -2 if two else -1])


def beside_joint(kit: Kit, movement: str) -> frozenset[str]:
    """The joint of a movement, and those that some muscle moves together with it."""
    here = joint(movement)
    found = set(here)
    muscles: tuple[Target, ...] = tuple(kit.plexus.muscles.values())
    for muscle in muscles:
        joints = [joint(m) for m in muscle.movements]
        if any(j & here for j in joints):
            found |= {word for j in joints for word in j}
    return frozenset(found)
