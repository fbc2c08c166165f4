"""What the pages of a case share: title, the plexus or one nerve in its band, the limb in rows, the caution."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import charts, fonts, names
from plexusdraw.api import fitting, scenes
from plexusdraw.clinic.report import caution
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.fit import Limb, Options
from plexusdraw.layout.limb import strip
from plexusdraw.layout.limb.options import Picture
from plexusdraw.layout.limb.strip import Figure
from plexusdraw.layout.paper import Paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Box, Heading, Label, Note, Panel, Part, Pill, Row, Scene, Word
from plexusdraw.scene.transform import Move

TITLE_PT, NOTE_PT, HEAD_PT = 13.0, 6.4, 7.5
LEADING = 1.28
PLEXUS_MM = 118.0
"""Height given to the plexus, with the bands over and under it."""
TALLER = (1.0, 1.25, 1.5)
"""Shares of that height that are tried in turn."""
COURSE_TALLER = (0.75, 0.9, 1.05, 1.25, 1.5)
"""The same of the course of one nerve, which fills what it is given."""
GAP_MM = 4.0
UNDER_MM = 1.4
"""From the limb to the legend of its patterns."""
_WORDED = Heading | Label | Note | Pill | Row | Word


@dataclass(frozen=True)
class Frame:
    """Makes what is alike on all pages of a case: of a plexus, with a title, on a paper."""

    plexus: Plexus
    title: str
    page: Paper
    side: Limb
    share: float = 1.0
    """Share of the usual height that the plexus and the limb take."""
    nerve: str = ""
    """Id of the nerve whose course stands in place of the plexus."""

    @property
    def width(self) -> float:
        """Between the margins, mm."""
        return self.page.width - 2 * self.page.margin

    @property
    def top(self) -> float:
        """Under the title, mm."""
        return self.page.margin + TITLE_PT * MM_PER_PT * 1.6

    @property
    def bottom(self) -> float:
        """Over the caution, mm."""
        return self.page.height - self.page.margin - len(self.caution) * step(NOTE_PT) - 1.0

    @cached_property
    def caution(self) -> list[str]:
        """The caution in lines."""
        return list(fonts.wrap(caution(self.plexus), self.width, NOTE_PT))

    @cached_property
    def drawing(self) -> Scene:
        """The plexus, laid out for its part of the page; without side branches, then taller, where it does not fit.

        FitError if the columns alone do not.
        """
        details = ("nerves",) if self.nerve else tuple(reversed(DETAILS[: DETAILS.index("nerves") + 1]))
        for higher in COURSE_TALLER if self.nerve else TALLER:
            height = PLEXUS_MM * self.share * higher
            room = replace(self.page, name=f"{self.page.name}, a part", height=height)
            for detail in details:
                options = Options(detail, room, self.side, supply=False, remark=False, nerve=self.nerve)
                made = fitting(self.plexus, options)
                if made:
                    return made[0]
        return scenes(self.plexus, options)[0]  # which says what would fit

    def plexus_at(self, y: float, more: Iterable[Part] = ()) -> tuple[list[Part], float]:
        """The plexus from *y* mm on, and *more* laid over it, without the words around it; and where it ends."""
        boxes = [p.box for p in self.drawing.parts if isinstance(p, Panel)]
        first, last = min(b.y for b in boxes), max(b.bottom for b in boxes)
        down = Move(0.0, y - first)
        kept = (p for p in self.drawing.parts if not isinstance(p, Note) or p.role.startswith("table"))
        parts = (*kept, *more)
        return [down.part(p) for p in parts], y + last - first

    def figures(self, pictures: Sequence[Picture], *, ends: bool = False) -> tuple[Figure, ...]:
        """The limb in every view, or its end at a larger scale."""
        return strip.figures(self.plexus, charts.of(self.plexus), pictures, self.side, ends=ends)

    def row_at(self, y: float, figures: Sequence[Figure], height: float) -> tuple[list[Part], float]:
        """Figures in a row of at most *height* mm from *y* mm on; and where it ends."""
        room = Box(self.page.margin, y, self.width, height)
        made = strip.strip(figures, room, HEAD_PT, GAP_MM, rows=1)
        return list(made.parts), made.box.bottom

    def swatches_at(self, y: float, entries: Sequence[tuple[str, str]]) -> tuple[list[Part], float]:
        """What patterns stand for (state, words) from *y* mm on; and where that ends."""
        return strip.swatches(entries, self.page.margin, y + UNDER_MM, self.width, HEAD_PT)

    def head(self) -> Iterator[Part]:
        """Title, side, and whether it is a selection or a variant."""
        y = self.page.margin + fonts.ascent(TITLE_PT)
        right = self.page.width - self.page.margin
        told = ". ".join(text for text in (names.beneath(self.plexus), f"{self.side} {self.plexus.limb}") if text)
        side = fonts.text(told, right, y, NOTE_PT, "end")
        room = self.width - side.box.w - 4.0
        yield Note("title", "title", fonts.text("", self.page.margin, y, TITLE_PT, bold=True), room)
        yield Note("orientation", "orientation", side, side.box.w)

    def foot(self) -> Iterator[Part]:
        """The caution."""
        y = self.page.height - self.page.margin - len(self.caution) * step(NOTE_PT)
        for i, line in enumerate(self.caution):
            y += step(NOTE_PT)
            place = fonts.text(line, self.page.margin, y - fonts.descent(NOTE_PT), NOTE_PT)
            yield Note("caution", f"caution-{i}", place, self.width)

    def scene(self, body: Sequence[Part], what: str) -> Scene:
        """A page with its head and foot; *what*: its content in words."""
        parts = (*self.head(), *body, *self.foot())
        return Scene(
            width=self.page.width,
            height=self.page.height,
            margin=self.page.margin,
            medium="paper",
            table="none",
            parts=parts,
            reading=tuple(i for i, part in enumerate(parts) if isinstance(part, _WORDED)),
            description=f"{self.title}: {what}.",
            side=self.side,
            roots=self.plexus.roots,
        )


def step(size: float) -> float:
    """Distance of baselines, mm, of a type in pt."""
    return size * MM_PER_PT * LEADING
