"""Notes as a reader sees them: sources by number or left out, never by their ids.

In a model file a note cites in brackets, "C7 [ucsf-roots, memory]"; an id with a hyphen may also stand in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache

from plexusdraw.model.plexus import Plexus

_BRACKETS = re.compile(r"( ?)\[([^][]*)\]")
_WORDS = {"memory", "common practice"}
"""Ids of sources that are words already."""


class Cited:
    """Notes of one structure with numbers for sources; ``titles`` are those of the numbers, from 1."""

    def __init__(self, plexus: Plexus, sources: Iterable[str] = ()) -> None:
        self.plexus = plexus
        self._ids = list(dict.fromkeys(sources))

    def text(self, note: str) -> str:
        """A note with "[1, 2]" for ids in brackets and "source 1" for one in a sentence."""
        return _written(self.plexus, note, lambda inner: f"[{_inside(self.plexus, inner, self._number)}]", self._named)

    @property
    def titles(self) -> tuple[str, ...]:
        """Titles, those of the sources given at first."""
        return tuple(self.plexus.sources[id].title for id in self._ids)

    def _number(self, id: str) -> str:
        if id not in self._ids:
            self._ids.append(id)
        return str(self._ids.index(id) + 1)

    def _named(self, id: str) -> str:
        return f"source {self._number(id)}"


def plain(plexus: Plexus, note: str) -> str:
    """A note without its citations; a source named in a sentence by its title."""

    def inner(text: str) -> str:
        rest = _inside(plexus, text, lambda _: "")
        return f"[{rest}]" if re.search(r"\w", rest) and rest.strip() not in _WORDS else ""

    return _written(plexus, note, inner, lambda id: plexus.sources[id].title)


def _written(plexus: Plexus, note: str, brackets: Callable[[str], str], bare: Callable[[str], str]) -> str:
    keys = _keys(plexus)

    def sentence(text: str) -> str:
        return keys.sub(lambda key: bare(key[0]), text) if keys else text

    parts, last = [], 0
    for found in _BRACKETS.finditer(note):
        parts.append(sentence(note[last : found.start()]))
        new = brackets(found[2]) if _cites(plexus, found[2]) else f"[{found[2]}]"
        parts.append(found[1] + new if new else "")
        last = found.end()
    return "".join((*parts, sentence(note[last:])))


def _cites(plexus: Plexus, text: str) -> bool:
    keys = _keys(plexus)
    named = any(part.strip() in plexus.sources for part in re.split("[,;:]", text))
    return named or bool(keys and keys.search(text))


def _inside(plexus: Plexus, text: str, said: Callable[[str], str]) -> str:
    """What stands in brackets, each id of a source as *said*; what that leaves empty goes."""

    def one(part: str) -> str:
        id = part.strip()
        if id in plexus.sources and id not in _WORDS:
            return said(id)
        keys = _keys(plexus)
        return (keys.sub(lambda key: said(key[0]), part) if keys else part).strip()

    groups = [", ".join(filter(None, map(one, group.split(",")))) for group in text.split(";")]
    return "; ".join(filter(None, groups))


@lru_cache(maxsize=16)
def _keys(plexus: Plexus) -> re.Pattern[str] | None:
    """Ids that may stand in a sentence: those with a hyphen, which are no words."""
    ids = sorted((id for id in plexus.sources if "-" in id), key=len, reverse=True)
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, ids))})(?![\w-])") if ids else None
