"""Label the blanks: numbered boxes in place of names, with lines to answer on where boxes have no room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import names
from plexusdraw.model.plexus import Entity, Plexus, Target
from plexusdraw.names.accepted import accepted
from plexusdraw.names.spelling import exact
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import Label, Pill, Row, Scene
from plexusdraw.scene.view import LabelKey, Page, State, StrandKey, View
from plexusdraw.sheets.worksheet import askable, form_page, missing, texts
from plexusdraw.sheets.worksheet.drawing import Drawing, drawing, frame_of, routes, without_supply
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.pool import lists
from plexusdraw.sheets.worksheet.shared_answers import groups, with_shared
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points

IN_BOXES = "Write the name of each numbered structure in its box."
ON_LINES = "Each box on the drawing has a number. Write the names on the lines with the same numbers."
LEFT_OUT = "Some strands are left out as well: draw them, one for each root."
MOST_SUPPLY = 3
"""So many of what a nerve supplies are asked for at most."""
LEFT_OUT_AT_LEVEL_4 = 3


@dataclass(frozen=True)
class Labelling:
    """Makes the forms of one set; the layout is worked out once."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def ask(self) -> tuple[str, ...]:
        """Kinds asked, as the model spells them."""
        if self.spec.only:
            entity = names.find(self.plexus, self.spec.only, ("segment", "muscle"))
            return askable.asked(self.plexus, [_word(self.plexus, entity)])
        return askable.asked(self.plexus, self.spec.ask)

    @cached_property
    def drawing(self) -> Drawing:
        """The drawing that all forms share."""
        detail = askable.detail_for(self.spec, self.ask)
        frame = self.frame("", 99, self._longest_bank(), in_place=False)  # the longer wording keeps its room
        asked = () if askable.SUPPLY in self.ask else askable.singulars(self.plexus, self.ask)
        return drawing(self.plexus, self.spec, detail, asked, frame, askable.SUPPLY in self.ask)

    @cached_property
    def keys(self) -> tuple[LabelKey, ...]:
        """All labels that may be asked, in reading order."""
        found = askable.keys(self.plexus, self.drawing.scenes, self.ask)
        if self.spec.only:
            id = names.find(self.plexus, self.spec.only, ("segment", "muscle")).id
            return tuple(key for key in found if key[0] == id) or found[:0]
        return found

    @cached_property
    def sheet(self) -> tuple[Entity, ...]:
        """The structures that the drawing names, asked or not."""
        parts = (p for scene in self.drawing.scenes for p in scene.parts if isinstance(p, Label | Pill | Row))
        return tuple(self.plexus.entity(id) for id in dict.fromkeys(p.entity for p in parts))

    def frame(self, code: str, total: int, bank: tuple[str, ...], *, in_place: bool) -> Frame:
        """The words around one form, whose answers stand in boxes on the drawing (*in_place*) or on lines."""
        spec, plexus = self.spec, self.plexus
        given = spec.instructions or (IN_BOXES if in_place else ON_LINES)
        words = f"{given} {LEFT_OUT}" if spec.level == 4 and not spec.instructions else given
        return replace(frame_of(plexus, spec, code, total, words), bank=bank)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec = self.spec
        keys = self._chosen(number)
        numbers = {key: i for i, key in enumerate(keys, start=first)}
        questions = list(with_shared([self.question(key, n) for key, n in numbers.items()]))
        left_out = self._left_out(number)
        if left_out:
            questions.append(missing.question(self.plexus, routes(self.plexus), left_out, first + len(questions)))
        code = spec.code(number)
        bank = self._bank(questions, number) if spec.banked else ()
        frame = self.frame(code, points(questions), bank, in_place=self.drawing.in_place)
        pages = [self._page(scene, frame, numbers, left_out) for scene in self.drawing.scenes]
        if not self.drawing.in_place:
            pages += texts.answer_pages(spec.page, frame, questions)
        marked = replace(frame, is_key=True, bank=())
        key = [self._key(scene, frame, marked, numbers) for scene in self.drawing.scenes]
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, tuple(pages), tuple(key), tuple(questions))

    def _chosen(self, number: int) -> list[LabelKey]:
        """The labels asked on one form, in the order of their numbers."""
        spec, usual = self.spec, -(-len(self.keys) // 2) if self.spec.level == 1 else 0
        keys = spec.chosen(self.keys, number, "blanks", usual)
        if spec.forms > 1:
            spec.rng(number, "numbers").shuffle(keys)
        return keys

    def _left_out(self, number: int) -> tuple[str, ...]:
        if self.spec.level != 4:
            return ()
        ids = missing.candidates(self.plexus, self.drawing.scenes[0])
        return missing.chosen(ids, LEFT_OUT_AT_LEVEL_4, self.spec.picker(number, "strands"))

    def question(self, key: LabelKey, number: int) -> Question:
        """What is asked at one blank."""
        plexus = self.plexus
        entity = plexus.entity(key[0])
        if key[1] == "supply":
            targets = supplied(plexus, entity.id)
            right = tuple(t.name for t in targets)
            wanted = min(MOST_SUPPLY, len(right))
            spelled = tuple(accepted(plexus, t, targets) for t in targets)
            names_of_several = groups(plexus, [t.id for t in targets])
            prompt = _supply_prompt(targets, wanted)
            choice = lists.of_supply(plexus, entity.id, targets, "What this nerve supplies")
            return Question(number, prompt, right, wanted, spelled, key, together=names_of_several, choice=choice)
        prompt = f"Name the {kind_word(plexus, entity)} at {number}."
        shown = self.spec.name(entity)
        return Question(number, prompt, (shown,), 1, (accepted(plexus, entity, self.sheet, shown),), key)

    def _page(self, scene: Scene, frame: Frame, numbers: Mapping[LabelKey, int], left_out: Sequence[str]) -> Page:
        strands: Mapping[StrandKey, State] = missing.hidden(scene, left_out) if left_out else {}
        blanks = _on(scene, numbers)
        view = View(asks=True, title=frame.title, blanks=blanks, strands=strands)
        made = form_page.composed(scene, self.spec.page, frame)
        return Page(without_supply(made) if askable.MUSCLES in self.ask else made, view)

    def _key(self, scene: Scene, frame: Frame, marked: Frame, numbers: Mapping[LabelKey, int]) -> Page:
        made = form_page.composed(scene, self.spec.page, frame, marked)
        return Page(made, View(asks=False, title=marked.title, answers=_on(scene, numbers)))

    def _bank(self, questions: Sequence[Question], number: int) -> tuple[str, ...]:
        """Words to choose from: the answers and some of the same kinds, in alphabetical order."""
        right = [q.answers[0] for q in questions if q.wanted == 1 and not q.drawn]
        taken = {exact(text) for q in questions for text in q.spellings()}
        rng = self.spec.rng(number, "bank")
        asked = {q.key[0] for q in questions if q.key}
        table = self._same_kind({self.plexus.entity(id).kind for id in asked})
        spare = [e.name for e in table if e.id not in asked and exact(e.name) not in taken]
        extra = rng.sample(spare, min(len(spare), distractors(len(right))))
        return tuple(sorted({*right, *extra}, key=str.casefold))

    def _same_kind(self, wanted: set[str]) -> list[Entity]:
        both = {"nerve", self.plexus.stages[-1].singular}
        wide = wanted | both if wanted & both else wanted
        every: list[Entity] = [*self.plexus.segments.values(), *self.plexus.muscles.values()]
        return [e for e in every if e.kind in wide]

    def _longest_bank(self) -> tuple[str, ...]:
        """The longest words that a bank may hold: their room is kept on every form."""
        if not self.spec.banked:
            return ()
        wanted = {*askable.singulars(self.plexus, self.ask), *(["muscle"] if askable.MUSCLES in self.ask else [])}
        every = sorted((e.name for e in self._same_kind(wanted)), key=len, reverse=True)
        most = self.spec.count or (-(-len(every) // 2) if self.spec.level == 1 else len(every))
        return tuple(every[: most + distractors(most)])


def distractors(answers: int) -> int:
    """How many words of a bank are no answer."""
    return 0 if not answers else min(5, max(2, answers // 3))


def kind_word(plexus: Plexus, entity: Entity) -> str:
    """What an entity is, in a question."""
    return "nerve" if entity.kind == plexus.stages[-1].singular else entity.kind


def _word(plexus: Plexus, entity: Entity) -> str:
    """The word of --ask that takes in one entity."""
    if entity.id in plexus.muscles:
        return askable.MUSCLES
    segment = plexus.segments[entity.id]
    return segment.stage or askable.NERVES


def _supply_prompt(targets: Sequence[Target], wanted: int) -> str:
    kinds_there = {t.kind for t in targets}
    what = "muscle" if kinds_there == {"muscle"} else "skin area" if "muscle" not in kinds_there else "structure"
    if len(targets) == 1:
        return f"What this nerve supplies: 1 {what}."
    some = f"all {wanted}" if wanted == len(targets) else f"any {wanted} of {len(targets)}"
    return f"What this nerve supplies: {some} {what}s."


def _on(scene: Scene, numbers: Mapping[LabelKey, int]) -> dict[LabelKey, int]:
    """The numbers of the labels that stand on one page."""
    here = {(p.entity, "name") for p in scene.parts if isinstance(p, Pill | Row)}
    here |= {(p.entity, p.role) for p in scene.parts if isinstance(p, Label)}
    return {key: n for key, n in numbers.items() if key in here}
