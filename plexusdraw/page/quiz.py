"""What the page's questions and its search need: the worksheets' questions, right answers, all names in one spelling.

What is asked comes from :mod:`plexusdraw.sheets.worksheet.pool`, what is right as a name from
:mod:`plexusdraw.names.accepted`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random
from typing import Any

from plexusdraw import names
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup, spelling
from plexusdraw.names.accepted import accepted
from plexusdraw.scene import Label, Pill, Row, Scene
from plexusdraw.sheets.worksheet import pool

LEVEL = 2
"""Wrong answers near to the right one; nerves with a name of their own in the picture."""
DRAWS = 4
"""So many times chance words each question. What differs in wrong answers alone is one question with more of them."""
Question = list[Any]
"""Topic, id of what it is about (or name of a movement), prompt, right answer, wrong ones with their reasons."""


def questions(plexus: Plexus) -> list[Question]:
    """All questions of the pool."""
    kit = pool.kit(plexus, LEVEL)
    found: dict[tuple[str, str, str, str], dict[str, str]] = {}
    for subject in (subject for topic in pool.TOPICS.values() for subject in topic(kit)):
        for draw in range(DRAWS):
            choice = subject.make(Random(f"{subject.topic} {subject.about} {draw}"))
            if choice is not None:
                (answer,) = (option.text for option in choice.options if option.right)
                wrong = found.setdefault((subject.topic, subject.about, choice.prompt, answer), {})
                wrong |= {option.text: option.why for option in choice.options if not option.right}
    return [[*key, [list(pair) for pair in wrong.items()]] for key, wrong in found.items()]


def right(plexus: Plexus, scenes: Sequence[Scene]) -> dict[str, list[str]]:
    """For each structure that pictures name what is right as its name, in one spelling."""
    parts = (p for scene in scenes for p in scene.parts if isinstance(p, Label | Pill | Row))
    sheet = [plexus.entity(id) for id in dict.fromkeys(part.entity for part in parts)]
    return {e.id: _spelt([names.display(e), *accepted(plexus, e, sheet)]) for e in sheet}


def spellings(plexus: Plexus) -> dict[str, Any]:
    """Every name of every entity, evened out; and how the page brings such a text to one spelling."""
    entities = plexus.entities()
    return {
        "exact": {e.id: _unique(spelling.exact(text) for text in lookup.forms(plexus, e)) for e in entities},
        "mapped": spelling.MAPPED,
        "silent": sorted(spelling.SILENT),
        "stems": [pattern.pattern for pattern in spelling.STEMS],
    }


def _spelt(texts: Iterable[str]) -> list[str]:
    return _unique(" ".join(spelling.canonical(spelling.tokens(text))) for text in texts)


def _unique(texts: Iterable[str]) -> list[str]:
    return [text for text in dict.fromkeys(texts) if text]
