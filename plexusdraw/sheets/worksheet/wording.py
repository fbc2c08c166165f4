"""A plexus in the words of ``--names``: what forms ask and say then comes in these, whatever the kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

from plexusdraw import names
from plexusdraw.layout.labels import Wording
from plexusdraw.model.entities import CourseItem, Entity, Place, Segment
from plexusdraw.model.plexus import Plexus

E = TypeVar("E", bound=Entity)


@lru_cache(maxsize=8)
def worded(plexus: Plexus, wording: Wording) -> Plexus:
    """The same plexus, its structures named in this style or by own labels; the usual names are synonyms then.

    Short names are words of drawings alone: in a sentence a structure has its whole name. Roots keep their letters.
    """
    own, latin = dict(wording.own), wording.style == "latin"
    if not own and not latin:
        return plexus

    def said(table: Mapping[str, E]) -> dict[str, E]:
        return {id: _named(entity, own.get(id, ""), latin and id not in plexus.roots) for id, entity in table.items()}

    def placed(table: Mapping[str, Segment]) -> dict[str, Segment]:
        return {id: replace(s, course=tuple(_at(item, latin) for item in s.course)) for id, s in said(table).items()}

    return replace(
        plexus,
        segments=placed(plexus.segments),
        wholes=placed(plexus.wholes),
        muscles=said(plexus.muscles),
        skin=said(plexus.skin),
        groups=said(plexus.groups),
        outside=said(plexus.outside),
        signs=said(plexus.signs),
        reflexes=said(plexus.reflexes),
        drawing=None if plexus.drawing is None else worded(plexus.drawing, wording),
    )


def _at(item: CourseItem, latin: bool) -> CourseItem:
    """A place by its Latin name, with its nerve's where it is told so."""
    if not (latin and isinstance(item, Place) and item.full_latin):
        return item
    return replace(item, name=item.latin, full_name=item.full_latin, synonyms=(item.full_name, *item.synonyms))


def _named(entity: E, own: str, latin: bool) -> E:
    name = own or (names.display(entity, "latin") if latin else entity.name)
    if name == entity.name:
        return entity
    return replace(entity, name=name, synonyms=(entity.name, names.display(entity, "short"), *entity.synonyms))
