"""Slots and the ties between them, before any coordinate.

A *slot* is a staged segment's place in its column; that of a whole holds its parts side by side. A *tie* carries fibres
from one slot to another, through a dummy slot in each column that it skips. A *lane* is one strand in a slot: a segment
and a root.

A nerve that skips columns begins where all its fibres are together: in the first column after its last parent, they
join in a dummy of its own, and run on as one bundle.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from plexusdraw.model.entities import CourseItem, Plane, Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

Roots = Mapping[str, bool]
"""Root → whether its share is minor, in root order."""
Lane = tuple[str, str]
"""Segment and root of one strand in a slot."""
Stop = tuple[str, int]
"""Segment and position on its course at which its strands are cut into pieces."""
Origin = tuple[str, tuple[str, ...], Roots]
"""A drawn segment, what its fibres pass that has no slot of its own, and the roots that come that way."""

PARTS_APART = 0.6
"""Room between the parts of a whole, as a share of the distance of its strands."""


@dataclass(frozen=True, slots=True)
class Step:
    """What stands at one place of a slot's course: a position on one of its segments, or a place on all parts."""

    at: tuple[Stop, ...]
    item: CourseItem


@dataclass
class Slot:
    """A segment's place in column *column*; ``lanes`` say of each strand whether its share is minor."""

    id: str
    segment: Segment | None
    column: int
    lanes: Mapping[Lane, bool]
    stops: tuple[Stop, ...] = ()
    plane: Plane = "middle"
    course: tuple[Step, ...] = ()
    starts: dict[str, str] = field(default_factory=dict)
    """Segment → the dummy in which its fibres join, for what begins in an earlier column."""

    def offsets(self, pitch: float) -> dict[Lane, float]:
        """Offset of each strand from the middle of the bundle, the first uppermost (positive), mm."""
        return {lane: place * pitch for lane, place in self._places.items()}

    def half(self, pitch: float) -> float:
        """Distance of the outermost strands from the middle, mm."""
        return next(iter(self._places.values()), 0.0) * pitch

    @cached_property
    def _places(self) -> dict[Lane, float]:
        found: dict[Lane, float] = {}
        y, before = 0.0, ""
        for lane in self.lanes:
            y += 1 + PARTS_APART * (lane[0] != before) if found else 0.0
            found[lane], before = y, lane[0]
        return {lane: y / 2 - place for lane, place in found.items()}

    @property
    def dummy(self) -> bool:
        """Whether it only carries a tie through a column."""
        return self.segment is None


@dataclass(slots=True)
class Tie:
    """Fibres that pass from slot *parent* to slot *child*, a column further on.

    ``entity`` owns the strands (the child, or the segment that a dummy leads to), ``source`` is the segment they come
    from, ``path`` what they pass in between that has no slot of its own: links, or segments that are not drawn. The
    first of these then owns the strands up to the child. ``first``, ``last``: whether the tie begins at a segment's
    slot and ends at one, not at a dummy. Parent and child are ids of slots. No source: all fibres of the segment,
    already joined.
    """

    parent: str
    child: str
    entity: str
    source: str | None
    path: tuple[str, ...]
    roots: Roots
    plane: Plane
    first: bool = True
    last: bool = True
    shapes: dict[float, tuple[float, float, float, dict[str, tuple[float, float]]]] = field(default_factory=dict)
    """By the distance of strands: where its middle leaves and reaches its slots, half its width, and each root's offset
    from the middle at both ends, mm. They are the same at every try of a size."""

    @property
    def via(self) -> str | None:
        """The link, or the segment that is not drawn, that owns its strands up to the child."""
        return self.path[0] if self.path else None

    def leaves(self, root: str) -> Lane:
        """The lane of a root in the parent's slot."""
        return (self.source if self.first and self.source else self.entity, root)

    def arrives(self, root: str) -> Lane:
        """The lane of a root in the child's slot."""
        return (self.entity, root)


