"""Marks as native shapes of a slide, in XML (ECMA-376 part 1, chapters 19 and 20).

Strokes are freeforms of real cubic Béziers, names are text boxes, and the shapes of one structure are a group with
the name of that structure. 1 mm is 36,000 EMU.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count
from xml.sax.saxutils import escape, quoteattr

from plexusdraw import fonts
from plexusdraw.look.marks import Disc, Fill, Group, Lines, Mark, Path, Plate, Words
from plexusdraw.look.theme import Paint
from plexusdraw.paint.pptx_theme import Palette
from plexusdraw.scene import MM_PER_PT, Box, Curve, Point

EMU = 36_000
LINE_ASCENT_EM = 0.95
"""From the top of a line of text to its baseline: hhea and typographic ascender of the font."""
LINE_EM = 1.24
"""Height of a line of text: ascender and descender of the font."""
_ALIGN = {"start": "l", "middle": "ctr", "end": "r"}
_PLAIN = '<a:prstGeom prst="{}"><a:avLst>{}</a:avLst></a:prstGeom>'


def emu(mm: float) -> int:
    """A length in EMU."""
    return round(mm * EMU)


@dataclass(slots=True)
class _Bundle:
    """Marks of one structure that can be painted together, and their boxes."""

    group: Group
    boxes: list[Box] = field(default_factory=list)


def gathered(groups: Sequence[Group]) -> list[Group]:
    """Groups joined by structure as far as that changes nothing that is seen: only where nothing lies between."""
    made: list[_Bundle] = []
    latest: dict[str, int] = {}
    for group in groups:
        boxes = [_box(mark) for mark in group.marks]
        at = latest.get(group.entity) if group.entity else None
        if at is not None and not _covered(boxes, made[at + 1 :]):
            found = made[at]
            label = max(found.group.label, group.label, key=len)
            found.group = replace(found.group, label=label, marks=found.group.marks + group.marks)
            found.boxes += boxes
        else:
            latest[group.entity] = len(made)
            made.append(_Bundle(group, boxes))
    return [bundle.group for bundle in made]


def _covered(boxes: Sequence[Box], between: Iterable[_Bundle]) -> bool:
    whole = _around(boxes)
    return any(
        box.meets(other) and any(box.meets(own) for own in boxes)
        for bundle in between
        for box, other in ((b, whole) for b in bundle.boxes)
    )


def _box(mark: Mark) -> Box:
    match mark:
        case Path():
            return _hull(mark.curve, mark.width / 2)
        case Plate():
            return mark.box
        case Disc():
            return Box(mark.x - mark.r, mark.y - mark.r, 2 * mark.r, 2 * mark.r)
        case Words():
            return _line_box(mark)
        case Fill():
            return _around(_hull(curve, mark.width / 2) for curve in mark.curves)
        case Lines():
            return _hull([point for stroke in mark.lines for point in stroke], mark.width / 2)


def _hull(curve: Sequence[Point], grown: float = 0.0) -> Box:
    xs, ys = [x for x, _ in curve], [y for _, y in curve]
    x, y = min(xs) - grown, min(ys) - grown
    return Box(x, y, max(xs) + grown - x, max(ys) + grown - y)


def _around(boxes: Iterable[Box]) -> Box:
    found = list(boxes)
    x, y = min(b.x for b in found), min(b.y for b in found)
    return Box(x, y, max(b.right for b in found) - x, max(b.bottom for b in found) - y)


def _line_box(mark: Words) -> Box:
    width = fonts.width(mark.string, mark.size, mark.bold)
    start = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
    em = mark.size * MM_PER_PT
    return Box(mark.x - start * width, mark.y - LINE_ASCENT_EM * em, width, LINE_EM * em)


class Shapes:
    """Writes the shapes of one slide; *roots*: id of a root as written → index of its pen."""

    def __init__(self, palette: Palette, roots: Mapping[str, int], first_id: int) -> None:
        self.palette = palette
        self.roots = roots
        self.ids = count(first_id)
        self.names: dict[str, int] = {}

    def all(self, groups: Sequence[Group]) -> Iterator[str]:
        """A group of shapes for each group of marks; one that has a single mark is that shape."""
        for group in gathered(groups):
            marks = list(_joined(group.marks))
            name = self.name(group)
            if len(marks) == 1:
                yield self.shape(marks[0], name, group.label)
            else:
                box = _around(_extent(mark) for mark in marks)
                inner = (self.shape(mark, _said(mark, name), "") for mark in marks)
                yield self.group(box, name, group.label, inner)

    def name(self, group: Group) -> str:
        """Name in the list of the slide's objects: no two are alike."""
        plain = (group.entity or group.kind).replace("-", " ")
        if any(isinstance(m, Path) and m.root for m in group.marks) and not any(
            isinstance(m, Words) for m in group.marks
        ):
            plain += " strands"
        n = self.names[plain] = self.names.get(plain, 0) + 1
        return plain if n == 1 else f"{plain} ({n})"

    def group(self, box: Box, name: str, label: str, inner: Iterable[str]) -> str:
        """Shapes as one object."""
        head = self.head(name, label)
        place = f'x="{emu(box.x)}" y="{emu(box.y)}"'
        size = f'cx="{emu(box.w)}" cy="{emu(box.h)}"'
        frame = f"<a:off {place}/><a:ext {size}/><a:chOff {place}/><a:chExt {size}/>"
        return (
            f"<p:grpSp><p:nvGrpSpPr>{head}<p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>"
            f"<p:grpSpPr><a:xfrm>{frame}</a:xfrm></p:grpSpPr>{''.join(inner)}</p:grpSp>"
        )

    def shape(self, mark: Mark | _Strokes, name: str, label: str) -> str:
        """One shape."""
        match mark:
            case _Strokes():
                return self.sp(name, label, _frame(_extent(mark)) + freeform(mark.curves) + self.stroke(mark.path))
            case Path():
                return self.sp(name, label, _frame(_extent(mark)) + freeform([mark.curve]) + self.stroke(mark))
            case Plate():
                share = min(0.5, mark.radius / min(mark.box.w, mark.box.h)) if mark.radius else 0.0
                guide = f'<a:gd name="adj" fmla="val {round(share * 100_000)}"/>' if share else ""
                form = _PLAIN.format("roundRect" if share else "rect", guide)
                return self.sp(name, label, _frame(mark.box) + form + self.paint(mark.fill, mark.stroke, mark.width))
            case Disc():
                paint = self.paint(mark.fill, mark.stroke, mark.width)
                return self.sp(name, label, _frame(_box(mark)) + _PLAIN.format("ellipse", "") + paint)
            case Words():
                form = _frame(_line_box(mark)) + _PLAIN.format("rect", "") + "<a:noFill/>"
                return self.sp(name, label, form, self.text(mark))
            case Fill():
                form = _frame(_extent(mark)) + freeform(mark.curves, closed=True)
                return self.sp(name, label, form + self.paint(mark.fill, mark.stroke, mark.width))
            case Lines():
                form = _frame(_extent(mark)) + straight(mark.lines)
                return self.sp(name, label, form + self.stroke(Path(curve=(), stroke=mark.stroke, width=mark.width)))

    def sp(self, name: str, label: str, properties: str, text: str = "") -> str:
        """The shape element."""
        box = ' txBox="1"' if text else ""
        head = f"<p:nvSpPr>{self.head(name, label)}<p:cNvSpPr{box}/><p:nvPr/></p:nvSpPr>"
        return f"<p:sp>{head}<p:spPr>{properties}</p:spPr>{text}</p:sp>"

    def head(self, name: str, label: str) -> str:
        """Number, name and, where there is one, alternative text."""
        said = f" descr={quoteattr(label)}" if label else ""
        return f'<p:cNvPr id="{next(self.ids)}" name={quoteattr(name)}{said}/>'

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


