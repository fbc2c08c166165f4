"""The skin of each nerve, in a block under the drawing: nerve, area, a dot for each root, the state in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from plexusdraw import fonts
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.reading import SUPPLY
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import rows as table
from plexusdraw.scene import MM_PER_PT, Box, Label, Note, Panel, Part

ROW = 1.3
"""Row height as a multiple of the type size."""
LEAST = 2.25
"""Least height of the rows of one nerve, as a multiple of the type size: a number has room beside a blank name."""
HEAD = 1.9
"""Height of the headings, as a multiple of their type size."""
BETWEEN_EMS = 2.0
"""Room between columns of the block."""
MOST_COLUMNS = 3


@dataclass(frozen=True, slots=True)
class Block:
    """Rows shared out over columns; ``nerve`` is the width kept for the nerves' names, mm."""

    columns: tuple[tuple[table.Rows, ...], ...]
    grid: table.Grid
    nerve: float
    names: dict[str, str]
    scale: Scale

    @property
    def step(self) -> float:
        """Width of a column with the room beside it, mm."""
        return self.nerve + self.grid.width + self.scale.mm(BETWEEN_EMS)

    @property
    def width(self) -> float:
        """Width of all columns, mm."""
        return len(self.columns) * self.step

    @property
    def row(self) -> float:
        """Height of a row, mm."""
        return self.scale.row * MM_PER_PT * ROW

    @property
    def head(self) -> float:
        """Height of the headings, mm."""
        return self.scale.heading * MM_PER_PT * HEAD

    @property
    def height(self) -> float:
        """Height of the whole, with the room over it, mm."""
        tall = max(sum(self.tall(group) for group in column) for column in self.columns)
        return self.scale.mm(0.6) + self.head + tall + self.scale.mm(0.4)

    def tall(self, group: table.Rows) -> float:
        """Height of the rows of one nerve, mm."""
        return max(self.row * len(group.entries), self.scale.row * MM_PER_PT * LEAST)


def block(
    rows: Sequence[table.Rows], roots: Sequence[str], scale: Scale, wording: Wording, room: float, blank: float
) -> Block | None:
    """The block in as many columns as *room* (mm) takes; None where there is no skin or not even one fits.

    *blank*: width of a blank in place of a nerve's name, mm.
    """
    if not rows:
        return None
    names = {group.nerve.id: wording.of(group.nerve) for group in rows}
    widest = max(blank, *(fonts.width(text, scale.row, bold=True) for text in names.values()))
    nerve = fonts.width("88", scale.row, bold=True) + widest + scale.mm(0.6)
    grid = table.grid(rows, roots, scale)
    for columns in range(MOST_COLUMNS, 0, -1):
        made = Block(_shared(rows, columns), grid, nerve, names, scale)
        if made.width <= room:
            return made
    return None


def _shared(rows: Sequence[table.Rows], columns: int) -> tuple[tuple[table.Rows, ...], ...]:
    """Nerves in order over columns of about equal height; a nerve stays together."""
    most = ceil(sum(len(group.entries) for group in rows) / columns)
    made: list[list[table.Rows]] = [[]]
    for group in rows:
        if made[-1] and sum(len(g.entries) for g in (*made[-1], group)) > most and len(made) < columns:
            made.append([])
        made[-1].append(group)
    return tuple(tuple(column) for column in made)


def parts(made: Block, x: float, top: float, blank: float) -> Iterator[Part]:
    """Headings, nerve names and rows of the block, from its top left corner (mm) on; *blank*: width of a blank name."""
    scale = made.scale
    baseline = top + scale.mm(0.6) + made.head * 0.6
    half = scale.mm(BETWEEN_EMS) / 2
    for i, groups in enumerate(made.columns):
        left = x + half + i * made.step
        yield Panel(f"skin-{i}", SUPPLY, Box(left - half, top, made.step, made.height), i)
        text = fonts.text(made.grid.heading, left + made.nerve + made.grid.name_x, baseline, scale.heading, bold=True)
        yield Note("table-heading", f"skin-heading-{i}", text, made.grid.name)
        yield from table.root_heads(made.grid, left + made.nerve, baseline, f"skin-{i}-")
        y = top + scale.mm(0.6) + made.head
        for group in groups:
            yield _name(made, group, left, y, blank)
            one = replace(made.grid, rows=(group,))
            yield from table.build(one, left + made.nerve, y, made.row * len(group.entries), loose=ROW)[0]
            y += made.tall(group)


def _name(made: Block, group: table.Rows, left: float, y: float, wide: float) -> Label:
    scale = made.scale
    middle = y + made.row / 2
    x = left + fonts.width("88", scale.row, bold=True) + scale.mm(0.2)
    text = fonts.text(made.names[group.nerve.id], x, middle + scale.row * MM_PER_PT * 0.33, scale.row, bold=True)
    blank = Box(x, y + made.row * 0.08, wide, made.row * 0.84)
    return Label(group.nerve.id, group.nerve.kind, "name", (text,), blank, (left + (x - left) / 2, middle))
