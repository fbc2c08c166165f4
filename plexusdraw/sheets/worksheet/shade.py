"""Shade on the limb, which has no names, what an injury takes; the key is the injured limb."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import charts, names
from plexusdraw.clinic.cases import Asked, asked, fair
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import SheetError
from plexusdraw.layout.limb import strip
from plexusdraw.layout.limb.strip import Figure
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.sites import Site
from plexusdraw.scene import Area, Box, Scene
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, texts
from plexusdraw.sheets.worksheet.drawing import frame_of
from plexusdraw.sheets.worksheet.form_page import FOOT_PT, HEAD_PT, Frame
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points
from plexusdraw.views.limb import STATE, SWATCHES, harmed

INSTRUCTIONS = (
    "One injury cuts the {site}; nothing else is injured. Shade on the limb what is lost, as the patterns say."
)
GAP_MM = 3.0


@dataclass(frozen=True)
class Shade:
    """Makes the forms of one set."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def sites(self) -> tuple[Site, ...]:
        """The sites asked about, each with a loss of its own, in an order of their own for each seed.

        Raises:
            ModelError: the model has no chart of its limb.
            SheetError: no site makes a case. UnknownNameError: ``spec.only`` is no site.
        """
        if self.spec.only:
            site = site_names.parse(self.plexus, self.spec.only)
            if not self.shaded(Injury(self.plexus, [site])):
                raise SheetError(f"the {self.plexus.limb} shows no muscle or skin that an injury of {site.name} takes")
            return (site,)
        every = (s for s in site_names.all_sites(self.plexus) if not s.id.startswith(f"{s.segment}-after-"))
        cases = [(site, injury) for site in every if self.shaded(injury := Injury(self.plexus, [site]))]
        found = [site for site, injury in cases if fair(injury)] or [s for s, injury in cases if self.numbs(injury)]
        if not found:
            raise SheetError(f"no site of the {self.plexus.name} makes a case with one right answer")
        self.spec.rng(0, "sites").shuffle(found)
        by_answer: dict[object, Site] = {}
        for site in found:
            by_answer.setdefault(
                frozenset(id for one in self.shaded(Injury(self.plexus, [site])) for id in one.right), site
            )
        return tuple(by_answer.values())

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """The limb in every view."""
        style = self.spec.wording.style
        return strip.figures(self.plexus, charts.of(self.plexus), ("muscles", "skin"), self.spec.side, style=style)

    def shaded(self, injury: Injury) -> list[Asked]:
        """What an injury is asked by of what the limb shows: the diaphragm, for one, is not drawn."""
        drawn = {part.entity for figure in self.figures for part in figure.plate.parts if isinstance(part, Area)}
        found: list[Asked] = []
        for one in asked(injury):
            shown, either = (tuple(id for id in ids if id in drawn) for ids in (one.required, one.disputed))
            if shown and one.kind != "movement":
                found.append(replace(one, required=shown, disputed=either))
        return found

    def numbs(self, injury: Injury) -> bool:
        """Whether some area surely loses all feeling: a case where no muscle makes one."""
        areas = [id for one in self.shaded(injury) if one.kind == "skin" for id in one.required]
        return any(injury.skin[id].loss is Loss.WHOLE for id in areas)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on.

        Raises:
            ModelError: the model has no chart of its limb.
        """
        spec, plexus = self.spec, self.plexus
        place = 0 if spec.choosing == "same" else number - 1
        site = self.sites[place % len(self.sites)]
        injury = Injury(plexus, [site])
        told = INSTRUCTIONS.format(site=site.name)
        own = replace(spec, instructions="")
        questions = tuple(self.questions(injury, first))
        code = spec.code(number)
        frame = frame_of(plexus, own, code, points(questions), f"{spec.instructions} {told}".strip())
        side = names.of_limb(plexus, spec.wording.style, spec.side)
        frame = replace(frame, orientation=side, legend="", caution=" ".join(plexus.caution.split()))
        page = Page(self.scene(frame), View(asks=True, title=frame.title, entities=dict(SWATCHES)))
        states = {id: STATE[state] for id, state in harmed(plexus, injury, [*plexus.muscles, *plexus.skin]).items()}
        answered = View(asks=False, title=frame.title, entities={**states, **SWATCHES})
        key = [Page(self.scene(frame, replace(frame, is_key=True)), answered)]
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, (page,), tuple(key), questions, told, frame.caution)

    def questions(self, injury: Injury, first: int = 1) -> Iterator[Question]:
        """Muscles and skin, as :func:`plexusdraw.clinic.cases.asked` asks them; marked by eye, a point each."""
        for number, one in enumerate(self.shaded(injury), start=first):
            named = tuple(self.plexus.entity(id).name for id in one.right)
            either = tuple(range(len(one.required), len(named)))
            yield Question(number, f"Shade. {one.what}.", named, len(one.required), drawn=True, either=either)

    def scene(self, frame: Frame, shown: Frame | None = None) -> Scene:
        """The limb between head and foot; *shown*: the words to set instead of those of *frame*."""
        page = self.spec.page
        top, bottom = form_page.room(page, frame)
        width = page.width - 2 * page.margin
        _, high = strip.swatches(strip.KEY, page.margin, 0.0, width, FOOT_PT)
        found = self.figures
        room = Box(page.margin, top, width, bottom - top - high - GAP_MM)
        made = strip.strip(found, room, HEAD_PT, GAP_MM)
        swatches, _ = strip.swatches(strip.KEY, page.margin, made.box.bottom + 0.5 * GAP_MM, width, FOOT_PT)
        body = form_page.blank_page(page, shown or frame, (*made.parts, *swatches), self.plexus.roots)
        return replace(body, side=self.spec.side)
