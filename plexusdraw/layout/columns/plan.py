"""What is drawn and in which column, before any coordinate.

Slots and ties are those of ``slots``; a *branch* is a side branch with the slots that it leaves.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from plexusdraw.errors import FitError
from plexusdraw.layout.columns.slots import Lane, Roots, Slot, Step, Stop, Tie, Weaver
from plexusdraw.model.entities import Exit, Place, Segment, Side
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

Detail = Literal["framework", "nerves", "muscles"]
DETAILS: tuple[Detail, ...] = ("framework", "nerves", "muscles")
"""Every detail, the least first."""
MOST_SEGMENTS = 1000
MOST_TARGETS = 1000
"""Segments, and muscles and skin areas, that one picture holds: more would take longer than anyone waits, on paper that
no one has."""


@dataclass(slots=True)
class Rootlet:
    """One origin of a branch: slot and segment, the position on its course, the roots that leave there."""

    slot: str
    segment: str
    at: int
    roots: Roots

    @property
    def stop(self) -> Stop:
        """Where the segment's strands go on after it."""
        return (self.segment, self.at + 1)


@dataclass(slots=True)
class Branch:
    """A side branch: where it comes from and, once chosen, the border at which it leaves."""

    segment: Segment
    rootlets: tuple[Rootlet, ...]
    column: int
    roots: Roots
    stops: tuple[int, ...]
    side: Side = "cranial"
    outer: bool = False
    """Whether it leaves the drawing at its border rather than into the room beside its slot."""
    anchor: str = ""
    """The slot that it leaves last, on its side."""

    @property
    def id(self) -> str:
        """Id of its segment."""
        return self.segment.id


@dataclass(slots=True)
class Plan:
    """Columns of slots (top to bottom), the ties between them, the branches."""

    plexus: Plexus
    fibres: Fibres
    detail: Detail
    slots: dict[str, Slot]
    columns: list[list[str]]
    ties: list[Tie]
    branches: list[Branch] = field(default_factory=list)
    _arriving: dict[str, set[Lane]] = field(default_factory=dict)
    _leaving: dict[str, set[Lane]] = field(default_factory=dict)
    _shed: dict[str, list[tuple[Branch, Rootlet]]] = field(default_factory=dict)

    def arriving(self) -> Mapping[str, set[Lane]]:
        """Slot → the strands in it to which a tie leads."""
        if not self._arriving:
            for tie in self.ties:
                self._arriving.setdefault(tie.child, set()).update(tie.arrives(root) for root in tie.roots)
        return self._arriving

    def leaving(self) -> Mapping[str, set[Lane]]:
        """Slot → the strands in it from which a tie goes on."""
        if not self._leaving:
            for tie in self.ties:
                self._leaving.setdefault(tie.parent, set()).update(tie.leaves(root) for root in tie.roots)
        return self._leaving

    def shed(self) -> Mapping[str, list[tuple[Branch, Rootlet]]]:
        """Slot → the side branches that leave it, each with its origin there."""
        if not self._shed:
            for branch in self.branches:
                for rootlet in branch.rootlets:
                    self._shed.setdefault(rootlet.slot, []).append((branch, rootlet))
        return self._shed

    def loops(self, tie: Tie) -> bool:
        """Whether a tie is an end of a loop."""
        segment = self.slots[tie.child].segment
        return segment is not None and segment.loop

    def links(self) -> tuple[str, ...]:
        """Segments that are drawn without a slot: what passes from slot to slot, named beside its strands."""
        drawn = (id for tie in self.ties for id in tie.path if self.plexus.segments[id].drawn)
        return tuple(dict.fromkeys(id for id in drawn if self.plexus.segments[id].stage is None))

    def ends(self) -> list[Segment]:
        """Segments at which the drawing ends and supply begins: branches and the last column's slots."""
        last = [self.slots[id].segment for id in self.columns[-1]]
        return [*(b.segment for b in self.branches), *(s for s in last if s is not None)]


