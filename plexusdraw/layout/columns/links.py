"""Names of links, which have no plate and no end of their own: beside their strands, or at the end of a leader.

They are placed last, in what room is left, so that no drawing grows for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot
from typing import Literal

from plexusdraw import fonts
from plexusdraw.layout import labels
from plexusdraw.layout.columns.bundles import TRACE, Bundle, Frame
from plexusdraw.layout.columns.room import Room, around, touches
from plexusdraw.layout.columns.slots import Tie
from plexusdraw.layout.labels import Block, Form, Wording
from plexusdraw.scene import MM_PER_PT, Anchor, Box, Label, Leader, Part, Point, Text, curves

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


def names(
    frame: Frame, bundles: Sequence[Bundle], parts: Iterable[Part], bounds: Box, wording: Wording, blank: float
) -> tuple[list[Part], list[str]]:
    """Names, and their leaders, of all links that are drawn, and those for which *bounds* have no room.

    *parts* are what stands there already; *blank*: width of other blanks of the kind, mm.
    """
    found = _ways(frame, bundles)
    if not found:
        return [], []
    room = Room.among(bounds, bundles, parts)
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
        for part in placed:
            room.add(part)
    return made, without


def _ways(frame: Frame, bundles: Sequence[Bundle]) -> dict[str, list[tuple[Bundle, Sequence[Point]]]]:
    """Link → the stretches along which it runs, each with its bundle; several links one after the other share one."""
    named = frame.plan.links()
    found: dict[str, list[tuple[Bundle, Sequence[Point]]]] = {}
    for tie in frame.plan.ties:
        links = [id for id in tie.path if id in named]
        bundle = next((b for b in bundles if _is_of(b, tie)), None) if links else None
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
    way = around([point for _, points in ways for point in points], max(bundle.half for bundle, _ in ways))
    for block, low, high, strands in tries:
        beside = high == near
        step = scale.text_mm(STEP_EMS / 3 if beside else STEP_EMS)
        reach = high + max(2 * block.width, 4 * block.name_height) + scale.clear
        here = room.within(Box(way.x - reach, way.y - reach, way.w + 2 * reach, way.h + 2 * reach))
        for point, edge, box in _candidates(ways, block, (low, high), step, scale.clear):
            if not here.holds(box):
                continue
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
    return any(touches(box, p, q, b.half + away) for b in others for p, q in pairwise(b.trace))


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
