"""Where marks stand on a slide, and their curves as custom geometry (ECMA-376 part 1, 20.1.9).

Nothing moves from slide to slide, so most curves of a deck come up again: what was written once is kept for a while.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from plexusdraw import fonts
from plexusdraw.look.marks import Disc, Fill, Lines, Mark, Path, Plate, Words
from plexusdraw.scene import MM_PER_PT, Box, Curve, Point

STEP = 100
"""Lengths are whole multiples of so many EMU, 1/360 mm: shorter to write, and finer than any screen."""
_STEPS_A_MM = 36_000 / STEP
LINE_ASCENT_EM = 0.95
"""From the top of a line of text to its baseline: hhea and typographic ascender of the font."""
LINE_EM = 1.24
"""Height of a line of text: ascender and descender of the font."""
_START = {"start": 0.0, "middle": 0.5, "end": 1.0}
_KEPT = 4096


def emu(mm: float) -> int:
    """A length (mm) in EMU, 36,000 a mm."""
    return round(mm * _STEPS_A_MM) * STEP


def box_of(mark: Mark) -> Box:
    """Room that a mark takes, its line included, mm."""
    match mark:
        case Path():
            return hull(mark.curve, mark.width / 2)
        case Plate():
            return mark.box
        case Disc():
            return Box(mark.x - mark.r, mark.y - mark.r, 2 * mark.r, 2 * mark.r)
        case Words():
            return line_box(mark)
        case Fill():
            return around(hull(curve, mark.width / 2) for curve in mark.curves)
        case Lines():
            return hull(ends(mark.lines), mark.width / 2)


def line_box(mark: Words) -> Box:
    """The line of text from ascender to descender, mm."""
    width = fonts.width(mark.string, mark.size, mark.bold)
    em = mark.size * MM_PER_PT
    return Box(mark.x - _START[mark.anchor] * width, mark.y - LINE_ASCENT_EM * em, width, LINE_EM * em)


def ends(lines: Sequence[tuple[Point, Point]]) -> Curve:
    """The end points of straight strokes."""
    return tuple(point for stroke in lines for point in stroke)


@lru_cache(maxsize=_KEPT)
def hull(curve: Curve, grown: float = 0.0) -> Box:
    """The box around all points of a curve, *grown* on each side, mm."""
    xs, ys = zip(*curve, strict=True)
    x, y = min(xs) - grown, min(ys) - grown
    return Box(x, y, max(xs) + grown - x, max(ys) + grown - y)


def around(boxes: Iterable[Box]) -> Box:
    """The box around boxes, mm."""
    first, *others = boxes
    if not others:
        return first
    found = (first, *others)
    x, y = min([b.x for b in found]), min([b.y for b in found])
    return Box(x, y, max([b.x + b.w for b in found]) - x, max([b.y + b.h for b in found]) - y)


def frame(box: Box) -> str:
    """Place and size of a shape, mm, as ``a:xfrm``."""
    place = f'<a:off x="{emu(box.x)}" y="{emu(box.y)}"/>'
    return f'<a:xfrm>{place}<a:ext cx="{emu(box.w)}" cy="{emu(box.h)}"/></a:xfrm>'


@lru_cache(maxsize=_KEPT)
def freeform(curves: tuple[Curve, ...], closed: bool = False) -> str:
    """Chains of cubics (mm) with their frame, in EMU from its corner."""
    box = around(hull(curve) for curve in curves)
    drawn: list[str] = []
    for curve in curves:
        first, *rest = _points(curve, box)
        drawn.append(f"<a:moveTo>{first}</a:moveTo>")
        drawn += [f"<a:cubicBezTo>{''.join(rest[i : i + 3])}</a:cubicBezTo>" for i in range(0, len(rest), 3)]
        if closed:
            drawn.append("<a:close/>")
    return frame(box) + _geometry(box, "".join(drawn), closed)


@lru_cache(maxsize=_KEPT)
def straight(lines: tuple[tuple[Point, Point], ...]) -> str:
    """Straight strokes (mm) with their frame."""
    box = hull(ends(lines))
    found = _points(ends(lines), box)
    pairs = zip(found[::2], found[1::2], strict=True)
    drawn = "".join([f"<a:moveTo>{a}</a:moveTo><a:lnTo>{b}</a:lnTo>" for a, b in pairs])
    return frame(box) + _geometry(box, drawn, False)


def _points(curve: Curve, box: Box) -> list[str]:
    k, left, top = _STEPS_A_MM, box.x, box.y
    return [f'<a:pt x="{round((x - left) * k) * STEP}" y="{round((y - top) * k) * STEP}"/>' for x, y in curve]


def _geometry(box: Box, drawn: str, filled: bool) -> str:
    fill = "" if filled else ' fill="none"'
    size = f'w="{emu(box.w)}" h="{emu(box.h)}"'
    return (
        '<a:custGeom><a:avLst/><a:gdLst/><a:ahLst/><a:cxnLst/><a:rect l="0" t="0" r="r" b="b"/>'
        f"<a:pathLst><a:path {size}{fill}>{drawn}</a:path></a:pathLst></a:custGeom>"
    )