class Weaver:
    """Makes the ties of a plan, and the dummy slots that they pass. *homes*: segment → id of its slot."""

    def __init__(
        self,
        plexus: Plexus,
        fibres: Fibres,
        slots: dict[str, Slot],
        columns: list[list[str]],
        homes: Mapping[str, str],
    ) -> None:
        self.plexus, self.fibres = plexus, fibres
        self.slots, self.columns, self.homes = slots, columns, homes
        self._known: dict[str, list[Origin]] = {}
        self.shares = {id: (i + 0.5) / len(column) for column in columns for i, id in enumerate(column)}
        """How far down its column each slot stands at first, 0 to 1; a dummy as far as what it comes from."""

    def ties(self) -> list[Tie]:
        """All ties, in model order of the segments to which they lead."""
        return [
            tie for segment in self.plexus.segments.values() if segment.id in self.homes for tie in self._to(segment)
        ]

    def _to(self, segment: Segment) -> list[Tie]:
        goal = self.homes[segment.id]
        arriving = [way for way in self._origins(segment) if way[2]]
        made: list[Tie] = []
        last = max((self.slots[self.homes[parent]].column for parent, _, _ in arriving), default=0)
        if last + 1 < self.slots[goal].column and not any(path for _, path, _ in arriving):
            shares = [self.shares[self.homes[parent]] for parent, _, _ in arriving]
            joint = self._dummy(f"{segment.id}@{last + 1}", segment, last + 1, sum(shares) / len(shares))
            self.slots[goal].starts[segment.id] = joint
            for parent, _, roots in arriving:
                made += self._steps((parent, self.homes[parent]), segment, joint, (), roots)
            return made + self._on(segment, joint, goal)
        for parent, path, roots in arriving:
            made += self._steps((parent, self.homes[parent]), segment, goal, path, roots)
        return made

    def _origins(self, segment: Segment) -> list[Origin]:
        """Drawn segments from which *segment* comes, each way from one of them; worked out once."""
        if segment.id not in self._known:
            self._known[segment.id] = list(self._found(segment).values())
        return self._known[segment.id]

    def _found(self, segment: Segment) -> dict[tuple[str, ...], Origin]:
        """By origin, and the first and the last of what lies between; ways that share these are one."""
        found: dict[tuple[str, ...], Origin] = {}
        for parent in segment.parents:
            roots = self.fibres.between(parent, segment.id)
            if parent in self.homes:
                found[(parent,)] = (parent, (), roots)
                continue
            for origin, before, coming in self._origins(self.plexus.segments[parent]):
                path = (*before, parent)
                passing = {root: minor for root, minor in roots.items() if root in coming}
                key = (origin, path[0], parent)
                kept = found.get(key, (origin, path, {}))
                found[key] = (origin, kept[1], {**kept[2], **passing})
        return found

    def _dummy(self, id: str, child: Segment, column: int, share: float, roots: Roots | None = None) -> str:
        """A dummy slot that carries *roots* of a segment, by default all; it stands under those of an equal share."""
        roots = self.fibres.carried[child.id] if roots is None else roots
        lanes = {(child.id, root): minor for root, minor in roots.items()}
        self.slots[id] = Slot(id, None, column, lanes, plane=child.plane)
        here = self.columns[column]
        here.insert(bisect_right([self.shares[other] for other in here], share), id)
        self.shares[id] = share
        return id

    def _steps(
        self, origin: tuple[str, str], child: Segment, goal: str, path: tuple[str, ...], roots: Roots
    ) -> list[Tie]:
        """One tie for each column between a segment (with the id of its slot) and the slot *goal* of another."""
        parent, here = origin
        first, last = self.slots[here].column, self.slots[goal].column
        steps: list[Tie] = []
        for column in range(first + 1, last + 1):
            there = goal
            if column < last:
                id = f"{parent}>{'>'.join(path)}>{child.id}@{column}"
                there = self._dummy(id, child, column, self.shares[here], roots)
            ends = (column == first + 1, column == last)
            steps.append(Tie(here, there, child.id, parent, path, roots, child.plane, *ends))
            here = there
        return steps

    def _on(self, segment: Segment, joint: str, goal: str) -> list[Tie]:
        """One tie for each column from where a segment's fibres have joined to its slot."""
        here, steps = joint, []
        for column in range(self.slots[joint].column + 1, self.slots[goal].column + 1):
            there = goal
            if column < self.slots[goal].column:
                there = self._dummy(f"{segment.id}@{column}", segment, column, self.shares[here])
            roots = self.fibres.carried[segment.id]
            steps.append(Tie(here, there, segment.id, None, (), roots, segment.plane, False, there == goal))
            here = there
        return steps
