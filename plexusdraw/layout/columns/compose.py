"""From a draft to the parts of a page, in paint order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.layout import surround
from plexusdraw.layout.columns import across as columns
from plexusdraw.layout.columns import bundles as strands
from plexusdraw.layout.columns import lanes, leaders, links
from plexusdraw.layout.columns.bundles import Bundle, Frame
from plexusdraw.layout.columns.draft import Draft
from plexusdraw.layout.columns.gaps import crossing_gaps
from plexusdraw.layout.labels import Block, Wording
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.reading import reading_order
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.surround import Bands
from plexusdraw.layout.table import rows as table
from plexusdraw.layout.table import skin
from plexusdraw.model.entities import Segment
from plexusdraw.scene import MM_PER_PT, Box, Gap, Label, Leader, Note, Part, Pill, Point, Scene, Table, Text, curves

X_HEIGHT = 0.35
"""Half the height of capitals over the baseline, em: text is centred on its strands by it."""
LETTER_BLANK = 0.9
"""Least height of a root's blank, in type sizes of its letters: where all else is dense it still holds a number."""
_ONE_UNNAMED = "There is no room here for the name of a link."
CHANNEL_EMS = 4.0
"""Width of the channel in which leaders fan out to the table."""


@dataclass(frozen=True, slots=True)
class Head:
    """The words around a drawing."""

    orientation: str
    caution: Sequence[str]
    remark: str = ""
    """What the legend says first, if anything."""
    tells: bool = True
    """Whether the legend tells which names have no room."""


def left_limb(sheet: Paper, parts: Sequence[Part], description: str, roots: tuple[str, ...], table: Table) -> Scene:
    """The page of a left limb, with its facts."""
    return Scene(
        width=sheet.width,
        height=sheet.height,
        margin=sheet.margin,
        medium="slide" if sheet.screen else "paper",
        table=table,
        parts=tuple(parts),
        reading=reading_order(parts),
        description=description,
        side="left",
        roots=roots,
    )


def parts(
    draft: Draft, page: Bands, head: Head, wording: Wording, sheet: table.Grid | None, areas: skin.Block | None = None
) -> list[Part]:
    """Everything on one page; a *sheet*, the table, stands to the right of the drawing, skin *areas* under it."""
    frame, scale = draft.frame, draft.frame.scale
    margin, width = page.paper.margin, page.paper.width
    taken = draft.width + (sheet.width + scale.mm(CHANNEL_EMS) if sheet else 0.0)
    dx = margin + frame.xs.left + max(0.0, (width - 2 * margin - taken) / 2)
    upper = replace(page, bottom=page.bottom - areas.height) if areas else page
    dy = page.content + (upper.room - draft.height) / 2 - draft.top
    frame = shifted(frame, dx, dy)
    bundles = ordered(strands.slots(frame) + strands.ties(frame) + strands.branches(frame))
    right = frame.xs.columns[-1].x1 + frame.xs.right
    edge = right if sheet else max(right, width - margin)
    start = min(margin, frame.xs.columns[0].x0 - frame.xs.left)
    borders = surround.edges(frame.xs, start, edge, surround.heading_rooms(frame.plan, scale, wording))
    made: list[Part] = [*surround.panels(frame.plan, upper, borders, scale, wording)]
    if areas:
        made += skin.parts(areas, margin, upper.bottom, max(block.blank[0] for block in draft.blocks.values()))
    if sheet:
        made += _table(frame, draft.blocks, page, sheet, right)
    made += painted(bundles, scale)
    made += strands.spots(frame)
    made += _plates(frame, wording, draft.blocks)
    made += _root_letters(frame, wording)
    made += _names(frame, draft.blocks)
    room = Box(margin, upper.content, frame.xs.columns[-1].x1 - margin, upper.room)  # no name of a last nerve
    named, without = links.names(frame, bundles, made, room, wording, _blank(draft))
    made += named
    dots = surround.LEGEND_DOTS if sheet else ""
    unnamed = _unnamed(frame, without, wording, width - 2 * margin) if head.tells else ""
    legend = surround.legend(made, head.remark, surround.LEGEND_STRANDS, dots, unnamed)
    made += surround.notes(page, scale, head.orientation, head.caution, legend)
    return made