def plan(plexus: Plexus, fibres: Fibres, detail: Detail) -> Plan:
    """Slots, ties and branches of *plexus*, columns in file order.

    Raises:
        FitError: it is too large to be drawn.
    """
    if len(plexus.segments) > MOST_SEGMENTS:
        raise FitError(
            f"the {plexus.name} has {len(plexus.segments)} segments, and a picture holds at most {MOST_SEGMENTS}. "
            "Draw the course of one nerve, or leave some out in a course file."
        )
    check_targets(plexus)
    slots, columns = _slots(plexus, fibres, detail)
    homes = {segment: slot.id for slot in slots.values() for segment in plexus.members(slot.id)}
    ties = Weaver(plexus, fibres, slots, columns, homes).ties()
    made = Plan(plexus, fibres, detail, slots, columns, ties)
    if detail != "framework":
        made.branches = _branches(plexus, fibres, slots, {via for tie in ties for via in tie.path})
    return made


def check_targets(plexus: Plexus) -> None:
    """Refuse at once a plexus with more muscles and skin areas than a picture or a form holds.

    Raises:
        FitError: it has more.
    """
    many = len(plexus.muscles) + len(plexus.skin)
    if many > MOST_TARGETS:
        raise FitError(
            f"the {plexus.name} has {many} muscles and skin areas, and a picture or form holds at most {MOST_TARGETS}. "
            "Leave some out in a course file."
        )


def _slots(plexus: Plexus, fibres: Fibres, detail: Detail) -> tuple[dict[str, Slot], list[list[str]]]:
    slots: dict[str, Slot] = {}
    columns: list[list[str]] = []
    for column, stage in enumerate(plexus.stages):
        staged = [s for s in plexus.staged(stage.id) if s.drawn and fibres.carried[s.id]]
        ids = list(dict.fromkeys(s.whole or s.id for s in staged))
        for id in ids:
            parts = [s for s in staged if id in (s.id, s.whole)]
            lanes = {(s.id, root): minor for s in parts for root, minor in fibres.carried[s.id].items()}
            stops = tuple((s.id, at) for s in parts for at in stops_of(s, plexus, with_exits=detail != "framework"))
            segment = plexus.segment(id)
            slots[id] = Slot(id, segment, column, lanes, stops, segment.plane, tuple(_course(segment, parts)))
        columns.append(ids)
    return slots, columns


def _course(segment: Segment, parts: Sequence[Segment]) -> Iterator[Step]:
    """The course of a slot: that of its segment; of parts, all that stands before each place that they share."""
    begins = dict.fromkeys((part.id for part in parts), 0)
    shared = [item.name for item in segment.course if isinstance(item, Place)] if segment.parts else []
    for name in (*shared, ""):
        ends = {part.id: part.place_at(name) if name else len(part.course) for part in parts}
        for part in parts:
            yield from (Step(((part.id, at),), part.course[at]) for at in range(begins[part.id], ends[part.id]))
        if name:
            yield Step(tuple(ends.items()), parts[0].course[ends[parts[0].id]])
        begins = {id: at + 1 for id, at in ends.items()}


def stops_of(segment: Segment, plexus: Plexus, with_exits: bool = True) -> tuple[int, ...]:
    """Positions at which a segment's strands are cut into pieces: its start, its places, after each drawn branch."""
    stops = {0}
    for i, item in enumerate(segment.course):
        if isinstance(item, Place):
            stops.add(i)
        elif with_exits and segment.stage is not None and is_side_branch(plexus, item):
            stops.add(i + 1)
    return tuple(sorted(stops))


def is_side_branch(plexus: Plexus, item: Exit | Place) -> bool:
    """Whether a course item is a drawn nerve without a stage, i.e. a side branch when its parent has one."""
    if not isinstance(item, Exit):
        return False
    child = plexus.segments.get(item.to)
    return child is not None and child.stage is None and child.drawn


