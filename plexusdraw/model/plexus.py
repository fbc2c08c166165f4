"""The checked, frozen model of one plexus.

Everything here is a value: nothing computes, nothing draws. ``plexusdraw.model.load`` builds it from a
file; ``plexusdraw.routes.fibres`` computes on it. What it holds is in ``plexusdraw.model.entities``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from plexusdraw.model.entities import (
    Entity,
    Exit,
    Group,
    LimbLatin,
    Outside,
    Place,
    Reflex,
    Region,
    Remark,
    Scenario,
    Segment,
    Sign,
    Source,
    Stage,
    Target,
    Variant,
)

if TYPE_CHECKING:
    import networkx as nx


@dataclass(frozen=True, slots=True)
class Default:
    """What a course file says of one option of a command, and in which line."""

    value: Any
    line: int = 0


@dataclass(frozen=True, slots=True)
class Taught:
    """What a teacher's course makes of a plexus."""

    name: str
    path: str = ""
    """Its file."""
    of_file: bool = False
    """Whether its model is a file too, not a built-in one."""
    left_out: frozenset[str] = frozenset()
    """Ids of what the base has and the course leaves out."""
    keeps: bool = False
    """Whether it says what it keeps; then it leaves out as well what only a chart of the limb has."""
    minor: bool = True
    """Whether minor shares are drawn and asked; they are counted in any case."""
    words: Mapping[str, str] = field(default_factory=dict)
    """Id → the teacher's own word for it, and for what is named after it."""
    defaults: Mapping[str, Mapping[str, Default]] = field(default_factory=dict)
    """Command → option, as one types it without dashes → what holds where nothing is typed."""


