"""Lists as "choose all that apply", for readers that take no lists: some that are right, and some that surely are not.

What the sources dispute is not among the options.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from plexusdraw.clinic import supply
from plexusdraw.clinic.cases import Asked, sure
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.model.entities import Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.sheets.worksheet.pool.kit import listed, supplied_by
from plexusdraw.sheets.worksheet.pool.movements import joint
from plexusdraw.sheets.worksheet.spec import Choice, Option

MOST = 5
"""Right and wrong options at most, each: their shares of the points are then among those that platforms take."""
ALL = "choose all that apply"


def of_injury(injury: Injury, one: Asked) -> Choice | None:
    """One of the lists that an injury is asked by; None if nothing is surely spared."""
    plexus = injury.plexus
    if one.kind == "movement":
        kept = [m for m in injury.movements.values() if m.loss is Loss.NONE and not m.disputed]
        here = {word for name in one.required for word in joint(name)}
        near = sorted(kept, key=lambda m: not here & joint(m.name))
        wrong = [Option(m.name, why=f"kept by {listed([_name(plexus, id) for id in m.able])}") for m in near]
        return _made(f"{one.what}: {ALL}.", one.required, wrong)
    outcomes = injury.muscles if one.kind == "muscle" else injury.skin
    spared = {id for id, o in outcomes.items() if sure(o) and not o.loss and not _dermatome(plexus, id)}
    near_ids = [id for id in injury.notably_spared if id in spared]
    ids = [*near_ids, *(id for id in outcomes if id in spared and id not in near_ids)]
    wrong = [Option(_name(plexus, id), why=f"spared: {supplied_by(plexus, _target(plexus, id))}") for id in ids]
    return _made(f"{one.what}: {ALL}.", [_name(plexus, id) for id in one.required], wrong)


def of_supply(plexus: Plexus, segment: str, targets: Sequence[Target], prompt: str) -> Choice | None:
    """What a nerve supplies; wrong is what it does not reach, nearest by roots first."""
    known, kinds = supply.of(plexus), {t.kind for t in targets}
    every = (t for t in (*plexus.muscles.values(), *plexus.skin.values()) if t.kind in kinds and not t.dermatome)
    others = [t for t in every if plexus.nerves_of[t.id] and not known.may_supply(segment, t)]
    here = set(known.fibres.shown[segment])
    others.sort(key=lambda t: -len(here & {*t.roots, *t.minor}))
    wrong = [Option(t.name, why=supplied_by(plexus, t)) for t in others]
    return _made(f"{prompt}: {ALL}.", [t.name for t in targets], wrong)


def of_roots(plexus: Plexus, segment: str, prompt: str) -> Choice | None:
    """The roots of a nerve; small and variable shares are no options."""
    shares = supply.of(plexus).fibres.shown[segment]
    either = {root for route in supply.of(plexus).fibres.ways(segment) for root in _variable(plexus, route)}
    sure_roots = [root for root, minor in shares.items() if not minor]
    wrong = [Option(r, why="not of this nerve") for r in plexus.roots if r not in shares and r not in either]
    return _made(f"{prompt}: {ALL}.", sure_roots, wrong)


def _variable(plexus: Plexus, way: Iterable[str]) -> set[str]:
    return {root for id in way for root in plexus.segments[id].variable}


def _made(prompt: str, right: Sequence[str], wrong: Sequence[Option]) -> Choice | None:
    if not right or not wrong:
        return None
    taken = set(right)
    others = [option for option in wrong if option.text not in taken][:MOST]
    options = [*(Option(text, True) for text in right[:MOST]), *others]
    return Choice(prompt, tuple(sorted(options, key=lambda option: option.text.casefold())), True) if others else None


def _target(plexus: Plexus, id: str) -> Target:
    return plexus.muscles.get(id) or plexus.skin[id]


def _name(plexus: Plexus, id: str) -> str:
    return plexus.entity(id).name


def _dermatome(plexus: Plexus, id: str) -> bool:
    return id in plexus.skin and bool(plexus.skin[id].dermatome)