def _blank(draft: Draft) -> float:
    """Width of the blanks of side branches, mm; 0 where there are none."""
    return next((draft.blocks[b.id].blank[0] for b in draft.frame.plan.branches), 0.0)


def _unnamed(frame: Frame, ids: Sequence[str], wording: Wording, width: float) -> str:
    """What the legend says of links whose names have no room: which they are or, in a narrow legend, how many."""
    if not ids:
        return ""
    named = ", ".join(wording.of(frame.plan.plexus.segments[id]) for id in ids)
    said = f"There is no room here for the name of {named}."
    if fonts.width(said, frame.scale.note) <= width:
        return said
    return f"There is no room here for the names of {len(ids)} links." if ids[1:] else _ONE_UNNAMED


def shifted(frame: Frame, dx: float, dy: float) -> Frame:
    """The same frame moved on the page."""
    ys = {k: y + dy for k, y in frame.ys.items()}
    return Frame(frame.plan, frame.scale, frame.xs.moved(dx), ys, {k: y + dy for k, y in frame.lanes.items()})


def ordered(bundles: list[Bundle]) -> list[Bundle]:
    """Paint order, back to front; stable within a depth."""
    return sorted(bundles, key=lambda b: b.depth)


def painted(bundles: Sequence[Bundle], scale: Scale) -> list[Part]:
    """Strands of all bundles, each over the blank paper that parts it from what is behind."""
    wide = crossing_gaps(bundles, scale)
    made: list[Part] = []
    for i, bundle in enumerate(bundles):
        thin = scale.thin_pitch - scale.thin if bundle.layer == strands.BRANCH else scale.pitch - scale.strand
        made += wide.get(i, [])
        made.append(Gap(bundle.entity, bundle.kind, bundle.centre, 2 * (bundle.half + thin)))
        made += bundle.lay()
    return made


def _plates(frame: Frame, wording: Wording, blocks: Mapping[str, Block]) -> list[Pill]:
    made: list[Pill] = []
    lines: dict[str, list[str]] = {}
    for index, column in enumerate(frame.xs.columns):
        lines |= columns.plates(frame.plan, index, frame.scale, wording) if column.plate else {}
    for slot in frame.plan.slots.values():
        column = frame.xs.columns[slot.column]
        if slot.segment is None or not column.plate:
            continue
        size = columns.plate_pt(frame.plan, slot.column, frame.scale)
        x, y = column.x0 + frame.scale.mm(columns.LEAD_EMS), frame.ys[slot.id]
        most = frame.xs.lines[slot.column] if frame.xs.lines else 1
        height = lanes.plate_height(frame.scale, blocks, most)
        h = height * size / frame.scale.pill if not wording.room(slot.segment.kind)[1] else height
        box = Box(x, y - h / 2, column.plate, h)
        words = lines[slot.id]
        step = size * MM_PER_PT * lanes.PLATE_LEADING
        base = middle(y, size) - step * (len(words) - 1) / 2
        first, *more = (
            fonts.text(line, x + column.plate / 2, base + i * step, size, "middle", True)
            for i, line in enumerate(words)
        )
        made.append(Pill(slot.id, slot.segment.kind, box, first, (x, y), tuple(more)))
    return made


def middle(y: float, size: float) -> float:
    """Baseline that centres capitals of *size* pt on *y*."""
    return y + X_HEIGHT * size * MM_PER_PT


def _root_letters(frame: Frame, wording: Wording) -> list[Label]:
    made: list[Label] = []
    scale, column = frame.scale, frame.xs.columns[0]
    for id in frame.plan.columns[0]:
        slot = frame.plan.slots[id]
        if slot.segment is None:
            continue
        x, y = column.x0 - scale.beside(0.35), frame.ys[id]
        text = fonts.text(columns.plate_text(slot, wording), x, middle(y, scale.root), scale.root, "end", bold=True)
        w, h = (
            frame.xs.left - scale.mm(0.1) - scale.beside(0.35),
            max(scale.mm(1.35), LETTER_BLANK * scale.root * MM_PER_PT, wording.room(slot.segment.kind)[1]),
        )
        blank = Box(x - w, y - h / 2, w, h)
        made.append(Label(id, slot.segment.kind, "name", (text,), blank, (column.x0 + scale.mm(0.1), y)))
    return made


