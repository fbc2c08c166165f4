"""What a plexus is made of: stages, segments and their courses, muscles, skin, and what is known of them.

The words:

* *segment*: any stretch of nerve. It has a stage (root, trunk, ... terminal branch) or none (a side
  branch, a branch of a nerve, or a link that joins two staged segments).
* *course*: what leaves a segment, in order from proximal to distal, with named places in between.
* *position*: an integer along a course. Position ``p`` lies just before item ``p``; position 0 is the
  start of the segment, ``len(course)`` its end. A cut at ``p`` breaks what leaves at item ``p`` or later.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

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


@dataclass(frozen=True, slots=True)
class LimbLatin:
    """The limb in Latin: "membrum superius", and with its side: "membrum superius sinistrum"."""

    name: str
    left: str
    right: str


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
    every root of the target that the segment carries. ``beyond``: parts of kept nerves that a course leaves out and
    through which the fibres run on, with the position at which they leave each.
    """

    to: str
    roots: tuple[str, ...] | None = None
    minor: tuple[str, ...] | None = None
    beyond: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Entity):
    """A named place along a course at which the trade puts injuries ("spiral groove"); kind "place"."""

    full_name: str = ""
    """The name with its segment's: "radial nerve at spiral groove"."""
    full_latin: str = ""
    """The same in Latin, "nervus radialis in sulco nervi radialis"; empty unless both have a Latin name."""
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
    left_out: tuple[str, ...] = ()
    """Of a whole: the parts that a course leaves out, by ids that say nothing. No place on it is then kept."""

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
    dermatome: tuple[str, ...] = ()
    """The root, or roots, whose whole skin this is: it has no nerve; its routes are those of them to ``areas``."""
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
    nerve_latin: str = ""
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
    adds: tuple[str, ...] = ()
    """Names and synonyms of what is there only with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Region(Entity):
    """A part of a plexus that may be drawn alone: its nerves."""

    nerves: tuple[str, ...] = ()
