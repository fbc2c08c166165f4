"""Names of links, which have no plate and no end of their own: beside their strands, or at the end of a leader.

They are placed last, in what room is left, so that no drawing grows for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import hypot
from typing import Literal

from plexusdraw import fonts
from plexusdraw.layout import labels
from plexusdraw.layout.columns.bundles import TRACE, Bundle, Frame
from plexusdraw.layout.columns.slots import Tie
from plexusdraw.layout.labels import Block, Form, Wording
from plexusdraw.scene import MM_PER_PT, Anchor, Box, Heading, Label, Leader, Note, Part, Pill, Point, Row, Text, curves

BREAKS = (15.0, 8.5, 5.0)
"""Widths at which a name is broken, ems, the widest first."""
BESIDE_EMS = 0.9
"""So near to its strands a name needs no leader; nothing else may then be as near."""
REACH_EMS = {True: 7.0, False: 14.0}
"""A leader is at most so long; more where it may not keep clear of other strands."""
STEP_EMS = 0.6
"""Step in which room is looked for, away from the strands; a third of it beside them."""
PLACES = 6
"""About as many places on its way a leader is tried from."""
SHIFTS = (0.0, 1.0, -1.0, 2.0, -2.0)
"""How far along its edge a name with a leader may stand, its own heights (widths: quarters of them)."""
FIRST, LAST = 0.15, 0.9
"""Share of a link's way in which its name may stand."""
X_HEIGHT = 0.35

Edge = Literal["left", "right", "top", "bottom"]
"""The edge of a name that is turned to its strands."""
_ANCHORS: dict[Edge, Anchor] = {"left": "start", "right": "end", "top": "middle", "bottom": "middle"}


@dataclass(slots=True)
class Room:
    """What a name must not meet; lengths in mm."""

    bounds: Box
    bundles: Sequence[Bundle]
    texts: list[Box]
    lines: list[tuple[Point, Point]]
    _boxes: list[Box] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._boxes = [_around(bundle.trace, bundle.half) for bundle in self.bundles]

    def within(self, box: Box) -> Room:
        """The same room, of which no more than this box is asked about."""
        bundles = [b for b, around in zip(self.bundles, self._boxes, strict=True) if around.meets(box)]
        lines = [line for line in self.lines if _touches(box, *line, 0.0)]
        return Room(self.bounds, bundles, [text for text in self.texts if text.meets(box)], lines)

    def free(self, box: Box, clear: float, own: str, apart: float) -> bool:
        """Whether a box is *clear* of everything, and *apart* from all strands but those of *own*."""
        b = self.bounds
        if box.x < b.x or box.y < b.y or box.right > b.right or box.bottom > b.bottom:
            return False
        if any(box.meets(text, clear) for text in self.texts):
            return False
        if any(_touches(box, p, q, clear) for p, q in self.lines):
            return False
        return not any(
            box.meets(around, need) and any(_touches(box, p, q, bundle.half + need) for p, q in pairwise(bundle.trace))
            for bundle, around in zip(self.bundles, self._boxes, strict=True)
            for need in [clear if bundle.entity == own else apart]
        )

    def open(self, start: Point, end: Point, own: str, *, strands: bool) -> bool:
        """Whether a line meets no text; with *strands*: and none but those of *own*."""
        if any(_touches(text, start, end, 0.0) for text in self.texts):
            return False
        others = [bundle for bundle in self.bundles if bundle.entity != own] if strands else []
        path = _around((start, end), 0.0)
        return not any(
            path.meets(_around(other.trace, other.half))
            and any(_apart(start, end, p, q) < other.half for p, q in pairwise(other.trace))
            for other in others
        )


def names(
    frame: Frame, bundles: Sequence[Bundle], parts: Iterable[Part], bounds: Box, wording: Wording, blank: float
) -> tuple[list[Part], list[str]]:
    """Names, and their leaders, of all links that are drawn, and those for which *bounds* have no room.

    *parts* are what stands there already; *blank*: width of other blanks of the kind, mm.
    """
    found = _ways(frame, bundles)
    if not found:
        return [], []
    room = Room(bounds, bundles, *_taken(parts))
    made: list[Part] = []
    without: list[str] = []
    for id, ways in found.items():
        own = {bundle.entity for bundle, _ in ways}
        rivals = [bundle for theirs in found.values() for bundle, _ in theirs if bundle.entity not in own]
        placed = _placed(frame, id, ways, room, wording, blank, rivals)
        if placed is None:
            without.append(id)
            continue
        made += placed
        room.texts += [box for part in placed if isinstance(part, Label) for box in _boxes(part)]
        room.lines += [line for part in placed if isinstance(part, Leader) for line in pairwise(_ends(part))]
    return made, without


