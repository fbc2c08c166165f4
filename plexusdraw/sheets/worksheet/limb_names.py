"""Name what has a number on the limb: areas of skin, muscles, or dermatomes; lines to answer on stand beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import names
from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.layout.labels import span as root_run
from plexusdraw.layout.limb.legend import LEGENDS
from plexusdraw.layout.limb.options import LAYERS, By, Layers, LimbOptions, Picture
from plexusdraw.model.entities import Entity, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted
from plexusdraw.names.spelling import capital, exact
from plexusdraw.scene import Part as Drawn
from plexusdraw.scene import Scene
from plexusdraw.scene.view import LabelKey, Page, View
from plexusdraw.sheets.worksheet import limb_page, texts
from plexusdraw.sheets.worksheet.drawing import frame_of
from plexusdraw.sheets.worksheet.flow import lines
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.limb_page import LimbPage, Swatches
from plexusdraw.sheets.worksheet.registry import kind
from plexusdraw.sheets.worksheet.shared_answers import with_shared
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points

NO_HINT_LEVEL = 4
"""From this level on no colour tells the nerve."""
BADGE_MM = (0.0, 4.2)
"""Least size of the box in which a number stands."""
WORDS: Mapping[Picture, tuple[str, str]] = {
    "skin": ("skin area", "areas of skin"),
    "muscles": ("muscle", "muscles"),
    "dermatomes": ("dermatome", "dermatomes"),
}
"""Picture → what one is in a question, and what it shows in a title."""
INSTRUCTIONS = "Each number stands for one {one}. Write its name on the line with the same number."


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page that all forms share. ``own``: the names asked here, and not on a page before; in reading order."""

    options: LimbOptions
    made: LimbPage
    own: tuple[LabelKey, ...]


