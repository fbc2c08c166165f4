"""Steps of a lecture as values: what a slide shows, and what it asks before it is answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.model.entities import Entity
from plexusdraw.names.sites import Site
from plexusdraw.sheets.slides.things import Things

On = Literal["drawing", "table", "both", "limb", "title", "sources"]
Asked = Literal["names", "way", "supply", "loss", "site"]
"""What a question hides: names; the way of fibres; what a nerve supplies; what an injury takes; where it is."""
LONGEST = 500
"""Most characters of a text, and of notes, so that placeholders cannot grow without end."""
LONGEST_SAID = 20_000
PAGES: tuple[On, ...] = ("title", "sources")
"""Slides without a drawing of the plexus that grows."""


@dataclass(frozen=True, slots=True)
class Picture:
    """Another picture of the tool. ``kind``: nerve, limb, table or worksheet; ``of``: which one."""

    kind: str
    of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. ``ask``: the question that is put first; empty for none. ``notes`` None: worked out from the model."""

    section: str
    title: str
    subtitle: str = ""
    show: Things = field(default_factory=Things)
    highlight: tuple[Entity, ...] = ()
    hide: tuple[str, ...] = ()
    injure: tuple[Site, ...] = ()
    partial: bool = False
    ask: str = ""
    asked: Asked = "names"
    on: On = "drawing"
    picture: Picture | None = None
    theme: str = ""
    notes: str | None = None
    line: int = 0
    """Line in the file, 1-based."""
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Names as the outline has them, by key."""
    aside: bool = False
    """It shows side branches on a drawing of their own."""

    @property
    def lit(self) -> str:
        """What is highlit, in words."""
        return listed([entity.name for entity in self.highlight])

    @property
    def the_lit(self) -> str:
        """The same in a sentence: a root goes without an article."""
        return listed([entity.name if _is_root(entity) else f"the {entity.name}" for entity in self.highlight])


@dataclass(frozen=True, slots=True)
class Outline:
    """A lecture. *path*: of the file; empty for an outline that comes with the package."""

    path: str
    title: str
    steps: tuple[Step, ...]
    subtitle: str = ""
    occasion: str = ""


def usual(step: Step) -> Asked:
    """What the question of a step hides where it does not say."""
    if step.hide:
        return "names"
    if step.injure:
        return "loss"
    if step.show.supply or (step.highlight and step.on != "drawing"):
        return "supply"
    return "way" if step.highlight else "names"


def question(step: Step) -> str:
    """The question of a step that gives none of its own."""
    match step.asked:
        case "way" if all(map(_is_root, step.highlight)):
            return f"Where do the fibres of {step.lit} go?"
        case "way":
            return f"Which roots reach {step.the_lit}, and which way?"
        case "supply":
            return (
                f"What {'do' if len(step.highlight) > 1 else 'does'} {step.the_lit} supply?"
                if step.highlight
                else "What do they supply?"
            )
        case "loss":
            kind = "Partial injury" if step.partial else "Injury"
            return f"{kind}: {listed([site.name for site in step.injure])}. What is lost?"
        case "site":
            return "Where is the injury?"
        case _:
            return "What are the names?"


def _is_root(entity: Entity) -> bool:
    return not getattr(entity, "parents", ("other",))


def listed(words: Sequence[str], mark: str = ", ") -> str:
    """Words as a list: "a, b and c"."""
    return " and ".join([mark.join(words[:-1]), words[-1]] if len(words) > 1 else words)