@dataclass(frozen=True, eq=False)
class Plexus:
    """One plexus, whole. Mappings keep the order of the file. Compared by identity."""

    id: str
    name: str
    latin: str
    limb: str
    """What "left" and "right" stand before on the page, e.g. "upper limb"."""
    stages: tuple[Stage, ...]
    segments: Mapping[str, Segment]
    muscles: Mapping[str, Target]
    skin: Mapping[str, Target]
    groups: Mapping[str, Group]
    sources: Mapping[str, Source]
    reflexes: Mapping[str, Reflex] = field(default_factory=dict)
    signs: Mapping[str, Sign] = field(default_factory=dict)
    outside: Mapping[str, Outside] = field(default_factory=dict)
    scenarios: Mapping[str, Scenario] = field(default_factory=dict)
    remarks: Mapping[str, Remark] = field(default_factory=dict)
    """Name of a place → what is worth knowing of it."""
    synonyms: tuple[str, ...] = ()
    note: str = ""
    caution: str = ""
    limb_latin: LimbLatin | None = None
    chart: str = ""
    """The chart of the limb that it goes with: a built-in one, or a file beside that of the model."""
    path: str = ""
    wholes: Mapping[str, Segment] = field(default_factory=dict)
    """Segments of several parts. Fibres run in the parts, which stand in ``segments``; the whole stands for all of them
    in pictures and as a site, and holds no branch. Its course: the places that all its parts have."""
    regions: Mapping[str, Region] = field(default_factory=dict)
    variants: Mapping[str, Variant] = field(default_factory=dict)
    """All that the file knows of; ``applied`` are ids of those that this plexus has."""
    applied: tuple[str, ...] = ()
    base_roots: tuple[str, ...] = ()
    """Roots of the plain plexus, where variants may have added or taken away some."""
    drawing: Plexus | None = None
    """The plexus that is drawn in its place, where a convention draws it otherwise than it is computed."""
    unseen: Mapping[str, Target] = field(default_factory=dict)
    """Muscles and skin areas that a course leaves out and that still count: without a name, in no list or picture."""
    taught: Taught | None = None
    """The course by which it is taught, if any."""

    @property
    def is_selection(self) -> bool:
        """Whether a course leaves something out."""
        return self.taught is not None and bool(self.taught.left_out)

    def leaves_out(self, id: str) -> bool:
        """Whether a course leaves this out."""
        taught = self.taught
        return taught is not None and (id in taught.left_out or (taught.keeps and id not in self._entities))

    @property
    def shows_minor(self) -> bool:
        """Whether minor shares are drawn and asked; a course may hide them."""
        return self.taught is None or self.taught.minor

    @cached_property
    def laid_out(self) -> Plexus:
        """What a layout shows of it: without minor shares where a course hides them. All positions are the same."""
        if self.shows_minor:
            return self
        from plexusdraw.model.minor import without_minor  # noqa: PLC0415

        return without_minor(self)

    @property
    def drawn(self) -> Plexus:
        """The plexus that pictures show."""
        return self.drawing or self

    @cached_property
    def palette(self) -> tuple[str, ...]:
        """Roots in the order of their colours: a root keeps its colour whatever joins; what joins comes last."""
        kept = self.base_roots or self.roots
        return (*kept, *(root for root in self.roots if root not in kept))

    @cached_property
    def roots(self) -> tuple[str, ...]:
        """Ids of the first stage's segments, cranial first."""
        return tuple(s.id for s in self.staged(self.stages[0].id))

    def staged(self, stage: str) -> tuple[Segment, ...]:
        """Segments of one stage in file order."""
        return tuple(s for s in self.segments.values() if s.stage == stage)

    def entity(self, id: str) -> Entity:
        """The entity with this id; KeyError if there is none (``names.find`` understands spellings)."""
        return self.unseen[id] if id in self.unseen else self._entities[id]

    def target(self, id: str) -> Target:
        """The muscle or skin area with this id, one that is left out and still counts included; KeyError if none."""
        return self.muscles.get(id) or self.skin.get(id) or self.unseen[id]

    @cached_property
    def targets(self) -> tuple[Target, ...]:
        """All that fibres reach: muscles, skin areas, then what is left out and still counts."""
        return (*self.muscles.values(), *self.skin.values(), *self.unseen.values())

    def has(self, id: str) -> bool:
        """Whether there is an entity with this id; one drawn as a part lacks what leaves for the others."""
        return id in self._entities

    def entities(self) -> tuple[Entity, ...]:
        """Everything that can be named: segments, their places, muscles, skin, groups, and the rest."""
        return tuple(self._entities.values())

    @cached_property
    def _entities(self) -> dict[str, Entity]:
        tables: tuple[Mapping[str, Entity], ...] = (
            self.segments,
            self.wholes,
            {place.id: place for place, _, _ in self.places.values()},
            self.muscles,
            self.skin,
            self.groups,
            self.outside,
            self.reflexes,
            self.signs,
            self.scenarios,
        )
        return {id: entity for table in tables for id, entity in table.items()}

    @cached_property
    def places(self) -> Mapping[str, tuple[Place, Segment, int]]:
        """Place id → the place, its segment and its position there."""
        return {
            item.id: (item, segment, at)
            for segment in (*self.segments.values(), *self.wholes.values())
            for at, item in enumerate(segment.course)
            if isinstance(item, Place)
        }

    def members(self, id: str) -> tuple[str, ...]:
        """The segments that an id stands for: the parts of a whole, else itself."""
        return self.wholes[id].parts if id in self.wholes else (id,)

    def segment(self, id: str) -> Segment:
        """The segment or whole with this id; KeyError if there is none."""
        return self.wholes.get(id) or self.segments[id]

    def cuts_at(self, id: str) -> tuple[tuple[str, int], ...]:
        """Segments and positions that a cut at a place, or at the start of a segment or whole, breaks."""
        if id not in self.places:
            return tuple((part, 0) for part in self.members(id))
        place, segment, at = self.places[id]
        if not segment.parts:
            return ((segment.id, at),)
        return tuple((part, self.segments[part].place_at(place.name)) for part in segment.parts)

    def exit_of(self, parent: str, child: str) -> int:
        """Position on *parent* at which *child* (segment, muscle or skin id) leaves; its end if unlisted."""
        segment = self.segments[parent]
        try:
            return segment.position_of(child)
        except KeyError:
            return len(segment.course)

    @cached_property
    def children(self) -> Mapping[str, tuple[str, ...]]:
        """Segment id → segments that come from it, in the order in which they leave, then model order."""
        found: dict[str, list[tuple[int, str]]] = {id: [] for id in self.segments}
        for segment in self.segments.values():
            for parent in segment.parents:
                found[parent].append((self.exit_of(parent, segment.id), segment.id))
        return {id: tuple(c for _, c in sorted(pairs, key=lambda p: p[0])) for id, pairs in found.items()}

    @cached_property
    def nerves_of(self) -> Mapping[str, tuple[str, ...]]:
        """Muscle or skin id → the segments in whose course it stands, in model order."""
        found: dict[str, dict[str, None]] = {target.id: {} for target in self.targets}
        for segment in self.segments.values():
            for item in segment.course:
                if isinstance(item, Exit) and item.to in found:
                    found[item.to][segment.id] = None
        return {id: tuple(ids) for id, ids in found.items()}

    @cached_property
    def graph(self) -> nx.DiGraph[str]:
        """Segments, muscles and skin as nodes; an edge from each segment to what it becomes or gives off.

        Edges carry ``at``, the position on the parent at which the child leaves.
        """
        import networkx as nx  # noqa: PLC0415

        graph: nx.DiGraph[str] = nx.DiGraph()
        for entity in (*self.segments.values(), *self.muscles.values(), *self.skin.values()):
            graph.add_node(entity.id, kind=entity.kind)
        for parent, children in self.children.items():
            for child in children:
                graph.add_edge(parent, child, at=self.exit_of(parent, child))
        for target, nerves in self.nerves_of.items():
            for nerve in nerves:
                graph.add_edge(nerve, target, at=self.exit_of(nerve, target))
        return graph
