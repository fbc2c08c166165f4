"""Where everything stands from left to right: slots, plates, the places where branches leave, gaps between columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from plexusdraw import fonts
from plexusdraw.layout.columns.plan import Branch, Plan
from plexusdraw.layout.columns.slots import Slot, Stop
from plexusdraw.layout.labels import Block, Wording
from plexusdraw.layout.scale import Scale, half_width
from plexusdraw.model.entities import Place
from plexusdraw.scene import MM_PER_PT

LEAD_EMS = 1.3
"""Bare strand before a name plate: room for the mark of a cut."""


@dataclass(slots=True)
class Column:
    """One column: the slots run from ``x0`` to ``x1``; ``plate`` is the width of its name plates (0: none); mm."""

    x0: float
    x1: float
    plate: float
    stops: dict[tuple[str, int], float]
    """(segment or branch id, position) → x at which that piece of strand begins."""
    risers: dict[str, float]
    """Branch id → x of the middle of its vertical run."""

    def moved(self, by: float) -> Column:
        """The same column *by* mm further to the right."""
        stops = {stop: x + by for stop, x in self.stops.items()}
        risers = {branch: x + by for branch, x in self.risers.items()}
        return Column(self.x0 + by, self.x1 + by, self.plate, stops, risers)


@dataclass(slots=True)
class Xs:
    """All columns, and the widths to the left of the first and to the right of the last, mm."""

    columns: list[Column]
    left: float
    right: float
    gaps: list[float] = field(default_factory=list)
    lines: tuple[int, ...] = ()
    """Most lines on a plate, by column."""

    @property
    def width(self) -> float:
        """Width of the drawing, from the root letters to the end of the last names, mm."""
        return self.columns[-1].x1 + self.right + self.left

    def moved(self, by: float) -> Xs:
        """The same columns *by* mm further to the right."""
        return replace(self, columns=[column.moved(by) for column in self.columns])

    def apart(self, gaps: list[float]) -> Xs:
        """The same columns with other *gaps* (mm) between them."""
        made = self.columns[:1]
        for column, gap in zip(self.columns[1:], gaps, strict=True):
            made.append(column.moved(made[-1].x1 + gap - column.x0))
        return replace(self, columns=made, gaps=gaps)


def turn_radius(branch: Branch, scale: Scale) -> float:
    """Radius of the turns of a branch, at its middle line, mm."""
    return half_width(len(branch.roots), scale.thin, scale.thin_pitch) + scale.mm(0.8)


def branch_half(branch: Branch, scale: Scale) -> float:
    """Half the width of a branch's bundle, mm."""
    return half_width(len(branch.roots), scale.thin, scale.thin_pitch)


def tail(branch: Branch, scale: Scale) -> float:
    """Length of the straight end of a branch, on which its places can be marked, mm."""
    return scale.mm(0.9 + 0.6 * (len(branch.stops) - 1))


def label_start(x: float, branch: Branch, scale: Scale) -> float:
    """Left edge of a branch's label when its vertical run is at *x*, mm."""
    return x + turn_radius(branch, scale) + tail(branch, scale) + scale.mm(0.4)


def plate_text(slot: Slot, wording: Wording) -> str:
    """Text on a slot's plate, or beside a root."""
    if slot.segment is None:
        return ""
    return wording.of(slot.segment) if slot.column else wording.letters(slot.segment)


def plates(plan: Plan, column: int, scale: Scale, wording: Wording) -> dict[str, list[str]]:
    """Slot → the lines on its plate, broken where the scale has it so; none is broken that the widest has room for."""
    size = plate_pt(plan, column, scale)
    texts = {id: plate_text(plan.slots[id], wording) for id in plan.columns[column] if not plan.slots[id].dummy}
    if not scale.plate_ems:
        return {id: [text] for id, text in texts.items()}
    broken = {id: fonts.wrap(text, scale.plate_ems * size * MM_PER_PT, size, bold=True) for id, text in texts.items()}
    widest = max((fonts.width(line, size, bold=True) for lines in broken.values() for line in lines), default=0.0)
    return {id: fonts.wrap(text, widest, size, bold=True) for id, text in texts.items()}


