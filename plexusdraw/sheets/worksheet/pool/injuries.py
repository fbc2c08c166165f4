"""Questions on injuries: what a cut paralyses, and which cut explains findings; certain whichever source is right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache, partial
from random import Random

from plexusdraw.clinic.cases import asked, fair, sure
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, Outcome
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.sites import Site
from plexusdraw.sheets.worksheet.pool.kit import WRONG, Draw, Kit, Subject, listed, within, worded
from plexusdraw.sheets.worksheet.spec import Choice, Option

ONE_CUT = "One injury cuts the {site}; nothing else is injured."
PARALYSED = 2
"""So many paralysed muscles stand among the findings at first."""


class Cut:
    """A named site with the injury there, and what is certain of it."""

    def __init__(self, plexus: Plexus, site: Site) -> None:
        self.site, self.injury = site, Injury(plexus, [site])
        root = site.id in plexus.roots
        self.name = f"{site.name} {plexus.stages[0].singular}" if root else site.name
        skin = (o for id, o in self.injury.skin.items() if not plexus.skin[id].dermatome)
        self.sure: Mapping[str, Outcome] = {o.id: o for o in (*self.injury.muscles.values(), *skin) if sure(o)}
        self.lost = tuple(id for id, o in self.sure.items() if o.loss is Loss.WHOLE)


@lru_cache(maxsize=16)
def cuts(plexus: Plexus) -> tuple[Cut, ...]:
    """Sites with a name of the trade that make a fair case; no places on the roots themselves."""
    found = []
    for site in site_names.all_sites(plexus):
        plain = not site.id.startswith(f"{site.segment}-after-")
        if plain and (site.segment not in plexus.roots or site.id == site.segment):
            cut = Cut(plexus, site)
            if fair(cut.injury):
                found.append(cut)
    return tuple(found)


def injuries(kit: Kit) -> Iterator[Subject]:
    """A muscle that an injury paralyses."""
    for cut in cuts(kit.plexus):
        yield Subject("injuries", cut.site.id, partial(_paralysed, kit, cut))


def _paralysed(kit: Kit, cut: Cut) -> Draw:
    plexus = kit.plexus
    lists = [one for one in asked(cut.injury) if one.kind == "muscle" and one.what == "Muscles paralysed"]
    lost = [id for id in lists[0].required if not within(plexus.muscles[id].name, cut.name)] if lists else []
    if not lost:
        return _nothing
    known = {target.id for target in kit.supply.targets}
    spared = [id for id, o in cut.sure.items() if o.kind == "muscle" and not o.loss and id in known]
    beside = [id for id in cut.injury.notably_spared if id in spared]
    shared = {root for id in cut.lost for root in cut.injury.outcome(id).roots_lost}
    rest = kit.near_first(shared, [id for id in spared if id not in beside], lambda id: plexus.muscles[id].roots)
    wrong = [Option(plexus.muscles[id].name, why=_spared(plexus, cut, id)) for id in (*beside, *rest)]
    prompt = f"{ONE_CUT.format(site=cut.name)} Which of these muscles is paralysed?"

    def draw(rng: Random) -> Choice | None:
        return worded(kit, prompt, plexus.muscles[rng.choice(lost)].name, wrong, rng)

    return draw


def _nothing(rng: Random) -> None:
    """No question."""


def _spared(plexus: Plexus, cut: Cut, id: str) -> str:
    """Why a muscle keeps its strength."""
    routes = cut.injury.outcome(id).left
    segment = cut.site.segment
    if any(segment in route.path for route in routes):
        return f"spared: its branch leaves the {plexus.segments[segment].name} before the cut"
    nerves = list(dict.fromkeys(plexus.segments[route.path[-1]].name for route in routes))
    roots = [r for r in plexus.roots if any(route.root == r for route in routes)]
    return f"spared: {', '.join(roots)} by the {listed(nerves)}"


def sites(kit: Kit) -> Iterator[Subject]:
    """The site that explains findings."""
    for cut in cuts(kit.plexus):
        yield Subject("sites", cut.site.id, partial(_site, kit, cut))


def _site(kit: Kit, cut: Cut) -> Draw:
    """Findings that are certain, of which each of the other sites surely contradicts one."""
    others = [c for c in cuts(kit.plexus) if c is not cut and _apart(kit.plexus, cut, c)]
    others.sort(key=lambda c: -len(set(c.lost) & set(cut.lost)))
    pool = others[: 2 * WRONG] if kit.near else others
    testable = [muscle for id in cut.lost if (muscle := kit.plexus.muscles.get(id)) and muscle.testable]
    muscles = [muscle.id for muscle in testable if not within(muscle.name, cut.name)]
    if len(pool) < WRONG or not muscles:
        return _nothing

    def draw(rng: Random) -> Choice | None:
        chosen = rng.sample(pool, WRONG)
        found = rng.sample(muscles, min(PARALYSED, len(muscles)))
        wrong = []
        for other in chosen:
            apart = _apart(kit.plexus, cut, other)
            id = next((id for id in found if id in apart), None) or rng.choice(apart)
            found += [id] if id not in found else []
            wrong.append(Option(other.name, why=_contradicted(other, id)))
        prompt = f"{' '.join(_found(cut, found))} Which one injury explains all of this?"
        return worded(kit, prompt, cut.name, wrong, rng)

    return draw


def _apart(plexus: Plexus, cut: Cut, other: Cut) -> list[str]:
    """Ids of what can be examined and is certain after either cut, lost after one and whole after the other."""
    return [
        id
        for id, outcome in cut.sure.items()
        if id in other.sure
        and other.sure[id].loss is not outcome.loss
        and (id in plexus.skin or plexus.muscles[id].testable)
    ]


def _contradicted(other: Cut, id: str) -> str:
    """Why another site is wrong: what would be found there instead."""
    outcome = other.sure[id]
    if outcome.kind == "muscle":
        return f"would {'paralyse' if outcome.loss else 'spare'} {outcome.name}"
    return f"would {'take' if outcome.loss else 'spare'} the feeling of the {outcome.name}"


def _found(cut: Cut, ids: Sequence[str]) -> Iterator[str]:
    """The findings in words, those of one sort together."""
    said = (("muscle", True, "Paralysed"), ("muscle", False, "Full strength"), ("skin", True, "No feeling"))
    for kind, lost, text in (*said, ("skin", False, "Normal feeling")):
        names = [o.name for id in ids if (o := cut.sure[id]).kind == kind and bool(o.loss) is lost]
        if names:
            yield f"{text}: {'; '.join(names)}."
