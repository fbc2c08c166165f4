"""The pool: every question with one right answer that a plexus allows, by topic, with reasons for wrong answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from plexusdraw import names
from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.sheets.worksheet.pool import injuries, movements, nerves
from plexusdraw.sheets.worksheet.pool.kit import Kit, Subject

TOPICS: Mapping[str, Callable[[Kit], Iterator[Subject]]] = {
    "roots": nerves.roots,
    "origins": nerves.origins,
    "muscles": nerves.muscles,
    "movements": movements.movements,
    "skin": nerves.skin,
    "injuries": injuries.injuries,
    "sites": injuries.sites,
}
EASY = ("roots", "origins", "muscles", "movements", "skin")
"""Topics of level 1."""


def kit(plexus: Plexus, level: int) -> Kit:
    """How questions of a level are made: wrong answers near to the right one from level 2, branches from level 3."""
    return Kit(plexus, fine=level > 2, near=level > 1)


def topics(ask: Sequence[str], known: Sequence[str], usual: Sequence[str]) -> tuple[str, ...]:
    """The topics that *ask* names, once each; the *usual* ones if none.

    Raises:
        UnknownNameError: one of them is not among those *known*.
    """
    found = []
    for text in ask:
        plain = text.strip().lower()
        word = next((w for w in known if plain in (w, w.removesuffix("s"))), None)
        if word is None:
            raise UnknownNameError(f'cannot ask about "{text}" here; choose from {", ".join(known)}')
        found.append(word)
    return tuple(dict.fromkeys(found)) or tuple(usual)


def only(plexus: Plexus, subjects: Sequence[Subject], text: str) -> list[Subject]:
    """The subjects about the structure or site that a text means; all, if it is empty.

    Raises:
        SheetError: nothing can be asked about it. UnknownNameError: it is nothing of this plexus.
    """
    if not text:
        return list(subjects)
    if any(s.about == text for s in subjects):
        ids = {text}
    else:
        entity = names.find(plexus, text, ("segment", "muscle", "skin", "place"))
        ids = {entity.id}
    found = [s for s in subjects if s.about in ids]
    if not found:
        raise SheetError(f'no question with one right answer can be made about "{text}"')
    return found
