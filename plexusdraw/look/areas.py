"""Skin areas, muscles, tendons and the outline of a limb as marks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from plexusdraw.look import hatch
from plexusdraw.look.marks import Disc, Fill, Lines, Mark, Path
from plexusdraw.look.paints import Colour, Tint
from plexusdraw.look.theme import Pen, Theme, mix
from plexusdraw.scene import Area, Shape, Sinew
from plexusdraw.scene.view import State

ROOT_PATTERNS = ("plain", "rising", "falling", "level", "upright")
"""Pattern in which the second, third, ... root of an area lies over the tint of the first."""
LIT = 2.2
"""Width of the edge of what is highlit, as a multiple."""


def area(part: Area, state: State, theme: Theme, pens: Mapping[str, Pen], scale: float) -> Iterator[Mark]:
    """A filled area, its pattern, its edge."""
    look = theme.areas
    tint = look.states.get(state, Tint())
    muscle = not part.border
    edge = tint.edge or (look.muscle_edge if muscle else look.border)
    width = (tint.edge_width or look.border_width) * scale
    gap, line = look.pattern_gap * scale, look.pattern_width * scale
    if part.roots and tint.fill is None:
        first, *others = (pens[root] for root in part.roots if root in pens)
        yield Fill(curves=part.curves, fill=mix(first.strand, theme.page, look.root_tint))
        if first.core and any(pen.strand == first.strand for pen in pens.values() if pen is not first):
            yield from _hatched(part, _cored(first), first.core, gap, 1.6 * line)
        for pen, pattern in zip(others, ROOT_PATTERNS[1:], strict=False):
            yield from _hatched(part, pattern, pen.strand, gap * 1.1, 2.2 * line)
    else:
        base = _base(part, theme)
        if tint.fill is not None:
            base = tint
        yield Fill(curves=part.curves, fill=base.fill)
        if base.line:
            yield from _hatched(part, base.pattern, base.line, gap, line)
    yield Fill(curves=part.curves, stroke=edge, width=width)


def _cored(pen: Pen) -> str:
    """Pattern of a root that shares its hue with another, as its strand has dashes: short ones are dots."""
    on, off, *_ = (*pen.core_dash, 0.0, 0.0)
    return "level" if on >= off else "dots"


def _base(part: Area, theme: Theme) -> Tint:
    look = theme.areas
    if part.outside:
        return Tint(fill=look.outside)
    return look.fill(part.tone) if part.tone >= 0 else Tint(fill=look.plain)


def _hatched(part: Area, pattern: str, colour: Colour, gap: float, width: float) -> Iterator[Mark]:
    strokes = hatch.strokes(part.curves, pattern, gap, width)
    if strokes:
        yield Lines(lines=strokes, stroke=colour, width=1.6 * width if pattern == "dots" else width)


def sinew(part: Sinew, state: State, theme: Theme, scale: float) -> Iterator[Mark]:
    """A tendon: its edge, then itself."""
    look = theme.areas
    tint = look.states.get(state, Tint())
    edge = tint.edge or look.line
    wide = Path(curve=part.curve, stroke=edge, width=part.width)
    yield wide
    yield replace(wide, stroke=look.sinew, width=max(part.width - 2 * look.line_width * scale, 0.4 * part.width))


def shape(part: Shape, theme: Theme, scale: float, colour: Colour) -> Iterator[Mark]:
    """The body, an edge, a crease, a bone, a pin, a key point."""
    look = theme.areas
    thin = look.line_width * scale
    match part.role:
        case "body":
            yield Fill(curves=(part.curve,), fill=look.body)
        case "bone":
            yield Fill(curves=(part.curve,), fill=look.bone, stroke=look.line, width=thin)
        case "edge":
            yield Path(curve=part.curve, stroke=look.edge, width=look.edge_width * scale)
        case "cut":
            dash = tuple(d * scale for d in look.cut_dash)
            yield Path(curve=part.curve, stroke=look.edge, width=look.edge_width * 0.7 * scale, dash=dash)
        case "line":
            yield Path(curve=part.curve, stroke=look.line, width=thin)
        case "pin":
            x, y = part.curve[0]
            yield Disc(x=x, y=y, r=0.42 * scale, fill=colour, stroke=theme.page, width=0.12 * scale)
        case "key":
            x, y = part.curve[0]
            yield Disc(x=x, y=y, r=1.0 * scale, fill=theme.page, stroke=theme.ink, width=0.3 * scale)
            yield Disc(x=x, y=y, r=0.4 * scale, fill=theme.ink)
