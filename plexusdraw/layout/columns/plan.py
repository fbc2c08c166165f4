"""What is drawn and in which column, before any coordinate.

A *slot* is a staged segment's place in its column; a *tie* carries fibres from one slot to another, through
a dummy slot in each column that it skips; a *branch* is a side branch with the slots that it leaves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.model.plexus import Exit, Level, Plane, Plexus, Segment, Side
from plexusdraw.routes.fibres import Fibres

Detail = Literal["framework", "nerves", "muscles"]
DETAILS: tuple[Detail, ...] = ("framework", "nerves", "muscles")
"""Every detail, the least first."""

Roots = Mapping[str, bool]
"""Root → whether its share is minor, in root order."""


@dataclass(slots=True)
class Slot:
    """A segment's place in column *column*; ``stops`` are the positions at which its strands are cut into pieces."""

    id: str
    segment: Segment | None
    column: int
    roots: Roots
    stops: tuple[int, ...] = (0,)
    plane: Plane = "middle"

    @property
    def dummy(self) -> bool:
        """Whether it only carries a tie through a column."""
        return self.segment is None


@dataclass(slots=True)
class Tie:
    """Fibres that pass from slot *parent* to slot *child*, a column further on.

    ``entity`` owns the strands (the child, or the segment that a dummy leads to), ``source`` is the segment they come
    from, ``via`` the link that they are, if any; the link then owns the strands up to the child. ``first``, ``last``:
    whether the tie begins at a segment's slot and ends at one, not at a dummy.
    """

    parent: str
    child: str
    entity: str
    source: str
    via: str | None
    roots: Roots
    plane: Plane
    first: bool = True
    last: bool = True


@dataclass(slots=True)
class Rootlet:
    """One origin of a branch: the slot, the position on its course, the roots that leave there."""

    slot: str
    at: int
    roots: Roots


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

    def ends(self) -> list[Segment]:
        """Segments at which the drawing ends and supply begins: branches and the last column's slots."""
        last = [self.slots[id].segment for id in self.columns[-1]]
        return [*(b.segment for b in self.branches), *(s for s in last if s is not None)]


def plan(plexus: Plexus, fibres: Fibres, detail: Detail) -> Plan:
    """Slots, ties and branches of *plexus*, columns in file order."""
    slots, columns = _slots(plexus, fibres, detail)
    ties = _ties(plexus, fibres, slots, columns)
    made = Plan(plexus, fibres, detail, slots, columns, ties)
    if detail != "framework":
        made.branches = _branches(plexus, fibres, slots)
    return made


def _slots(plexus: Plexus, fibres: Fibres, detail: Detail) -> tuple[dict[str, Slot], list[list[str]]]:
    slots: dict[str, Slot] = {}
    columns: list[list[str]] = []
    for column, stage in enumerate(plexus.stages):
        staged = [s for s in plexus.staged(stage.id) if s.drawn and fibres.carried[s.id]]
        for s in staged:
            stops = stops_of(s, plexus, with_exits=detail != "framework")
            slots[s.id] = Slot(s.id, s, column, fibres.carried[s.id], stops, s.plane)
        columns.append([s.id for s in staged])
    return slots, columns


def stops_of(segment: Segment, plexus: Plexus, with_exits: bool = True) -> tuple[int, ...]:
    """Positions at which a segment's strands are cut into pieces: its start, its levels, after each drawn branch."""
    stops = {0}
    for i, item in enumerate(segment.course):
        if isinstance(item, Level):
            stops.add(i)
        elif with_exits and segment.stage is not None and is_side_branch(plexus, item):
            stops.add(i + 1)
    return tuple(sorted(stops))


def is_side_branch(plexus: Plexus, item: Exit | Level) -> bool:
    """Whether a course item is a drawn nerve without a stage, i.e. a side branch when its parent has one."""
    if not isinstance(item, Exit):
        return False
    child = plexus.segments.get(item.to)
    return child is not None and child.stage is None and child.drawn


