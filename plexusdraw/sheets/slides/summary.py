"""A study sheet: on one page the plexus, what each nerve supplies, and three injuries."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from plexusdraw import charts, fonts, names
from plexusdraw.api import fitting
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import FitError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording, as_skin
from plexusdraw.layout.limb import strip
from plexusdraw.layout.paper import Paper
from plexusdraw.look.theme import Theme
from plexusdraw.model.entities import Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.paint import typeset
from plexusdraw.routes import fibres
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import MM_PER_PT, Area, Box, Heading, Note, Part, Scene
from plexusdraw.scene.view import View
from plexusdraw.sheets.case import taken
from plexusdraw.sheets.slides.case_slide import blank
from plexusdraw.sheets.slides.repeats import MAIN_INJURIES
from plexusdraw.views import limb

if TYPE_CHECKING:
    from plexusdraw.sheets.slides.lecture import Lecture

SHARES = (("nerves", 0.3), ("nerves", 0.36), ("framework", 0.36), ("framework", 0.45))
"""Detail of the drawing and its share of the height, as they are tried."""
COLUMNS = 3
LEAST_LEFT = 0.18
"""Share of the height that the injuries must have left to them."""
NOTE_PT, HEAD_PT = 7.0, 9.0
LEAST_PT = 6.0
LIMB_SHARE = 0.45
"""Of the height of an injury's column: the limb over the words."""
GAP_MM = 5.0
LEADING = 1.25


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of the page, and where it stands, mm."""

    scene: Scene
    view: View
    x: float
    y: float


def sheet(lecture: Lecture, paper: Paper) -> bytes:
    """The study sheet of a lecture as a PDF.

    Raises:
        FitError: it does not fit the paper.
    """
    blocks = list(_blocks(lecture, paper))
    title = f"{lecture.outline.title} (study sheet)"
    body = "".join(_placed(block, lecture.theme, first=not i) for i, block in enumerate(blocks))
    size = f"width: {paper.width:g}mm, height: {paper.height:g}mm, margin: 0pt"
    fill = typeset.quoted(lecture.theme.page)
    return typeset.compiled(f"{typeset.opening(title)}#page({size}, fill: rgb({fill}))[\n{body}]\n")


def _placed(block: Block, theme: Theme, *, first: bool) -> str:
    scene = block.scene
    size = f"width: {scene.width:.3f}mm, height: {scene.height:.3f}mm"
    body = typeset.content(scene, block.view, theme, level=1 if first else 2)
    return f"#place(top + left, dx: {block.x:.3f}mm, dy: {block.y:.3f}mm, block({size})[\n{body}])\n"


def _blocks(lecture: Lecture, paper: Paper) -> Iterator[Block]:
    plexus = replace(lecture.plexus.drawn, caution="")
    m, wide = paper.margin, paper.width - 2 * paper.margin
    drawing = _drawing(plexus, lecture.options, paper)
    yield Block(drawing, View(asks=False, title=lecture.outline.title), m, m)
    table = _supply(lecture.plexus, wide)
    yield Block(table, View(asks=False, title="What each nerve supplies"), m, m + drawing.height + GAP_MM / 2)
    caution = fonts.wrap(lecture.plexus.caution, paper.width - 2 * m, LEAST_PT)
    foot = len(caution) * LEAST_PT * MM_PER_PT * LEADING
    top = m + drawing.height + table.height + 1.5 * GAP_MM
    width = (paper.width - 2 * m - GAP_MM * (MAIN_INJURIES - 1)) / MAIN_INJURIES
    height = paper.height - m - foot - top
    if height < LEAST_LEFT * paper.height:
        raise FitError(f"the study sheet of the {plexus.name} does not fit {paper.name}; try --handout-paper a3")
    for i, injury in enumerate(_injuries(lecture)):
        page = Paper("column", width, height, margin=0.0)
        yield _injury(lecture, injury, page, m + i * (width + GAP_MM), top)
    notes = [
        Note("caution", f"caution-{i}", fonts.text(line, 0.0, (i + 1) * LEAST_PT * MM_PER_PT, LEAST_PT), paper.width)
        for i, line in enumerate(caution)
    ]
    base = blank(Paper("foot", paper.width - 2 * m, foot), notes, "left", lecture.plexus)
    yield Block(base, View(asks=False, title=" "), m, paper.height - m - foot)


def _drawing(plexus: Plexus, options: Options, paper: Paper) -> Scene:
    """The drawing with as much detail as fits its piece of the page."""
    for detail, share in SHARES:
        page = Paper("part", paper.width - 2 * paper.margin, paper.height * share, margin=0.0)
        made = fitting(plexus, replace(options, detail=detail, page=page, supply=False, remark=False))  # type: ignore[arg-type]
        if made:
            return made[0]
    raise FitError(f"the study sheet of the {plexus.name} does not fit {paper.name}; try --handout-paper a3")


def _supply(plexus: Plexus, wide: float) -> Scene:
    """Muscles and skin with their roots, nerve by nerve, in columns of equal height."""
    width = (wide - GAP_MM * (COLUMNS - 1)) / COLUMNS
    entries = list(_listed(plexus, width))
    step = LEAST_PT * MM_PER_PT * LEADING
    head = fonts.ascent(HEAD_PT)
    top = head + 2.0
    least = sum(map(len, entries)) / COLUMNS
    most = next(n for n in range(int(least), 10_000) if _columns(entries, n) <= COLUMNS)
    title = Note("title", "title", fonts.text("", 0.0, head, HEAD_PT, bold=True), wide)
    parts: list[Part] = [title]
    column, row = 0, 0
    for entry in entries:
        if row + len(entry) > most and row:
            column, row = column + 1, 0
        for line, bold in entry:
            row += 1
            text = fonts.text(line, column * (width + GAP_MM), top + row * step, LEAST_PT, bold=bold)
            parts.append(Note("legend", f"supply-{len(parts)}", text, width))
    page = Paper("table", wide, top + (most + 1) * step, margin=0.0)
    return blank(page, parts, "left", plexus, "What each nerve supplies, with roots; minor ones in brackets.")


def _columns(entries: Sequence[Sequence[object]], most: int) -> int:
    """How many columns of *most* lines entries take, none broken."""
    column, row = 1, 0
    for entry in entries:
        if row + len(entry) > most and row:
            column, row = column + 1, 0
        row += len(entry)
    return column


def _is_end(plexus: Plexus, segment: Segment) -> bool:
    """Whether it is a nerve of the last column or a side branch, that goes on nowhere."""
    last = plexus.stages[-1].id
    stages = [plexus.segments[id].stage for id in segment.parents]
    leaves = segment.stage == last or any(stage not in (None, last) for stage in stages)
    return leaves and not any(plexus.segments[child].stage for child in plexus.children[segment.id])


def _listed(plexus: Plexus, width: float) -> Iterator[list[tuple[str, bool]]]:
    """For each nerve the lines of its name and of what it supplies."""
    found = fibres.of(plexus)
    for segment in plexus.segments.values():
        targets = supplied(plexus, segment.id)
        if not targets or not _is_end(plexus, segment):
            continue
        head = f"{names.display(segment)} ({' '.join(found.shown[segment.id])})"
        items = []
        for target in targets:
            ways = [route for route in found.through(segment.id) if route.target == target.id]
            main = {route.root for route in ways if not route.minor}
            small = {route.root for route in ways} - main if plexus.shows_minor else set()
            roots = [root if root in main else f"({root})" for root in plexus.roots if root in main | small]
            name = Wording().of(target)
            items.append(f"{name if target.kind == 'muscle' else as_skin(name, 'skin')} {' '.join(roots)}")
        yield [
            *((line, True) for line in fonts.wrap(head, width, LEAST_PT, bold=True)),
            *((line, False) for line in fonts.wrap("; ".join(items), width, LEAST_PT)),
        ]


def _injuries(lecture: Lecture) -> list[Injury]:
    """The first injuries of the lecture's outline."""
    sites = dict.fromkeys((step.injure, step.partial) for step in lecture.outline.steps if step.injure)
    return [Injury(lecture.plexus, site, partial) for site, partial in sites][:MAIN_INJURIES]