def _names(frame: Frame, blocks: Mapping[str, Block]) -> list[Label]:
    made: list[Label] = []
    scale = frame.scale
    for id in frame.plan.columns[-1]:
        slot = frame.plan.slots[id]
        if slot.segment is not None and id in blocks:
            x = frame.xs.columns[-1].x1
            block = blocks[id]
            top = frame.ys[id] - block.height / 2
            made += label(id, slot.segment.kind, block, (x, frame.ys[id]), x + scale.beside(0.5), top)
    for branch in frame.plan.branches:
        block, y = blocks[branch.id], frame.lanes[branch.id]
        tip = strands.branch_tip(frame, branch)
        top = y - lanes.name_above(block)
        made += label(branch.id, branch.segment.kind, block, (tip, y), tip + scale.mm(0.4), top)
    return made


def label(entity: str, kind: str, block: Block, tip: Point, x: float, top: float) -> list[Label]:
    """Name and supply of a nerve whose strands end at *tip*; text starts at *x*, the block at *top*."""
    lead = (block.name_height - len(block.name) * block.name_step) / 2
    names = _lines(block.name, x, top + lead, block.name_pt, block.name_step, bold=True)
    bw, bh = block.blank
    inset = 0.06 * block.name_pt * MM_PER_PT
    blank = Box(x, top + (block.name_height - bh) / 2 + inset, bw, bh - 2 * inset)
    made = [Label(entity, kind, "name", names, blank, (tip[0], blank.y + blank.h / 2), tip[1])]
    if block.supply:
        start = top + block.name_height
        lines = _lines(block.supply, x, start, block.supply_pt, block.supply_step, bold=False)
        height = block.supply_step
        made.append(
            Label(
                entity,
                kind,
                "supply",
                lines,
                Box(x, start + inset, bw, height - 2 * inset),
                (tip[0], start + height / 2),
            )
        )
    return made


def _lines(strings: Sequence[str], x: float, top: float, size: float, step: float, bold: bool) -> tuple[Text, ...]:
    base = top + step / 2 + X_HEIGHT * size * MM_PER_PT
    return tuple(fonts.text(t, x, base + i * step, size, bold=bold) for i, t in enumerate(strings))


def top_down(frame: Frame) -> list[Segment]:
    """Nerves from top to bottom as their leaders reach the channel."""
    ends = [(leaders.exit_height(frame, b), b.segment) for b in frame.plan.branches]
    last = (frame.plan.slots[id] for id in frame.plan.columns[-1])
    ends += [(frame.ys[slot.id], slot.segment) for slot in last if slot.segment is not None]
    return [segment for _, segment in sorted(ends, key=lambda end: (end[0], end[1].id))]


def _table(frame: Frame, blocks: Mapping[str, Block], page: Bands, sheet: table.Grid, channel: float) -> list[Part]:
    scale = frame.scale
    x = channel + scale.mm(CHANNEL_EMS)
    full = sheet.height(table.LOOSE)
    height = min(page.bottom - page.content, full)
    top = page.content + (page.bottom - page.content - height) / 2
    rows, places = table.build(sheet, x, top, height)
    made: list[Part] = []
    heights = {id: (a + b) / 2 for id, (a, b) in places.items()}
    made += leaders.lines(frame, blocks, channel, heights, x - scale.mm(0.35))
    made += [bracket(group.nerve, x - scale.mm(0.1), *places[group.nerve.id], scale) for group in sheet.rows]
    made += heads(sheet, x, page, scale)
    made += rows
    return made


def bracket(nerve: Segment, x: float, top: float, bottom: float, scale: Scale) -> Leader:
    """A vertical line beside the rows of one nerve."""
    inset = scale.mm(0.08)
    return Leader(nerve.id, nerve.kind, curves.line((x, top + inset), (x, bottom - inset)))


def heads(sheet: table.Grid, x: float, page: Bands, scale: Scale) -> list[Note]:
    """Heading of the table and the root letters over its dots."""
    baseline = page.top + scale.heading * MM_PER_PT * 1.55
    text = fonts.text(sheet.heading, x + sheet.name_x, baseline, scale.heading, bold=True)
    return [Note("table-heading", "table-heading", text, sheet.name), *table.root_heads(sheet, x, baseline)]