def most_lines(plan: Plan, column: int, scale: Scale, wording: Wording) -> int:
    """Most lines on a plate of a column."""
    return max((len(lines) for lines in plates(plan, column, scale, wording).values()), default=0)


def plate_pt(plan: Plan, column: int, scale: Scale) -> float:
    """Type size on the plates of a column: smaller where the order is free (divisions)."""
    return scale.small_pill if plan.plexus.stages[column].order == "free" else scale.pill


def plate_width(plan: Plan, column: int, scale: Scale, wording: Wording) -> float:
    """One width for all plates of a column, so that a blank one gives nothing away, mm."""
    if column == 0 or column == len(plan.columns) - 1:
        return 0.0
    size = plate_pt(plan, column, scale)
    lines = (line for lines in plates(plan, column, scale, wording).values() for line in lines)
    widest = max((fonts.width(line, size, bold=True) for line in lines), default=0.0)
    return max(
        widest + max(scale.mm(1.0), scale.text_mm(0.6)),
        scale.mm(4.2),
        wording.room(plan.plexus.stages[column].singular)[0],
    )


def place(plan: Plan, scale: Scale, wording: Wording, blocks: Mapping[str, Block], gaps: list[float]) -> Xs:
    """Columns from left to right with these *gaps* between them; x = 0 is the start of the first slots."""
    columns: list[Column] = []
    x = 0.0
    for index in range(len(plan.columns)):
        column = _column(plan, index, x, scale, wording, blocks)
        columns.append(column)
        if index < len(gaps):
            x = column.x1 + gaps[index]
    last = [blocks[id] for id in plan.columns[-1] if id in blocks]
    right = scale.mm(0.4) + scale.beside(0.5) + max((b.width for b in last), default=0.0)
    end = columns[-1]
    shoots = (b for b in plan.branches if b.id in end.risers and b.id in blocks)
    right = max(right, *(label_start(end.risers[b.id], b, scale) + blocks[b.id].width - end.x1 for b in shoots), 0.0)
    letters = [plate_text(plan.slots[id], wording) for id in plan.columns[0]]
    left = max((fonts.width(t, scale.root, bold=True) for t in letters), default=0.0)
    blank = max(wording.room(plan.plexus.stages[0].singular)[0], scale.mm(3.0))
    lines = tuple(most_lines(plan, i, scale, wording) for i in range(len(columns))) if scale.plate_ems else ()
    return Xs(columns, max(left, blank) + scale.mm(0.1) + scale.beside(0.35), right, gaps, lines)


def _column(plan: Plan, index: int, x0: float, scale: Scale, wording: Wording, blocks: Mapping[str, Block]) -> Column:
    made = Column(x0, x0, plate_width(plan, index, scale, wording), {}, {})
    start = x0 + scale.mm(LEAD_EMS)
    if made.plate:
        start += made.plate + scale.mm(0.5)
    leaving: dict[str, dict[str, Branch]] = {id: {} for id in plan.columns[index]}
    for branch in plan.branches:
        for rootlet in branch.rootlets if branch.column == index else ():
            if rootlet.slot in leaving:
                leaving[rootlet.slot][branch.id] = branch
    cursors = dict.fromkeys(plan.columns[index], start)
    heads = dict.fromkeys(plan.columns[index], 0)
    while True:
        waiting = [b for id, own in leaving.items() for b in _advance(plan, made, id, own, cursors, heads, scale)]
        if not waiting:
            break
        ready = [b for b in waiting if waiting.count(b) == sum(r.slot in cursors for r in b.rootlets)]
        _shared(plan, made, (ready or waiting)[0], scale, cursors, heads, blocks)
    made.x1 = max(cursors.values(), default=start) + scale.mm(0.35)
    for id in plan.columns[index]:
        starts = {segment for segment, _ in plan.slots[id].stops}
        made.stops |= {(segment, 0): x0 + scale.mm(LEAD_EMS / 2) for segment in starts}
        _places_of(plan, made, plan.slots[id], start, made.x1, scale)
    return made


