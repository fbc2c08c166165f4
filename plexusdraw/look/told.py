"""What a page says of each of its parts: its state, its number, its words, its colours."""

from __future__ import annotations

from functools import cached_property

from plexusdraw.look import hues, lines
from plexusdraw.look.boxes import Boxes, roundest
from plexusdraw.look.paint_order import lit_in_front
from plexusdraw.look.redaction import Names
from plexusdraw.look.theme import NEUTRAL, ROOT, Colour, Look, Pen, Theme
from plexusdraw.scene import (
    Box,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Row,
    Scene,
    Shape,
    Strand,
    Word,
)
from plexusdraw.scene.view import LabelKey, State, View, strand_key

A4_MM = 297.0
_SAID: dict[State, str] = {
    "lost": "lost",
    "weak": "partly lost",
    "slight": "slightly weak",
    "reduced": "reduced",
    "highlit": "highlighted",
}


class Told:
    """One page: a scene, a view of it and a theme."""

    def __init__(self, scene: Scene, view: View, theme: Theme) -> None:
        self.scene = scene
        self.view = view
        self.theme = theme
        self.pens = {root: theme.pen(i) for i, root in enumerate(scene.roots)}
        self.scale = max(1.0, max(scene.width, scene.height) / A4_MM)
        most = max((*view.blanks.values(), *view.answers.values(), 1))
        self.boxes = Boxes(theme.blank, self.scale, most, slide=scene.medium == "slide")
        self.cuts = set(view.cuts)

    # The page to click makes hundreds of these, each for a few parts: what only some parts need waits for them.

    @cached_property
    def names(self) -> Names:
        """Ids as they may be written."""
        return Names(self.scene, self.view)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """All parts, back to front."""
        return lit_in_front(self.scene.parts, self.view)

    @cached_property
    def ranks(self) -> dict[int, int]:
        """Place of each part among what is read."""
        return {id(part): rank for rank, part in enumerate(self.scene.read())}

    @cached_property
    def blanks(self) -> list[Label]:
        """Names that are blank."""
        named = (p for p in self.scene.parts if isinstance(p, Label) and p.role == "name")
        return [part for part in named if self.number(part)]

    @cached_property
    def written(self) -> list[Box]:
        """Where something is written, or is to be written."""
        return [box for part in self.scene.parts for box in self.boxes_of(part)]

    @cached_property
    def heading_width(self) -> float:
        """Width of the widest heading, mm."""
        return max((p.text.box.w for p in self.scene.parts if isinstance(p, Heading)), default=0.0)

    @cached_property
    def roundest(self) -> dict[str, float]:
        """Largest radius of the plates of each kind, which are alike, with all their texts on them, mm."""
        found: dict[str, float] = {}
        for part in self.scene.parts:
            if isinstance(part, Pill):
                radius = roundest(part.box, (line.box for line in part.lines))
                found[part.kind] = min(radius, found.get(part.kind, radius))
        return found

    def state(self, part: Strand) -> State:
        """State of a strand."""
        return self.view.strand(strand_key(part))

    def rank(self, part: Part) -> int:
        """Place of a part among what is read; last where the scene has none for it."""
        return self.ranks.get(id(part), len(self.ranks))

    def number(self, part: Part) -> int | None:
        """Number of the blank that stands in place of the part's text."""
        key = _label_key(part)
        return self.view.blanks.get(key) if key else None

    def boxes_of(self, part: Part) -> list[Box]:
        """Where a part is written, or is to be written."""
        if not isinstance(part, Pill | Label) or self.view.entity(part.entity) == "hidden":
            return []
        if isinstance(part, Pill):
            return [part.box]
        return [part.blank] if self.number(part) else [line.box for line in part.lines]

    def said(self, part: Part) -> str:
        """What the part is, for a reader who cannot see it."""
        number = self.number(part)
        if number:
            return f"blank {number}"
        if isinstance(part, Note | Panel | Gap | Leader | Word) or (isinstance(part, Shape) and not part.entity):
            return ""
        if self.names.secret:
            return self.names.words("")  # whatever it is
        words = self._row_words(part) if isinstance(part, Row) else self.name(part.entity)
        state = self.view.words.get(part.entity) or _SAID.get(self.view.entity(part.entity), "")
        return self.names.words(lines.clean(f"{words}, {state}" if state else words))

    def name(self, entity: str) -> str:
        """What an entity is called: in the reader's own words, or as its id says."""
        return self.view.called.get(entity) or entity.replace("-", " ")

    def _row_words(self, row: Row) -> str:
        main = [d.root for d in row.dots if not d.minor]
        minor = [f"{d.root} (minor)" for d in row.dots if d.minor]
        return f"{row.name.string}: {', '.join(main + minor)}" if row.dots else row.name.string

    def look(self, entity: str) -> Look:
        """What the state of an entity changes."""
        return self.theme.look(self.view.entity(entity))

    def ink(self, part: Pill | Label | Row, look: Look) -> Colour:
        """Colour of a name."""
        if look.text:
            return look.text
        text = self.theme.kind(part.kind).text
        if text != ROOT:
            return text
        return self.root_text(part.entity) if part.entity in self.pens else self.theme.ink

    def pen(self, entity: str, root: str, source: str | None) -> Pen:
        """Pen of a strand or dot: its root's, unless colour stands for something else."""
        if self.view.hues is None:
            return self.pens[root]
        return hues.pen(self.theme, self.view.hues.strands.get((entity, root, source), NEUTRAL))

    def root_text(self, root: str) -> Colour:
        """Colour of a root's letters."""
        return self.theme.ink if self.view.hues else self.pens[root].text

    def opens(self, index: int) -> bool:
        """Whether the bundle in front of the gap at *index* is seen; a gap without one would be a hole."""
        parts = self.parts
        gap = parts[index]
        assert isinstance(gap, Gap)
        seen = False
        for i in range(index + 1, len(parts)):
            part = parts[i]
            if isinstance(part, Gap) and part.entity == gap.entity:
                continue
            if not isinstance(part, Strand) or part.entity != gap.entity:
                break
            seen = seen or self.state(part) != "hidden"
        return seen


def _label_key(part: Part) -> LabelKey | None:
    match part:
        case Pill() | Row() | Heading():
            return (part.entity, "name")
        case Label():
            return (part.entity, part.role)
        case _:
            return None
