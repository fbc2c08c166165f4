"""Questions on nerves: their roots, where they come from, their muscles and skin, either way round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from random import Random

from plexusdraw import names
from plexusdraw.model.entities import Segment, Target
from plexusdraw.sheets.worksheet.pool.kit import Draw, Kit, Subject, listed, supplied_by, supplies, within, worded
from plexusdraw.sheets.worksheet.spec import Choice, Option

LEAST_APART = 2
"""A wrong answer on roots differs from what any source may say by so many at least."""


def muscles(kit: Kit) -> Iterator[Subject]:
    """The nerve of a muscle, and a muscle of a nerve."""
    yield from _supply(kit, "muscles", "muscle")


def skin(kit: Kit) -> Iterator[Subject]:
    """The nerve of a skin area, and a skin area of a nerve."""
    yield from _supply(kit, "skin", "skin")


def _supply(kit: Kit, topic: str, kind: str) -> Iterator[Subject]:
    targets = [t for t in kit.supply.targets if t.kind == kind]
    nerves = [(kit.supply.nerve(t), kit.supply.nerve(t, True)) for t in targets]
    for target, (whole, branch) in zip(targets, nerves, strict=True):
        nerve = (kit.fine and branch) or whole
        if nerve and not within(target.name, names.display(nerve)):
            yield Subject(topic, target.id, partial(_nerve_of, kit, target, nerve))
    for nerve in kit.nerves:
        both = zip(targets, nerves, strict=True)
        own = [t for t, either in both if nerve in either and not within(t.name, names.display(nerve))]
        if own:
            yield Subject(topic, nerve.id, partial(_one_of, kit, nerve, own, targets))


def _nerve_of(kit: Kit, target: Target, right: Segment) -> Draw:
    others = [n.id for n in kit.nerves if n is not right and not kit.supply.may_supply(n.id, target)]
    near = kit.near_first((*target.roots, *target.minor), others, kit.roots)
    wrong = [Option(names.display(kit.plexus.segments[id]), why=supplies(kit.plexus, id)) for id in near]
    what = f"the {target.name}" if target.kind == "muscle" else f"the skin of the {target.name}"
    return partial(worded, kit, f"Which nerve supplies {what}?", names.display(right), wrong)


def _one_of(kit: Kit, nerve: Segment, own: Sequence[Target], targets: Sequence[Target]) -> Draw:
    by_id = {t.id: t for t in targets if not kit.supply.may_supply(nerve.id, t)}
    near = kit.near_first(kit.roots(nerve.id), list(by_id), lambda id: (*by_id[id].roots, *by_id[id].minor))
    wrong = [Option(by_id[id].name, why=supplied_by(kit.plexus, by_id[id])) for id in near]
    what = "muscles" if own[0].kind == "muscle" else "skin areas"
    prompt = f"Which of these {what} is supplied by the {names.display(nerve)}?"

    def draw(rng: Random) -> Choice | None:
        return worded(kit, prompt, rng.choice(own).name, wrong, rng)

    return draw


def roots(kit: Kit) -> Iterator[Subject]:
    """The roots of a nerve. Small and variable shares count for none of the answers as wrong."""
    for nerve in kit.nerves:
        if len(kit.plexus.roots) > 1:
            yield Subject("roots", nerve.id, partial(_roots_of, kit, nerve))


def _roots_of(kit: Kit, nerve: Segment) -> Draw:
    shares = kit.supply.fibres.shown[nerve.id]
    sure = [root for root, minor in shares.items() if not minor]
    right = tuple(shares)
    said = (*right, *_variable(kit, nerve))
    others: dict[tuple[str, ...], str] = {}
    for held in (*map(kit.roots, kit.plexus.segments), *_shifted(kit.plexus.roots, right)):
        if held not in others and (why := _not_roots(held, sure, said)):
            others[held] = why
    spelled = {_spelled(held): held for held in others}
    near = sorted(spelled, key=lambda text: -_alike(spelled[text], right))
    wrong = [Option(text, why=others[spelled[text]]) for text in near]
    return partial(worded, kit, f"Which are the roots of the {names.display(nerve)}?", _spelled(right), wrong)


def _variable(kit: Kit, nerve: Segment) -> set[str]:
    """Roots that some sources add to a nerve, or to one that it comes from or supplies."""
    ways = kit.supply.fibres.ways(nerve.id)
    found = {root for way in ways for id in way for root in kit.plexus.segments[id].variable}
    for route in kit.supply.fibres.through(nerve.id):
        target = kit.plexus.muscles.get(route.target) or kit.plexus.skin[route.target]
        found |= {*target.variable, *(r for id in route.path for r in kit.plexus.segments[id].variable)}
    return found


def _not_roots(held: Sequence[str], sure: Sequence[str], all_said: Sequence[str]) -> str:
    """Why these are not the roots: sure ones are missing, or some are of none of the sources. Empty: they may be.

    Sources that differ do so by one root at the edge, so one alone is not enough.
    """
    missing = [root for root in sure if root not in held]
    added = [root for root in held if root not in all_said]
    if len(missing) + len(added) < LEAST_APART:
        return ""
    said = [f"{', '.join(missing)} missing"] if missing else []
    said += [f"{', '.join(added)} not of this nerve"] if added else []
    return "; ".join(said)


def _shifted(every: Sequence[str], right: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Runs of neighbouring roots that begin or end near those of the nerve."""
    first, last = every.index(right[0]), every.index(right[-1])
    for a in range(max(0, first - 2), min(len(every), first + 3)):
        for b in range(max(a, last - 2), min(len(every), last + 3)):
            yield tuple(every[a : b + 1])


def _alike(held: Sequence[str], right: Sequence[str]) -> int:
    return 2 * len({*held} & {*right}) - len({*held} ^ {*right})


def _spelled(held: Sequence[str]) -> str:
    return ", ".join(held)


def origins(kit: Kit) -> Iterator[Subject]:
    """The trunk, cord or root that gives rise to a nerve: where all its fibres come by one."""
    segments, last = kit.plexus.segments, kit.plexus.stages[-1].id
    for nerve in kit.supply.nerves():
        parents = [segments[id] for id in nerve.parents]
        if len(parents) == 1 and parents[0].stage not in (None, last):
            yield Subject("origins", nerve.id, partial(_origin, kit, nerve, parents[0]))


def _origin(kit: Kit, nerve: Segment, parent: Segment) -> Draw:
    plexus = kit.plexus
    passed = {id for way in kit.supply.fibres.ways(nerve.id) for id in way}
    passed |= set(nerve.variable)
    order = [stage.id for stage in plexus.stages]
    others = [s for s in plexus.segments.values() if s.stage in order[:-1] and s.id not in passed]
    others.sort(key=lambda s: abs(order.index(s.stage or "") - order.index(parent.stage or "")))
    wrong = [Option(names.display(s), why=_gives(kit, s)) for s in others]
    prompt = f"Which of these gives rise to the {names.display(nerve)}?"
    return partial(worded, kit, prompt, names.display(parent), wrong)


def _gives(kit: Kit, segment: Segment) -> str:
    """Why a segment is wrong: what comes from it."""
    children = [names.display(kit.plexus.segments[id]) for id in kit.plexus.children[segment.id]]
    return f"gives {listed([f'the {name}' for name in children])}" if children else "gives no nerve"
