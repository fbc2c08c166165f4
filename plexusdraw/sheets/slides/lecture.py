"""A lecture: the slides of an outline. Nothing moves from slide to slide, and never from question to answer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from plexusdraw.api import fitting, scenes
from plexusdraw.errors import OutputError, SheetError
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import Paper, paper
from plexusdraw.look.theme import Theme
from plexusdraw.model import regions
from plexusdraw.model.entities import Region
from plexusdraw.model.plexus import Plexus
from plexusdraw.paint.pptx import Slide
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import Scene
from plexusdraw.scene.view import Page
from plexusdraw.sheets.slides import aside, composition, say
from plexusdraw.sheets.slides import outline as outlines
from plexusdraw.sheets.slides.maker import Maker
from plexusdraw.sheets.slides.repeats import WHOLE, Piece
from plexusdraw.sheets.slides.steps import Outline, Step
from plexusdraw.sheets.slides.things import Things

_SIGNS = re.compile(r"[^a-z0-9]+")
_NAME = 60
"""Most characters of a file's name that come from a slide's title."""


@dataclass(frozen=True, slots=True)
class Opening:
    """What stands on the first slide instead of what the outline says; empty: as the outline has it."""

    title: str = ""
    subtitle: str = ""
    occasion: str = ""


@dataclass(frozen=True)
class Lecture:
    """An outline of a plexus, in a look; nothing in it changes.

    *path*: None for the outline of the package, *long* for its long one. *piece*: the part of the plexus that it shows.
    *beside*: the drawing of side branches for which that of the part has no room.
    *animate*: a build-up is one slide, on which things come at a click; for formats that can do so.
    """

    plexus: Plexus
    options: Options
    theme: Theme
    path: str | Path | None = None
    long: bool = False
    opening: Opening = Opening()
    piece: Piece = WHOLE
    animate: bool = False
    beside: Lecture | None = None

    @cached_property
    def pages(self) -> tuple[Scene, ...]:
        """The layout: the drawing, then the pages of the supply table. FitError if it cannot fit."""
        return fitting(self.plexus.drawn, self.options) or scenes(self.plexus.drawn, self.options)

    @cached_property
    def parts(self) -> tuple[Lecture, ...]:
        """The lecture, or, where the plexus does not fit a slide and its file names parts of it, one of each part.

        A part that does not fit with its table, or with its side branches, does without: these are drawn on a slide
        of their own. FitError if none fits.
        """
        if self._fits():
            return (self,)
        found: list[Lecture] = []
        wanted = {nerve for region in self.plexus.regions.values() for nerve in region.nerves}
        for region in self.plexus.regions.values() if self.path is None else ():
            part = replace(self, plexus=regions.drawn_alone(self.plexus, region))
            made = part if part._fits() else part._lesser()
            if made is not None and made.options.detail == "framework" != self.options.detail:
                made = replace(made, beside=self._beside(region))
            if made is not None and wanted & {*region.nerves}:
                found.append(made)
                wanted -= {*region.nerves}
        if wanted or not found:
            lesser = self._lesser()
            if lesser is None or self.path is not None:
                assert self.pages  # says what would do
            return (lesser or self,)
        return tuple(_in_turn(found))

    def _fits(self) -> bool:
        return fitting(self.plexus.drawn, self.options) is not None

    def _lesser(self) -> Lecture | None:
        """The lecture with as much detail as fits."""
        for detail in reversed(DETAILS[: DETAILS.index(self.options.detail)]):
            made = replace(self, options=replace(self.options, detail=detail))
            if made._fits():
                return made
        return None

    def _beside(self, region: Region) -> Lecture | None:
        """The side branches of a part, where it has some and they fit."""
        plexus = aside.alone(self.plexus, region)
        made = replace(self, plexus=plexus, piece=Piece(first=False, last=False)) if plexus else None
        return made if made and made._fits() else None

    @property
    def source(self) -> str | Path:
        """The file of the outline."""
        return self.path or (outlines.LONG if self.long else outlines.DEFAULT)

    @cached_property
    def outline(self) -> Outline:
        """The steps. SheetError if the outline is wrong."""
        style = self.options.wording.style
        if self.parts == (self,):
            made = outlines.read(self.plexus.drawn, self.source, composition.drawn(self.pages[0]), self.piece, style)
            made = replace(made, steps=self._with_aside(made.steps))
        else:
            steps = tuple(step for part in self.parts for step in part.outline.steps)
            made = replace(outlines.read(self.plexus, self.source, style=style), steps=steps)
        own = self.opening
        given = {key: getattr(own, key) for key in ("title", "subtitle", "occasion") if getattr(own, key)}
        if given.keys() - {"title"} and not any(step.on == "title" for step in made.steps):
            raise SheetError(f"{self.source}: no slide shows a subtitle or an occasion. Add a step with on: title.")
        return replace(made, **given)

    def _with_aside(self, steps: tuple[Step, ...]) -> tuple[Step, ...]:
        """The steps of one part, with what stands beside it; one that comes later begins sooner."""
        if not self.piece.first and not self.long:
            steps = aside.begun_sooner(steps)
        if self.beside is None:
            return steps
        drawn = composition.drawn(self.beside.pages[0])
        read = outlines.read(
            self.beside.plexus.drawn, self.source, drawn, self.beside.piece, self.options.wording.style
        )
        made = aside.step(self.beside.plexus.drawn, drawn, read.steps)
        return aside.put_in(steps, made) if made else steps

    @cached_property
    def slides(self) -> tuple[Slide, ...]:
        """All slides in order.

        Raises:
            FitError: the plexus does not fit a slide. SheetError: the outline is wrong.
        """
        made: list[Slide] = []
        titles: dict[str, int] = {}
        for part in self.parts:
            made += Maker(part, titles=titles, count=len(made)).slides()
        return tuple(made)

    def say(self) -> tuple[str, ...]:
        """The lines to say on each step, in order."""
        if self.parts != (self,):
            return tuple(words for part in self.parts for words in part.say())
        made: list[str] = []
        shown = Things()
        for step in self.outline.steps:
            plexus = self.beside.plexus if step.aside and self.beside else self.plexus
            made.append(say.lines(plexus, fibre_routes.of(plexus), step, step.show - shown))
            shown |= step.show
        return tuple(made)


def _in_turn(parts: list[Lecture]) -> Iterator[Lecture]:
    """The lectures of parts, each knowing what those before it have drawn."""
    before: frozenset[str] = frozenset()
    for i, part in enumerate(parts):
        yield replace(part, piece=Piece(i == 0, i == len(parts) - 1, before, part.plexus))
        before |= composition.drawn(part.pages[0])


def render(lecture: Lecture, format: str, *, handout: int = 0, handout_paper: Paper | None = None) -> bytes:
    """The lecture as a file's bytes: "pptx" or "pdf"; *handout*: 2, 3 or 6 slides a page, with lines for notes.

    Raises:
        FitError: it does not fit. SheetError: the outline is wrong. OutputError: no such format.
    """
    from plexusdraw.paint import names, pptx  # noqa: PLC0415
    from plexusdraw.sheets.slides import handout as sheets  # noqa: PLC0415

    title = lecture.outline.title
    if handout and format == "pdf":
        return sheets.handout(lecture.slides, title, lecture.theme, handout_paper or paper("a4 portrait"), handout)
    if format == "pdf":
        return sheets.document(lecture.slides, title)
    if format == "pptx":
        return pptx.deck(lecture.slides, lecture.theme, title)
    raise OutputError(f'no format "{format}" for slides; choose from {", ".join(names("slides"))}')


def pictures(lecture: Lecture, format: str, ppi: float = 200.0) -> Iterator[tuple[str, bytes]]:
    """A picture of each slide ("svg" or "png") with the name of its file: "07-fibres-of-c5.svg"."""
    from plexusdraw.paint import FORMATS, paint  # noqa: PLC0415

    choices = FORMATS[format].taken(ppi=ppi)
    digits = max(2, len(str(len(lecture.slides))))
    for number, slide in enumerate(lecture.slides, start=1):
        name = _SIGNS.sub("-", slide.title.lower()).strip("-")[:_NAME] or "slide"
        yield (
            f"{number:0{digits}}-{name}.{format}",
            paint(format, [Page(slide.scene, slide.view)], slide.theme, **choices),
        )
