"""What a course keeps: the ids that a text means, and what must come along with them.

A muscle or skin area needs its nerves, a nerve the way up to its roots; a group and a reflex need their muscles. What
is left out takes with it all that needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import regions
from plexusdraw.model.entities import Entity, Sign
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import exact

_TABLES: dict[str, Callable[[Plexus], Iterable[str]]] = {
    "muscles": lambda p: p.muscles,
    "skin": lambda p: (area.id for area in p.skin.values() if not area.dermatome),
    "dermatomes": lambda p: (area.id for area in p.skin.values() if area.dermatome),
    "side branches": lambda p: (s.id for s in p.segments.values() if s.stage is None and s.drawn),
    "reflexes": lambda p: p.reflexes,
    "signs": lambda p: p.signs,
    "places": lambda p: p.places,
    "groups": lambda p: p.groups,
}
"""Words for all of a kind."""


def meant(plexus: Plexus, text: str) -> frozenset[str]:
    """Ids that a text means: a stage, all of a kind, a part of the plexus, a group with its members, or one thing.

    Raises:
        UnknownNameError: it means nothing here, or several things.
    """
    wish = exact(text)
    for stage in plexus.stages:
        if wish in (exact(stage.name), exact(stage.id), f"{exact(stage.singular)}s"):
            return frozenset(segment.id for segment in plexus.staged(stage.id))
    if wish in _TABLES:
        return frozenset(_TABLES[wish](plexus))
    try:
        id = one(plexus, text).id
    except UnknownNameError as error:
        try:
            region = regions.of(plexus, text)
        except UnknownNameError:
            raise error from None
        return frozenset(part for nerve in region.nerves for part in plexus.members(nerve))
    return frozenset((id, *plexus.groups[id].members)) if id in plexus.groups else frozenset((id,))


def one(plexus: Plexus, text: str) -> Entity:
    """The one thing that a text means; a muscle rather than the place on a nerve that is called after it.

    Raises:
        UnknownNameError: it means nothing here, or several things.
    """
    try:
        return names.find(plexus, text)
    except UnknownNameError as error:
        try:
            return names.find(plexus, text, [table for table in names.EVERYTHING if table != "place"])
        except UnknownNameError:
            raise error from None


def needs(plexus: Plexus, id: str) -> frozenset[str]:
    """Ids that must be there for one to be: as it is computed, and as a convention draws it."""
    return frozenset(other for one in {plexus, plexus.drawn} for other in _needs(one, id))


def _needs(plexus: Plexus, id: str) -> Iterable[str]:
    if id in plexus.segments:
        return plexus.segments[id].parents
    if id in plexus.wholes:
        return plexus.wholes[id].parts
    if id in plexus.places:
        return plexus.members(plexus.places[id][1].id)
    if id in plexus.skin and plexus.skin[id].dermatome:
        return plexus.skin[id].dermatome
    if id in plexus.nerves_of:
        return plexus.nerves_of[id]
    if id in plexus.groups:
        return plexus.groups[id].members
    if id in plexus.reflexes:
        return plexus.reflexes[id].muscles
    return ()


def with_needs(plexus: Plexus, ids: frozenset[str]) -> frozenset[str]:
    """These and all that they need, and what then is complete: groups and reflexes, places, wholes, signs.

    A sign is kept by name, or if something of what it shows by is kept.
    """
    found, todo = set[str](), list(ids)
    while todo:
        id = todo.pop()
        if id not in found:
            found.add(id)
            todo += needs(plexus, id)
            todo += _shown_by(plexus.signs[id]) if id in plexus.signs else ()
    for table in (plexus.groups, plexus.places, plexus.reflexes):
        found |= {id for id in table if needs(plexus, id) <= found}
    found |= {id for id, whole in plexus.wholes.items() if not found.isdisjoint(whole.parts)}
    found |= {sign.id for sign in plexus.signs.values() if not found.isdisjoint(_shown_by(sign))}
    return frozenset(found)


def _shown_by(sign: Sign) -> tuple[str, ...]:
    """Ids by whose loss a sign shows."""
    return tuple(id for part in sign.when.parts() for id in (*part.lost, *part.weak, *part.cut))


def without(plexus: Plexus, every: frozenset[str], ids: frozenset[str]) -> frozenset[str]:
    """All but these and what needs them; a whole stays while one of its parts does."""
    gone = {part for id in ids for part in plexus.members(id)} | ids
    wholes = {id: set(whole.parts) for id, whole in plexus.wholes.items()}
    more = True
    while more:
        rest = [id for id in every - gone if id not in wholes]
        lost = {id for id in rest if not gone.isdisjoint(needs(plexus, id))}
        lost |= {id for id, parts in wholes.items() if parts <= gone} - gone
        gone |= lost
        more = bool(lost)
    return every - gone


def has_nerves(plexus: Plexus, kept: frozenset[str]) -> bool:
    """Whether anything is kept that comes from a root."""
    return any(id in kept and segment.parents for id, segment in plexus.segments.items())