def _ways(frame: Frame, bundles: Sequence[Bundle]) -> dict[str, list[tuple[Bundle, Sequence[Point]]]]:
    """Link → the stretches along which it runs, each with its bundle; several links one after the other share one."""
    named = frame.plan.links()
    found: dict[str, list[tuple[Bundle, Sequence[Point]]]] = {}
    for tie in frame.plan.ties:
        links = [id for id in tie.path if id in named]
        bundle = next((b for b in bundles if links and _is_of(b, tie)), None)
        if bundle is None:
            continue
        points = bundle.trace[: -TRACE if tie.last else None]  # beyond it is what the link leads to
        first = len(points) // 4 if tie.first else 0  # before that it is not told from what it leaves
        share = (len(points) - first) / len(links)
        for i, id in enumerate(links):
            piece = points[first + int(i * share) : first + int((i + 1) * share)]
            found.setdefault(id, []).append((bundle, piece))
    return found


def _is_of(bundle: Bundle, tie: Tie) -> bool:
    return bundle.joins == (tie.parent, tie.child) and bundle.entity == tie.via


def _placed(
    frame: Frame,
    id: str,
    ways: Sequence[tuple[Bundle, Sequence[Point]]],
    room: Room,
    wording: Wording,
    blank: float,
    rivals: Sequence[Bundle],
) -> list[Part] | None:
    """The name of a link where it is nearest: beside its strands, by a leader, by one that crosses strands.

    It stands farther from the *rivals*, strands of other links with a name, than from its own.
    """
    scale = frame.scale
    forms = list(dict.fromkeys(_block(frame, id, wording, ems, blank) for ems in BREAKS))
    near = scale.beside(BESIDE_EMS)
    tries = [(block, 0.0, near, True) for block in forms]
    tries += [(b, near, scale.text_mm(reach), clear) for clear, reach in REACH_EMS.items() for b in forms]
    way = _around([point for _, points in ways for point in points], max(bundle.half for bundle, _ in ways))
    for block, low, high, strands in tries:
        beside = high == near
        step = scale.text_mm(STEP_EMS / 3 if beside else STEP_EMS)
        reach = high + max(2 * block.width, 4 * block.name_height) + scale.clear
        here = room.within(Box(way.x - reach, way.y - reach, way.w + 2 * reach, way.h + 2 * reach))
        for point, edge, box in _candidates(ways, block, (low, high), step, scale.clear):
            bundle, at = point
            away = _gap(box, at, edge) - bundle.half
            apart = max(scale.clear, away + scale.clear) if beside else scale.clear
            if not here.free(box, scale.clear, bundle.entity, apart):
                continue
            start, end = _line(box, at, edge)
            if beside:
                return [_label(frame, id, block, box, edge)]
            if _is_near(box, rivals, away):
                continue
            if here.open(start, end, bundle.entity, strands=strands):
                line = Leader(id, frame.kind(id), curves.line(start, end), to="strands")
                return [line, _label(frame, id, block, box, edge)]
    return None


def _is_near(box: Box, others: Sequence[Bundle], away: float) -> bool:
    """Whether any of the *others* comes nearer to a box than *away*, mm."""
    return any(_touches(box, p, q, b.half + away) for b in others for p, q in pairwise(b.trace))


