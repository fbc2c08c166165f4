"""Reads marks back from what the painters wrote: one tuple for each, coordinates to 0.01."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from plexusdraw.look.marks import Disc, Fill, Group, Lines, Mark, Path, Plate, Words
from plexusdraw.paint.typeset import _ANCHORS

SVG = "{http://www.w3.org/2000/svg}"
MM_PER_PT = 25.4 / 72
Read = tuple[object, ...]


def r(value: str | float) -> float:
    return round(float(value), 2) + 0.0


def expected(groups: tuple[Group, ...]) -> list[Read]:
    return [_expected(mark) for group in groups for mark in group.marks]


def _expected(mark: Mark) -> Read:
    match mark:
        case Path():
            points = tuple(r(v) for point in mark.curve for v in point)
            return ("path", points, mark.stroke, r(mark.width), tuple(r(d) for d in mark.dash))
        case Plate(box=b):
            box = (r(b.x), r(b.y), r(b.w), r(b.h), r(mark.radius))
            return ("plate", box, mark.fill, mark.stroke, r(mark.width) if mark.stroke else 0.0)
        case Disc():
            circle = (r(mark.x), r(mark.y), r(mark.r))
            return ("disc", circle, mark.fill, mark.stroke, r(mark.width) if mark.stroke else 0.0)
        case Words():
            place = (r(mark.x), r(mark.y), r(mark.size), mark.anchor, mark.bold)
            return ("words", place, mark.fill, mark.string)
        case Fill():
            points = tuple(r(v) for curve in mark.curves for point in curve for v in point)
            return ("filled", points, mark.fill, mark.stroke, r(mark.width) if mark.stroke else 0.0)
        case Lines():
            ends = tuple(r(v) for stroke in mark.lines for point in stroke for v in point)
            return ("strokes", ends, mark.stroke, r(mark.width))


def from_svg(data: bytes) -> list[Read]:
    """In the order of the file, the page's own rectangle left out."""
    body = ElementTree.fromstring(data).find(f"{SVG}g")
    assert body is not None
    drawn = [e for e in body.iter() if e.tag in {f"{SVG}{t}" for t in ("path", "rect", "circle", "text")}]
    return [_from_element(e.tag.removeprefix(SVG), e) for e in drawn]


def _from_element(tag: str, e: ElementTree.Element) -> Read:
    get = e.attrib.get
    stroke = None if get("stroke") in (None, "none") else get("stroke")
    fill = None if get("fill") in (None, "none") else get("fill")
    width = r(get("stroke-width", "0"))
    if tag == "path":
        points = tuple(r(v) for v in re.findall(r"-?\d+(?:\.\d+)?", get("d", "")))
        if "Z" in get("d", ""):
            return ("filled", points, fill, stroke, width if stroke else 0.0)
        if "L" in get("d", ""):
            return ("strokes", points, stroke, width)
        dash = tuple(r(d) for d in get("stroke-dasharray", "").split(",") if d)
        return ("path", points, stroke, width, dash)
    if tag == "rect":
        return ("plate", tuple(r(get(k, "0")) for k in ("x", "y", "width", "height", "rx")), fill, stroke, width)
    if tag == "circle":
        return ("disc", tuple(r(get(k, "0")) for k in ("cx", "cy", "r")), fill, stroke, width)
    size = float(get("font-size", "0")) / MM_PER_PT
    place = (r(get("x", "0")), r(get("y", "0")), r(size), get("text-anchor", "start"), get("font-weight") == "bold")
    return ("words", place, fill, e.text or "")


def from_typst(source: str) -> list[Read]:
    """Shapes in paint order, then words in reading order."""
    calls = re.findall(r"^#(path|plate|disc|words|filled|strokes)\((.*)\)$", source, re.MULTILINE)
    return [_from_call(name, arguments) for name, arguments in calls]


def _from_call(name: str, text: str) -> Read:
    strings = [re.sub(r"\\(.)", r"\1", s) for s in re.findall(r'"((?:[^"\\]|\\.)*)"', text)]
    bare = re.sub(r'"(?:[^"\\]|\\.)*"', "@", text)
    if name == "path":
        points, _, rest = bare[1:].partition("), @, ")
        width, *more = re.split(r", dash: \(|\), offset: ", rest)
        dash = tuple(r(d) for d in more[0].split(", ")) if more else ()
        return ("path", tuple(r(v) for v in points.split(", ")), strings[0], r(width), dash)
    if name in ("filled", "strokes"):
        inner, _, rest = bare.rpartition("), ")
        points = tuple(r(v) for v in re.findall(r"-?\d+(?:\.\d+)?", inner))
        width = r(rest.split(", ")[-1])
        if name == "strokes":
            return (name, points, strings[0], width)
        paints = iter(strings)
        fill, stroke = (next(paints) if f == "@" else None for f in rest.split(", ")[:2])
        return (name, points, fill, stroke, width if stroke else 0.0)
    fields = bare.removesuffix(", title: true").split(", ")
    if name == "words":
        anchor = next(key for key, value in _ANCHORS.items() if value == fields[3])
        return ("words", (*(r(v) for v in fields[:3]), anchor, fields[4] == "700"), strings[0], strings[1])
    paints = iter(strings)
    fill, stroke = (next(paints) if f == "@" else None for f in fields[-3:-1])
    return (name, tuple(r(v) for v in fields[:-3]), fill, stroke, r(fields[-1]) if stroke else 0.0)
