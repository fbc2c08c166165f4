"""What is worth knowing beside the computed losses: of the places that are cut, and of a scenario's name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from plexusdraw.clinic.deficits import WORDS, Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.model.entities import Entity, Place, Remark, Scenario
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.sites import Site


@dataclass(frozen=True, slots=True)
class Unsure:
    """A muscle or skin area whose branch leaves before a place that is cut, say some sources."""

    entity: Entity
    place: Place
    note: str


def of_places(plexus: Plexus, sites: Iterable[Site]) -> tuple[Remark, ...]:
    """Remarks on the places that are cut, each once; a remark holds from its place to the next that has one."""
    found = dict.fromkeys(remark for site in sites if (remark := _at(plexus, site)) is not None)
    return tuple(found)


def _at(plexus: Plexus, site: Site) -> Remark | None:
    passed = plexus.segments[site.segment].course[: site.at + 1]
    places = [item.name for item in passed if isinstance(item, Place) and item.name in plexus.remarks]
    return plexus.remarks[places[-1]] if places else None


def unsure(result: Injury) -> tuple[Unsure, ...]:
    """What the cut takes here and spares in some sources, since a branch may leave before the place."""
    plexus, found = result.plexus, list[Unsure]()
    for site in result.sites:
        for item in plexus.segments[site.segment].course[site.at : site.at + 1]:
            if isinstance(item, Place):
                found += (Unsure(plexus.entity(id), item, note) for id, note in item.variable.items())
    return tuple(one for one in found if result.outcome(one.entity.id).loss)


def outside(result: Injury) -> Iterator[tuple[Entity, str]]:
    """Structures of other nerves that lose a part of their fibres, with the word for it."""
    for entity in result.plexus.outside.values():
        loss = result.rule.loss(entity.id, result.broken) if entity.cut else Loss.NONE
        if loss:
            yield entity, WORDS[entity.kind][min(loss, Loss.PART) if result.partial else loss]


def hint(scenario: Scenario, partial: bool) -> str:
    """What to add to the command, where the injury of this name is usually partial; else empty."""
    return "Usually partial: add --partial." if scenario.usually == "partial" and not partial else ""
