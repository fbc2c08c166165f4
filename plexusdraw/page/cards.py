"""What the page tells of each structure, as :mod:`plexusdraw.routes.reach` says; empty values are left out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from plexusdraw.model.entities import Scenario, Sign
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.reach import reach

Path = tuple[str, ...]


def cards(plexus: Plexus) -> dict[str, dict[str, Any]]:
    """Id → roots, those of a minor share, the ways from the roots, and ids of what is reached."""
    return {
        entity.id: _card(plexus, entity.id) for entity in plexus.entities() if not isinstance(entity, Sign | Scenario)
    }


def _card(plexus: Plexus, id: str) -> dict[str, Any]:
    found = reach(plexus, plexus.entity(id))
    values = {
        "roots": found.roots,
        "minor": found.roots_minor,
        "ways": _together(found.paths),
        "muscles": [other for other in found.muscles if other != id],
        "skin": [other for other in found.skin if other != id],
    }
    return {key: list(value) for key, value in values.items() if value}


def _together(paths: Iterable[Path]) -> list[list[str]]:
    """The ways as ids; those that differ in their root alone are one, which begins with the names of the roots."""
    roots: dict[Path, list[str]] = {}
    for root, *rest in paths:
        if rest:
            roots.setdefault(tuple(rest), []).append(root)
    return [[", ".join(dict.fromkeys(names)), *rest] for rest, names in roots.items()]