def _ties(plexus: Plexus, fibres: Fibres, slots: dict[str, Slot], columns: list[list[str]]) -> list[Tie]:
    ties: list[Tie] = []
    for segment in plexus.segments.values():
        if segment.id not in slots:
            continue
        for parent, via in _origins(plexus, segment, slots):
            roots = fibres.between(via or parent, segment.id)
            if roots:
                ties += _steps(parent, segment, via, roots, slots, columns)
    return ties


def _origins(plexus: Plexus, segment: Segment, slots: Mapping[str, Slot]) -> list[tuple[str, str | None]]:
    """Slots from which *segment* comes, each with the link between them, if any."""
    found: list[tuple[str, str | None]] = []
    for parent in segment.parents:
        if parent in slots:
            found.append((parent, None))
        else:
            found += [(p, parent) for p in plexus.segments[parent].parents if p in slots]
    return found


def _steps(
    parent: str,
    child: Segment,
    via: str | None,
    roots: Roots,
    slots: dict[str, Slot],
    columns: list[list[str]],
) -> list[Tie]:
    """One tie for each column between *parent* and *child*, through dummy slots."""
    first, last = slots[parent].column, slots[child.id].column
    steps: list[Tie] = []
    here = parent
    for column in range(first + 1, last + 1):
        there = child.id
        if column < last:
            there = f"{parent}>{via or ''}>{child.id}@{column}"
            slots[there] = Slot(there, None, column, roots, plane=child.plane)
            columns[column].insert(_slot_index(columns, slots, here, column), there)
        ends = (column == first + 1, column == last)
        steps.append(Tie(here, there, child.id, parent, via, roots, child.plane, *ends))
        here = there
    return steps


def _slot_index(columns: list[list[str]], slots: Mapping[str, Slot], before: str, column: int) -> int:
    """A first place for a dummy: as far down its column as its origin stands in its own."""
    home = columns[slots[before].column]
    share = (home.index(before) + 0.5) / len(home)
    return round(share * len(columns[column]))


def _branches(plexus: Plexus, fibres: Fibres, slots: Mapping[str, Slot]) -> list[Branch]:
    found: dict[str, list[Rootlet]] = {}
    for slot in slots.values():
        if slot.segment is None:
            continue
        last = slot.segment.stage == plexus.stages[-1].id
        for at, item in enumerate(slot.segment.course):
            if not is_side_branch(plexus, item) or not isinstance(item, Exit):
                continue
            if last and not plexus.segments[item.to].offshoot:
                continue
            if any(p in slots for p in _staged_children(plexus, item.to)):
                continue  # a link, drawn as a tie
            roots = fibres.between(slot.id, item.to)
            if roots:
                found.setdefault(item.to, []).append(Rootlet(slot.id, at, roots))
    return [_branch(plexus, fibres, slots, id, rootlets) for id, rootlets in found.items()]


def _staged_children(plexus: Plexus, link: str) -> list[str]:
    return [s.id for s in plexus.segments.values() if link in s.parents and s.stage is not None]


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
    """Crossings, side, outer, anchor of a branch that leaves at *side*."""
    column = made.columns[branch.column]
    here = sorted(column.index(r.slot) for r in branch.rootlets if r.slot in column)
    elsewhere = any(r.slot not in column for r in branch.rootlets)
    at = here[0] if side == "cranial" else here[-1]
    edge = at == 0 if side == "cranial" else at == len(column) - 1
    outer = edge or branch.segment.passes_behind or elsewhere
    return crossings_of(made, branch, side, outer), side, outer, column[at]


def crossings_of(made: Plan, branch: Branch, side: Side, outer: bool) -> int:
    """How many bundles the rootlets of a branch cross on their way out at *side*."""
    total = 0
    for column in made.columns:
        here = sorted(column.index(r.slot) for r in branch.rootlets if r.slot in column)
        if not here:
            continue
        if side == "cranial":
            stop = -1 if outer else here[0] - 1
            total += sum(i - stop - 1 for i in here)
        else:
            stop = len(column) if outer else here[-1] + 1
            total += sum(stop - i - 1 for i in here)
    return total
