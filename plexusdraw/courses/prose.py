"""Texts of a model that name what a course leaves out: they are not shown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TypeVar

from plexusdraw.model.entities import Entity, Place, Source
from plexusdraw.names.spelling import tokens

E_ = TypeVar("E_", bound=Entity)
_CLAUSE = re.compile(r"[:;,(]")


class Silent:
    """Knows the names of what is left out, and the texts in which one stands."""

    def __init__(self, left_out: Iterable[Entity], kept: Iterable[Entity]) -> None:
        shown = {words for entity in kept for words in _names(entity)}
        self._names: dict[str, set[tuple[str, ...]]] = {}
        for words in {words for entity in left_out for words in _names(entity)} - shown:
            if words:
                self._names.setdefault(words[0], set()).add(words)

    def names(self, text: str) -> bool:
        """Whether a text names something that is left out."""
        words = tokens(text)
        return any(
            words[i : i + len(name)] == name for i, word in enumerate(words) for name in self._names.get(word, ())
        )

    def text(self, text: str) -> str:
        """A text, or nothing where it names what is left out."""
        return "" if text and self.names(text) else text

    def texts(self, rows: Mapping[str, str]) -> Mapping[str, str]:
        """The same for notes on something: what is noted stays."""
        return MappingProxyType({id: self.text(note) for id, note in rows.items()})

    def entity(self, entity: E_) -> E_:
        """An entity whose note, other names and ids of sources say nothing of what is left out."""
        synonyms = tuple(text for text in entity.synonyms if not self.names(text))
        return replace(entity, note=self.text(entity.note), synonyms=synonyms, sources=self.ids(entity.sources))

    def ids(self, sources: Iterable[str]) -> tuple[str, ...]:
        """Those ids of sources that name nothing that is left out."""
        return tuple(id for id in sources if not self.names(id))

    def source(self, source: Source) -> Source:
        """A source; its title ends before the words that name what is left out."""
        title = source.title
        while self.names(title):
            cuts = [found.start() for found in _CLAUSE.finditer(title)]
            title = title[: cuts[-1]].rstrip() if cuts else source.id
            if not cuts:
                break
        return replace(source, title=title, note=self.text(source.note))


def _names(entity: Entity) -> Iterable[tuple[str, ...]]:
    """Names of an entity as words; a nerve's also without "nerve"."""
    own = [entity.full_name] if isinstance(entity, Place) else [entity.name]
    for text in (*own, entity.latin, *entity.synonyms):
        words = tokens(text)
        yield words
        if words[-1:] == ("nerve",) and len(words) > 1:
            yield words[:-1]
