"""Every spelling of an answer that a marker accepts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw.model.plexus import Entity, Plexus
from plexusdraw.names import display
from plexusdraw.names.spelling import exact
from plexusdraw.sheets.worksheet.spec import Question


def accepted(plexus: Plexus, entity: Entity) -> tuple[str, ...]:
    """Other spellings of an entity that are right: label, short and Latin form, synonyms."""
    short = [display(entity, "short"), entity.label] if entity.label else [display(entity, "short")]
    found = [*short, entity.latin, *entity.synonyms]
    if entity.kind == "nerve" or entity.kind == plexus.stages[-1].singular:
        found.append(entity.name.removesuffix(" nerve"))
    own = exact(entity.name)
    spelled = {exact(text): text for text in reversed(found) if text and exact(text) != own}
    return tuple(text for text in dict.fromkeys(found) if text in spelled.values())


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
