"""What a painter draws: groups of four kinds of marks, resolved to colours.

Lengths are in mm, y down; type sizes in pt. Nothing is left to decide: a painter only writes marks down in
its own format.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from plexusdraw.look.theme import Colour, Dashes, Paint
from plexusdraw.scene import Anchor, Box, Curve, Point
from plexusdraw.scene.view import State


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A stroke along a chain of cubics, with butt ends. ``root`` and ``state`` only where it is a strand."""

    curve: Curve
    stroke: Colour
    width: float
    dash: Dashes = ()
    offset: float = 0.0
    """Where in the dash pattern the stroke begins, mm."""
    root: str = ""
    state: State | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A rectangle with round corners."""

    box: Box
    radius: float = 0.0
    fill: Paint = None
    stroke: Paint = None
    width: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A circle."""

    x: float
    y: float
    r: float
    fill: Paint = None
    stroke: Paint = None
    width: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text at its baseline point."""

    string: str
    x: float
    y: float
    size: float
    anchor: Anchor
    bold: bool
    fill: Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """A filled shape of closed chains; its outline, where it has one, is ``width`` mm wide."""

    curves: tuple[Curve, ...]
    fill: Paint = None
    stroke: Paint = None
    width: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Straight strokes that look alike: the hatching of a shape. Butt ends."""

    lines: tuple[tuple[Point, Point], ...]
    stroke: Colour
    width: float


Mark = Path | Plate | Disc | Words | Fill | Lines


@dataclass(frozen=True, slots=True)
class Group:
    """Marks of one part, back to front; ids, kind and label are what may be written to a file."""

    entity: str
    kind: str
    state: State
    label: str
    """What it is, in words; empty where that goes without saying or would give an answer away."""
    marks: tuple[Mark, ...]
    rank: int = field(default=0, compare=False)
    """Its place among what is read."""
