"""The curves of every strand: slots, ties between them, side branches."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import atan2, degrees

from plexusdraw.layout.columns.across import Xs, branch_half, tail, turn_radius
from plexusdraw.layout.columns.plan import Branch, Plan, Rootlet
from plexusdraw.layout.columns.slots import Lane, Slot, Tie
from plexusdraw.layout.scale import Scale, offsets
from plexusdraw.model.entities import Plane
from plexusdraw.scene import Curve, Point, Spot, Strand, curves

TRACE = 16
"""Samples taken of each cubic of a middle line."""
LAST_DIGIT = 1e-9
HAIR = 0.1
"""Overlap of consecutive pieces, mm: no seam shows."""

PLANES: tuple[Plane, ...] = ("posterior", "middle", "anterior")
LOOP_EMS = 0.8
"""Inner radius of the turns of a loop."""
BRANCH, TIE, SLOT = 0, 1, 2


@dataclass
class Bundle:
    """Strands that run together; ``half`` of their width, mm. ``joins``: the slots or branches at its start and end.

    ``lay`` makes the strands; a draft that is not kept never asks for them.
    """

    entity: str
    kind: str
    plane: Plane
    layer: int
    centre: Curve
    half: float
    lay: Callable[[], list[Strand]]
    joins: tuple[str | None, str | None]

    @cached_property
    def trace(self) -> list[Point]:
        """Points along the middle line."""
        return curves.samples(self.centre, TRACE)

    @cached_property
    def level(self) -> tuple[float, float]:
        """No point of the middle line lies over the first or under the second height, mm."""
        ys = [y for _, y in self.centre]  # a curve stays within its handles, but for the last digit
        return min(ys) - LAST_DIGIT, max(ys) + LAST_DIGIT

    @property
    def depth(self) -> tuple[int, int]:
        """Sort key, back to front. Side branches lie behind all slots and ties."""
        return (-1 if self.layer == BRANCH else PLANES.index(self.plane), self.layer)


@dataclass(slots=True)
class Frame:
    """What the curves need: places and sizes, mm. ``lanes`` holds the heights at which branches end."""

    plan: Plan
    scale: Scale
    xs: Xs
    ys: Mapping[str, float]
    lanes: dict[str, float]
    _offsets: dict[str, dict[Lane, float]] = field(default_factory=dict)

    def slot_offsets(self, id: str) -> dict[Lane, float]:
        """Offset of each strand in a slot, mm."""
        found = self._offsets.get(id)
        if found is None:
            found = self._offsets[id] = self.plan.slots[id].offsets(self.scale.pitch)
        return found

    def y_of(self, id: str, lane: Lane) -> float:
        """Height of one strand in a slot, mm."""
        return self.ys[id] - self.slot_offsets(id)[lane]

    def kind(self, entity: str) -> str:
        """Kind of a segment."""
        return self.plan.plexus.segment(entity).kind


def slots(frame: Frame) -> list[Bundle]:
    """Bundles of all slots."""
    arriving = frame.plan.arriving()
    own = (slot for slot in frame.plan.slots.values() if not slot.dummy)
    return [_slot(frame, slot, arriving.get(slot.id, set())) for slot in own]


def ties(frame: Frame) -> list[Bundle]:
    """Bundles of all ties."""
    return [_tie(frame, tie) for tie in frame.plan.ties]


def _last_leave(frame: Frame, slot: Slot) -> dict[Lane, float]:
    """x at which the strands of a slot end that go into side branches alone: where the last of these leaves."""
    if slot.column == len(frame.xs.columns) - 1:
        return {}
    on = frame.plan.leaving().get(slot.id, set())
    found: dict[Lane, float] = {}
    for branch, rootlet in frame.plan.shed().get(slot.id, ()):
        for root in rootlet.roots:
            lane = (rootlet.segment, root)
            if lane not in on:
                x = _rootlet_x(frame, branch, rootlet) - branch_half(branch, frame.scale)
                found[lane] = max(x, found.get(lane, x))
    return found


def branches(frame: Frame) -> list[Bundle]:
    """Bundles of all side branches: one for each origin, one for the end."""
    made: list[Bundle] = []
    for branch in frame.plan.branches:
        made += [_rootlet(frame, branch, rootlet) for rootlet in branch.rootlets]
        made.append(_end(frame, branch))
    return made


def _slot(frame: Frame, slot: Slot, arriving: set[Lane]) -> Bundle:
    column, y = frame.xs.columns[slot.column], frame.ys[slot.id]
    first = column.stops[slot.stops[0]] if arriving.issuperset(slot.lanes) else column.x0
    half = _half(frame.slot_offsets(slot.id).values(), frame.scale.strand)
    return Bundle(
        slot.id,
        frame.kind(slot.id),
        slot.plane,
        SLOT,
        curves.line((first, y), (column.x1, y)),
        half,
        lambda: _slot_strands(frame, slot, arriving),
        (slot.id, slot.id),
    )


def _slot_strands(frame: Frame, slot: Slot, arriving: set[Lane]) -> list[Strand]:
    column, y = frame.xs.columns[slot.column], frame.ys[slot.id]
    places = sorted(((column.stops[stop], *stop) for stop in slot.stops), key=lambda s: s[0])
    strands: list[Strand] = []
    ends = _last_leave(frame, slot)
    for lane, off in frame.slot_offsets(slot.id).items():
        segment, root = lane
        stops = [(at, x) for x, id, at in places if id == segment]
        pieces = list(zip(stops, [*(x for _, x in stops[1:]), column.x1], strict=True))
        if lane not in arriving:
            pieces.insert(0, ((-1, column.x0), stops[0][1]))
        for (at, x0), x1 in pieces:
            end = min(x1, ends.get(lane, x1))
            if end <= x0:
                break
            curve = curves.line((x0 - HAIR, y - off), (end + HAIR, y - off))
            strands.append(_strand(frame, segment, root, None, at, curve, frame.scale.strand, slot.lanes[lane]))
    return strands


def _tie(frame: Frame, tie: Tie) -> Bundle:
    scale = frame.scale
    parent, child = frame.plan.slots[tie.parent], frame.plan.slots[tie.child]
    kept = tie.shapes.get(scale.pitch)
    if kept is None:
        leaving, reaching = frame.slot_offsets(parent.id), frame.slot_offsets(child.id)
        before = {r: leaving[tie.leaves(r)] for r in tie.roots}
        after = {r: reaching[tie.arrives(r)] for r in tie.roots}
        a, b = _mean(before.values()), _mean(after.values())
        half = max(_half(before.values(), scale.strand), _half(after.values(), scale.strand))
        beside = {r: (before[r] - a, after[r] - b) for r in tie.roots}
        kept = tie.shapes[scale.pitch] = (a, b, half, beside)
    a, b, half, beside = kept
    here, there = frame.xs.columns[parent.column], frame.xs.columns[child.column]
    start, end = (here.x1, frame.ys[parent.id] - a), (there.x0, frame.ys[child.id] - b)
    stop = there.x1 if child.dummy else there.stops[tie.entity, 0]
    reached = _turned(frame, child, start, end, half) if frame.plan.loops(tie) else curves.sweep(start, end)
    centre = curves.join([reached, curves.line(end, (stop, end[1]))])
    owner = tie.via or tie.entity
    return Bundle(
        owner,
        frame.kind(owner),
        tie.plane,
        TIE,
        centre,
        half,
        lambda: _tie_strands(frame, tie, centre, beside),
        (tie.parent, tie.child),
    )


def _turned(frame: Frame, child: Slot, start: Point, end: Point, half: float) -> Curve:
    """From *start* level to the loop, along it up or down, and into its slot; both ends of a loop turn on one line.

    Of strands *half* mm wide to each side; where they have no height to turn in they sweep, as all others do.
    """
    if abs(end[1] - start[1]) < 2 * half + frame.scale.mm(LOOP_EMS):
        return curves.sweep(start, end)
    radius = _half(frame.slot_offsets(child.id).values(), frame.scale.strand) + frame.scale.mm(LOOP_EMS)
    return curves.riser(start, end[0] - radius, end, radius)


def _tie_strands(frame: Frame, tie: Tie, centre: Curve, beside: Mapping[str, tuple[float, float]]) -> list[Strand]:
    strands: list[Strand] = []
    for root, minor in tie.roots.items():
        swept = curves.offset(centre[:-3], *beside[root])
        end = (centre[-1][0] + HAIR, swept[-1][1])
        begins = minor and not frame.plan.slots[tie.parent].lanes[tie.leaves(root)]
        for entity, source, at, piece in _pieces(tie, swept, curves.line(swept[-1], end)):
            curve = piece
            if begins and source == tie.source:
                # a share that becomes minor here shows it from the middle on, where the bundle stands clear
                whole, curve = _parted(piece, len(swept))
                strands.append(_strand(frame, entity, root, source, at, whole, frame.scale.strand, minor=False))
            if curve:
                strands.append(_strand(frame, entity, root, source, at, curve, frame.scale.strand, minor))
    return strands


def _parted(curve: Curve, swept: int) -> tuple[Curve, Curve]:
    """A strand's piece up to the middle of its sweep (*swept* points), and the rest: empty where a link ends there."""
    middle = 3 * (swept // 6)
    if len(curve) <= middle + 4:
        return curve, ()
    return curves.stretched(curve[: middle + 1], 0, HAIR), curve[middle:]


def _pieces(tie: Tie, swept: Curve, straight: Curve) -> list[tuple[str, str | None, int, Curve]]:
    """Owner, source, position and curve of each piece of a tie's strand: a link has its own start, middle and end."""
    if tie.source is None:
        return [(tie.entity, None, 0, curves.join([swept, straight]))]
    if tie.via is None:
        return [(tie.entity, tie.source, -1, curves.join([swept, straight]))]
    made: list[tuple[str, str | None, int, Curve]] = []
    middle = 3 * (len(swept) // 6)
    rest = swept
    if tie.first:
        made.append((tie.via, tie.source, -1, curves.stretched(swept[: middle + 1], 0, HAIR)))
        rest = swept[middle:]
    if not tie.last:
        rest = curves.join([rest, straight])
    made.append((tie.via, None, 0, curves.stretched(rest, 0, HAIR)))
    if tie.last:
        made.append((tie.entity, tie.path[-1], -1, straight))
    return made


def _rootlet(frame: Frame, branch: Branch, rootlet: Rootlet) -> Bundle:
    scale = frame.scale
    home, x = frame.xs.columns[branch.column].risers[branch.id], _rootlet_x(frame, branch, rootlet)
    off = offsets(tuple(branch.roots), scale.thin_pitch)
    middle = _mean(off[r] for r in rootlet.roots)
    y = _mean(frame.y_of(rootlet.slot, (rootlet.segment, r)) for r in rootlet.roots) + middle
    radius, lane = turn_radius(branch, scale), frame.lanes[branch.id]
    near = _before_turn(frame, branch)
    centre = curves.riser((x - near, y), x, (home + radius + scale.mm(0.3), lane), radius, near)
    half = _half((off[r] for r in rootlet.roots), scale.thin)

    def lay() -> list[Strand]:
        made = []
        for root, minor in rootlet.roots.items():
            curve = curves.stretched(curves.offset(centre, off[root]), 0, HAIR)
            made.append(_strand(frame, branch.id, root, rootlet.segment, -1, curve, scale.thin, minor))
        return made

    inner = curves.offset(centre, middle) if middle else centre
    joins = (rootlet.slot, branch.id)
    return Bundle(branch.id, branch.segment.kind, branch.segment.plane, BRANCH, inner, half, lay, joins)


def _rootlet_x(frame: Frame, branch: Branch, rootlet: Rootlet) -> float:
    """x of the vertical run of one origin of a branch."""
    column = frame.plan.slots[rootlet.slot].column
    here = frame.xs.columns[column]
    return here.risers[branch.id] if branch.column == column else here.stops[rootlet.stop]


def _before_turn(frame: Frame, branch: Branch) -> float:
    """How far before its vertical run a branch begins: beside a name plate, not under it."""
    return branch_half(branch, frame.scale) + frame.scale.mm(0.3)


def branch_stops(frame: Frame, branch: Branch) -> list[tuple[int, float]]:
    """Position and x (mm) of each piece of a branch's straight end."""
    x = frame.xs.columns[branch.column].risers[branch.id] + turn_radius(branch, frame.scale)
    return [(p, x + frame.scale.mm(0.3 + 0.6 * i)) for i, p in enumerate(branch.stops)]


def branch_tip(frame: Frame, branch: Branch) -> float:
    """x at which the strands of a branch end, mm."""
    x = frame.xs.columns[branch.column].risers[branch.id]
    return x + turn_radius(branch, frame.scale) + tail(branch, frame.scale)


def _end(frame: Frame, branch: Branch) -> Bundle:
    scale, y = frame.scale, frame.lanes[branch.id]
    stops, tip = branch_stops(frame, branch), branch_tip(frame, branch)
    offs = offsets(tuple(branch.roots), scale.thin_pitch)

    def lay() -> list[Strand]:
        made = []
        for root, off in offs.items():
            for (at, x0), x1 in zip(stops, [*(x + HAIR for _, x in stops[1:]), tip], strict=True):
                curve = curves.line((x0 - HAIR, y - off), (x1, y - off))
                made.append(_strand(frame, branch.id, root, None, at, curve, scale.thin, branch.roots[root]))
        return made

    centre = curves.line((stops[0][1], y), (tip, y))
    half = _half(offs.values(), scale.thin)
    joins = (branch.id, branch.id)
    return Bundle(branch.id, branch.segment.kind, branch.segment.plane, BRANCH, centre, half, lay, joins)


def spots(frame: Frame) -> list[Spot]:
    """Every place at which a cut can be marked."""
    made: list[Spot] = []
    for slot in frame.plan.slots.values():
        if slot.segment is None:
            continue
        found = frame.slot_offsets(slot.id)
        for segment, p in slot.stops:
            own = [off for (id, _), off in found.items() if id == segment]
            x, y = frame.xs.columns[slot.column].stops[segment, p], frame.ys[slot.id] - (max(own) + min(own)) / 2
            if p == 0 and segment in slot.starts:
                joint = frame.plan.slots[slot.starts[segment]]
                x, y = frame.xs.columns[joint.column].x1, frame.ys[joint.id]
            made.append(Spot(segment, slot.segment.kind, p, x, y, 0.0, _half(own, frame.scale.strand)))
    made += [_link_spot(frame, t, via) for t in frame.plan.ties if t.first for via in t.path]
    for branch in frame.plan.branches:
        half = _half(offsets(tuple(branch.roots), frame.scale.thin_pitch).values(), frame.scale.thin)
        y = frame.lanes[branch.id]
        made += [Spot(branch.id, branch.segment.kind, p, x, y, 0.0, half) for p, x in branch_stops(frame, branch)]
    return made


def _link_spot(frame: Frame, tie: Tie, via: str) -> Spot:
    bundle = _tie(frame, tie)
    (x, y), (vx, vy) = curves.point(bundle.centre[:4], 0.5), curves.velocity(bundle.centre[:4], 0.5)
    return Spot(via, frame.kind(via), 0, x, y, degrees(atan2(vy, vx)), bundle.half)


def _strand(
    frame: Frame, entity: str, root: str, source: str | None, at: int, curve: Curve, width: float, minor: bool
) -> Strand:
    segment = frame.plan.plexus.segments[entity]
    return Strand(entity, segment.kind, root, source, at, curve, width, minor, segment.whole)


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


def _half(values: Iterable[float], width: float) -> float:
    found = list(values)
    return (max(found) - min(found) + width) / 2