def _injury(lecture: Lecture, injury: Injury, page: Paper, x: float, y: float) -> Block:
    """A column: the site, the limb with what is lost, and the same in words as far as there is room."""
    head = fonts.ascent(HEAD_PT)
    where = " and ".join(site.name for site in injury.sites)
    title = Note("title", "title", fonts.text("", 0.0, head, _fitted(where, page.width), bold=True), page.width)
    top = head + 2.0
    parts: list[Part] = [title]
    if lecture.plexus.chart:
        found = strip.figures(lecture.plexus, charts.of(lecture.plexus), ("muscles", "skin"), lecture.options.side)
        room = Box(0.0, top, page.width, (page.height - top) * LIMB_SHARE)
        made = strip.strip(found, room, LEAST_PT, 1.0)
        parts += [part for part in made.parts if not isinstance(part, Heading)]
        top = made.box.bottom + 2.0
    parts += _words(injury, Box(0.0, top, page.width, page.height - top))
    ids = [p.entity for p in parts if isinstance(p, Area)]
    states = {id: limb.STATE[state] for id, state in limb.harmed(lecture.plexus, injury, ids).items()}
    scene = blank(page, parts, lecture.options.side, lecture.plexus, f"What an injury of the {where} takes.")
    return Block(scene, View(asks=False, title=where, entities=states), x, y)


def _fitted(text: str, width: float) -> float:
    """Type in which a heading fits, pt."""
    return max(LEAST_PT, min(HEAD_PT, width / fonts.width(text, 1.0, bold=True)))


def _words(injury: Injury, room: Box) -> Iterator[Note]:
    """What is lost, line by line; what has no room is left out, and an ellipsis says so."""
    step = NOTE_PT * MM_PER_PT * LEADING
    lines: list[tuple[str, bool]] = []
    for entry in taken.entries(injury):
        lines += [(line, True) for line in fonts.wrap(entry.head, room.w, NOTE_PT, bold=True)]
        lines += [(line, False) for text in entry.lines for line in fonts.wrap(text, room.w, NOTE_PT)]
    most = int(room.h / step)
    if len(lines) > most:
        lines = lines[: most - 1]
        while lines and lines[-1][1]:  # a head without its list says nothing
            lines.pop()
        lines.append((fonts.ELLIPSIS, False))
    for i, (line, bold) in enumerate(lines, start=1):
        text = fonts.text(line, room.x, room.y + i * step - fonts.descent(NOTE_PT), NOTE_PT, bold=bold)
        yield Note("legend", f"lost-{i}", text, room.w)
