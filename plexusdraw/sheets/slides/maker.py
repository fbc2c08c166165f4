"""From steps to slides: what each shows, and before it the same slide without what is asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from plexusdraw import names
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import FitError, UnknownNameError
from plexusdraw.look import theme as themes
from plexusdraw.look.theme import Share, Theme
from plexusdraw.paint.pptx import Slide
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import Area, Note, Scene
from plexusdraw.scene.view import View
from plexusdraw.sheets.slides import buildup, case_slide, composition, opening, say
from plexusdraw.sheets.slides import outline as outlines
from plexusdraw.sheets.slides.buildup import Turn
from plexusdraw.sheets.slides.case_slide import About, CaseSlide
from plexusdraw.sheets.slides.shown import LEGEND_NEW, Showing
from plexusdraw.sheets.slides.steps import Step, listed
from plexusdraw.sheets.slides.things import Things
from plexusdraw.views import limb

if TYPE_CHECKING:
    from plexusdraw.sheets.slides.lecture import Lecture

CALM = Share(0.62)
"""Share of the page's colour in strands that were there before."""


def calm(theme: Theme) -> Theme:
    """The theme in which what is dimmed keeps a tint of its colour."""
    look = replace(theme.look("dimmed"), strand=None, mix=CALM)
    return replace(theme, states={**theme.states, "dimmed": look})


