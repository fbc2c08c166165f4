"""Parts of a scene, moved, flipped or left out: one walk over what each part holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import singledispatchmethod

from plexusdraw.scene import (
    Anchor,
    Area,
    Box,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Point,
    Row,
    Scene,
    Shape,
    Sinew,
    Spot,
    Strand,
    Text,
    Word,
)

FLIPPED: dict[Anchor, Anchor] = {"start": "end", "end": "start", "middle": "middle"}


def changed(scene: Scene, change: Callable[[Part], Part | None]) -> Scene:
    """The scene with each part changed, or left out where *change* gives None; it is read in the same order."""
    parts: list[Part] = []
    places: dict[int, int] = {}
    for i, part in enumerate(scene.parts):
        made = change(part)
        if made is not None:
            places[i] = len(parts)
            parts.append(made)
    return replace(scene, parts=tuple(parts), reading=tuple(places[i] for i in scene.reading if i in places))


@dataclass(frozen=True, slots=True)
class Move:
    """*dx* mm to the right and *dy* mm down; with *flip* first mirrored about x = 0, text readable still."""

    dx: float
    dy: float = 0.0
    flip: bool = False

    def x(self, x: float) -> float:
        """Where an x goes, mm."""
        return self.dx - x if self.flip else x + self.dx

    def point(self, point: Point) -> Point:
        """Where a point goes, mm."""
        return (self.x(point[0]), point[1] + self.dy)

    def box(self, box: Box) -> Box:
        """Where a box goes."""
        return Box(self.x(box.right if self.flip else box.x), box.y + self.dy, box.w, box.h)

    def text(self, text: Text) -> Text:
        """Where a line of text goes."""
        anchor = FLIPPED[text.anchor] if self.flip else text.anchor
        return replace(text, x=self.x(text.x), y=text.y + self.dy, anchor=anchor, box=self.box(text.box))

    @singledispatchmethod
    def part(self, part: Part) -> Part:
        """The same part in its new place."""
        raise TypeError(f"no way to move {type(part).__name__}")

    @part.register(Strand)
    @part.register(Gap)
    @part.register(Leader)
    @part.register(Sinew)
    @part.register(Shape)
    def _(self, part: Strand | Gap | Leader | Sinew | Shape) -> Part:
        return replace(part, curve=tuple(self.point(p) for p in part.curve))

    @part.register(Panel)
    def _(self, part: Panel) -> Part:
        return replace(part, box=self.box(part.box))

    @part.register(Heading)
    @part.register(Note)
    @part.register(Word)
    def _(self, part: Heading | Note | Word) -> Part:
        return replace(part, text=self.text(part.text))

    @part.register(Area)
    def _(self, part: Area) -> Part:
        return replace(part, curves=tuple(tuple(self.point(p) for p in curve) for curve in part.curves))

    @part.register(Pill)
    def _(self, part: Pill) -> Part:
        more = tuple(self.text(line) for line in part.more)
        return replace(part, box=self.box(part.box), text=self.text(part.text), badge=self.point(part.badge), more=more)

    @part.register(Label)
    def _(self, part: Label) -> Part:
        lines = tuple(self.text(t) for t in part.lines)
        strands_y = None if part.strands_y is None else part.strands_y + self.dy
        return replace(part, lines=lines, blank=self.box(part.blank), badge=self.point(part.badge), strands_y=strands_y)

    @part.register(Row)
    def _(self, part: Row) -> Part:
        return replace(
            part,
            name=self.text(part.name),
            dots=tuple(replace(d, x=self.x(d.x), y=d.y + self.dy) for d in part.dots),
            empty=tuple(self.point(p) for p in part.empty),
            word=self.text(part.word),
            blank=self.box(part.blank),
            badge=self.text(part.badge),
        )

    @part.register(Spot)
    def _(self, part: Spot) -> Part:
        angle = 180.0 - part.angle if self.flip else part.angle
        return replace(part, x=self.x(part.x), y=part.y + self.dy, angle=angle)