def _joined(marks: Iterable[Mark]) -> Iterator[Mark | _Strokes]:
    """Marks in their order, the pieces of a strand in the place of its first, but not across blank paper."""
    found: dict[Path, _Strokes] = {}
    made: list[Mark | _Strokes] = []
    for mark in marks:
        if not isinstance(mark, Path) or not mark.root:
            made.append(mark)
            found.clear()
            continue
        # Dashes are fitted to each piece's length: the first piece's do for all.
        look = replace(mark, curve=(), dash=(), offset=float(bool(mark.dash)))
        if look in found:
            found[look].curves.append(mark.curve)
        else:
            found[look] = _Strokes(mark, [mark.curve])
            made.append(found[look])
    return iter(made)


def _extent(mark: Mark | _Strokes) -> Box:
    """The frame of a shape: for strokes that of their points."""
    if isinstance(mark, _Strokes):
        return _around(_hull(curve) for curve in mark.curves)
    if isinstance(mark, Fill):
        return _around(_hull(curve) for curve in mark.curves)
    if isinstance(mark, Lines):
        return _hull([point for stroke in mark.lines for point in stroke])
    return _hull(mark.curve) if isinstance(mark, Path) else _box(mark)


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


def _frame(box: Box) -> str:
    place = f'<a:off x="{emu(box.x)}" y="{emu(box.y)}"/>'
    return f'<a:xfrm>{place}<a:ext cx="{emu(box.w)}" cy="{emu(box.h)}"/></a:xfrm>'


def freeform(curves: Sequence[Curve], closed: bool = False) -> str:
    """Chains of cubics as a custom geometry, in EMU from the corner of their frame."""
    frame = _around(_hull(curve) for curve in curves)

    def point(p: Point) -> str:
        return f'<a:pt x="{emu(p[0] - frame.x)}" y="{emu(p[1] - frame.y)}"/>'

    drawn = ""
    for curve in curves:
        drawn += f"<a:moveTo>{point(curve[0])}</a:moveTo>"
        for i in range(1, len(curve), 3):
            drawn += f"<a:cubicBezTo>{''.join(point(p) for p in curve[i : i + 3])}</a:cubicBezTo>"
        drawn += "<a:close/>" if closed else ""
    return _geometry(frame, drawn, closed)


def straight(lines: Sequence[tuple[Point, Point]]) -> str:
    """Straight strokes as a custom geometry."""
    frame = _hull([point for stroke in lines for point in stroke])

    def point(p: Point) -> str:
        return f'<a:pt x="{emu(p[0] - frame.x)}" y="{emu(p[1] - frame.y)}"/>'

    drawn = "".join(f"<a:moveTo>{point(a)}</a:moveTo><a:lnTo>{point(b)}</a:lnTo>" for a, b in lines)
    return _geometry(frame, drawn, False)


def _geometry(frame: Box, drawn: str, filled: bool) -> str:
    fill = "" if filled else ' fill="none"'
    size = f'w="{emu(frame.w)}" h="{emu(frame.h)}"'
    return (
        '<a:custGeom><a:avLst/><a:gdLst/><a:ahLst/><a:cxnLst/><a:rect l="0" t="0" r="r" b="b"/>'
        f"<a:pathLst><a:path {size}{fill}>{drawn}</a:path></a:pathLst></a:custGeom>"
    )
