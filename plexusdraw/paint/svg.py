"""SVG 1.1 by svgwrite: one page, user units in mm, attributes instead of CSS, fonts embedded.

The only style sheet holds the two font faces, since SVG has no other way to embed a font. Where a viewer does
not take them, the family list goes on with common sans-serif faces.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING

from plexusdraw import fonts
from plexusdraw.look import redaction
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Disc, Fill, Group, Lines, Mark, Path, Plate, Words
from plexusdraw.look.theme import Dashes, Paint, Theme
from plexusdraw.paint.lean import svgwrite_alone
from plexusdraw.scene import MM_PER_PT, Curve, Point, Scene
from plexusdraw.scene.view import View

with svgwrite_alone():
    import svgwrite
    from svgwrite.base import BaseElement
    from svgwrite.container import Group as SvgGroup
    from svgwrite.container import Style
    from svgwrite.params import Parameter
    from svgwrite.path import Path as SvgPath

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

BORROWED = f"{fonts.FAMILY} borrowed"
"""A family of its own without a bold face, so that viewers make bold letters from it themselves."""
FAMILIES = f"'{fonts.FAMILY}', Verdana, Arial, Helvetica, sans-serif"
_XML_SPACE = "{http://www.w3.org/XML/1998/namespace}"


class _Extra:
    """Adds attributes that svgwrite's SVG 1.1 tables do not know: data-*, role, lang."""

    extra: dict[str, str]

    def get_xml(self) -> Element:
        """The element with the extra attributes."""
        xml: Element = super().get_xml()  # type: ignore[misc]
        for name, value in self.extra.items():
            xml.set(name, value)
        return xml


class _Group(_Extra, SvgGroup):  # type: ignore[misc]
    """A ``<g>`` with extra attributes."""


class _Path(_Extra, SvgPath):  # type: ignore[misc]
    """A ``<path>`` with extra attributes."""


class _Drawing(_Extra, svgwrite.Drawing):  # type: ignore[misc]
    """An ``<svg>`` with extra attributes."""


def paint(
    pages: Sequence[tuple[Scene, View]],
    theme: Theme,
    *,
    embed_fonts: bool = True,
    debug: bool = False,
    together: bool = False,
) -> bytes:
    """The page as a UTF-8 SVG document; *debug* has svgwrite check every element (slow).

    *together*: several pages, one under the other.
    """
    if len(pages) != 1 and not together:
        raise ValueError(f"an SVG holds one page, not {len(pages)}")
    drawn = [marks(scene, view, theme) for scene, view in pages]
    width, height = number(max(scene.width for scene, _ in pages)), number(sum(scene.height for scene, _ in pages))
    svg = _Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", factory=_checking(debug))
    svg.extra = {"role": "img", "lang": "en", f"{_XML_SPACE}lang": "en"}
    titles = "; ".join(redaction.title(view) for _, view in pages)
    svg.set_desc(titles, " ".join(redaction.description(scene, view) for scene, view in pages))
    families = FAMILIES
    if embed_fonts:
        style = _faces(group for groups in drawn for group in groups)
        svg.defs.add(Style(style, factory=svg))  # as embed_stylesheet does, which always checks it
        families = FAMILIES.replace(",", f", '{BORROWED}',", 1) if BORROWED in style else FAMILIES
    svg.add(svg.rect((0, 0), (width, height), fill=theme.page))
    down = 0.0
    for (scene, _), groups in zip(pages, drawn, strict=True):
        place = {"transform": f"translate(0,{number(down)})"} if down else {}
        body = svg.g(font_family=families, **place)
        for group in groups:
            body.add(_group(svg, group))
        svg.add(body)
        down += scene.height
    text: str = svg.tostring()
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()


