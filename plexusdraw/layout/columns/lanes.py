"""Heights at which side branches end: inside, between two slots of a column; or outside, over or under everything.

A branch that leaves further to the left ends further out, so that branches of one slot nest and never cross.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from plexusdraw.layout.columns.across import Xs, branch_half, label_start
from plexusdraw.layout.columns.bundles import Bundle, Frame
from plexusdraw.layout.columns.down import Extent
from plexusdraw.layout.columns.plan import Branch, Plan
from plexusdraw.layout.columns.slots import Slot
from plexusdraw.layout.labels import Block
from plexusdraw.layout.scale import Scale
from plexusdraw.scene import MM_PER_PT, Box, Point

PLATE_LEADING = 1.1
"""Distance of baselines on a plate, ems of its type."""
BEFORE_EMS = 0.9
"""Kept free before a label, more than beside it on all other sides."""
LEVEL_EMS = 8.0
"""Neighbours end at one height where that lengthens the shorter one by less than this."""


def slot_half(slot: Slot, scale: Scale) -> float:
    """Half the height of a slot's bundle, mm."""
    return slot.half(scale.pitch) + scale.strand / 2


def name_above(block: Block) -> float:
    """Height of a side branch's label over its strands' end, mm: its first line, or its blank, is centred there."""
    return max(block.name_step, block.blank[1]) / 2


def name_below(block: Block) -> float:
    """Height of a side branch's label under the end of its strands, mm."""
    return block.height - name_above(block)


def inner(
    plan: Plan, xs: Xs, blocks: Mapping[str, Block], scale: Scale, order: Mapping[str, Sequence[Branch]]
) -> tuple[dict[str, float], dict[str, Extent]]:
    """Height of each inner branch's end over (−) or under (+) its slot, and the room that every slot then needs, mm."""
    heights: dict[str, float] = {}
    extents: dict[str, Extent] = {}
    for slot in plan.slots.values():
        reach = _reach(plan, slot, xs, blocks, scale)
        room = {"cranial": reach, "caudal": reach}
        for branch in order[slot.id]:
            block, half = blocks[branch.id], branch_half(branch, scale)
            toward, away = name_above(block), name_below(block)
            if branch.side == "cranial":
                toward, away = away, toward
            first = 2 * (half + scale.mm(0.35)) + slot_half(slot, scale) * 0.5
            height = max(first, room[branch.side] + scale.clear + toward)
            heights[branch.id] = height if branch.side == "caudal" else -height
            room[branch.side] = height + away
        extents[slot.id] = Extent(room["cranial"], room["caudal"])
    return heights, extents


def _reach(plan: Plan, slot: Slot, xs: Xs, blocks: Mapping[str, Block], scale: Scale) -> float:
    """Half the height of a slot's own bundle, plate or label."""
    reach = slot_half(slot, scale)
    if slot.dummy:
        return reach
    if xs.columns[slot.column].plate:
        lines = xs.lines[slot.column] if xs.lines else 1
        reach = max(reach, plate_height(scale, blocks, lines) / 2)
    if slot.column == len(plan.columns) - 1 and slot.id in blocks:
        reach = max(reach, blocks[slot.id].height / 2)
    if slot.column == 0:
        reach = max(reach, scale.root * MM_PER_PT * 0.5)
    return reach


def plate_height(scale: Scale, blocks: Mapping[str, Block], lines: int = 1) -> float:
    """Height of every name plate of a column, mm: room for its *lines* of text, or for a blank to write in."""
    blank = max((b.plate for b in blocks.values()), default=0.0)
    return max(scale.pill * MM_PER_PT * (1.55 + (lines - 1) * PLATE_LEADING), blank)


def inner_order(plan: Plan, xs: Xs) -> dict[str, list[Branch]]:
    """Slot → its inner branches, the rightmost first: it ends nearest."""
    found: dict[str, list[Branch]] = {slot: [] for slot in plan.slots}
    for branch in sorted(plan.branches, key=lambda b: -xs.columns[b.column].risers[b.id]):
        if not branch.outer:
            found[branch.anchor].append(branch)
    return found


def grown(extent: Extent, side: str, by: float) -> Extent:
    """More room on one side of a slot."""
    if side == "cranial":
        return Extent(extent.above + by, extent.below)
    return Extent(extent.above, extent.below + by)


@dataclass(slots=True)
class Tag:
    """The label of an inner branch in one frame, its height not chosen yet; lengths in mm."""

    branch: Branch
    block: Block
    x: float
    right: float
    above: float
    """Height over the end of the branch's strands."""
    below: float
    sign: int
    """1 where the branch ends under its slot, -1 over it."""

    def box(self, y: float) -> Box:
        """Its box when the strands end at height *y*."""
        return Box(self.x, y - self.above, self.block.width, self.block.height)