def _branches(plexus: Plexus, fibres: Fibres, slots: Mapping[str, Slot], tied: Collection[str]) -> list[Branch]:
    """Side branches of the slots; what is *tied* is drawn as a tie."""
    found: dict[str, list[Rootlet]] = {}
    for slot in slots.values():
        if slot.segment is None:
            continue
        last = slot.segment.stage == plexus.stages[-1].id
        for step in slot.course:
            item, (segment, at) = step.item, step.at[0]
            if not isinstance(item, Exit) or not is_side_branch(plexus, item):
                continue
            if last and not plexus.segments[item.to].offshoot:
                continue
            if item.to in tied:
                continue
            roots = fibres.between(segment, item.to)
            if roots:
                found.setdefault(item.to, []).append(Rootlet(slot.id, segment, at, roots))
    return [_branch(plexus, fibres, slots, id, rootlets) for id, rootlets in found.items()]


def _branch(plexus: Plexus, fibres: Fibres, slots: Mapping[str, Slot], id: str, rootlets: list[Rootlet]) -> Branch:
    segment = plexus.segments[id]
    column = max(slots[r.slot].column for r in rootlets)
    return Branch(segment, tuple(rootlets), column, fibres.carried[id], stops_of(segment, plexus, False))


def sides(made: Plan) -> None:
    """Choose the border of each branch that the model leaves free: fewest crossings, then fewest branches."""
    used = {"cranial": 0, "caudal": 0}
    for branch in made.branches:
        options = [_placed(made, branch, side) for side in _allowed(branch)]
        _crossings, _, side, outer, anchor = min(
            (o[0], used[o[1]] if branch.segment.side is None else 0, *o[1:]) for o in options
        )
        branch.side, branch.outer, branch.anchor = side, outer, anchor
        used[side] += 1


def _allowed(branch: Branch) -> tuple[Side, ...]:
    return (branch.segment.side,) if branch.segment.side else ("cranial", "caudal")


def _placed(made: Plan, branch: Branch, side: Side) -> tuple[int, Side, bool, str]:
    """Crossings, side, outer, anchor of a branch that leaves at *side*: of bundles, and of parts in its own."""
    column = made.columns[branch.column]
    here = _places(made, branch, branch.column)
    elsewhere = any(made.slots[r.slot].column != branch.column for r in branch.rootlets)
    at = here[0] if side == "cranial" else here[-1]
    edge = at == 0 if side == "cranial" else at == len(column) - 1
    outer = edge or branch.segment.passes_behind or elsewhere
    return crossings_of(made, branch, side, outer) + _parts_crossed(made, branch, side), side, outer, column[at]


def branches_cross(made: Plan, columns: list[list[str]]) -> int:
    """How many bundles all side branches cross in these columns, each at the border where it crosses fewer."""
    there = replace(made, columns=columns)
    return sum(min(_placed(there, branch, side)[0] for side in _allowed(branch)) for branch in made.branches)


def _places(made: Plan, branch: Branch, index: int) -> list[int]:
    """From the top down, the places in a column at which a branch begins."""
    column = made.columns[index]
    return sorted(column.index(r.slot) for r in branch.rootlets if made.slots[r.slot].column == index)


def _parts_crossed(made: Plan, branch: Branch, side: Side) -> int:
    total = 0
    for rootlet in branch.rootlets:
        parts = made.plexus.members(rootlet.slot)
        at = parts.index(rootlet.segment)
        total += at if side == "cranial" else len(parts) - 1 - at
    return total


def crossings_of(made: Plan, branch: Branch, side: Side, outer: bool) -> int:
    """How many bundles the rootlets of a branch cross on their way out at *side*."""
    total = 0
    for index in {made.slots[r.slot].column for r in branch.rootlets}:
        column, here = made.columns[index], _places(made, branch, index)
        if side == "cranial":
            stop = -1 if outer else here[0] - 1
            total += sum(i - stop - 1 for i in here)
        else:
            stop = len(column) if outer else here[-1] + 1
            total += sum(stop - i - 1 for i in here)
    return total
