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


def enlarged(scene: Scene, k: float) -> Scene:
    """The whole page *k* times as large."""
    grow = Move(0.0, k=k)
    made = changed(scene, grow.part)
    return replace(made, width=k * scene.width, height=k * scene.height, margin=k * scene.margin)


@dataclass(frozen=True, slots=True)
class Move:
    """*dx* mm to the right and *dy* mm down; before that *k* times as large, text and widths too.

    With *flip* first mirrored about x = 0, text readable still.
    """

    dx: float
    dy: float = 0.0
    flip: bool = False
    k: float = 1.0

    def x(self, x: float) -> float:
        """Where an x goes, mm."""
        return self.dx - self.k * x if self.flip else self.k * x + self.dx

    def y(self, y: float) -> float:
        """Where a y goes, mm."""
        return self.k * y + self.dy

    def point(self, point: Point) -> Point:
        """Where a point goes, mm."""
        return (self.x(point[0]), self.y(point[1]))

    def box(self, box: Box) -> Box:
        """Where a box goes."""
        return Box(self.x(box.right if self.flip else box.x), self.y(box.y), self.k * box.w, self.k * box.h)

    def text(self, text: Text) -> Text:
        """Where a line of text goes."""
        anchor = FLIPPED[text.anchor] if self.flip else text.anchor
        x, y, size = self.x(text.x), self.y(text.y), self.k * text.size
        return replace(text, x=x, y=y, size=size, anchor=anchor, box=self.box(text.box))

    @singledispatchmethod
    def part(self, part: Part) -> Part:
        """The same part in its new place."""
        raise TypeError(f"no way to move {type(part).__name__}")

    @part.register(Leader)
    @part.register(Shape)
    def _(self, part: Leader | Shape) -> Part:
        return replace(part, curve=tuple(self.point(p) for p in part.curve))

    @part.register(Strand)
    @part.register(Gap)
    @part.register(Sinew)
    def _(self, part: Strand | Gap | Sinew) -> Part:
        return replace(part, curve=tuple(self.point(p) for p in part.curve), width=self.k * part.width)

    @part.register(Panel)
    def _(self, part: Panel) -> Part:
        return replace(part, box=self.box(part.box))

    @part.register(Heading)
    @part.register(Word)
    def _(self, part: Heading | Word) -> Part:
        return replace(part, text=self.text(part.text))

    @part.register(Note)
    def _(self, part: Note) -> Part:
        return replace(part, text=self.text(part.text), room=self.k * part.room)

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
        strands_y = None if part.strands_y is None else self.y(part.strands_y)
        return replace(part, lines=lines, blank=self.box(part.blank), badge=self.point(part.badge), strands_y=strands_y)

    @part.register(Row)
    def _(self, part: Row) -> Part:
        return replace(
            part,
            name=self.text(part.name),
            dots=tuple(replace(d, x=self.x(d.x), y=self.y(d.y), r=self.k * d.r) for d in part.dots),
            empty=tuple(self.point(p) for p in part.empty),
            word=self.text(part.word),
            blank=self.box(part.blank),
            badge=self.text(part.badge),
        )

    @part.register(Spot)
    def _(self, part: Spot) -> Part:
        angle = 180.0 - part.angle if self.flip else part.angle
        return replace(part, x=self.x(part.x), y=self.y(part.y), angle=angle, half=self.k * part.half)
