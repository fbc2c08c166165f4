"""Follow a root, nerve, place, muscle or skin area through the plexus."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from plexusdraw import names
from plexusdraw.model.plexus import Entity, Group, Level, Outside, Plexus, Reflex, Segment, Target
from plexusdraw.routes import fibres
from plexusdraw.routes.fibres import Fibres, Route

TRACEABLE = (*names.STRUCTURES, "reflex")


@dataclass(frozen=True, slots=True)
class Trace:
    """Where the fibres of one entity come from and what they reach.

    ``routes`` are ids, the root first: up to and including a segment; a muscle's or skin area's own id
    stands at their end. ``muscles`` and ``skin``: what is reached; a muscle reaches itself.
    """

    entity: Entity
    roots: tuple[str, ...]
    roots_minor: tuple[str, ...]
    routes: tuple[tuple[str, ...], ...]
    muscles: tuple[str, ...]
    skin: tuple[str, ...]


def trace(plexus: Plexus, what: Entity | str) -> Trace:
    """Trace an entity, or what a text means (UnknownNameError)."""
    entity = names.find(plexus, what, TRACEABLE) if isinstance(what, str) else what
    carried = fibres.of(plexus)
    if isinstance(entity, Segment):
        return _segment(carried, entity, entity.id, 0)
    if isinstance(entity, Level):
        _, segment, at = plexus.levels[entity.id]
        return _segment(carried, entity, segment.id, at)
    if isinstance(entity, Outside):
        targets = ((entity.id,), ()) if entity.kind == "muscle" else ((), (entity.id,))
        return Trace(entity, entity.roots, entity.minor, (), *targets)
    return _routes(carried, entity, tuple(_to(carried, entity)))


def _segment(carried: Fibres, entity: Entity, segment: str, at: int) -> Trace:
    """A segment from a position on: only what leaves there or beyond is reached."""
    shares = carried.carried[segment]
    reached = [r.target for r in carried.through(segment) if r.exits[r.path.index(segment)] >= at]
    return Trace(
        entity,
        tuple(root for root, minor in shares.items() if not minor),
        tuple(root for root, minor in shares.items() if minor),
        carried.ways(segment),
        *_split(carried.plexus, reached),
    )


def _to(carried: Fibres, entity: Entity) -> Iterable[Route]:
    plexus = carried.plexus
    if isinstance(entity, Group):
        return [route for member in entity.members for route in carried.of(member)]
    if isinstance(entity, Reflex):
        ids = dict.fromkeys(
            m for id in entity.muscles for m in (plexus.groups[id].members if id in plexus.groups else (id,))
        )
        roots = {*entity.roots, *entity.minor}
        return [route for id in ids for route in carried.of(id) if route.root in roots]
    return carried.of(entity.id)


def _routes(carried: Fibres, entity: Entity, routes: tuple[Route, ...]) -> Trace:
    plexus = carried.plexus
    minor = entity.minor if isinstance(entity, Reflex) else ()
    principal = {r.root for r in routes if r.root not in minor and (not r.minor or isinstance(entity, Reflex))}
    arriving = {route.root for route in routes}
    if isinstance(entity, Target) and entity.kind == "skin":
        targets: tuple[tuple[str, ...], tuple[str, ...]] = ((), (entity.id,))
    elif isinstance(entity, Group):
        targets = _split(plexus, entity.members)
    else:
        targets = _split(plexus, [route.target for route in routes])
    return Trace(
        entity,
        tuple(root for root in plexus.roots if root in principal),
        tuple(root for root in plexus.roots if root in arriving - principal),
        tuple(dict.fromkeys((*route.path, route.target) for route in routes)),
        *targets,
    )


def _split(plexus: Plexus, ids: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Muscles and skin areas among ids, each once, in model order; an outside muscle counts as one."""
    wanted = set(ids)
    muscles = (*plexus.muscles, *(o.id for o in plexus.outside.values() if o.kind == "muscle"))
    return tuple(m for m in muscles if m in wanted), tuple(s for s in plexus.skin if s in wanted)
