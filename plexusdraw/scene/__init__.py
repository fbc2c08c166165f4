"""What a page holds, in millimetres: x to the right, y down. No colour, no state, no anatomy rules.

The layout makes a :class:`Scene`; a view says in which state each part is; a theme says how a state
looks. Every part carries the id and the kind of the entity that it shows. Parts come in paint order.
Text sizes are in points (1 pt = 25.4 / 72 mm).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MM_PER_PT = 25.4 / 72

Point = tuple[float, float]
Curve = tuple[Point, ...]
"""A chain of cubic Béziers: 1 + 3n points, as in an SVG path "M p0 C p1 p2 p3 C ...", mm."""

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: left, top, width, height, mm."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """x of the right edge, mm."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """y of the lower edge, mm."""
        return self.y + self.h

    def holds(self, x: float, y: float) -> bool:
        """Whether a point (mm) is in it, or on its edge."""
        return self.x <= x <= self.right and self.y <= y <= self.bottom

    def meets(self, other: Box, clear: float = 0.0) -> bool:
        """Whether the two overlap or come nearer than *clear* mm."""
        return (
            self.x < other.right + clear
            and other.x < self.right + clear
            and self.y < other.bottom + clear
            and other.y < self.bottom + clear
        )


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text: baseline point, size in pt, its ink box (ascender to descender)."""

    string: str
    x: float
    y: float
    size: float
    anchor: Anchor
    bold: bool
    box: Box


@dataclass(frozen=True, slots=True)
class Panel:
    """The backdrop of a column; ``index`` counts columns from the root end."""

    entity: str
    kind: str
    box: Box
    index: int


@dataclass(frozen=True, slots=True)
class Heading:
    """The name over a column. ``says``: ids of what is called so too; where one of them is asked, it is not written."""

    entity: str
    kind: str
    text: Text
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gap:
    """Blank paper beneath a bundle that passes in front of another: a stroke in the page's colour, ``width`` in mm."""

    entity: str
    kind: str
    curve: Curve
    width: float


@dataclass(frozen=True, slots=True)
class Strand:
    """One root's fibres along one piece of a segment.

    ``source`` is the parent for a piece that arrives from it, else None. ``at`` is the position on the
    entity's course at which the piece begins; -1 for an arriving piece, which lies before position 0.
    Consecutive pieces overlap by a hair so that no seam shows. ``width`` in mm.
    """

    entity: str
    kind: str
    root: str
    source: str | None
    at: int
    curve: Curve
    width: float
    minor: bool
    whole: str = ""
    """The segment whose part the entity is, if it is one; its name stands on the strands of all its parts."""


@dataclass(frozen=True, slots=True)
class Pill:
    """A rounded plate that carries a segment's name on its own strands."""

    entity: str
    kind: str
    box: Box
    text: Text
    badge: Point
    """Centre of the number when the name is blank, mm."""
    more: tuple[Text, ...] = ()
    """The lines after the first, of a name that takes several."""

    @property
    def lines(self) -> tuple[Text, ...]:
        """All its lines."""
        return (self.text, *self.more)


@dataclass(frozen=True, slots=True)
class Label:
    """A name beside a strand end, or (role "supply") what the nerve supplies, under its name."""

    entity: str
    kind: str
    role: Literal["name", "supply"]
    lines: tuple[Text, ...]
    blank: Box
    """The box drawn instead of the lines when they are blank; one width for all of a kind and role."""
    badge: Point
    """Centre of its number, mm."""
    strands_y: float | None = None
    """y of the middle of the strands whose end it names, mm; None where it names no end."""


@dataclass(frozen=True, slots=True)
class Leader:
    """A thin line from a nerve to what it supplies, or from a name to the strands that it names."""

    entity: str
    kind: str
    curve: Curve
    to: Literal["supply", "strands"] = "supply"


