"""What frames the drawing: title, column panels and headings, notes at the foot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plexusdraw import fonts, names
from plexusdraw.layout.columns.across import Xs
from plexusdraw.layout.columns.plan import Plan
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.scale import Scale
from plexusdraw.model.entities import Stage
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import exact
from plexusdraw.scene import MM_PER_PT, Box, Heading, Note, Panel, Part, Role, Row, Strand

LEADING = 1.3
UNDER_SCREEN_MM = 2.0
"""Kept free on a slide between notes and what stands in the lower margin."""
BENEATH = "variants"
"""Key of the note under the title."""
LEGEND_STRANDS = "One strand for each root; a hollow strand is a minor share."
LEGEND_DOTS = "One dot for each root: filled, principal; ring, minor."
_PRINCIPAL = {LEGEND_STRANDS: "One strand for each root.", LEGEND_DOTS: "One dot for each root."}
"""The same where no share is minor, or a course hides those that are."""


@dataclass(frozen=True, slots=True)
class Bands:
    """Where things go on a page, mm: panels from ``top`` to ``bottom``, drawing from ``content`` to ``bottom``."""

    paper: Paper
    top: float
    content: float
    bottom: float
    beneath: str = ""
    """What stands under the title, if anything."""

    @property
    def room(self) -> float:
        """Height for the drawing, mm."""
        return self.bottom - self.content


def bands(paper: Paper, scale: Scale, caution: Sequence[str], plexus: Plexus) -> Bands:
    """The bands of a page whose text has this *scale*; *caution* is already in lines.

    That it is a selection, and the variants that a plexus has, stand under the title, for which there is then room.
    """
    m = scale.title * MM_PER_PT
    top = paper.margin + m * (1.3 if paper.screen else 1.55)
    beneath = names.beneath(plexus)
    top += scale.note * MM_PER_PT * LEADING if beneath else 0.0
    content = top + scale.heading * MM_PER_PT * (1.9 if paper.screen else 2.3)
    lines = max(1, len(caution)) if paper.screen else 1 + len(caution)
    foot = lines * scale.note * MM_PER_PT * LEADING + scale.mm(0.5) + (UNDER_SCREEN_MM if paper.screen else 0.0)
    return Bands(paper, top, content, paper.height - paper.margin - foot, beneath)


def legend(parts: Iterable[Part], *sentences: str) -> tuple[str, ...]:
    """Sentences of the legend of a page with these *parts*; of minor shares they speak where it has one.

    Where the page has no room for all, the last one stays.
    """
    drawn = list(parts)
    minor = {
        LEGEND_STRANDS: any(isinstance(p, Strand) and p.minor for p in drawn),
        LEGEND_DOTS: any(isinstance(p, Row) and p.minor for p in drawn),
    }
    return tuple(text if minor.get(text, True) else _PRINCIPAL[text] for text in sentences if text)


def caution_lines(text: str, paper: Paper, scale: Scale) -> list[str]:
    """The caution in lines as wide as the page."""
    return fonts.wrap(text, paper.width - 2 * paper.margin, scale.note) if text else []


def notes(
    page: Bands, scale: Scale, orientation: str, caution: Sequence[str], legend: Sequence[str] = (LEGEND_STRANDS,)
) -> list[Note]:
    """Room for the title, and the orientation, at the head; legend and caution at the foot.

    On a slide the caution stands in place of the legend.
    """
    paper = page.paper
    width = paper.width - 2 * paper.margin
    top = paper.margin + fonts.ascent(scale.title)
    side = fonts.text(orientation, paper.width - paper.margin, top, scale.note, "end")
    made = [
        _note(
            "title",
            "title",
            "",
            paper.margin,
            top,
            scale.title,
            width - side.box.w - scale.mm(2),
            bold=True,
        ),
        Note("orientation", "orientation", side, side.box.w),
    ]
    step = scale.note * MM_PER_PT * LEADING
    if page.beneath:
        below = top + scale.note * MM_PER_PT * 1.45
        made.append(_note("orientation", BENEATH, page.beneath, paper.margin, below, scale.note, width))
    y = page.bottom + step + scale.mm(0.2)
    said = " ".join(legend)
    if fonts.width(said, scale.note) > width:
        said = legend[-1]  # it says most of this page
    made.append(_note("legend", "legend", said, paper.margin, y, scale.note, width))
    if paper.screen:
        y -= step
    for i, line in enumerate(caution):
        y += step
        made.append(_note("caution", f"caution-{i}", line, paper.margin, y, scale.note, width))
    return made


def _note(role: Role, key: str, text: str, x: float, y: float, size: float, room: float, bold: bool = False) -> Note:
    return Note(role, key, fonts.text(text, x, y, size, bold=bold), room)


def edges(xs: Xs, left: float, right: float, rooms: Sequence[float]) -> list[float]:
    """Borders of the column panels from left to right, mm: the middle of each gap, or as near as headings let it be.

    *rooms*: width that each column's heading asks for.
    """
    pairs = list(zip(xs.columns, xs.columns[1:], strict=False))
    most = [right]
    for room, (_, b) in zip(reversed(rooms[1:]), reversed(pairs), strict=True):
        most.append(min(b.x0, most[-1] - room))
    borders = [left]
    for (a, b), room, end in zip(pairs, rooms[:-1], reversed(most[1:]), strict=True):
        borders.append(max(min((a.x1 + b.x0) / 2, end), borders[-1] + room))
    return [*borders, right]


def panels(plan: Plan, page: Bands, borders: Sequence[float], scale: Scale, wording: Wording) -> list[Panel | Heading]:
    """A panel and a heading for each column."""
    made: list[Panel | Heading] = []
    heads: list[Heading] = []
    baseline = page.top + scale.heading * MM_PER_PT * 1.55
    for i, stage in enumerate(plan.plexus.stages):
        x0, x1 = borders[i], borders[i + 1]
        made.append(Panel(stage.id, stage.singular, Box(x0, page.top, x1 - x0, page.bottom - page.top), i))
        text = fonts.text(wording.column(stage), (x0 + x1) / 2, baseline, scale.heading, "middle", bold=True)
        heads.append(Heading(stage.id, stage.singular, text, _called(plan.plexus, stage, wording)))
    return made + heads


def _called(plexus: Plexus, stage: Stage, wording: Wording) -> tuple[str, ...]:
    """Ids of the segments and wholes that are called as a column is."""
    head = {exact(stage.name), exact(stage.latin), exact(wording.column(stage))} - {""}
    segments = (*plexus.segments.values(), *plexus.wholes.values())
    return tuple(s.id for s in segments if not head.isdisjoint(map(exact, (s.name, s.latin, wording.of(s)))))


def heading_rooms(plan: Plan, scale: Scale, wording: Wording) -> list[float]:
    """Width that the heading of each column asks for, mm."""
    names = (wording.column(stage) for stage in plan.plexus.stages)
    return [fonts.width(name, scale.heading, bold=True) + scale.beside(0.9) for name in names]