def tag(frame: Frame, branch: Branch, block: Block) -> Tag:
    """The label of a branch where its frame has it."""
    x = label_start(frame.xs.columns[branch.column].risers[branch.id], branch, frame.scale)
    sign = 1 if branch.side == "caudal" else -1
    return Tag(branch, block, x, x + block.width, name_above(block), name_below(block), sign)


def next_slot(plan: Plan, branch: Branch) -> str:
    """The slot beyond the room in which an inner branch ends."""
    column = plan.columns[branch.column]
    return column[column.index(branch.anchor) + (1 if branch.side == "caudal" else -1)]


def room_of(frame: Frame, tag: Tag, beyond: str) -> float:
    """Height of the edge of slot *beyond*, to which an inner branch has room, mm."""
    half = slot_half(frame.plan.slots[beyond], frame.scale)
    return frame.ys[beyond] - tag.sign * (half + frame.scale.mm(0.5))


def free_height(
    frame: Frame, tag: Tag, least: float, room: float, ties: Sequence[Bundle], taken: Sequence[Box]
) -> tuple[float, float]:
    """The height nearest to its slot, from *least* on, at which a label meets no strand and no label in *taken*.

    Also by how many mm that is beyond *room*; 0 if it is not.
    """
    sign, clear = tag.sign, frame.scale.clear
    y = frame.ys[tag.branch.anchor] + least
    left, right = tag.x - frame.scale.mm(BEFORE_EMS), tag.right + clear
    above, below = tag.above + clear, tag.below + clear
    top, bottom = y - above, y + below
    blocked = [(b.y, b.bottom) for b in taken if b.x < right and left < b.right]
    for bundle in ties:
        half = bundle.half
        if bundle.centre[0][0] >= right + half or left >= bundle.centre[-1][0]:
            continue
        high, low = bundle.level
        if (low + half < top) if sign > 0 else (high - half > bottom):  # the label only moves farther from it
            continue
        span = heights_within(bundle.trace, left - half, right + half)
        if span:
            blocked.append((span[0] - half, span[1] + half))
    for low, high in sorted(blocked, key=lambda b: sign * (b[0] if sign > 0 else b[1])):
        if y - above < high and low < y + below:
            y = high + above if sign > 0 else low - below
    beyond = y + below - room if sign > 0 else room - (y - above)
    return y, max(0.0, beyond)


def narrow_by(frame: Frame, tag: Tag, least: float, ties: Sequence[Bundle]) -> float:
    """By how many mm the gap right of a branch must grow for its label to clear, at *least*, the ties that cut its end.

    Ties that lie over the whole label, and would not move away, are left out: only more height helps against them.
    There is no such gap after the last column.
    """
    column = tag.branch.column
    if column == len(frame.xs.gaps):
        return 0.0
    box = tag.box(frame.ys[tag.branch.anchor] + least)
    left, right, top, bottom = box.x, box.right, box.y, box.bottom
    start, gap = frame.xs.columns[column].x1, frame.xs.gaps[column]
    clear, need = frame.scale.clear, 0.0
    for bundle in ties:
        reach = bundle.half + clear
        if bundle.centre[0][0] > right or bundle.centre[-1][0] < left:
            continue
        high, low = bundle.level
        if low < top - reach or high > bottom + reach:
            continue
        cut = [x for x, y in bundle.trace if x > left and top - reach <= y <= bottom + reach]
        share = (min(cut) - start) / gap if cut else 0.0
        if share > MOVABLE and min(cut) - reach < right:
            need = max(need, (right + reach - min(cut)) / share)
    return need


def heights_within(trace: Sequence[Point], left: float, right: float) -> tuple[float, float] | None:
    """Least and greatest y of a line of points between two x; None where it does not run there."""
    found: list[float] = []
    if trace[0][0] <= trace[-1][0]:  # from left to right, as ties run: only the pieces that reach there
        return _heights_of_tie(trace, left, right)
    for (x0, y0), (x1, y1) in pairwise(trace):
        (ax, ay), (bx, by) = ((x0, y0), (x1, y1)) if x0 <= x1 else ((x1, y1), (x0, y0))
        if bx < left or ax > right:
            continue
        steep = (by - ay) / (bx - ax) if bx > ax else 0.0
        found += [ay + steep * (max(left, ax) - ax), by - steep * (bx - min(right, bx))]
        if bx == ax:
            found += [ay, by]
    return (min(found), max(found)) if found else None


