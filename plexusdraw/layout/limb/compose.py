"""From fitted figures to the scenes of a picture of a limb."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from plexusdraw import fonts, names
from plexusdraw.charts.chart import Chart
from plexusdraw.errors import FitError
from plexusdraw.layout import surround
from plexusdraw.layout.limb import legend, pages, plates, shapes
from plexusdraw.layout.limb.labels import Frame, Placed, moved
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.layout.limb.pages import Fitted, Setter
from plexusdraw.layout.limb.plates import Plate
from plexusdraw.layout.paper import LADDER, Paper, paper
from plexusdraw.layout.scale import Scale
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Anchor, Box, Heading, Label, Leader, Note, Part, Scene, Shape, Word, curves

ALONE = 0.74
"""Height of the limb alone, as a share of the page's room."""
A4_DIAGONAL = 363.7
LARGEST_PT = 10.0
"""Largest type of names on A4; grows with the page's diagonal."""
NOTE_PT = 6.4
"""Notes on A4."""
FIT_K = 1.7
FIT_PT = 8.0
X_HEIGHT = 0.35


def layout(plexus: Plexus, chart: Chart, options: LimbOptions) -> tuple[Scene, ...]:
    """The pages of a picture.

    Raises:
        FitError: it cannot fit its paper; says which one would do.
    """
    made = fitted(plexus, chart, options)
    if made is None:
        for name in LADDER:
            for turn in ("landscape", "portrait"):
                page = paper(name, turn)
                if page.width >= options.page.width and fitted(plexus, chart, replace(options, page=page)):
                    text = f"the {chart.name} does not fit on {options.page.name}; it would on {name} {turn}"
                    raise FitError(f'{text} (--paper "{name} {turn}")')
        raise FitError(f"the {chart.name} does not fit on {options.page.name}; try --paper fit")
    return made


def fitted(plexus: Plexus, chart: Chart, options: LimbOptions) -> tuple[Scene, ...] | None:
    """The pages of a picture, or None where it does not fit."""
    sets = plates.plates(plexus, chart, options)
    makers = [_Maker(plexus, chart, options, thin=thin) for thin in (False, True)[: 1 + bool(options.asked)]]
    for anyhow, ways in pages.arrangements(sets):
        for maker in makers:
            best: list[Fitted] | None = None
            for sheets in ways:
                made = [maker.fit(sheet, anyhow) for sheet in sheets]
                good = [m for m in made if m is not None]
                if len(good) == len(made) and (best is None or min(m.k for m in good) > min(m.k for m in best)):
                    best = good
            if best:
                return tuple(maker.scene(m, i, len(best)) for i, m in enumerate(best))
    return None


