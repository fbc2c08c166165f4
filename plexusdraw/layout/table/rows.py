"""The supply table: a row for each muscle in nerve order, a dot for each root, the state in words.

What has two nerves has a row under each, with the roots that come that way. Skin stands after the muscles of its nerve.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.layout.labels import Wording, as_skin
from plexusdraw.layout.scale import Scale
from plexusdraw.model.entities import Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import MM_PER_PT, Box, Dot, Note, Point, Row, Text

WORDS = ("paralysed", "slightly weak", "weak", "reduced", "lost")
"""The words that a state column may hold; it is as wide as the widest."""
MUSCLES, SKIN, BOTH = "MUSCLES", "SKIN", "MUSCLES AND SKIN"
TIGHT = 1.08
"""Least row height as a multiple of the type size."""
LOOSE = 1.9
"""Most row height as a multiple of the type size."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One row: what is supplied, by which roots this way, each with whether it is minor."""

    target: Target
    roots: dict[str, bool]
    text: str

    def named(self, skin: str) -> str:
        """Its text; where muscles stand beside it, *skin* says of skin that it is skin."""
        return self.text if not skin or self.target.kind == "muscle" else as_skin(self.text, skin)


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one nerve."""

    nerve: Segment
    entries: tuple[Entry, ...]
    wording: Wording
    continued: bool = False
    """Whether they go on from a column before."""


def entries(plexus: Plexus, fibres: Fibres, nerves: Sequence[Segment], wording: Wording) -> list[Rows]:
    """Rows of every nerve that supplies something, in the order of *nerves*."""
    found: list[Rows] = []
    for nerve in nerves:
        made = [_entry(plexus, fibres, nerve, target, wording) for target in supplied(plexus, nerve.id)]
        if made:
            found.append(Rows(nerve, tuple(made), wording))
    return found


def of_kind(rows: Sequence[Rows], kind: str) -> list[Rows]:
    """The rows of one kind, "muscle" or "skin", of those nerves that have any."""
    kept = (replace(group, entries=tuple(e for e in group.entries if e.target.kind == kind)) for group in rows)
    return [group for group in kept if group.entries]


def _entry(plexus: Plexus, fibres: Fibres, nerve: Segment, target: Target, wording: Wording) -> Entry:
    ways = [r for r in fibres.through(nerve.id) if r.target == target.id]
    roots = {
        root: all(r.minor for r in ways if r.root == root) for root in plexus.roots if any(r.root == root for r in ways)
    }
    text = wording.of(target)
    if target.outside:
        text = f"{text} (+ {' '.join(target.outside)})"
    return Entry(target, roots, text)


@dataclass(frozen=True, slots=True)
class Grid:
    """Measures of a table, mm: columns from its left edge, least height."""

    rows: tuple[Rows, ...]
    roots: tuple[str, ...]
    scale: Scale
    number: float
    name: float
    step: float
    word: float
    skin: str
    """What says of skin that it is skin, where muscles stand in it too; else empty."""

    @property
    def heading(self) -> str:
        """What stands over the names."""
        return heading(self.rows)

    @property
    def width(self) -> float:
        """Width of the table, mm."""
        return self.dots_x + len(self.roots) * self.step + self.scale.mm(0.4) + self.word

    @property
    def name_x(self) -> float:
        """Left edge of the names, mm."""
        return self.scale.mm(0.5) + self.number

    @property
    def dots_x(self) -> float:
        """Left edge of the dots, mm."""
        return self.name_x + self.name + self.scale.mm(0.5)

    def height(self, tight: float = TIGHT) -> float:
        """Height of all rows at *tight* times the type size, groups parted by half a row."""
        row = self.scale.row * MM_PER_PT * tight
        count = sum(len(g.entries) for g in self.rows)
        return count * row + max(0, len(self.rows) - 1) * row * 0.35


def heading(rows: Sequence[Rows]) -> str:
    """What a table holds, in a word or three."""
    kinds = _kinds(rows)
    word = BOTH if len(kinds) > 1 else MUSCLES if "muscle" in kinds else SKIN
    return rows[0].wording.word(word) if rows else word


def _kinds(rows: Sequence[Rows]) -> set[str]:
    return {e.target.kind for group in rows for e in group.entries}


def grid(rows: Sequence[Rows], roots: Sequence[str], scale: Scale, blank: float = 0.0) -> Grid:
    """Measure a table."""
    title = fonts.width(heading(rows), scale.heading, bold=True) + scale.mm(0.2)
    skin = rows[0].wording.word("skin") if len(_kinds(rows)) > 1 else ""
    names = max((fonts.width(e.named(skin), scale.row) for g in rows for e in g.entries), default=0.0)
    word = max(fonts.width(w, scale.row, bold=True) for w in WORDS)
    step = max(scale.mm(0.95), *(fonts.width(r, scale.tick, bold=True) + scale.mm(0.32) for r in roots))
    number = fonts.width("88", scale.row, bold=True) + scale.mm(0.3)
    return Grid(tuple(rows), tuple(roots), scale, number, max(names, title, blank), step, word, skin)


def build(
    measure: Grid, x: float, top: float, height: float, loose: float = LOOSE
) -> tuple[list[Row], dict[str, Point]]:
    """Rows from (x, top) down, spread over at most *height* mm, and for each nerve the top and bottom of its rows."""
    unit = measure.scale.row * MM_PER_PT
    step = min(height / (measure.height(1.0) / unit or 1.0), loose * unit)
    parts: list[Row] = []
    places: dict[str, Point] = {}
    y = top
    for group in measure.rows:
        start = y
        for entry in group.entries:
            parts.append(_row(measure, group.nerve.id, entry, x, y, step))
            y += step
        places[group.nerve.id] = (start, y)
        y += step * 0.35
    return parts, places


def root_heads(measure: Grid, x: float, baseline: float, key: str = "") -> list[Note]:
    """Root letters over the dots; *key* tells the notes of one table from those of another on the page."""
    made: list[Note] = []
    for i, root in enumerate(measure.roots):
        at = x + measure.dots_x + (i + 0.5) * measure.step
        text = fonts.text(root, at, baseline, measure.scale.tick, "middle", bold=True)
        made.append(Note("table-root", f"{key}{root}", text, measure.step))
    return made


def _row(measure: Grid, nerve: str, entry: Entry, x: float, y: float, step: float) -> Row:
    scale = measure.scale
    baseline = y + step / 2 + scale.row * MM_PER_PT * 0.33
    name = fonts.text(entry.named(measure.skin), x + measure.name_x, baseline, scale.row)
    dots, empty = [], []
    r = min(step * 0.36, measure.step * 0.36)
    for i, root in enumerate(measure.roots):
        at = x + measure.dots_x + (i + 0.5) * measure.step
        if root in entry.roots:
            dots.append(Dot(root, at, y + step / 2, r, entry.roots[root]))
        else:
            empty.append((at, y + step / 2))
    end = x + measure.dots_x + len(measure.roots) * measure.step + scale.mm(0.4)
    word = Text("", end, baseline, scale.row, "start", True, Box(end, name.box.y, measure.word, name.box.h))
    blank = Box(x + measure.name_x, y + step * 0.08, measure.name, step * 0.84)
    number = fonts.text("", x + measure.name_x - scale.mm(0.25), baseline, scale.row, "end", bold=True)
    return Row(entry.target.id, entry.target.kind, name, tuple(dots), tuple(empty), word, blank, number, nerve=nerve)