def _heights_of_tie(trace: Sequence[Point], left: float, right: float) -> tuple[float, float] | None:
    """The same for points in order of x, where only those between the two x need to be looked at."""
    first, last = bisect_left(trace, (left,)), bisect_right(trace, (right, inf))
    if first == len(trace) or last == 0:
        return None
    ys = [y for _, y in trace[first:last]]
    for x, i in ((left, first), (right, last)):
        if 0 < i < len(trace):
            (x0, y0), (x1, y1) = trace[i - 1], trace[i]
            ys.append(y0 + (y1 - y0) / (x1 - x0) * (x - x0) if x1 > x0 else y0)
    return min(ys), max(ys)


MOVABLE = 0.3
"""A tie that cuts a label this far across its gap moves away as the gap grows."""


LEVEL_MM = 1e-9
"""What differs less in height is level."""


class Skyline:
    """The highest and lowest thing at every half millimetre from left to right."""

    STEP = 0.5

    def __init__(self, left: float, right: float) -> None:
        self.left = left
        count = int((right - left) / self.STEP) + 2
        self.top = [float("inf")] * count
        self.bottom = [float("-inf")] * count

    def _range(self, x0: float, x1: float) -> slice:
        first = max(0, int((x0 - self.left) / self.STEP))
        return slice(first, max(first, min(len(self.top), int((x1 - self.left) / self.STEP) + 2)))

    def add(self, x0: float, x1: float, y0: float, y1: float) -> None:
        """Something fills x0..x1, y0..y1."""
        here, top, bottom = self._range(x0, x1), self.top, self.bottom
        for i, (high, low) in enumerate(zip(top[here], bottom[here], strict=True), start=here.start):
            if y0 < high:
                top[i] = y0
            if y1 > low:
                bottom[i] = y1

    def trace(self, points: Sequence[Point], half: float) -> None:
        """A bundle runs along *points*, *half* mm wide on each side; what runs level is one piece."""
        between = zip(points, points[1:], points[2:], strict=False)
        turns = [p for a, p, b in between if abs(a[1] - p[1]) + abs(b[1] - p[1]) > LEVEL_MM]
        x, y = points[0]
        for u, v in (*turns, points[-1]):
            x0, x1 = (x, u) if x < u else (u, x)
            y0, y1 = (y, v) if y < v else (v, y)
            self.add(x0 - half, x1 + half, y0 - half, y1 + half)
            x, y = u, v

    def over(self, x0: float, x1: float) -> float:
        """The highest thing between x0 and x1, mm."""
        return min(self.top[self._range(x0, x1)], default=float("inf"))

    def under(self, x0: float, x1: float) -> float:
        """The lowest thing between x0 and x1, mm."""
        return max(self.bottom[self._range(x0, x1)], default=float("-inf"))


def outer(
    plan: Plan,
    xs: Xs,
    ys: Mapping[str, float],
    blocks: Mapping[str, Block],
    scale: Scale,
    sky: Skyline,
    channel: float | None,
) -> dict[str, float]:
    """Height of the end of every outer branch, mm, from the right to the left, over or under all that it would meet.

    With a *channel* (x at which leaders to the supply table begin) the line to it is kept free as well.
    """
    found: dict[str, float] = {}
    follower: dict[str, tuple[float, float]] = {}
    order = [b for b in plan.branches if b.outer]
    for branch in sorted(order, key=lambda b: -xs.columns[b.column].risers[b.id]):
        block, half = blocks[branch.id], branch_half(branch, scale)
        x = xs.columns[branch.column].risers[branch.id]
        start = _leftmost(xs, plan, branch) - half - scale.clear
        end = channel or label_start(x, branch, scale) + block.width + scale.clear
        least = 2 * (half + scale.mm(0.8)) + slot_half(plan.slots[branch.anchor], scale)
        if branch.side == "cranial":
            y = min(sky.over(start, end) - scale.clear * 1.6 - name_below(block), ys[branch.anchor] - least)
        else:
            y = max(sky.under(start, end) + scale.clear * 1.6 + name_above(block), ys[branch.anchor] + least)
        if channel is None and branch.side in follower and end < follower[branch.side][0] - scale.mm(1):
            level = follower[branch.side][1]  # neighbours that end at one height read calmly
            if abs(level - y) < scale.mm(LEVEL_EMS):
                y = min(y, level) if branch.side == "cranial" else max(y, level)
        found[branch.id] = y
        follower[branch.side] = (start, y)
        sky.add(start, end, y - name_above(block), y + name_below(block))
    return found


def _leftmost(xs: Xs, plan: Plan, branch: Branch) -> float:
    """x of the leftmost vertical run of a branch."""
    found = [xs.columns[branch.column].risers[branch.id]]
    for rootlet in branch.rootlets:
        column = plan.slots[rootlet.slot].column
        if column != branch.column:
            found.append(xs.columns[column].stops[rootlet.stop])
    return min(found)