class _Maker:
    """Makes the pages of one picture."""

    def __init__(self, plexus: Plexus, chart: Chart, options: LimbOptions, *, thin: bool = False) -> None:
        self.plexus, self.chart, self.options, self.thin = plexus, chart, options, thin
        page = options.page
        size = page.smallest if page.screen else self._note_pt(page)
        self.scale = Scale(size / 0.84, page.smallest)
        self.words = {
            n.entity: legend.items(plexus, chart, options, n.entity)
            for one in plates.plates(plexus, chart, options)
            for plate in one
            for n in plate.named
        }
        diagonal = (page.width**2 + page.height**2) ** 0.5
        share = page.text * (1.0 if page.grows else diagonal / A4_DIAGONAL)
        sizes = (page.smallest, max(page.smallest * 1.5, LARGEST_PT * share))
        self.states = frozenset({*plexus.muscles, *plexus.skin} if options.words else ())
        self.setter = Setter(self.words, self.states, sizes, options.wording.blank)
        self.caution = self.warned(page)
        self.beneath = names.beneath(plexus)
        self.swatches = () if options.bare else legend.swatches(plexus, chart, options)

    def warned(self, page: Paper) -> list[str]:
        """The caution in lines; it stands under an injury alone."""
        return surround.caution_lines(self.plexus.caution, page, self.scale) if self.options.words else []

    def missing(self, page: Paper) -> list[str]:
        """What is not drawn, in lines: one that stands beside the legend if there is room, else several under it."""
        said = f"{legend.THIN if self.thin else ''} {legend.absent(self.plexus, self.chart, self.options)}".strip()
        return fonts.wrap(said, page.width - 2 * page.margin, self.scale.note) if said else []

    def beside(self, page: Paper) -> bool:
        """Whether what is not drawn stands beside the legend."""
        texts = (legend.LEGENDS[self.options.picture], *self.missing(page))
        taken = sum(fonts.width(text, self.scale.note) for text in texts) + self.scale.mm(2)
        return len(texts) < 3 and taken < page.width - 2 * page.margin

    def _note_pt(self, page: Paper) -> float:
        diagonal = (page.width**2 + page.height**2) ** 0.5
        share = page.text * (1.0 if page.grows else diagonal / A4_DIAGONAL)
        return max(page.smallest, NOTE_PT * share)

    def fit(self, sheet: pages.Sheet, anyhow: bool) -> Fitted | None:
        """The largest figures that a page takes; None where they would be too small, which *anyhow* lets pass."""
        page = self.options.page
        if self.thin:
            sheet = self.thinned(sheet)
        if page.grows:
            return self.setter.sheet(sheet, FIT_K, pages.Type(FIT_PT, pages.NAME_EMS[0]))
        top, bottom = self.bands(page)
        return self.setter.best(
            sheet, (page.width - 2 * page.margin, bottom - top), 0.0 if anyhow else self.least(sheet)
        )

    def thinned(self, sheet: pages.Sheet) -> pages.Sheet:
        """The figures on which only what is asked about has a name; close-ups without any make room."""

        def bare(plate: Plate) -> Plate:
            return replace(plate, name=lambda: tuple(n for n in plate.named if n.entity in self.options.asked))

        rows = [[tuple(p for p in map(bare, stack) if p.named or not p.close) for stack in row] for row in sheet]
        kept = [tuple(stack for stack in row if stack) for row in rows]
        return tuple(row for row in kept if row) or sheet

    def least(self, sheet: pages.Sheet) -> float:
        """As many mm a unit must figures have that share a page with others."""
        top, bottom = self.bands(self.options.page)
        tall = max(p.box.h for row in sheet for stack in row for p in stack if not p.close)
        return pages.LEAST_LIMB * min(bottom - top, self.options.page.width * 0.5 / ALONE) / tall

    def bands(self, page: Paper) -> tuple[float, float]:
        """Top and bottom of the room for figures."""
        if self.options.bare:
            return page.margin, page.height - page.margin
        top = page.margin + self.scale.title * MM_PER_PT * (1.3 if page.screen else 1.6)
        top += self.step if self.beneath else 0.0
        lines = 1 + self.said + len(self.caution) + (0 if self.beside(page) else len(self.missing(page)))
        foot = lines * self.step + self.swatch_rows(page) * self.step * 1.3 + self.scale.mm(0.8)
        return top, page.height - page.margin - foot

    @property
    def step(self) -> float:
        """Distance of the lines at the foot."""
        return self.scale.note * MM_PER_PT * surround.LEADING

    @property
    def said(self) -> int:
        """Further lines for what an injury does; on a slide the words beside the names must do."""
        return 2 if self.options.words and not self.options.page.screen else 0

    def swatch_rows(self, page: Paper) -> int:
        """Rows of the legend."""
        return len(legend.rows(self.swatches, page.width - 2 * page.margin, self.scale.note))

    def scene(self, made: Fitted, index: int, count: int) -> Scene:
        """One page."""
        options, page = self.options, self.options.page
        top, bottom = self.bands(page)
        if page.grows:
            width = max(made.width + 2 * page.margin, 150.0)
            page = replace(page, width=width, height=0.0)
            self.caution = self.warned(page)
            top, foot = self.bands(page)
            page = replace(page, height=made.height + top - foot)
            top, bottom = self.bands(page)
        parts: list[Part] = list(self.figures(made, page, top, bottom))
        if not options.bare:
            parts += self.foot(page, bottom, self.which(made, index, count))
        return Scene(
            width=page.width,
            height=page.height,
            margin=page.margin,
            medium="slide" if page.screen else "paper",
            table="none",
            parts=tuple(parts),
            reading=_reading(parts),
            description=legend.description(self.plexus, self.chart, options, made),
            side=options.side,
            roots=self.plexus.roots,
        )

    def which(self, made: Fitted, index: int, count: int) -> str:
        """Which limb this is, and where a picture has several pages, which of them."""
        wording = self.options.wording
        limb = f"{self.options.side} {self.chart.name}"
        if wording.style == "latin" and self.plexus.limb_latin:
            limb = names.of_limb(self.plexus, "latin", self.options.side)
        if count == 1:
            return limb
        held = [p for row in made.rows for stack in row for p, _ in stack]
        layers = {wording.word(p.layer) for p in held if p.layer}
        seen = {v.id: v.latin.lower() for v in self.chart.views if wording.style == "latin" and v.latin}
        views = {seen.get(p.side, p.side) for p in held} if len(self.chart.views) > 1 else set()
        which = [name for names in (layers, views) if len(names) == 1 for name in names]
        return f"{limb}: {', '.join(which) or f'{index + 1} of {count}'}"

    def figures(self, made: Fitted, page: Paper, top: float, bottom: float) -> Iterator[Part]:
        """All figures of a page: shapes first, then leaders and names."""
        em = made.type.size * MM_PER_PT
        names: list[Part] = []
        y = top + max(0.0, (bottom - top - made.height) / 2)
        for row in made.rows:
            tall = max(sum(f.box.h + pages.HEADING * em for _, f in stack) for stack in row)
            taken = sum(max(f.box.w for _, f in stack) for stack in row)
            spare = page.width - 2 * page.margin - taken
            between = spare / (len(row) + 1)
            x = page.margin + between
            for stack in row:
                wide = max(f.box.w for _, f in stack)
                own = sum(f.box.h + pages.HEADING * em for _, f in stack)
                step = (tall - own) / (len(stack) + 1)
                at = y + step
                for plate, frame in stack:
                    dx = x + (wide - frame.box.w) / 2 - frame.box.x
                    dy = at + pages.HEADING * em - frame.box.y
                    k = made.k * plate.scale
                    yield from (shapes.scaled(p, k, dx, dy) for p in plate.parts)
                    names += self.named(plate, frame, made, dx, dy)
                    at += frame.box.h + pages.HEADING * em + step
                x += wide + between
            y += tall + em
        yield from names

    def named(self, plate: Plate, frame: Frame, made: Fitted, dx: float, dy: float) -> Iterator[Part]:
        """Heading, leaders and names of one figure."""
        k, size = made.k * plate.scale, made.type.size
        y = plate.box.y * k + dy - 0.75 * size * MM_PER_PT
        text = fonts.text(plate.title, plate.middle * k + dx, y, pages.HEADING_SIZE * size, "middle", bold=True)
        yield Heading(
            f"{plate.layer or self.options.picture}-{plate.side}-{'close' if plate.close else 'limb'}", "view", text
        )
        order = sorted((moved(p, dx, dy) for p in frame.placed), key=lambda p: (p.where, p.box.y))
        for placed in order:
            start, turn, end = placed.leader
            yield Leader(
                placed.item.entity, placed.item.kind, curves.join([curves.line(start, turn), curves.line(turn, end)])
            )
            yield Shape(placed.item.entity, placed.item.kind, "pin", (end,) * 4)
        for placed in order:
            yield from self.label(placed, made.type)

    def label(self, placed: Placed, type_: pages.Type) -> Iterator[Part]:
        """A name, and the room for its state."""
        item, box, size = placed.item, placed.box, type_.size
        lines = self.setter.block(item.entity, size, type_.ems).lines
        step = size * MM_PER_PT * pages.LEADING
        left = placed.where == "left"
        side: Anchor = "end" if left else "start"
        x = box.right if left else box.x
        width, tall = self.setter.blank(size)
        height = max(tall, step * len(lines))
        base = box.y + (height - step * len(lines)) / 2 + step / 2 + X_HEIGHT * size * MM_PER_PT
        made = tuple(fonts.text(t, x, base + i * step, size, side) for i, t in enumerate(lines))
        inset = 0.06 * step
        room = Box(x - width if left else x, box.y + (height - tall) / 2 + inset, width, tall - 2 * inset)
        badge = (room.right if left else room.x, room.y + room.h / 2)
        yield Label(item.entity, item.kind, "name", made, room, badge)
        if item.entity in self.states:
            small = max(self.options.page.smallest, 0.86 * size)
            under = box.y + height + step / 2 + X_HEIGHT * size * MM_PER_PT
            yield Word(item.entity, item.kind, fonts.text("", x, under, small, side, bold=True))

    def foot(self, page: Paper, bottom: float, side: str) -> Iterator[Part]:
        """Legend, notes, title."""
        scale, options = self.scale, self.options
        width = page.width - 2 * page.margin
        y = bottom + scale.mm(0.4)
        for row in legend.rows(self.swatches, width, scale.note):
            y += self.step * 1.3
            yield from legend.drawn(row, page.margin, y, scale.note)
        head = page.margin + fonts.ascent(scale.title)
        right = fonts.text(side, page.width - page.margin, head, scale.note, "end")
        yield Note(
            "title",
            "title",
            fonts.text("", page.margin, head, scale.title, bold=True),
            width - right.box.w - scale.mm(2),
        )
        yield Note("orientation", "orientation", right, right.box.w)
        if self.beneath:
            below = head + 1.45 * scale.note * MM_PER_PT
            text = fonts.text(self.beneath, page.margin, below, scale.note)
            yield Note("orientation", surround.BENEATH, text, width)
        y += self.step
        missing, beside, taken = self.missing(page), self.beside(page), 0.0
        if beside and missing:
            last = fonts.text(missing[0], page.width - page.margin, y, scale.note, "end")
            taken = last.box.w + scale.mm(1)
            yield Note("legend", "absent", last, last.box.w + 0.1)
        for i, line in enumerate([legend.LEGENDS[options.picture], *[""] * self.said]):
            key, room = (f"legend-{i}", width) if i else ("legend", width - taken)
            yield Note("legend", key, fonts.text(line, page.margin, y, scale.note), room)
            y += self.step
        for i, line in enumerate([] if beside else missing):
            yield Note("legend", f"absent-{i}", fonts.text(line, page.margin, y, scale.note), width)
            y += self.step
        for i, line in enumerate(self.caution):
            yield Note("caution", f"caution-{i}", fonts.text(line, page.margin, y, scale.note), width)
            y += self.step


def _reading(parts: Sequence[Part]) -> tuple[int, ...]:
    """Title and orientation, then figure by figure each name with its state, then the foot."""
    heads = [i for role in ("title", "orientation") for i, p in enumerate(parts) if _role(p) == role]
    said = [i for i, p in enumerate(parts) if isinstance(p, Heading | Label | Word)]
    foot = [i for i, p in enumerate(parts) if _role(p) in ("legend", "caution")]
    return (*heads, *said, *foot)


def _role(part: Part) -> str:
    return part.role if isinstance(part, Note) else ""