@dataclass(frozen=True, slots=True)
class Dot:
    """One root of a row: centre and radius; a ring where the share is minor."""

    root: str
    x: float
    y: float
    r: float
    minor: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One muscle or skin area of the supply table."""

    entity: str
    kind: str
    name: Text
    dots: tuple[Dot, ...]
    empty: tuple[Point, ...]
    """Centres of the cells with no root, mm."""
    word: Text
    """Where the state stands in words; its string is empty, the view fills it in."""
    blank: Box
    badge: Text
    """Where the number stands when the name is blank; its string is empty."""
    via: str | None = None
    """The nerve whose last branch this is, where several nerves end in rows of one muscle; None: all of them."""
    nerve: str = ""
    """The nerve under which it is listed; empty where it is under none."""

    @property
    def minor(self) -> bool:
        """Whether one of its shares is minor: it has a ring."""
        return any(dot.minor for dot in self.dots)


@dataclass(frozen=True, slots=True)
class Spot:
    """A place at which a cut can be marked: centre, direction of the bundle in degrees, half its width."""

    entity: str
    kind: str
    at: int
    x: float
    y: float
    angle: float
    half: float


@dataclass(frozen=True, slots=True)
class Area:
    """A filled shape of one or more closed chains: a skin area, the belly of a muscle, a swatch of the legend.

    What its colour stands for: ``roots``, or ``tone``, an index into the fills of a theme; -1 is neutral, and
    ``outside`` marks what no nerve of the plexus supplies. ``border``: parted from its neighbours by a line.
    """

    entity: str
    kind: str
    curves: tuple[Curve, ...]
    tone: int = -1
    roots: tuple[str, ...] = ()
    outside: bool = False
    border: bool = False


@dataclass(frozen=True, slots=True)
class Sinew:
    """A tendon: a stroke of one width, mm."""

    entity: str
    kind: str
    curve: Curve
    width: float


@dataclass(frozen=True, slots=True)
class Shape:
    """What a limb is drawn with beside its areas.

    ``body`` (filled), ``edge`` of the skin, ``cut`` (where the limb ends), ``line`` (a crease), ``bone`` (filled),
    ``pin`` (the end of a leader), ``key`` (a place to examine).
    """

    entity: str
    kind: str
    role: Literal["body", "edge", "cut", "line", "bone", "pin", "key"]
    curve: Curve


@dataclass(frozen=True, slots=True)
class Word:
    """Where the state of a labelled area stands in words; its string is empty, the view fills it in."""

    entity: str
    kind: str
    text: Text


Role = Literal["title", "orientation", "caution", "legend", "credit", "table-heading", "table-root"]


@dataclass(frozen=True, slots=True)
class Note:
    """Text of the page that belongs to no entity; the view may replace it, or leave it out, by its key.

    The string of a title is empty: the view has it.
    """

    role: Role
    key: str
    text: Text
    room: float
    """Width it may take, mm."""


Part = Panel | Heading | Gap | Strand | Pill | Label | Leader | Row | Spot | Note | Area | Sinew | Shape | Word


Medium = Literal["paper", "slide"]
"""On a slide the foot has one line: the caution stands in place of the legend."""
Table = Literal["none", "beside", "alone"]
"""Where the supply table stands: not on this page, beside a drawing, or without one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One page: what stands where, and the facts of the page, so that nobody has to guess them from coordinates.

    ``width``, ``height`` and ``margin`` (at each edge) in mm. ``parts`` in paint order, back to front. ``reading``: the
    places in ``parts`` of all that carries words, in the order in which they are read; blanks are numbered in it.
    """

    width: float
    height: float
    margin: float
    medium: Medium
    table: Table
    parts: tuple[Part, ...]
    reading: tuple[int, ...]
    description: str
    side: Literal["left", "right"]
    roots: tuple[str, ...]
    """In the order of their colours."""

    def read(self) -> tuple[Part, ...]:
        """The parts that carry words, in reading order."""
        return tuple(self.parts[i] for i in self.reading)
