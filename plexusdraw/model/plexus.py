"""The checked, frozen model of one plexus.

Everything here is a value: nothing computes, nothing draws. ``plexusdraw.model.load`` builds it from a
file; ``plexusdraw.routes.fibres`` computes on it. The words:

* *segment*: any stretch of nerve. It has a stage (root, trunk, ... terminal branch) or none (a side
  branch, a branch of a nerve, or a link that joins two staged segments).
* *course*: what leaves a segment, in order from proximal to distal, with named places in between.
* *position*: an integer along a course. Position ``p`` lies just before item ``p``; position 0 is the
  start of the segment, ``len(course)`` its end. A cut at ``p`` breaks what leaves at item ``p`` or later.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import networkx as nx

Kind = str
"""A stage's singular ("root", "trunk", ...), nerve, place, muscle, skin, group, reflex or sign."""

Side = Literal["cranial", "caudal"]
Plane = Literal["posterior", "middle", "anterior"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a fact comes from."""

    id: str
    title: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """One column. ``order`` says whether the listed order of its segments is anatomical or free."""

    id: str
    name: str
    singular: str
    order: Literal["given", "free"] = "given"
    latin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entity:
    """What can be named: id (kebab case), English name, other names, sources of its facts."""

    id: str
    name: str
    kind: Kind
    latin: str = ""
    label: str = ""
    """Short text for a picture ("upper" for the upper trunk); empty: made from the name."""
    synonyms: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    note: str = ""
    line: int = 0
    """Line in the model file, 1-based; 0 where there is none."""


@dataclass(frozen=True, slots=True)
class Exit:
    """A branch, muscle or skin area that leaves a segment at this place of its course.

    ``roots`` and ``minor`` narrow what this one nerve brings to a muscle or skin area; both ``None``:
    every root of the target that the segment carries.
    """

    to: str
    roots: tuple[str, ...] | None = None
    minor: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Entity):
    """A named place along a course at which the trade puts injuries ("spiral groove"); kind "place"."""

    full_name: str = ""
    """The name with its segment's: "radial nerve at spiral groove"."""
    variable: Mapping[str, str] = field(default_factory=dict)
    """Ids of muscles and skin areas beyond it of which sources say that their branch may leave before it → note."""


CourseItem = Exit | Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment(Entity):
    """A stretch of nerve. ``parents`` (derived) are the segments it comes from, in model order."""

    stage: str | None = None
    parents: tuple[str, ...] = ()
    course: tuple[CourseItem, ...] = ()
    only_roots: tuple[str, ...] | None = None
    """Narrows what the graph lets through; ``None``: all of it."""
    minor: tuple[str, ...] = ()
    """Roots whose share in this segment is minor."""
    variable: Mapping[str, str] = field(default_factory=dict)
    """Roots described by some sources that have no route in the usual arrangement → note."""
    plane: Plane = "middle"
    side: Side | None = None
    """The border at which a side branch leaves; ``None``: the layout chooses."""
    offshoot: bool = False
    """A branch of a nerve of the last stage that the whole picture draws, as it does side branches."""
    loop: bool = False
    """Where it is drawn, what it comes from turns toward each other and meets, as the ends of a loop do."""
    reaches: tuple[str, ...] = ()
    """Muscles and skin areas to which alone a link's fibres go, beyond where it joins a nerve too; empty: to all."""
    passes_behind: bool = False
    """The side branch runs behind the rest of its column and leaves at the outer border."""
    drawn: bool = True
    whole: str = ""
    """The segment of several parts of which this is one; empty: it is no part."""
    parts: tuple[str, ...] = ()
    """Of a whole: its parts, in the order in which they lie."""

    def position_of(self, target: str) -> int:
        """Position at which *target* (a segment, muscle, skin or place id) sits; KeyError if not here."""
        for i, item in enumerate(self.course):
            if target == (item.to if isinstance(item, Exit) else item.id):
                return i
        raise KeyError(target)

    def place_at(self, name: str) -> int:
        """Position of the place of this name; KeyError if there is none."""
        for i, item in enumerate(self.course):
            if isinstance(item, Place) and item.name == name:
                return i
        raise KeyError(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Entity):
    """A muscle or a skin area: what fibres reach."""

    roots: tuple[str, ...] = ()
    minor: tuple[str, ...] = ()
    variable: Mapping[str, str] = field(default_factory=dict)
    outside: Mapping[str, str] = field(default_factory=dict)
    """Root → nerve that brings it from outside this plexus; no injury of the plexus cuts it."""
    outside_minor: tuple[str, ...] = ()
    """Those of the outside roots whose share is minor."""
    movements: tuple[str, ...] = ()
    testable: bool = True
    """A muscle that can be examined alone at the bedside; ``False`` keeps it out of the tests to do next."""
    examine: str = ""
    """How it is examined at the bedside, in a line."""
    trick: str = ""
    """The movement by other muscles that deceives the examiner."""
    area: str = ""
    dermatome: str | None = None
    """The root whose whole skin this is: it has no nerve; its routes are those of that root to ``areas``."""
    areas: tuple[str, ...] = ()
    """Ids of the skin areas that a dermatome covers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group(Entity):
    """A name the trade uses for several muscles ("rhomboids")."""

    members: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside(Entity):
    """A muscle or skin area that no nerve of this plexus supplies: normal after every injury of it."""

    nerve: str = ""
    roots: tuple[str, ...] = ()
    minor: tuple[str, ...] = ()
    movements: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()
    """Ids of segments (their start) and places at which a cut nevertheless takes a part of its fibres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reflex(Entity):
    """A tendon reflex: the muscles that answer and the roots that carry it."""

    muscles: tuple[str, ...] = ()
    roots: tuple[str, ...] = ()
    minor: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """When a sign shows: everything listed must hold. Ids of muscles, groups, skin areas, roots, reflexes.

    ``lost``: all of it lost. ``weak``: at least partly lost. ``spared``: no principal supply lost. ``cut``:
    ids of segments (their start) and places; the same segment is cut there or nearer to the root.
    """

    lost: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    spared: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()
    all: tuple[Rule, ...] = ()
    any: tuple[Rule, ...] = ()

    def parts(self) -> tuple[Rule, ...]:
        """This rule and all rules in it."""
        return (self, *(part for rule in (*self.all, *self.any) for part in rule.parts()))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign(Entity):
    """What the eye sees after an injury ("wrist drop"), and the rule by which it follows."""

    when: Rule


@dataclass(frozen=True, slots=True)
class Remark:
    """What is worth knowing of all places of one name ("preganglionic"): it holds from there to the next such place."""

    place: str
    note: str
    sources: tuple[str, ...] = ()
    line: int = 0


@dataclass(frozen=True, slots=True)
class Alternative:
    """Sites that some sources mean by a scenario's name instead, and which."""

    sites: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario(Entity):
    """A lesson's or an eponym's name for an injury: "Erb palsy". ``sites`` are texts as a user types them."""

    sites: tuple[str, ...]
    usually: Literal["", "partial", "complete"] = ""
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class Prevalence:
    """How often a variant was found: the figure as published, in whom, and by whom."""

    value: str
    where: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant(Entity):
    """A named set of changes; kind "variant" (of bodies) or "convention" (of drawing or naming)."""

    prevalence: tuple[Prevalence, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Region(Entity):
    """A part of a plexus that may be drawn alone: its nerves."""

    nerves: tuple[str, ...] = ()


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
