"""A teacher's own words in place of the usual names, which stay beside them as synonyms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TypeVar

from plexusdraw.model.entities import CourseItem, Entity, Place, Segment
from plexusdraw.model.ids import place_name
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import display

E_ = TypeVar("E_", bound=Entity)


def renamed(plexus: Plexus, words: Mapping[str, str]) -> Plexus:
    """The same plexus, these ids called otherwise: wherever a name is shown, that is the name. Ids stay."""
    if not words:
        return plexus
    return replace(
        plexus,
        segments=MappingProxyType({id: _segment(one, words) for id, one in plexus.segments.items()}),
        wholes=MappingProxyType({id: _segment(one, words) for id, one in plexus.wholes.items()}),
        muscles=_table(plexus.muscles, words),
        skin=_table(plexus.skin, words),
        groups=_table(plexus.groups, words),
        outside=_table(plexus.outside, words),
        reflexes=_table(plexus.reflexes, words),
        signs=_table(plexus.signs, words),
        drawing=plexus.drawing and renamed(plexus.drawing, words),
    )


def changed(before: Plexus, after: Plexus) -> Mapping[str, str]:
    """Id → name of all that is called otherwise, places on what is renamed included."""
    usual = {entity.id: display(entity) for entity in before.entities()}
    found = {entity.id: display(entity) for entity in after.entities()}
    return MappingProxyType({id: name for id, name in found.items() if name != usual[id]})


def _table(table: Mapping[str, E_], words: Mapping[str, str]) -> Mapping[str, E_]:
    return MappingProxyType({id: _entity(one, words) for id, one in table.items()})


def _entity(entity: E_, words: Mapping[str, str]) -> E_:
    word = words.get(entity.id)
    if word is None or word == entity.name:
        return entity
    others = tuple(text for text in (entity.name, entity.label, *entity.synonyms) if text and text != word)
    return replace(entity, name=word, label="", synonyms=tuple(dict.fromkeys(others)))


def _segment(segment: Segment, words: Mapping[str, str]) -> Segment:
    made = _entity(segment, words)
    return replace(made, course=tuple(_item(item, made.name, segment.name, words) for item in segment.course))


def _item(item: CourseItem, segment: str, before: str, words: Mapping[str, str]) -> CourseItem:
    """A place on a segment is named after it, in all its names: one that is not makes it a usual place of injuries."""
    if not isinstance(item, Place):
        return item
    if item.id in words:
        return replace(item, full_name=words[item.id], synonyms=(item.full_name, *item.synonyms))
    if segment == before or not item.full_name.startswith(before):
        return item
    others = tuple(text.replace(before, segment) for text in item.synonyms)
    return replace(item, full_name=place_name(segment, item.name, others), synonyms=others)
