"""Marks as native shapes of a slide, in XML (ECMA-376 part 1, chapters 19 and 20).

Strokes are freeforms of real cubic Béziers, names are text boxes, and the shapes of one structure are a group with
the name of that structure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from xml.sax.saxutils import escape, quoteattr

from plexusdraw.look.marks import Disc, Fill, Group, Lines, Mark, Path, Plate, Words
from plexusdraw.look.theme import Paint
from plexusdraw.paint.pptx_geometry import around, box_of, emu, ends, frame, freeform, hull, line_box, straight
from plexusdraw.paint.pptx_theme import Palette
from plexusdraw.scene import Box, Curve

_ALIGN = {"start": "l", "middle": "ctr", "end": "r"}
_PLAIN = '<a:prstGeom prst="{}"><a:avLst>{}</a:avLst></a:prstGeom>'


@dataclass(slots=True)
class _Bundle:
    """Marks of one structure that can be painted together, and their boxes."""

    group: Group
    boxes: list[Box]
    whole: Box


def gathered(groups: Sequence[Group]) -> list[Group]:
    """Groups joined by structure as far as that changes nothing that is seen: only where nothing lies between."""
    made: list[_Bundle] = []
    latest: dict[str, int] = {}
    for group in groups:
        boxes = [box_of(mark) for mark in group.marks]
        whole = around(boxes)
        at = latest.get(group.entity) if group.entity else None
        if at is not None and not _covered(boxes, whole, made[at + 1 :]):
            found = made[at]
            label = max(found.group.label, group.label, key=len)
            found.group = replace(found.group, label=label, marks=found.group.marks + group.marks)
            found.boxes += boxes
            found.whole = around((found.whole, whole))
        else:
            latest[group.entity] = len(made)
            made.append(_Bundle(group, boxes, whole))
    return [bundle.group for bundle in made]


def _covered(boxes: Sequence[Box], whole: Box, between: Iterable[_Bundle]) -> bool:
    """Whether boxes, with *whole* around them, meet one of those between."""
    return any(
        box.meets(whole) and any(box.meets(own) for own in boxes)
        for bundle in between
        if bundle.whole.meets(whole)
        for box in bundle.boxes
    )


class Shapes:
    """Writes the shapes of one slide.

    *roots*: id of a root as written → index of its pen; *clicks*: ids as written of what appears at each click.
    """

    def __init__(
        self, palette: Palette, roots: Mapping[str, int], clicks: Sequence[Collection[str]] = (), *, first_id: int
    ) -> None:
        self.palette = palette
        self.roots = roots
        self.ids = count(first_id)
        self.names: dict[str, int] = {}
        self.clicks = {entity: number for number, entities in enumerate(clicks) for entity in entities}
        self.appearing: list[list[int]] = [[] for _ in clicks]
        """Numbers of the shapes that appear at each click, in their order."""

    def all(self, groups: Sequence[Group]) -> Iterator[str]:
        """A group of shapes for each group of marks; a single mark that waits for no click is a shape of its own."""
        for group in gathered(groups):
            marks = _joined(group.marks)
            name = self.name(group)
            click = self.clicks.get(group.entity)
            if len(marks) == 1 and click is None:
                yield self.shape(marks[0], name, group.label)
                continue
            id = next(self.ids)
            if click is not None:
                self.appearing[click].append(id)
            box = around(_extent(mark) for mark in marks)
            inner = (self.shape(mark, _said(mark, name), "") for mark in marks)
            yield self.group(box, id, name, group.label, inner)

    def name(self, group: Group) -> str:
        """Name in the list of the slide's objects: no two are alike."""
        plain = (group.entity or group.kind).replace("-", " ")
        if any(isinstance(m, Path) and m.root for m in group.marks) and not any(
            isinstance(m, Words) for m in group.marks
        ):
            plain += " strands"
        n = self.names[plain] = self.names.get(plain, 0) + 1
        return plain if n == 1 else f"{plain} ({n})"

    def group(self, box: Box, id: int, name: str, label: str, inner: Iterable[str]) -> str:
        """Shapes as one object."""
        head = self.head(id, name, label)
        place = f'x="{emu(box.x)}" y="{emu(box.y)}"'
        size = f'cx="{emu(box.w)}" cy="{emu(box.h)}"'
        inside = f"<a:off {place}/><a:ext {size}/><a:chOff {place}/><a:chExt {size}/>"
        return (
            f"<p:grpSp><p:nvGrpSpPr>{head}<p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>"
            f"<p:grpSpPr><a:xfrm>{inside}</a:xfrm></p:grpSpPr>{''.join(inner)}</p:grpSp>"
        )

    def shape(self, mark: Mark | _Strokes, name: str, label: str) -> str:
        """One shape."""
        match mark:
            case _Strokes():
                return self.sp(name, label, freeform(tuple(mark.curves)) + self.stroke(mark.path))
            case Path():
                return self.sp(name, label, freeform((mark.curve,)) + self.stroke(mark))
            case Plate():
                share = min(0.5, mark.radius / min(mark.box.w, mark.box.h)) if mark.radius else 0.0
                guide = f'<a:gd name="adj" fmla="val {round(share * 100_000)}"/>' if share else ""
                form = _PLAIN.format("roundRect" if share else "rect", guide)
                return self.sp(name, label, frame(mark.box) + form + self.paint(mark.fill, mark.stroke, mark.width))
            case Disc():
                paint = self.paint(mark.fill, mark.stroke, mark.width)
                return self.sp(name, label, frame(box_of(mark)) + _PLAIN.format("ellipse", "") + paint)
            case Words():
                form = frame(line_box(mark)) + _PLAIN.format("rect", "") + "<a:noFill/>"
                return self.sp(name, label, form, self.text(mark))
            case Fill():
                form = freeform(mark.curves, closed=True)
                return self.sp(name, label, form + self.paint(mark.fill, mark.stroke, mark.width))
            case Lines():
                line = Path(curve=(), stroke=mark.stroke, width=mark.width)
                return self.sp(name, label, straight(mark.lines) + self.stroke(line))

    def sp(self, name: str, label: str, properties: str, text: str = "") -> str:
        """The shape element."""
        box = ' txBox="1"' if text else ""
        head = f"<p:nvSpPr>{self.head(next(self.ids), name, label)}<p:cNvSpPr{box}/><p:nvPr/></p:nvSpPr>"
        return f"<p:sp>{head}<p:spPr>{properties}</p:spPr>{text}</p:sp>"

    def head(self, id: int, name: str, label: str) -> str:
        """Number, name and, where there is one, alternative text."""
        said = f" descr={quoteattr(label)}" if label else ""
        return f'<p:cNvPr id="{id}" name={quoteattr(name)}{said}/>'

    def stroke(self, mark: Path) -> str:
        """No fill, and the line: its dashes are in thousandths of a percent of its width."""
        dashes = [round(d / mark.width * 100_000) for d in mark.dash] if mark.width else []
        pairs = zip(dashes[::2], dashes[1::2], strict=True)
        dash = "".join(f'<a:ds d="{d}" sp="{s}"/>' for d, s in pairs)
        custom = f"<a:custDash>{dash}</a:custDash>" if dash else ""
        fill = self.palette.fill(mark.stroke, self.roots.get(mark.root) if mark.root else None)
        return f'<a:noFill/><a:ln w="{emu(mark.width)}" cap="flat">{fill}{custom}<a:round/></a:ln>'

    def paint(self, fill: Paint, stroke: Paint, width: float) -> str:
        """Fill and outline of a plate or disc."""
        line = f'<a:ln w="{emu(width)}">{self.palette.fill(stroke)}</a:ln>' if stroke else "<a:ln><a:noFill/></a:ln>"
        return self.palette.fill(fill) + line

    def text(self, mark: Words) -> str:
        """One line in the typeface of the deck; it does not wrap, so another font moves nothing."""
        bold = ' b="1"' if mark.bold else ""
        run = f'<a:rPr lang="en-US" sz="{round(mark.size * 100)}"{bold}>{self.palette.fill(mark.fill)}</a:rPr>'
        return (
            '<p:txBody><a:bodyPr wrap="none" lIns="0" tIns="0" rIns="0" bIns="0" anchor="t"><a:noAutofit/></a:bodyPr>'
            f'<a:lstStyle/><a:p><a:pPr algn="{_ALIGN[mark.anchor]}"/><a:r>{run}<a:t>{escape(mark.string)}</a:t></a:r>'
            "</a:p></p:txBody>"
        )