@dataclass
class Maker:
    """Makes the slides of a lecture, keeping track of what has been shown."""

    lecture: Lecture
    shown: Things = field(default_factory=Things)
    titles: dict[str, int] = field(default_factory=dict)
    count: int = 0

    def __post_init__(self) -> None:
        self.plexus = self.lecture.plexus
        self.fibres = fibre_routes.of(self.plexus)
        self.called = names.called(self.plexus)
        self.drawing = self.lecture.pages[0]
        self.tables = [page for page in self.lecture.pages if page.table != "none"]

    def slides(self) -> Iterator[Slide]:
        """The slides of all steps; where clicks are wanted, a build-up is one slide."""
        turns = list(self.turns())
        for run in buildup.runs(turns) if self.lecture.animate else ((turn,) for turn in turns):
            for turn in run:
                self.shown |= turn.step.show
            if len(run) > 1:
                yield self.built(run)
            else:
                yield from self.step(run[0].step, run[0].new, run[0].words)

    def turns(self) -> Iterator[Turn]:
        """The steps with what each brings."""
        shown = self.shown
        for step, words in zip(self.lecture.outline.steps, self.lecture.say(), strict=True):
            yield Turn(step, step.show - shown, words)
            shown |= step.show

    def built(self, run: Sequence[Turn]) -> Slide:
        """The last of a build-up, without marks on what is new; what each step brings comes on its click."""
        step = run[-1].step
        scene = composition.kept(self.plexus, self.drawing, self.shown.supply)
        shown = self.showing(step, Things(), scene).answer()
        title = next(text for text in buildup.titles(run) if text == step.title or composition.fits(scene, text))
        foot = replace(step, section="" if title == step.section else step.section)
        made = self.slide(foot, scene, shown, title, buildup.notes(run))
        words = f"{made.scene.description} In steps: {listed([turn.step.title for turn in run])}."
        clicks = tuple(turn.new.drawn for turn in run)
        return replace(made, scene=replace(made.scene, description=words), section=step.section, clicks=clicks)

    def step(self, step: Step, new: Things, words: str) -> Iterator[Slide]:
        """The slides of one step."""
        if step.aside:
            yield from self.aside(step, words)
        elif step.picture:
            yield from self.picture(step, words)
        elif step.on in ("title", "sources"):
            outline = self.lecture.outline
            make = opening.title if step.on == "title" else opening.sources
            yield self.slide(
                step, make(self.plexus, self.lecture.options, outline), View(asks=False), step.title, words
            )
        elif step.on == "limb":
            yield from self.case(step, new, words)
        else:
            yield from self.drawn(step, new, words)

    def aside(self, step: Step, words: str) -> Iterator[Slide]:
        """A step on the drawing of side branches alone, all of which is new."""
        beside = self.lecture.beside
        assert beside is not None
        made = Maker(beside, titles=self.titles, count=self.count)
        made.shown = Things(composition.drawn(made.drawing))
        yield from made.drawn(step, step.show, words)
        self.count = made.count

    def drawn(self, step: Step, new: Things, words: str) -> Iterator[Slide]:
        """Question, drawing and table of one step."""
        tables = [] if step.on == "drawing" else self.table_pages(step, new)
        if step.on != "drawing" and not tables and self.lecture.path is not None:
            hint = "Give show: supply (or supply of a nerve) here or before, and --detail muscles."
            raise self.fault(step, f"on: {step.on}: there is nothing in the table here", hint)
        if step.on != "table" or not tables:
            scene = composition.kept(self.plexus, self.drawing, self.shown.supply)
            showing = self.showing(step, new, scene)
            if step.ask and not (tables and step.asked == "supply"):
                if step.asked == "names" and not showing.asked:
                    raise self.fault(step, "ask: nothing on this slide is hidden", "Give hide, or show something new.")
                yield self.slide(step, scene, showing.question(), step.ask, say.asking(step), asking=True)
            yield self.slide(step, scene, showing.answer(), step.title, words)
        if self.drawing in tables:
            return
        for page in tables:
            title = f"{step.title} (table)" if step.on == "both" else step.title
            showing = self.showing(step, new, page)
            if step.ask and (step.asked == "supply" or step.on == "table"):
                yield self.slide(step, page, showing.question(), step.ask, say.asking(step), asking=True)
            yield self.slide(step, page, showing.answer(), title, words)

    def showing(self, step: Step, new: Things, scene: Scene) -> Showing:
        """What a step shows of a page."""
        return Showing(self.plexus, self.fibres, step, new, self.shown, scene)

    def case(self, step: Step, new: Things, words: str) -> Iterator[Slide]:
        """Plexus, limb and lists on one slide, before it the same without what is asked; if need be on two slides."""
        injury = Injury(self.plexus, step.injure, step.partial) if step.injure else None
        about = About(injury, step.highlight)
        made = case_slide.compose(self.plexus, self.lecture.options, about)
        if made.drawing is None and step.asked != "site":
            if injury or step.ask:
                yield from self.drawn(replace(step, on="drawing", asked="loss" if injury else "way"), new, words)
            silent = [
                p for p in made.scene.parts if isinstance(p, Note) and p.role == ("legend" if injury else "caution")
            ]
            notes = {"legend": None, **{p.key: None for p in silent if p.key not in made.lists}}
            shown = self.limbed(step, made, View(asks=False, notes=notes), injury)
            yield self.slide(step, made.scene, shown, step.title, words)
            return
        whole = Things(composition.drawn(made.scene), frozenset())
        showing = Showing(self.plexus, self.fibres, step, Things(new.drawn), self.shown | whole, made.scene)
        answer = self.limbed(step, made, showing.answer(), injury)
        if step.ask:
            question = showing.question()
            if step.asked == "site":
                question = self.limbed(step, made, question, injury)
            else:
                question = replace(question, notes={**question.notes, **made.lists})
            yield self.slide(step, made.scene, question, step.ask, say.asking(step), asking=True)
        yield self.slide(step, made.scene, answer, step.title, words)

    def limbed(self, step: Step, made: CaseSlide, shown: View, injury: Injury | None) -> View:
        """A view with the states of the limb."""
        ids = [p.entity for p in made.scene.parts if isinstance(p, Area)]
        if injury:
            found = {id: limb.STATE[state] for id, state in limb.harmed(self.plexus, injury, ids).items()}
            return replace(shown, entities={**shown.entities, **found})
        if not step.highlight:
            return shown
        lit = limb.lit(self.plexus, self.fibres, step.highlight)
        return replace(shown, entities={**shown.entities, **{id: "highlit" if id in lit else "dimmed" for id in ids}})

    def picture(self, step: Step, words: str) -> Iterator[Slide]:
        """Any other picture of the tool; what it asks comes first."""
        from plexusdraw.sheets.slides import any_picture  # noqa: PLC0415

        try:
            found = any_picture.show(self.plexus, self.lecture.options, self.theme(step), step)
        except FitError as error:
            raise self.fault(step, f"picture: {str(error).split(';')[0]}", "Choose another, or a branch.") from error
        except UnknownNameError as error:
            raise self.fault(step, f"hide: {error}", "") from error
        asks = any(page.view.asks for page in found.pages)
        for page in found.pages:
            said = say.asking(step) if asks else words
            yield self.slide(step, page.scene, page.view, step.ask or step.title, said, asking=asks)
        if asks:
            for page in found.answered:
                yield self.slide(step, page.scene, page.view, step.title, words)

    def theme(self, step: Step) -> Theme:
        """The look of a step."""
        return themes.load(step.theme) if step.theme else self.lecture.theme

    def slide(self, step: Step, scene: Scene, shown: View, title: str, words: str, *, asking: bool = False) -> Slide:
        """A slide under a title that no other slide has."""
        title = self.lecture.outline.title if step.on == "title" else title
        n = self.titles[title] = self.titles.get(title, 0) + 1
        title = title if n == 1 else f"{title} ({n})"
        if not composition.fits(scene, title):
            room = composition.room_for_title(scene)
            message = f'the title "{title}" is wider than the {room:.0f} mm of its line in {composition.TITLE_PT:g} pt'
            raise self.fault(step, message, "Say it in fewer words.")
        self.count += 1
        try:
            page = composition.framed(scene, title, composition.Foot(step.section, step.subtitle, self.count))
        except FitError as error:
            raise self.fault(step, str(error), "Say it in fewer words.") from error
        page = replace(page, description=self.described(step, scene, shown, title, asking=asking))
        theme = self.theme(step)
        theme = calm(theme) if shown.notes.get("legend") == LEGEND_NEW else theme
        return Slide(page, replace(shown, title=title, called=self.called), theme, words, step.section)

    def described(self, step: Step, scene: Scene, shown: View, title: str, *, asking: bool) -> str:
        """What the slide shows, for a reader who cannot see it; of a question no more than it asks."""
        words = f"{title}. {scene.description}"
        new = [id for id, state in shown.entities.items() if state == "highlit" and id in self.plexus.segments]
        if new and not shown.blanks and not asking:
            word = "Highlighted" if step.highlight else "New"
            words += f" {word}: {', '.join(self.plexus.segments[id].name for id in new)}."
        if step.injure and not (asking and step.asked == "site"):
            words += f" Cut: {', '.join(site.name for site in step.injure)}."
        return words

    def fault(self, step: Step, message: str, hint: str) -> Exception:
        """The error for a step that cannot be shown."""
        return outlines.fault(self.plexus, self.lecture.outline, step, message, hint)

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
