"""A lecture: the slides of an outline, all of one layout. Nothing moves from slide to slide.

What a step brings is emphasised, what was there before is calm: paler, in its own colours.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from plexusdraw import names
from plexusdraw.api import scenes
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import FitError, OutputError
from plexusdraw.layout import surround
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import Paper, paper
from plexusdraw.look.theme import Share, Theme
from plexusdraw.model import regions
from plexusdraw.model.plexus import Plexus
from plexusdraw.paint.pptx import Slide
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import Area, Note, Panel, Row, Scene
from plexusdraw.scene.view import LabelKey, Page, State, View
from plexusdraw.sheets.slides import case_slide, composition, say
from plexusdraw.sheets.slides import outline as outlines
from plexusdraw.sheets.slides.case_slide import CaseSlide
from plexusdraw.sheets.slides.outline import Outline, Step
from plexusdraw.sheets.slides.things import Things
from plexusdraw.views import limb
from plexusdraw.views.blanks import numbered
from plexusdraw.views.injured import cuts
from plexusdraw.views.request import Request, view_of

CALM = Share(0.62)
"""Share of the page's colour in strands that were there before."""
LEGEND_NEW = "Marked: new on this slide."
ASKED = "A question: the answer is on the next slide."
_SIGNS = re.compile(r"[^a-z0-9]+")
_NAME = 60
"""Most characters of a file's name that come from a slide's title."""


def calm(theme: Theme) -> Theme:
    """The theme in which what is dimmed keeps a tint of its colour."""
    look = replace(theme.look("dimmed"), strand=None, mix=CALM)
    return replace(theme, states={**theme.states, "dimmed": look})


@dataclass(frozen=True)
class Lecture:
    """An outline of a plexus, in a look; nothing in it changes. *path*: None for the outline of the package."""

    plexus: Plexus
    options: Options
    theme: Theme
    path: str | Path | None = None

    @cached_property
    def pages(self) -> tuple[Scene, ...]:
        """The layout: the drawing, then the pages of the supply table. FitError if it cannot fit."""
        return scenes(self.plexus.drawn, self.options)

    @cached_property
    def parts(self) -> tuple[Lecture, ...]:
        """The lecture, or, where the plexus does not fit a slide and its file names parts of it, one of each part.

        A part that does not fit with its table, or with what its nerves supply, does without. FitError if none fits.
        """
        fitting = _fitting(self)
        if fitting is not None:
            return (fitting,)
        found: list[Lecture] = []
        wanted = {nerve for region in self.plexus.regions.values() for nerve in region.nerves}
        for region in self.plexus.regions.values() if self.path is None else ():
            part = replace(self, plexus=regions.drawn_alone(self.plexus, region))
            made = _fitting(part) or _fitting(part, lesser=True)
            if made is not None and wanted & {*region.nerves}:
                found.append(made)
                wanted -= {*region.nerves}
        if wanted or not found:
            assert self.pages  # says what would do
        return tuple(found)

    @cached_property
    def outline(self) -> Outline:
        """The steps. SheetError if the outline is wrong."""
        if self.parts != (self,):
            steps = tuple(step for part in self.parts for step in part.outline.steps)
            return replace(outlines.read(self.plexus, self.path), steps=steps)
        return outlines.read(self.plexus.drawn, self.path, composition.drawn(self.pages[0]))

    @cached_property
    def slides(self) -> tuple[Slide, ...]:
        """All slides in order.

        Raises:
            FitError: the plexus does not fit a slide. SheetError: the outline is wrong.
        """
        made: list[Slide] = []
        titles: dict[str, int] = {}
        for part in self.parts:
            made += _Maker(part, titles=titles, count=len(made)).slides()
        return tuple(made)

    def say(self) -> tuple[str, ...]:
        """The lines to say on each step, in order."""
        if self.parts != (self,):
            return tuple(words for part in self.parts for words in part.say())
        made: list[str] = []
        shown = Things()
        for step in self.outline.steps:
            made.append(say.lines(self.plexus, fibre_routes.of(self.plexus), step, step.show - shown))
            shown |= step.show
        return tuple(made)