@dataclass(frozen=True)
class LimbNames:
    """Makes the forms of one set; the pages are laid out once."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def only(self) -> Target | None:
        """The one muscle or area asked about, if there is one."""
        if not self.spec.only:
            return None
        id = names.find(self.plexus, self.spec.only, kind("limb").only).id
        return self.plexus.muscles.get(id) or self.plexus.skin[id]

    @cached_property
    def pictures(self) -> tuple[Picture, ...]:
        """What is shown, a page each.

        Raises:
            UnknownNameError: a word of ``spec.ask`` is none of them.
        """
        if self.only:
            return (_picture(self.only),)
        known: dict[str, Picture] = {}
        for picture, (one, several) in WORDS.items():
            known |= dict.fromkeys((picture, picture.removesuffix("s"), one, several, f"{one}s"), picture)
        found = [known.get(exact(text)) for text in self.spec.ask or ("skin",)]
        if None in found:
            text = self.spec.ask[found.index(None)]
            raise UnknownNameError(f'cannot ask about "{text}" on a limb; choose from {", ".join(WORDS)}')
        return tuple(dict.fromkeys(p for p in found if p))

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        """All pages: one for each picture, of muscles one for each layer; more where one does not take them.

        Raises:
            SheetError: nothing that may be asked is drawn.
        """
        found: list[tuple[LimbOptions, tuple[LimbPage, ...]]] = []
        for picture, layer in self._layers():
            options = self._options(picture, layer)
            frame = self.frame(picture, "", 99, ())
            found.append((options, limb_page.alone(self.plexus, options, self.spec.page, frame)))
        every = len({key for _, pages in found for page in pages for key in self._askable(page)})
        if not every:
            what = self.only.name if self.only else " or ".join(self.pictures)
            raise SheetError(f"{what} is not drawn on the {self.plexus.limb}")
        most = self._count(every)
        made: list[Sheet] = []
        before: set[LabelKey] = set()
        for options, pages in found:
            own = [key for page in pages for key in self._askable(page) if key not in before]
            for page in self._lined(options, tuple(dict.fromkeys(own)), most) or pages:
                mine = tuple(key for key in self._askable(page) if key not in before)
                before.update(mine)
                made.append(Sheet(options, page, mine))
        return tuple(made)

    def _layers(self) -> Iterator[tuple[Picture, Layers]]:
        """Picture and layers of each page."""
        for picture in self.pictures:
            yield from ((picture, layer) for layer in (LAYERS[1:] if picture == "muscles" else LAYERS[:1]))

    def _options(self, picture: Picture, layers: Layers) -> LimbOptions:
        by: By = "state" if self.spec.level >= NO_HINT_LEVEL else "nerve"
        wording = replace(self.spec.wording, blank=BADGE_MM)
        return LimbOptions(picture, layers, by, side=self.spec.side, wording=wording)

    def _lined(self, options: LimbOptions, own: Sequence[LabelKey], most: int) -> tuple[LimbPage, ...]:
        """The page with lines for as many of its names as a form asks, the longest; none if it has no room."""
        every = sorted((self.question(key, 88) for key in own), key=lambda q: -len(q.answers[0]))[:most]
        if not every:
            return ()
        bank = tuple(q.answers[0] for q in every) if self.spec.banked else ()
        frame = self.frame(options.picture, "", 99, bank)
        page = limb_page.lined(self.plexus, options, self.spec.page, frame, every)
        return (page,) if page else ()

    def _askable(self, page: LimbPage) -> tuple[LabelKey, ...]:
        """The names on a page that may be asked: those of the model."""
        wanted = {self.only.id} if self.only else {*self.plexus.muscles, *self.plexus.skin}
        return tuple(key for key in page.keys if key[0] in wanted)

    def _count(self, every: int) -> int:
        return self.spec.wanted(every, self._usual(every))

    def _usual(self, every: int) -> int:
        """How many of *every* name a form asks by its level; 0: no number of its own."""
        return -(-every // 2) if self.spec.level == 1 else 0

    @cached_property
    def keys(self) -> tuple[LabelKey, ...]:
        """All names that may be asked, page by page."""
        return tuple(key for sheet in self.sheets for key in sheet.own)

    def frame(self, picture: Picture, code: str, total: int, bank: tuple[str, ...]) -> Frame:
        """The words around one page."""
        spec, plexus = self.spec, self.plexus
        one, several = WORDS[picture]
        made = frame_of(plexus, spec, code, total, INSTRUCTIONS.format(one=one))
        title = spec.title or f"{capital(plexus.name)}: name the {several}"
        side = names.of_limb(plexus, spec.wording.style, spec.side)
        return replace(made, title=title, orientation=side, legend=LEGENDS[picture], bank=bank, spare=False)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on.

        Raises:
            FitError: the limb does not fit its page. ModelError: the model has no chart of a limb.
        """
        spec = self.spec
        asked = self._chosen(number)
        order = [key for keys in asked for key in keys]
        numbers = {key: i for i, key in enumerate(order, start=first)}
        questions = {q.key: q for q in with_shared([self.question(key, n) for key, n in numbers.items()])}
        code, total = spec.code(number), points(questions.values())
        told = {exact(text) for q in questions.values() for text in q.spellings()}
        pages: list[Page] = []
        keys: list[Page] = []
        apart: list[Question] = []
        unmarked: list[Question] = []
        for sheet, own in zip(self.sheets, asked, strict=True):
            if not own:
                continue
            mine = [questions[key] for key in own]
            bank = tuple(sorted({q.answers[0] for q in mine}, key=str.casefold)) if spec.banked else ()
            frame = self.frame(sheet.options.picture, code, total, bank)
            pages.append(self._page(sheet, frame, numbers, mine, told))
            marked = self._key(sheet, frame, numbers, mine)
            keys.append(marked[0])
            apart += mine if sheet.made.space is None else []
            unmarked += mine if len(marked) > 1 else []
        last = replace(self.frame(self.pictures[-1], code, total, ()), legend="")
        if apart:
            pages += texts.line_pages(spec.page, last, lines(apart, texts.column_width(spec.page)))
        if unmarked:
            keys += texts.marking_pages(spec.page, last, unmarked)
        return Form(code, tuple(pages), tuple(keys), tuple(questions.values()))

    def _chosen(self, number: int) -> list[list[LabelKey]]:
        """The names asked on one form, for each page in the order of their numbers."""
        spec = self.spec
        chosen = {*spec.chosen(self.keys, number, "blanks", self._usual(len(self.keys)))}
        rng = spec.rng(number, "numbers")
        found = [[key for key in sheet.own if key in chosen] for sheet in self.sheets]
        for keys in found if spec.forms > 1 else ():
            rng.shuffle(keys)
        return found

    def question(self, key: LabelKey, number: int) -> Question:
        """What is asked at one number."""
        target = self.plexus.muscles.get(key[0]) or self.plexus.skin[key[0]]
        shown = self._shown(target)
        spelled = accepted(self.plexus, target, self._named(target), shown)
        return Question(number, f"Name the {WORDS[_picture(target)][0]} at {number}.", (shown,), 1, (spelled,), key)

    def _shown(self, target: Target) -> str:
        """What is right: a muscle's name in full, an area as the drawing calls it."""
        if target.kind != "skin":
            return self.spec.name(target)
        own = dict(self.spec.wording.own).get(target.id)
        return own or root_run(target.dermatome, self.plexus.roots) or self.spec.wording.of(target)

    def _named(self, target: Target) -> tuple[Entity, ...]:
        """All of the same picture."""
        table = self.plexus.muscles if target.kind == "muscle" else self.plexus.skin
        return tuple(table.values())

    def _page(
        self,
        sheet: Sheet,
        frame: Frame,
        numbers: Mapping[LabelKey, int],
        mine: Sequence[Question],
        told: set[str],
    ) -> Page:
        """A page of a form, without what in its legend would tell an answer."""
        swatches = [s for s in limb_page.legend_of(self.plexus, sheet.options) if not _tells(s.words, told)]
        room = sheet.made.space
        scene = self._composed(sheet, frame, swatches, room.lines(mine) if room else ())
        return Page(scene, View(asks=True, title=frame.title, blanks=_on(sheet, numbers)))

    def _key(
        self, sheet: Sheet, frame: Frame, numbers: Mapping[LabelKey, int], mine: Sequence[Question]
    ) -> tuple[Page, ...]:
        """The same page with its names and, if it has room, its marking list."""
        marked = replace(frame, is_key=True, bank=())
        scene = self._composed(sheet, marked, limb_page.legend_of(self.plexus, sheet.options))
        drawn = Page(scene, View(asks=False, title=frame.title, answers=_on(sheet, numbers)))
        return texts.marked_pages(drawn, self.spec.page, marked, mine, sheet.made.space)

    def _composed(self, sheet: Sheet, frame: Frame, swatches: Swatches, answers: Sequence[Drawn] = ()) -> Scene:
        made = limb_page.composed(sheet.made, self.spec.page, frame, swatches, answers)
        return replace(made, side=self.spec.side, roots=self.plexus.roots)


def _on(sheet: Sheet, numbers: Mapping[LabelKey, int]) -> dict[LabelKey, int]:
    """The numbers that stand on one page, also those of names asked on a page before."""
    return {key: numbers[key] for key in sheet.made.keys if key in numbers}


def _picture(target: Target) -> Picture:
    if target.kind == "muscle":
        return "muscles"
    return "dermatomes" if target.dermatome else "skin"


def _tells(text: str, spellings: set[str]) -> bool:
    """Whether a text holds one of the spellings as words of its own."""
    said = exact(text)
    return any(re.search(rf"(?<!\w){re.escape(spelling)}(?!\w)", said) for spelling in spellings if spelling)
