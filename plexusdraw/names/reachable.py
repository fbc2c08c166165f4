"""Structures of which nothing that is typed means one alone."""

from __future__ import annotations

from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.yamlfile.document import Faults


def check(plexus: Plexus, faults: Faults) -> None:
    """Note every structure whose id and name both mean another one too; one of the two is enough to call it by."""
    for entity in plexus.entities():
        rivals = [_rivals(plexus, entity, text) for text in (entity.id, names.display(entity))]
        if all(rivals):
            other = rivals[1][0]
            fault = f'{names.display(entity)}: whatever calls it may also mean "{other.id}", {names.display(other)}'
            faults.add(entity.line, fault, "Give one of them another id or name.")


def _rivals(plexus: Plexus, entity: Entity, text: str) -> list[Entity]:
    """What a text may mean beside this one: of all structures; of reflexes and of signs, among their own."""
    table = names.table(plexus, entity.id)
    among = names.STRUCTURES if table in names.STRUCTURES else (table,)
    found = names.matches(plexus, text, among, loosest=0)
    return [plexus.entity(id) for id in found if id != entity.id]