def _fitting(lecture: Lecture, *, lesser: bool = False) -> Lecture | None:
    """The lecture if it fits a slide; *lesser*: with as much detail as fits."""
    details = DETAILS[: DETAILS.index(lecture.options.detail)] if lesser else (lecture.options.detail,)
    for detail in reversed(details):
        made = lecture if not lesser else replace(lecture, options=replace(lecture.options, detail=detail))
        try:
            assert made.pages
        except FitError:
            continue
        return made
    return None


@dataclass
class _Maker:
    """Makes the slides of a lecture, keeping track of what has been shown."""

    lecture: Lecture
    shown: Things = field(default_factory=Things)
    titles: dict[str, int] = field(default_factory=dict)
    count: int = 0

    def __post_init__(self) -> None:
        self.plexus = self.lecture.plexus
        self.fibres = fibre_routes.of(self.plexus)
        self.drawing = self.lecture.pages[0]
        self.tables = [page for page in self.lecture.pages if page.table != "none"]
        self.calm = calm(self.lecture.theme)

    def slides(self) -> Iterator[Slide]:
        """The slides of all steps."""
        said = self.lecture.say()
        for step, words in zip(self.lecture.outline.steps, said, strict=True):
            new = step.show - self.shown
            self.shown |= step.show
            yield from self.step(step, new, words)

    def step(self, step: Step, new: Things, words: str) -> Iterator[Slide]:
        """Question, drawing and table of one step, or plexus and limb together."""
        if step.on == "limb":
            if self.plexus.chart:
                yield from self.case(step, new, words)
                return
            step = replace(step, on="both")
        tables = [] if step.on == "drawing" else self.table_pages(step, new)
        if step.on != "table" or not tables:
            scene = composition.kept(self.plexus, self.drawing, self.shown.supply)
            asked = self.asked(step, new, scene)
            if step.ask:
                yield self.slide(step, scene, self.question(step, scene, asked), step.ask, ASKED)
            yield self.slide(step, scene, self.answer(step, new, scene, asked), step.title, words)
        if self.drawing in tables:
            return
        for page in tables:
            made = self.states(step, new, page)
            yield self.slide(step, page, made, f"{step.title} (table)" if step.on == "both" else step.title, words)

    def case(self, step: Step, new: Things, words: str) -> Iterator[Slide]:
        """Plexus, limb and losses on one slide, before it the same without what is asked; if need be on two slides."""
        injury = Injury(self.plexus, step.injure, step.partial) if step.injure else None
        made = case_slide.compose(self.plexus, self.lecture.options, injury)
        if made.drawing is None:
            yield from self.step(replace(step, on="drawing"), new, words)
            yield self.slide(step, made.scene, self.limbed(step, made, View(asks=False), injury), step.title, words)
            return
        shown = self.states(step, new, made.drawing)
        if step.ask:
            bare = replace(step, injure=(), highlight=())
            plain = self.states(bare, Things(), made.drawing)
            marked = cuts(made.drawing, injury) if injury else ()
            question = replace(plain, cuts=marked, notes={**plain.notes, **made.lists})
            yield self.slide(step, made.scene, question, step.ask, ASKED)
        yield self.slide(step, made.scene, self.limbed(step, made, shown, injury), step.title, words)

    def limbed(self, step: Step, made: CaseSlide, shown: View, injury: Injury | None) -> View:
        """A view with the states of the limb."""
        found: dict[str, State] = {}
        ids = [p.entity for p in made.scene.parts if isinstance(p, Area)]
        if injury:
            found = {id: limb.STATE[state] for id, state in limb.harmed(self.plexus, injury, ids).items()}
        elif step.highlight:
            lit = limb.lit(self.plexus, self.fibres, step.highlight)
            found = {id: "highlit" if id in lit else "dimmed" for id in ids}
        return replace(shown, entities={**shown.entities, **found})

    def slide(self, step: Step, scene: Scene, shown: View, title: str, say: str) -> Slide:
        """A slide under a title that no other slide has."""
        n = self.titles[title] = self.titles.get(title, 0) + 1
        title = title if n == 1 else f"{title} ({n})"
        if not composition.fits(scene, title):
            room = composition.room_for_title(scene)
            message = f'the title "{title}" is wider than the {room:.0f} mm of its line in {composition.TITLE_PT:g} pt'
            raise outlines.fault(self.plexus, self.lecture.outline, step, message, "Say it in fewer words.")
        self.count += 1
        page = composition.framed(scene, title, step.section, self.count)
        page = replace(page, description=self.described(step, scene, shown, title))
        theme = self.calm if shown.notes.get("legend") == LEGEND_NEW else self.lecture.theme
        return Slide(page, replace(shown, title=title), theme, say, step.section)

    def described(self, step: Step, scene: Scene, shown: View, title: str) -> str:
        """What the slide shows, for a reader who cannot see it."""
        words = f"{title}. {scene.description}"
        new = [id for id, state in shown.entities.items() if state == "highlit" and id in self.plexus.segments]
        if new and not shown.blanks:
            word = "Highlighted" if step.highlight else "New"
            words += f" {word}: {', '.join(self.plexus.segments[id].name for id in new)}."
        if step.injure:
            words += f" Cut: {', '.join(site.name for site in step.injure)}."
        return words

    def asked(self, step: Step, new: Things, scene: Scene) -> dict[LabelKey, int]:
        """Numbers of the labels that are blank, in reading order: kinds to hide, else what it is about."""
        if step.injure and not step.hide:
            return {}
        if not (step.hide or step.ask):
            return {}
        found = numbered(self.plexus, [scene], step.hide or ("labels",))
        lit = {entity.id for entity in step.highlight}
        about = lit | new.drawn if lit | new.drawn else self.shown.drawn

        def wanted(key: LabelKey) -> bool:
            id, role = key
            if id in self.plexus.segments and id not in self.shown.drawn:
                return False
            if step.hide:
                return True
            return (role == "name" and id in about and not new.supply) or (role == "supply" and id in new.supply)

        keys = [key for key in sorted(found, key=found.__getitem__) if wanted(key)]
        return {key: i for i, key in enumerate(keys, start=1)}

    def question(self, step: Step, scene: Scene, asked: dict[LabelKey, int]) -> View:
        """The step before its answer: labels blank, or the cuts without what follows of them."""
        bare = replace(step, injure=(), highlight=())
        plain = self.states(step if asked else bare, Things(), scene)
        marked = cuts(scene, Injury(self.plexus, step.injure)) if step.injure else ()
        return self.asking(replace(plain, asks=bool(asked), blanks=asked, answers={}, cuts=marked))

    def answer(self, step: Step, new: Things, scene: Scene, asked: dict[LabelKey, int]) -> View:
        """The step itself; labels asked before carry their numbers."""
        made = self.states(step, new, scene)
        return replace(made, answers=asked) if step.ask else self.asking(replace(made, asks=bool(asked), blanks=asked))

    def asking(self, view: View) -> View:
        """A view that asks names no variant, whose name may be an answer."""
        beneath = names.beneath(self.plexus, asks=True) or None
        return replace(view, notes={**view.notes, surround.BENEATH: beneath}) if view.asks else view

    def states(self, step: Step, new: Things, scene: Scene) -> View:
        """States of a page: what is lit or cut; else what is new, and the rest calm; what is to come is hidden."""
        injury = Injury(self.plexus, step.injure, step.partial) if step.injure else None
        alone = scene.table == "alone"
        lit = () if alone and new else step.highlight
        made = view_of(self.plexus, self.fibres, scene, Request(highlight=lit, injury=injury))
        entities = dict(made.entities)
        notes = dict(made.notes)
        if new and not lit and injury is None:
            entities |= self.emphasis(scene, new)
            notes["legend"] = LEGEND_NEW
        if not alone:
            entities |= dict.fromkeys(sorted(composition.drawn(scene) - self.shown.drawn), "hidden")
        return replace(made, entities=entities, notes=notes)

    def emphasis(self, scene: Scene, new: Things) -> dict[str, State]:
        """What is new is highlit, the rest dimmed; nothing, where all that there is is new."""
        fresh = {id for id in new.drawn | new.supply if id in self.plexus.segments}
        rows = {row.entity: False for row in composition.rows_of(scene)}
        for row in composition.rows_of(scene):
            rows[row.entity] = rows[row.entity] or row.nerve in new.supply
        old = self.shown.drawn - fresh
        found: dict[str, State] = {}
        for part in scene.parts:
            if isinstance(part, Row):
                found[part.entity] = "highlit" if rows[part.entity] else "dimmed"
            elif not isinstance(part, Note | Panel) and part.entity in self.plexus.segments:
                found[part.entity] = "highlit" if part.entity in fresh else "dimmed"
        return found if old or rows else {}

    def table_pages(self, step: Step, new: Things) -> list[Scene]:
        """Pages of the table that have something to show for a step."""
        found = []
        for page in self.tables:
            if page is self.drawing:
                found.append(page)
                continue
            whole = composition.kept(self.plexus, page, self.shown.supply)
            rows = list(composition.rows_of(whole))
            if step.injure:
                injury = Injury(self.plexus, step.injure, step.partial)
                wanted = any(injury.outcome(row.entity).loss for row in rows)
            else:
                wanted = not new.supply or any(row.nerve in new.supply for row in rows)
            if rows and wanted:
                found.append(whole)
        return found


