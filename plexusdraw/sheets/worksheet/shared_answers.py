"""Answers that are right at several numbers of one form, and names that stand for several answers of a list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import Together, together
from plexusdraw.names.spelling import exact
from plexusdraw.sheets.worksheet.spec import Question


def groups(plexus: Plexus, ids: Sequence[str]) -> tuple[Together, ...]:
    """Group names that stand for several of the muscles of a list; members by name, as the list has them."""
    found = together(plexus, ids)
    return tuple(Together(g.spellings, tuple(plexus.entity(id).name for id in g.members)) for g in found)


def with_shared(questions: Sequence[Question]) -> tuple[Question, ...]:
    """The same questions; those with one answer are told which of its spellings is right at other numbers too."""
    where: dict[str, list[int]] = {}
    for q in (q for q in questions if len(q.answers) == 1):
        for key in dict.fromkeys(exact(text) for text in q.spellings()):
            where.setdefault(key, []).append(q.number)
    return tuple(replace(q, shared=_shared(q, where)) if len(q.answers) == 1 else q for q in questions)


def _shared(question: Question, where: dict[str, list[int]]) -> tuple[tuple[str, tuple[int, ...]], ...]:
    found = {}
    for text in question.spellings():
        others = tuple(n for n in where[exact(text)] if n != question.number)
        if others:
            found[text] = others
    return tuple(found.items())


MOST_ON_PAPER = 3
"""So many other spellings stand on paper; an export holds them all."""


def helpful(answer: str, others: Sequence[str]) -> tuple[str, ...]:
    """Of the other right spellings those that a marker may not know: not those that only shorten the answer."""
    words = exact(answer).split()
    return tuple(text for text in others if not _shortens(exact(text).split(), words))[:MOST_ON_PAPER]


def _shortens(short: Sequence[str], words: Sequence[str]) -> bool:
    """Whether each word begins a word of the longer name, in the same order."""
    rest = iter(words)
    return all(any(word.startswith(part.rstrip(".")) for word in rest) for part in short)
