"""Two injuries side by side, or two models: what is different, what is the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from plexusdraw import names
from plexusdraw.clinic.deficits import WORDS, Loss
from plexusdraw.clinic.injury import Injury, Outcome
from plexusdraw.model.entities import Entity, Exit, Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.routes import fibres


@dataclass(frozen=True, slots=True)
class Difference:
    """State of one muscle, skin area, reflex, movement or sign after injury a and after injury b."""

    id: str
    name: str
    kind: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What tells two injuries apart; ``same``: what both change alike."""

    a: Injury
    b: Injury
    differ: tuple[Difference, ...]
    same: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A fact on which two models differ; an empty text where a model has nothing."""

    id: str
    name: str
    kind: str
    what: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class ModelComparison:
    """Facts on which two models differ."""

    a: Plexus
    b: Plexus
    differ: tuple[Change, ...]


def compare(a: Injury, b: Injury) -> Comparison:
    """Compare two injuries of one plexus."""
    rows = tuple(_rows(a, b))
    normal = {words[0] for words in WORDS.values()} | {"absent"}
    return Comparison(
        a,
        b,
        tuple(row for row in rows if row.a != row.b),
        tuple(row for row in rows if row.a == row.b and row.a not in normal),
    )


def compare_models(a: Plexus, b: Plexus) -> ModelComparison:
    """Compare two models: which structures each has, their parents, roots, branches and movements."""
    changes: list[Change] = []
    theirs = {entity.id: entity for entity in b.entities()}
    ours = {entity.id: entity for entity in a.entities()}
    for id, entity in (ours | theirs).items():
        if id not in theirs or id not in ours:
            have = ("present", "") if id in ours else ("", "present")
            changes.append(Change(id, names.display(entity), entity.kind, "entry", *have))
            continue
        facts, other = _facts(a, ours[id]), _facts(b, theirs[id])
        for what in dict.fromkeys((*facts, *other)):
            if facts.get(what, "") != other.get(what, ""):
                said = facts.get(what, ""), other.get(what, "")
                changes.append(Change(id, names.display(entity), entity.kind, what, *said))
    return ModelComparison(a, b, tuple(changes))


def drawn_otherwise(plexus: Plexus) -> tuple[str, ...]:
    """Names of the sites whose injury would mean something else on the plexus as its conventions draw it; none may."""
    if plexus.drawing is None:
        return ()
    here, there = _things(plexus), _things(plexus.drawing)
    found = [(here | there)[id] for id in sorted(here.keys() ^ there.keys())]
    if found:  # what comes or goes can be asked for by its name
        return tuple(found)
    for site in sites.all_sites(plexus):
        ours, theirs = Injury(plexus, [site]), Injury(plexus.drawing, [sites.on_drawing(plexus, site)])
        if any(ours.loss(id) != theirs.loss(id) for id in (*plexus.muscles, *plexus.skin)):
            found.append(site.name)
    return tuple(found)


def _things(plexus: Plexus) -> dict[str, str]:
    """Id and name of all that can be cut, and of what it supplies."""
    places = {place.id: place.full_name for place, _, _ in plexus.places.values()}
    entities = (*plexus.segments.values(), *plexus.wholes.values(), *plexus.muscles.values(), *plexus.skin.values())
    return places | {entity.id: names.display(entity) for entity in entities}


def _rows(a: Injury, b: Injury) -> Iterator[Difference]:
    for ours, theirs in ((a.muscles, b.muscles), (a.skin, b.skin), (a.reflexes, b.reflexes)):
        for id, outcome in ours.items():
            if _in_part(a.plexus, outcome, theirs[id]):
                continue
            yield Difference(id, outcome.name, outcome.kind, outcome.state, theirs[id].state)
    for name, movement in a.movements.items():
        yield Difference(name, name, "movement", movement.state, b.movements[name].state)
    for sign in a.plexus.signs.values():
        words = ("present" if sign in injury.signs else "absent" for injury in (a, b))
        yield Difference(sign.id, sign.name, "sign", *words)


def _in_part(plexus: Plexus, ours: Outcome, theirs: Outcome) -> bool:
    """Whether one injury takes a dermatome and the other some of its areas: these areas tell the two apart."""
    area = plexus.skin.get(ours.id)
    return area is not None and bool(area.dermatome) and Loss.SLIGHT in (ours.loss, theirs.loss)


def _facts(plexus: Plexus, entity: Entity) -> Mapping[str, str]:
    """What a model says of an entity, as text."""
    facts = {"name": entity.name, "Latin name": entity.latin}
    if isinstance(entity, Segment):
        carried = fibres.of(plexus).carried[entity.id]
        facts["stage"] = entity.stage or ""
        facts["comes from"] = ", ".join(entity.parents)
        facts["roots"] = _roots(carried)
        exits = (item.to for item in entity.course if isinstance(item, Exit) and plexus.has(item.to))
        facts["branches"] = ", ".join(exits)
    elif isinstance(entity, Target):
        facts["nerve"] = ", ".join(plexus.nerves_of[entity.id])
        facts["roots"] = _roots(dict.fromkeys(entity.roots, False) | dict.fromkeys(entity.minor, True))
        facts["roots from outside"] = ", ".join(entity.outside)
        facts["movements"] = ", ".join(entity.movements)
    return facts


def _roots(shares: Mapping[str, bool]) -> str:
    """ "C5, C6, (C7)": minor roots in brackets."""
    return ", ".join(f"({root})" if minor else root for root, minor in shares.items())