def number(value: float) -> str:
    """A length to 0.01 mm, without needless digits."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def attributes(mark: Mark) -> dict[str, str]:
    """The attributes with which a mark is written."""
    written: dict[str, str] = _mark(_drawing(), mark).get_xml().attrib
    return written


@cache
def _drawing() -> svgwrite.Drawing:
    """A drawing that only makes elements."""
    return svgwrite.Drawing(factory=_checking(False))


def _checking(debug: bool) -> SimpleNamespace:
    """What svgwrite takes as the maker of an element, to know whether to check it; without one it begins to check."""
    return SimpleNamespace(_parameter=Parameter(debug=debug, profile="full"))


def _group(svg: svgwrite.Drawing, group: Group) -> BaseElement:
    made = _Group(factory=svg)
    made.extra = {"data-kind": group.kind, "data-state": group.state}
    if group.entity:
        made.extra = {"data-entity": group.entity, **made.extra}
    if group.label:
        made.set_desc(title=group.label)
    for mark in group.marks:
        made.add(_mark(svg, mark))
    return made


def _mark(svg: svgwrite.Drawing, mark: Mark) -> BaseElement:
    match mark:
        case Path():
            return _path(svg, mark)
        case Plate():
            box, r = mark.box, number(mark.radius)
            corner, size = (number(box.x), number(box.y)), (number(box.w), number(box.h))
            return svg.rect(corner, size, r, r, **_paints(mark.fill, mark.stroke, mark.width))
        case Disc():
            centre = (number(mark.x), number(mark.y))
            return svg.circle(centre, number(mark.r), **_paints(mark.fill, mark.stroke, mark.width))
        case Words():
            return _words(svg, mark)
        case Fill():
            data = " ".join(f"{outline(curve)} Z" for curve in mark.curves)
            return svg.path(d=data, stroke_linejoin="round", **_paints(mark.fill, mark.stroke, mark.width))
        case Lines():
            data = " ".join(f"M{_pair(a)} L {_pair(b)}" for a, b in mark.lines)
            return svg.path(d=data, fill="none", stroke=mark.stroke, stroke_width=number(mark.width))


def _pair(point: Point) -> str:
    return f"{number(point[0])},{number(point[1])}"


def _path(svg: svgwrite.Drawing, mark: Path) -> BaseElement:
    extra = {"fill": "none", "stroke": mark.stroke, "stroke_width": number(mark.width)}
    if mark.dash:
        extra["stroke_dasharray"], extra["stroke_dashoffset"] = dashes(mark.dash, mark.offset)
    made = _Path(d=outline(mark.curve), factory=svg, **extra)
    made.extra = {"data-root": mark.root, "data-state": mark.state} if mark.state else {}
    return made


def dashes(dash: Dashes, offset: float) -> tuple[str, str]:
    """A pattern of dashes and where in it the stroke begins, as attributes hold them."""
    return ",".join(map(number, dash)), number(offset)


def _words(svg: svgwrite.Drawing, mark: Words) -> BaseElement:
    extra = {"font_weight": "bold"} if mark.bold else {}
    if mark.anchor != "start":
        extra["text_anchor"] = mark.anchor
    return svg.text(
        mark.string,
        (number(mark.x), number(mark.y)),
        font_size=f"{mark.size * MM_PER_PT:.3f}",
        fill=mark.fill,
        **extra,
    )


def _paints(fill: Paint, stroke: Paint, width: float) -> dict[str, str]:
    made = {"fill": fill or "none"}
    if stroke:
        made |= {"stroke": stroke, "stroke_width": number(width)}
    return made


def outline(curve: Curve) -> str:
    """A chain of cubics as path data, spaced so that no letter and number read as a root ("C6")."""
    points = [f"{number(x)},{number(y)}" for x, y in curve]
    pieces = [" ".join(points[i : i + 3]) for i in range(1, len(points), 3)]
    return f"M{points[0]}" + "".join(f" C {piece}" for piece in pieces)


def _faces(groups: Iterable[Group]) -> str:
    """The faces of all letters in use."""
    texts = [mark for group in groups for mark in group.marks if isinstance(mark, Words)]
    made = []
    for bold in (False, True):
        used = frozenset("".join(text.string for text in texts if text.bold == bold))
        if used:
            faces = fonts.faces(used, bold)
            made += [face_rule(data, bold, "") for data, range_ in faces if not range_]
            made += [face_rule(data, False, range_, BORROWED) for data, range_ in faces if range_]
    return "".join(made)


def face_rule(woff: bytes, bold: bool, range_: str, family: str = fonts.FAMILY) -> str:
    """The rule of CSS for a font: one of the *family*, for the code points in *range_* where it says some."""
    only = f"unicode-range:{range_};" if range_ else ""
    return (
        f'@font-face{{font-family:"{family}";font-weight:{700 if bold else 400};{only}'
        f"src:url(data:font/woff;base64,{b64encode(woff).decode()})format('woff')}}"
    )
