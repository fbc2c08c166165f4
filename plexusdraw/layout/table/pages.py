"""The supply table on pages of its own, where it has no room beside the drawing: columns of nerves with their rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from plexusdraw import fonts
from plexusdraw.layout import surround
from plexusdraw.layout.columns import compose
from plexusdraw.layout.columns.plan import Plan
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import rows as table
from plexusdraw.scene import MM_PER_PT, Box, Label, Note, Panel, Part, Row

ROW = 1.5
"""Row height as a multiple of the type size."""
HEAD = 1.9
"""Height of a nerve's name over its rows, as a multiple of the type size."""
REST = 0.9
"""Space under the rows of a nerve, as a multiple of the type size."""
STEPS = 10


@dataclass(frozen=True, slots=True)
class Flow:
    """Groups shared out over columns, columns over pages."""

    grid: table.Grid
    pages: tuple[tuple[tuple[table.Rows, ...], ...], ...]


def pages(plan: Plan, rows: Sequence[table.Rows], paper: Paper, scale: Scale, head: compose.Head) -> list[list[Part]]:
    """Parts of each page of the table, in the largest type up to *scale* that takes the fewest pages."""
    span = max(0.0, scale.size - scale.smallest)
    sizes = [scale.smallest + span * i / STEPS for i in range(STEPS, -1, -1)]
    flows = [(_flow(plan, rows, paper, Scale(s, scale.smallest), head), s) for s in sizes]
    usable = [(flow, s) for flow, s in flows if flow is not None]
    if not usable:
        return []
    flow, size = min(usable, key=lambda f: (len(f[0].pages), -f[1]))
    return [_page(plan, flow, columns, paper, Scale(size, scale.smallest), head) for columns in flow.pages]


def page(plan: Plan, rows: Sequence[table.Rows], paper: Paper, scale: Scale, head: compose.Head) -> list[Part] | None:
    """Parts of the whole table on one page in the type of *scale*, its columns of about one height.

    None where they do not fit it.
    """
    best = None
    for i in range(STEPS):
        flow = _flow(plan, rows, paper, scale, head, 1.0 - 0.5 * i / STEPS)
        if flow is None or len(flow.pages) > 1:
            break
        best = flow
    return _page(plan, best, best.pages[0], paper, scale, head) if best else None


def _flow(
    plan: Plan, rows: Sequence[table.Rows], paper: Paper, scale: Scale, head: compose.Head, share: float = 1.0
) -> Flow | None:
    """Groups in columns that take *share* of the page's height."""
    grid = table.grid(rows, plan.plexus.roots, scale)
    room = share * surround.bands(paper, scale, head.caution, plan.plexus).room
    across = int((paper.width - 2 * paper.margin + scale.mm(2)) / (grid.width + scale.mm(2)))
    most = int((room / (scale.row * MM_PER_PT) - HEAD - REST) / ROW)
    if across < 1 or most < 1:
        return None
    columns: list[list[table.Rows]] = [[]]
    used = 0.0
    for group in (part for whole in rows for part in _parts(whole, most)):
        tall = _height(group, scale)
        if used + tall > room and columns[-1]:
            columns.append([])
            used = 0.0
        columns[-1].append(group)
        used += tall
    spread = [tuple(tuple(c) for c in columns[i : i + across]) for i in range(0, len(columns), across)]
    return Flow(grid, tuple(spread))


def _parts(group: table.Rows, most: int) -> Iterator[table.Rows]:
    """The rows of a nerve, in pieces of about equal length where they are more than one column takes."""
    pieces = ceil(len(group.entries) / most)
    each = ceil(len(group.entries) / pieces)
    for i in range(0, len(group.entries), each):
        yield replace(group, entries=group.entries[i : i + each], continued=i > 0)


def _height(group: table.Rows, scale: Scale) -> float:
    return (HEAD + ROW * len(group.entries) + REST) * scale.row * MM_PER_PT


def _page(
    plan: Plan,
    flow: Flow,
    columns: Sequence[Sequence[table.Rows]],
    paper: Paper,
    scale: Scale,
    head: compose.Head,
) -> list[Part]:
    page = surround.bands(paper, scale, head.caution, plan.plexus)
    step = (paper.width - 2 * paper.margin) / len(columns)
    made: list[Part] = []
    for i, groups in enumerate(columns):
        x = paper.margin + i * step
        box = Box(x, page.top, step, page.bottom - page.top)
        made.append(Panel(f"supply-{i}", "supply", box, i))
        left = x + max(0.0, min((step - flow.grid.width) / 2, scale.mm(3)))
        made += compose.heads(flow.grid, left, page, scale)
        made += _groups(plan, flow.grid, groups, left, page.content, scale)
    legend = surround.legend(made, surround.LEGEND_DOTS)
    return made + list(surround.notes(page, scale, head.orientation, head.caution, legend))


def _groups(
    plan: Plan, grid: table.Grid, groups: Sequence[table.Rows], x: float, top: float, scale: Scale
) -> Iterator[Label | Row | Note]:
    unit = scale.row * MM_PER_PT
    y = top
    for group in groups:
        base = y + unit * HEAD * 0.68
        roots = " ".join(plan.fibres.carried[group.nerve.id])
        head = f"{group.nerve.name}, continued" if group.continued else f"{group.nerve.name} ({roots})"
        text = fonts.text(head, x, base, scale.row, bold=True)
        blank = Box(x, y + unit * 0.3, grid.name, unit * (HEAD - 0.5))
        yield Label(group.nerve.id, group.nerve.kind, "name", (text,), blank, (x, y + unit * HEAD / 2))
        one = replace(grid, rows=(group,))
        rows, _ = table.build(one, x, y + unit * HEAD, unit * ROW * len(group.entries), loose=ROW)
        yield from rows
        y += _height(group, scale)
