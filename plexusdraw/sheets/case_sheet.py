"""An injury on one page: the plexus with the cut, the limb with its muscles and skin, what is lost in words.

Lists that do not fit under the figures stand on a second page, so that nothing is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from plexusdraw import charts, fonts, names, output, paint
from plexusdraw.api import scenes
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, Outcome
from plexusdraw.clinic.report import caution
from plexusdraw.errors import OutputError
from plexusdraw.layout import paper as papers
from plexusdraw.layout.fit import Limb, Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb import legend, plates, shapes, tones
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.layout.limb.plates import Plate
from plexusdraw.layout.paper import Paper
from plexusdraw.look.theme import load as load_theme
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import MM_PER_PT, Area, Heading, Label, Note, Panel, Part, Pill, Row, Scene, Word
from plexusdraw.scene.transform import Move
from plexusdraw.scene.view import Page
from plexusdraw.views.limb import STATE, SWATCHES, harmed
from plexusdraw.views.request import Request, view_of

TITLE_PT, NOTE_PT, HEAD_PT = 13.0, 6.4, 7.5
LIST_PTS = (8.0, 7.4, 6.8, 6.4, 6.0)
"""Type of the lists, the largest that fits."""
LEADING = 1.28
PLEXUS_MM = 118.0
"""Height given to the plexus, with the bands over and under it."""
GAP_MM = 4.0
COLUMNS = 3
_WORDS = {Loss.WHOLE: "Paralysed", Loss.PART: "Weak", Loss.SLIGHT: "Slightly weak"}


@dataclass(frozen=True, slots=True)
class Entry:
    """A heading and what stands under it, a paragraph for each nerve."""

    head: str
    lines: tuple[str, ...]


def pages(injury: Injury, side: Limb = "left", paper: str = "a4 portrait") -> tuple[Page, ...]:
    """The pages of the case: one, or two where the lists need their own.

    Raises:
        ModelError: the model has no chart. FitError: the paper is too small.
    """
    return _Maker(injury, side, papers.paper(paper)).pages()


def save(found: Sequence[Page], path: str, theme: str = "print") -> list[Path]:
    """Write the pages; the ending says the format. A second page goes into "NAME-2.EXT" where a file holds one.

    Raises:
        OutputError: no such format, or the file cannot be written. ThemeError: no such theme.
    """
    place, look = Path(path), load_theme(theme)
    format = place.suffix.lstrip(".").lower()
    if format not in paint.names("case sheet"):
        raise OutputError(f'"{path}": a case is written as {paint.endings("case sheet")}; end its name so')
    whole = paint.FORMATS[format].many_pages or len(found) == 1
    sheets = [found] if whole else [[page] for page in found]
    files = [place if not i else place.with_name(f"{place.stem}-{i + 1}{place.suffix}") for i in range(len(sheets))]
    made = ((file, paint.paint(format, held, look)) for file, held in zip(files, sheets, strict=True))
    return output.write_all(made)


class _Maker:
    """Makes the pages of one case."""

    def __init__(self, injury: Injury, side: Limb, page: Paper) -> None:
        self.injury, self.side, self.page = injury, side, page
        self.plexus = injury.plexus
        self.chart = charts.of(self.plexus)
        self.width = page.width - 2 * page.margin
        kind = "Partial injury" if injury.partial else "Injury"
        self.title = f"{kind} of {', '.join(s.name for s in injury.sites)}"
        self.caution = fonts.wrap(caution(self.plexus), self.width, NOTE_PT)

    def pages(self) -> tuple[Page, ...]:
        """The page, and a second one where the lists do not fit under the figures."""
        drawn = self.drawing()
        request = Request(title=self.title, injury=self.injury)
        shown = view_of(self.plexus, fibre_routes.of(self.plexus), drawn, request)
        body = [*self.head(), *self.moved(drawn)]
        y = self.page.margin + self.head_height + _tall(drawn) + GAP_MM
        limb = list(self.limbs(y))
        y = max(p.curves[0][2][1] for p in limb if isinstance(p, Area) and p.kind == "legend") + 0.8 * GAP_MM
        entries = tuple(self.entries())
        bottom = self.page.height - self.page.margin - len(self.caution) * _step(NOTE_PT) - 1.0
        lists = self.lists(entries, y, bottom)
        first = [*body, *limb, *(lists or ()), *self.foot()]
        pages = [first]
        if lists is None:
            top = self.page.margin + self.head_height
            more = self.lists(entries, top, bottom) or self.lists(entries, top, 1e9) or []
            pages.append([*self.head(), *more, *self.foot()])
        ids = [*self.plexus.muscles, *self.plexus.skin]
        states = {id: STATE[state] for id, state in harmed(self.plexus, self.injury, ids).items()}
        view = replace(shown, entities={**shown.entities, **states, **SWATCHES}, notes={})
        return tuple(Page(self.scene(parts, i), view) for i, parts in enumerate(pages))

    def scene(self, parts: Sequence[Part], index: int) -> Scene:
        """A page of parts."""
        worded = Heading | Label | Note | Pill | Row | Word
        return Scene(
            width=self.page.width,
            height=self.page.height,
            margin=self.page.margin,
            medium="paper",
            table="none",
            parts=tuple(parts),
            reading=tuple(i for i, part in enumerate(parts) if isinstance(part, worded)),
            description=f"{self.title}: {'what it takes' if index else 'the plexus, the limb, and what it takes'}.",
            side=self.side,
            roots=self.plexus.roots,
        )

    @property
    def head_height(self) -> float:
        """Height of the title, mm."""
        return TITLE_PT * MM_PER_PT * 1.6

    def head(self) -> Iterator[Part]:
        """Title and side."""
        y = self.page.margin + fonts.ascent(TITLE_PT)
        right = self.page.width - self.page.margin
        side = fonts.text(f"{self.side} {self.plexus.limb}", right, y, NOTE_PT, "end")
        room = self.width - side.box.w - 4.0
        yield Note("title", "title", fonts.text("", self.page.margin, y, TITLE_PT, bold=True), room)
        yield Note("orientation", "orientation", side, side.box.w)

    def foot(self) -> Iterator[Part]:
        """The caution."""
        y = self.page.height - self.page.margin - len(self.caution) * _step(NOTE_PT)
        for i, line in enumerate(self.caution):
            y += _step(NOTE_PT)
            place = fonts.text(line, self.page.margin, y - fonts.descent(NOTE_PT), NOTE_PT)
            yield Note("caution", f"caution-{i}", place, self.width)

    def drawing(self) -> Scene:
        """The plexus, laid out for its part of the page."""
        room = replace(self.page, name=f"{self.page.name}, a part", height=PLEXUS_MM)
        options = Options("nerves", room, self.side, Wording(), supply=False, remark=False)
        return scenes(self.plexus, options)[0]

    def moved(self, drawn: Scene) -> Iterator[Part]:
        """The plexus under the title, without the words around it."""
        start = min(p.box.y for p in drawn.parts if isinstance(p, Panel))
        down = Move(0.0, self.page.margin + self.head_height - start)
        yield from (down.part(p) for p in drawn.parts if not isinstance(p, Note))

    def limbs(self, y: float) -> Iterator[Part]:
        """Muscles and skin, front and back, in a row; under them what patterns stand for."""
        found = [p for picture in ("muscles", "skin") for p in self.plates(picture)]
        gaps = GAP_MM * (len(found) - 1)
        k = (self.width - gaps) / sum(p.box.w for p in found)
        x, top = self.page.margin, y + _step(HEAD_PT)
        tall = max(p.box.h for p in found) * k
        for plate in found:
            dy = top + tall - plate.box.bottom * k
            yield from (shapes.scaled(part, k, x - plate.box.x * k, dy) for part in plate.parts)
            middle = x + (plate.middle - plate.box.x) * k
            words = plate.title if plate.layer else f"{plate.heading}, skin"
            above = top + tall - plate.box.h * k - 1.2
            text = fonts.text(words, middle, above, HEAD_PT, "middle", bold=True)
            yield Heading(f"{plate.layer or 'skin'}-{plate.side}", "view", text)
            x += plate.box.w * k + GAP_MM
        both = (("lost", "paralysed; skin lost"), ("weak", "weak; skin reduced"), ("slight", "slightly weak"))
        entries = [(state, words) for state, words in (*both, ("plain", "spared"))]
        swatches = [legend.Swatch(Area(f"legend-{s}", "legend", ()), words) for s, words in entries]
        for row in legend.rows(swatches, self.width, HEAD_PT):
            yield from legend.drawn(row, self.page.margin, top + tall + 1.4 * _step(HEAD_PT), HEAD_PT)

    def plates(self, picture: str) -> tuple[Plate, ...]:
        """The figures of one picture, without the close-ups."""
        options = LimbOptions(picture, by="state", side=self.side)  # type: ignore[arg-type]
        sets = plates.plates(self.plexus, self.chart, options)
        return tuple(plate for one in sets for plate in one if not plate.close)

    def entries(self) -> Iterator[Entry]:
        """What is lost, in words."""
        injury = self.injury
        for loss, head in _WORDS.items():
            found = [o for o in injury.muscles.values() if o.loss is loss]
            if found:
                yield Entry(f"{head}: {len(found)} of {len(injury.muscles)} muscles", tuple(self.by_nerve(found)))
        for state in ("lost", "weak", "slight"):
            moves = [m.name for m in injury.movements.values() if m.state == state]
            if moves:
                yield Entry(f"Movements {'slightly weak' if state == 'slight' else state}", ("; ".join(moves),))
        areas = [o for id, o in injury.skin.items() if o.loss and not self.plexus.skin[id].dermatome]
        for state in ("lost", "reduced"):
            own = [o.name for o in areas if o.state == state]
            if own:
                yield Entry(f"Skin {state}", ("; ".join(own),))
        reflexes = [f"{o.name} {o.state}" for o in injury.reflexes.values() if o.state != "kept"]
        if reflexes:
            yield Entry("Reflexes", ("; ".join(reflexes),))
        if injury.signs:
            yield Entry("Signs", ("; ".join(sign.name for sign in injury.signs),))
        if not injury.broken:
            yield Entry("Nothing is lost", ("No route to a muscle or skin area runs through this place.",))

    def by_nerve(self, outcomes: Sequence[Outcome]) -> Iterator[str]:
        """A line for each nerve: its muscles."""
        found: dict[str, list[str]] = {}
        for outcome in outcomes:
            found.setdefault(tones.family(self.plexus, outcome.id), []).append(
                Wording().of(self.plexus.muscles[outcome.id])
            )
        for nerve in sorted(found, key=tones.families(self.plexus).index):
            own = names.display(self.plexus.segments[nerve], "short")
            yield f"{own}: {'; '.join(found[nerve])}"

    def lists(self, entries: Sequence[Entry], top: float, bottom: float) -> list[Part] | None:
        """The entries in columns, in the largest type that fits; None where the smallest does not."""
        for size in LIST_PTS:
            made = self.columns(entries, top, bottom, size)
            if made is not None:
                return made
        return None

    def columns(self, entries: Sequence[Entry], top: float, bottom: float, size: float) -> list[Part] | None:
        """The entries in columns of one type."""
        wide = (self.width - GAP_MM * (COLUMNS - 1)) / COLUMNS
        step = _step(size)
        rows: list[tuple[str, bool]] = []
        for entry in entries:
            rows += [(line, True) for line in fonts.wrap(entry.head, wide, size, bold=True)]
            rows += [(line, False) for text in entry.lines for line in fonts.wrap(text, wide, size)]
        each = max(1, min(int((bottom - top) / step), -(-len(rows) // COLUMNS) + 2))
        made: list[Part] = []
        column, line = 0, 0
        for i, (text, bold) in enumerate(rows):
            last = line >= each or (bold and line == each - 1)
            if last:
                column, line = column + 1, 0
            if column >= COLUMNS:
                return None
            x, y = self.page.margin + column * (wide + GAP_MM), top + (line + 1) * step - fonts.descent(size)
            if y > bottom:
                return None
            role = "table-heading" if bold else "legend"
            made.append(Note(role, f"list-{i}", fonts.text(text, x, y, size, bold=bold), wide))  # type: ignore[arg-type]
            line += 1
        return made


def _tall(scene: Scene) -> float:
    """Height of the panels of a scene, mm."""
    boxes = [p.box for p in scene.parts if isinstance(p, Panel)]
    return max(b.bottom for b in boxes) - min(b.y for b in boxes)


def _step(size: float) -> float:
    """Distance of baselines, mm."""
    return size * MM_PER_PT * LEADING
