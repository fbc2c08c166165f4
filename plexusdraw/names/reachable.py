"""Structures that no one could call by their names, since what is typed would mean another."""

from __future__ import annotations

from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.yamlfile.document import Faults


def check(plexus: Plexus, faults: Faults) -> None:
    """Note every structure whose name is the id of another, which it then means: of structures, reflexes or signs."""
    entities = {entity.id: entity for entity in plexus.entities()}
    for entity in entities.values():
        name = names.display(entity)
        other = entities.get(name)
        if other is None or other is entity or _family(plexus, other.id) != _family(plexus, entity.id):
            continue
        fault = f'"{name}" is the name of {entity.id} and the id of {names.display(other)}'
        faults.add(entity.line, fault, "Give one of them another.")


def _family(plexus: Plexus, id: str) -> str:
    table = names.table(plexus, id)
    return "structure" if table in names.STRUCTURES else table