def _advance(
    plan: Plan,
    made: Column,
    id: str,
    own: Mapping[str, Branch],
    cursors: dict[str, float],
    heads: dict[str, int],
    scale: Scale,
) -> list[Branch]:
    """Place what leaves slot *id* alone of its *own* branches, in order; stop at one that others share, return it."""
    slot = plan.slots[id]
    while heads[id] < len(slot.course):
        step = slot.course[heads[id]]
        item = step.item
        if isinstance(item, Place):
            if heads[id] and not slot_is_last(plan, slot):
                made.stops |= dict.fromkeys(step.at, cursors[id] + scale.mm(0.7))
                cursors[id] += scale.mm(0.9)
        elif item.to in own and item.to not in made.risers:
            branch = own[item.to]
            if len(branch.rootlets) > 1 or branch.segment.passes_behind:
                return [branch]
            half = branch_half(branch, scale)
            made.risers[branch.id] = cursors[id] + half
            made.stops[branch.rootlets[0].stop] = cursors[id] + 2 * half + scale.mm(0.35)
            cursors[id] += 2 * half + scale.mm(0.6)
        heads[id] += 1
    return []


def _shared(
    plan: Plan,
    made: Column,
    branch: Branch,
    scale: Scale,
    cursors: dict[str, float],
    heads: dict[str, int],
    blocks: Mapping[str, Block],
) -> None:
    """Place a branch with several origins, or one that passes others, right of all that it meets."""
    half = branch_half(branch, scale)
    inner = [b for b in plan.branches if b.id in made.risers and not b.outer]
    labels = [label_start(made.risers[b.id], b, scale) + blocks[b.id].width + scale.clear for b in inner]
    x = max(*cursors.values(), *labels, 0.0) + half + scale.mm(0.2)
    made.risers[branch.id] = x
    for rootlet in branch.rootlets:
        if rootlet.slot in cursors:
            made.stops[rootlet.stop] = x + half + scale.mm(0.35)
            places = [step.at for step in plan.slots[rootlet.slot].course]
            heads[rootlet.slot] = max(heads[rootlet.slot], places.index(((rootlet.segment, rootlet.at),)) + 1)
    for id in cursors:
        cursors[id] = x + half + scale.mm(0.6)


def slot_is_last(plan: Plan, slot: Slot) -> bool:
    """Whether a slot stands in the last column, where its places have the whole of it."""
    return slot.column == len(plan.columns) - 1


def _places_of(plan: Plan, made: Column, slot: Slot, start: float, end: float, scale: Scale) -> None:
    """Spread the places of a last-column slot evenly; others follow in what room their column has."""
    wanted = {stop for stop in slot.stops if stop not in made.stops}
    missing: list[tuple[Stop, ...]] = []
    for step in slot.course:  # where something stands, or just after it
        for places in (step.at, tuple((segment, at + 1) for segment, at in step.at)):
            if wanted.intersection(places):
                missing.append(tuple(place for place in places if place in wanted))
                wanted.difference_update(places)
    if not missing:
        return
    if slot_is_last(plan, slot):
        apart = scale.mm(0.45)
        first = made.stops[slot.stops[0]]
        for k, places in enumerate(missing, start=1):
            made.stops |= dict.fromkeys(places, first + k * apart)
        made.x1 = max(made.x1, first + (len(missing) + 1) * apart)
        return
    segments = {segment for segment, _ in slot.stops}
    known = sorted((p, x) for (id, p), x in made.stops.items() if id in segments)
    for places in missing:
        p = places[0][1]
        before = max((x for q, x in known if q < p), default=start)
        after = min((x for q, x in known if q > p), default=end)
        made.stops |= dict.fromkeys(places, (before + after) / 2)
        known = sorted([*known, (p, (before + after) / 2)])