def template(lecture: Lecture) -> str:
    """The outline written out, with the lines to say, to be edited."""
    from json import dumps  # noqa: PLC0415

    def text(value: str) -> str:
        return dumps(value, ensure_ascii=False)

    made = [_HEAD, "outline: 1\n", f"title: {text(lecture.outline.title)}\n", "\nsteps:\n"]
    section = None
    for step, said in zip(lecture.outline.steps, lecture.say(), strict=True):
        lines: list[str] = []
        if step.section != section:
            section = step.section
            made.append("\n")
            lines.append(f"section: {text(section)}")
        lines.append(f"title: {text(step.title)}")
        lines += [f"{key}: [{', '.join(map(text, step.texts[key]))}]" for key in _KEYS if key in step.texts]
        lines += ["partial: true"] if step.partial else []
        lines += [f"ask: {text(step.ask)}"] if step.ask else []
        lines += [f"on: {step.on}"] if step.on != "drawing" else []
        lines += ["say: |", *(f"  {line}" for line in said.splitlines())] if said else []
        made.append("  - " + "\n    ".join(lines) + "\n")
    return "".join(made)


_KEYS = ("show", "highlight", "hide", "injure")
_HEAD = """\
# Outline of a lecture: the steps in their order. Leave out, add, move and change what you like.
#
# section    a heading over this step and those that follow
# title      title of the slide
# show       what appears and stays: a column ("trunks"), "side branches of roots", any structure,
#            "supply of radial nerve", "supply" (of all), "everything"
# highlight  structures whose fibres keep their colour on this slide
# hide       kinds of label that are blank: labels (all), roots, trunks, ..., nerves, muscles
# injure     sites to cut: "radial nerve at spiral groove"; with partial: true each spares some fibres
# ask        a question that is put first, on a slide of its own: true, or in your words. What it is about is blank
#            there (an injury shows only its cut); the answer follows
# on         drawing, table (the supply table), both, or limb (plexus and limb on one slide; of an injury the muscles
#            lost as well)
# say        lines for the speaker's notes
"""


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