@dataclass(frozen=True, slots=True)
class _Strokes:
    """Pieces of one root's strand that look alike: one shape."""

    path: Path
    curves: list[Curve]


def _joined(marks: Iterable[Mark]) -> list[Mark | _Strokes]:
    """Marks in their order, the pieces of a strand in the place of its first, but not across blank paper."""
    found: dict[tuple[object, ...], _Strokes] = {}
    made: list[Mark | _Strokes] = []
    for mark in marks:
        if not isinstance(mark, Path) or not mark.root:
            made.append(mark)
            found.clear()
            continue
        # Dashes are fitted to each piece's length: the first piece's do for all.
        look = (mark.root, mark.stroke, mark.width, mark.state, bool(mark.dash))
        if look in found:
            found[look].curves.append(mark.curve)
        else:
            found[look] = _Strokes(mark, [mark.curve])
            made.append(found[look])
    return made


def _extent(mark: Mark | _Strokes) -> Box:
    """The frame of a shape: for strokes that of their points."""
    if isinstance(mark, _Strokes):
        return around(hull(curve) for curve in mark.curves)
    if isinstance(mark, Fill):
        return around(hull(curve) for curve in mark.curves)
    if isinstance(mark, Lines):
        return hull(ends(mark.lines))
    return hull(mark.curve) if isinstance(mark, Path) else box_of(mark)


def _said(mark: Mark | _Strokes, name: str) -> str:
    """Name of a shape within its group."""
    match mark:
        case _Strokes():
            return f"{name}: {mark.path.root}" if mark.path.root != name else f"{name}: strand"
        case Words():
            return f"{name}: text"
        case Path():
            return f"{name}: line"
        case Plate():
            return f"{name}: plate"
        case Disc():
            return f"{name}: dot"
        case Fill():
            return f"{name}: area"
        case Lines():
            return f"{name}: pattern"