def _candidates(
    ways: Sequence[tuple[Bundle, Sequence[Point]]], block: Block, reach: tuple[float, float], step: float, clear: float
) -> Iterator[tuple[tuple[Bundle, Point], Edge, Box]]:
    """Boxes for a name, the nearest first, and of these what stands by the middle of its way."""
    low, high = reach
    away = max(low, clear)
    width, height = block.width, block.name_height
    shifts = SHIFTS if low else (0.0,)
    while away <= high:
        for bundle, points in ways:
            middle = (FIRST + LAST) / 2 * (len(points) - 1)
            every = 1 if not low else max(1, len(points) // PLACES)
            inside = [i for i in range(0, len(points), every) if FIRST <= i / max(1, len(points) - 1) <= LAST]
            for i in sorted(inside, key=lambda i: abs(i - middle)):
                x, y = points[i]
                far = bundle.half + away
                for shift in shifts:
                    level, centre = y - height / 2 + shift * height, x - width / 2 + shift * width / 4
                    yield (bundle, points[i]), "left", Box(x + far, level, width, height)
                    yield (bundle, points[i]), "right", Box(x - far - width, level, width, height)
                    yield (bundle, points[i]), "bottom", Box(centre, y - far - height, width, height)
                    yield (bundle, points[i]), "top", Box(centre, y + far, width, height)
        away += step


def _block(frame: Frame, id: str, wording: Wording, ems: float, blank: float) -> Block:
    plan = frame.plan
    roots = tuple(plan.fibres.carried[id])
    made = labels.block(plan.plexus, plan.plexus.segments[id], frame.scale, wording, roots, Form(0, ems))
    return replace(made, blank=(blank or made.blank[0], made.blank[1]))


def _label(frame: Frame, id: str, block: Block, box: Box, edge: Edge) -> Label:
    """The name in its box, set from the edge that is turned to its strands; so is its blank."""
    anchor = _ANCHORS[edge]
    x = {"start": box.x, "end": box.right, "middle": box.x + box.w / 2}[anchor]
    lead = (block.name_height - len(block.name) * block.name_step) / 2
    base = box.y + lead + block.name_step / 2 + X_HEIGHT * block.name_pt * MM_PER_PT
    lines: tuple[Text, ...] = tuple(
        fonts.text(line, x, base + i * block.name_step, block.name_pt, anchor, bold=True)
        for i, line in enumerate(block.name)
    )
    wide, high = block.blank
    left = {"start": box.x, "end": box.right - wide, "middle": x - wide / 2}[anchor]
    inset = 0.06 * block.name_pt * MM_PER_PT
    room = Box(left, box.y + (block.name_height - high) / 2 + inset, wide, high - 2 * inset)
    side = room.right + room.h / 2 if edge == "right" else room.x - room.h / 2
    return Label(id, frame.kind(id), "name", lines, room, (side, room.y + room.h / 2))


def _line(box: Box, at: Point, edge: Edge) -> tuple[Point, Point]:
    """Where a leader begins at a name's edge, and where it ends in the middle of the strands."""
    x, y = box.x + box.w / 2, box.y + box.h / 2
    start = {"left": (box.x, y), "right": (box.right, y), "top": (x, box.y), "bottom": (x, box.bottom)}[edge]
    return start, at


def _gap(box: Box, at: Point, edge: Edge) -> float:
    start, end = _line(box, at, edge)
    return hypot(start[0] - end[0], start[1] - end[1])


def _taken(parts: Iterable[Part]) -> tuple[list[Box], list[tuple[Point, Point]]]:
    """Boxes of all text and blanks, and the lines of leaders, that stand on the page."""
    texts: list[Box] = []
    lines: list[tuple[Point, Point]] = []
    for part in parts:
        if isinstance(part, Leader):
            lines += pairwise(_turns(curves.samples(part.curve)))
        else:
            texts += _boxes(part)
    return texts, lines


def _turns(points: Sequence[Point]) -> list[Point]:
    """The same line without the points at which it runs on level or upright."""
    between = zip(points, points[1:], points[2:], strict=False)
    return [points[0], *(p for a, p, b in between if not (a[0] == p[0] == b[0] or a[1] == p[1] == b[1])), points[-1]]


def _boxes(part: Part) -> list[Box]:
    match part:
        case Pill(box=box):
            return [box]
        case Label(lines=lines, blank=blank):
            return [blank, *(line.box for line in lines)]
        case Row(name=name, blank=blank):
            return [blank, name.box]
        case Heading(text=text) | Note(text=text):
            return [text.box]
        case _:
            return []


def _ends(leader: Leader) -> tuple[Point, Point]:
    return leader.curve[0], leader.curve[-1]


def _around(points: Sequence[Point], half: float) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, top = min(xs) - half, min(ys) - half
    return Box(left, top, max(xs) + half - left, max(ys) + half - top)


def _touches(box: Box, p: Point, q: Point, near: float) -> bool:
    """Whether a stretch comes nearer to a box than *near* mm (measured to the side, up and down)."""
    left, top, right, bottom = box.x - near, box.y - near, box.right + near, box.bottom + near
    if max(p[0], q[0]) < left or min(p[0], q[0]) > right or max(p[1], q[1]) < top or min(p[1], q[1]) > bottom:
        return False
    first, last = 0.0, 1.0
    for a, d, low, high in ((p[0], q[0] - p[0], left, right), (p[1], q[1] - p[1], top, bottom)):
        if not d:
            continue
        enter, leave = sorted(((low - a) / d, (high - a) / d))
        first, last = max(first, enter), min(last, leave)
    return first <= last


def _apart(a: Point, b: Point, c: Point, d: Point) -> float:
    """Distance of two stretches, mm; 0 where they cross."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    if side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0:
        return 0.0
    return min(_to(p, *line) for p, line in ((a, (c, d)), (b, (c, d)), (c, (a, b)), (d, (a, b))))


def _to(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length)) if length else 0.0
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
