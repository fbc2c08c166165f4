"""Label the blanks: numbered boxes in place of names, with lines to answer on where boxes have no room."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import names
from plexusdraw.layout.columns.plan import Detail, Plan, plan
from plexusdraw.model.entities import Entity, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted
from plexusdraw.names.spelling import exact
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import Label, Pill, Row, Scene
from plexusdraw.scene.view import LabelKey, Page, State, StrandKey, View
from plexusdraw.sheets.worksheet import askable, flow, links, missing, texts
from plexusdraw.sheets.worksheet.drawing import Drawing, bare, drawing, frame_of, routes, without_supply
from plexusdraw.sheets.worksheet.flow import Item
from plexusdraw.sheets.worksheet.form_page import Frame, counted
from plexusdraw.sheets.worksheet.pool import lists
from plexusdraw.sheets.worksheet.shared_answers import groups, with_shared
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points

IN_BOXES = "Write the name of each numbered structure in its box."
ON_LINES = "Each box on the drawing has a number. Write the names on the lines with the same numbers."
IN_LIST = "Name the muscles of each nerve on the lines of the list, by their roots; minor ones stand in brackets."
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
        """The drawing that all forms share: laid out once, if what it will name is foreseen right."""
        detail = askable.detail_for(self.spec, self.ask)
        expected: tuple[LabelKey, ...] = ()
        if detail != "muscles":
            expected = self._asks(askable.expected(self.plan, self.ask))
        drawn = self._drawn(detail, expected)
        if drawn.in_place or len(drawn.scenes) > 1:
            return drawn
        keys = self._keys(drawn)
        return drawn if len(self._only(expected)) == len(keys) else self._drawn(detail, keys)

    @cached_property
    def plan(self) -> Plan:
        """What the drawing holds, before it is laid out."""
        return plan(bare(self.plexus), routes(self.plexus), askable.detail_for(self.spec, self.ask))

    def _drawn(self, detail: Detail, keys: Sequence[LabelKey]) -> Drawing:
        """The drawing with room for answers at as many of the *keys* as a form asks."""
        frame = self.frame("", 99, self._longest_bank(), ON_LINES)  # the longer wording keeps its room
        every = sorted((self._asked(key, 88, ()) for key in self._only(keys)), key=lambda q: -q.wanted)
        supply = askable.SUPPLY in self.ask
        boxed = () if supply else askable.singulars(self.plexus, self.ask)
        fullest = every[: self._count(len(every))]
        kinds = askable.singulars(self.plexus, self.ask)
        asked = [id for id in self.links if self.plexus.segments[id].kind in kinds]
        return drawing(self.plexus, self.spec, detail, boxed, frame, supply, fullest, asked)

    @cached_property
    def links(self) -> frozenset[str]:
        """The links that may be asked; a teacher who asks of one alone is taken at his word."""
        if self.spec.only:
            return frozenset(self.plan.links())
        detail = askable.detail_for(self.spec, self.ask)
        return links.asked(self.plexus, detail, self.spec.wording.style, ON_LINES)

    def _asks(self, keys: Iterable[LabelKey]) -> tuple[LabelKey, ...]:
        """These without links that are not asked."""
        silent = {*self.plan.links()} - self.links
        return tuple(key for key in keys if key[0] not in silent)

    def _usual(self, every: int) -> int:
        """How many of *every* label a form asks by its level; 0: no number of its own."""
        return -(-every // 2) if self.spec.level == 1 else 0

    def _count(self, every: int) -> int:
        """How many of *every* label that may be asked are asked on one form."""
        return self.spec.wanted(every, self._usual(every))

    @cached_property
    def keys(self) -> tuple[LabelKey, ...]:
        """All labels that may be asked, in reading order, those of links last."""
        return self._keys(self.drawing)

    def _keys(self, drawn: Drawing) -> tuple[LabelKey, ...]:
        found = askable.keys(self.plexus, drawn.scenes, self.ask)
        return self._only(askable.links_last(self._asks(found), self.plan.links()))

    def _only(self, keys: Sequence[LabelKey]) -> tuple[LabelKey, ...]:
        """Those of the one structure asked about, if there is one."""
        if not self.spec.only:
            return tuple(keys)
        id = names.find(self.plexus, self.spec.only, ("segment", "muscle")).id
        return tuple(key for key in keys if key[0] == id)

    @cached_property
    def sheet(self) -> tuple[Entity, ...]:
        """The structures that the drawing names, asked or not."""
        parts = (p for scene in self.drawing.scenes for p in scene.parts if isinstance(p, Label | Pill | Row))
        return tuple(self.plexus.entity(id) for id in dict.fromkeys(p.entity for p in parts))

    def frame(self, code: str, total: int, bank: tuple[str, ...], said: str) -> Frame:
        """The words around one form; *said*: its instructions, where the teacher gives none."""
        spec, plexus = self.spec, self.plexus
        given = spec.instructions or said
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
        frame = self.frame(code, points(questions), bank, self.said)
        frame = replace(
            frame, spare=len(bank) > len({q.answers[0] for q in questions if q.wanted == 1 and not q.drawn})
        )
        pages = [self._page(scene, frame, numbers, left_out, questions) for scene in self.scenes]
        if not self.drawing.in_place and self.drawing.space is None:
            pages += texts.line_pages(spec.page, frame, self._lines(questions))
        marked = replace(frame, is_key=True, bank=())
        *drawn, last = (self._key(scene, frame, marked, numbers) for scene in self.drawing.scenes)
        key = (*drawn, *texts.marked_pages(last, spec.page, frame, questions, self.drawing.space))
        return Form(code, tuple(pages), key, tuple(questions))

    def _chosen(self, number: int) -> list[LabelKey]:
        """The labels asked on one form, in the order of their numbers."""
        spec = self.spec
        keys = spec.chosen(self.keys, number, "blanks", self._usual(len(self.keys)))
        if spec.forms > 1 and not self.listed:  # a list is numbered as it is read
            spec.rng(number, "numbers").shuffle(keys)
        return keys

    def _left_out(self, number: int) -> tuple[str, ...]:
        if self.spec.level != 4:
            return ()
        ids = missing.candidates(self.plexus, self.drawing.scenes[0])
        return missing.chosen(ids, LEFT_OUT_AT_LEVEL_4, self.spec.picker(number, "strands"))

    @property
    def said(self) -> str:
        """Where answers are written, in words."""
        return IN_BOXES if self.drawing.in_place else IN_LIST if self.listed else ON_LINES

    @property
    def scenes(self) -> tuple[Scene, ...]:
        """The pages of the drawing on a form: not the table, where lines to answer on stand in its place."""
        return self.drawing.scenes[:1] if self.listed else self.drawing.scenes

    @cached_property
    def listed(self) -> Mapping[str, Row]:
        """The rows of muscles, where the table has a page of its own: lines to answer on then stand in its place."""
        if set(self.ask) != {askable.MUSCLES} or len(self.drawing.scenes) == 1:
            return {}
        rows = (p for scene in self.drawing.scenes[1:] for p in scene.parts if isinstance(p, Row))
        found: dict[str, Row] = {}
        for row in rows:
            found.setdefault(row.entity, row)
        return found

    def _lines(self, questions: Sequence[Question]) -> list[Item]:
        """Lines to answer on; in place of a table, under the name of each nerve with the roots of each muscle."""
        plain = flow.lines(questions, texts.column_width(self.spec.page))
        if not self.listed:
            return plain
        made: list[Item] = []
        order = list(self.listed)
        nerve = ""
        for question in sorted(questions, key=lambda q: order.index(q.key[0]) if q.key else 0):
            row = self.listed[question.key[0]] if question.key else self.listed[order[0]]
            head = ((self.plexus.segments[row.nerve].name, 0.0, True),) if row.nerve != nerve else ()
            nerve = row.nerve
            texts_of = (*head, (str(question.number), 0.0, True))
            made.append(Item(texts_of, 1, flow.NUMBER_MM, numbered=True, tail=_roots(row)))
        return made

    def question(self, key: LabelKey, number: int) -> Question:
        """What is asked at one blank."""
        return self._asked(key, number, self.sheet)

    def _asked(self, key: LabelKey, number: int, sheet: Sequence[Entity]) -> Question:
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
        if sheet and entity.id in self.listed:
            row = self.listed[entity.id]
            prompt = f"Name the muscle at {number}: {plexus.segments[row.nerve].name}, {_roots(row)}."
        return Question(number, prompt, (shown,), 1, (accepted(plexus, entity, sheet, shown),), key)

    def _page(
        self,
        scene: Scene,
        frame: Frame,
        numbers: Mapping[LabelKey, int],
        left_out: Sequence[str],
        questions: Sequence[Question],
    ) -> Page:
        strands: Mapping[StrandKey, State] = missing.hidden(scene, left_out) if left_out else {}
        blanks = _on(scene, numbers)
        view = View(asks=True, title=frame.title, blanks=blanks, strands=strands)
        made = self.drawing.on_page(scene, self.spec.page, frame, questions)
        return Page(without_supply(made) if askable.MUSCLES in self.ask else made, view)

    def _key(self, scene: Scene, frame: Frame, marked: Frame, numbers: Mapping[LabelKey, int]) -> Page:
        made = self.drawing.on_page(scene, self.spec.page, frame, shown=marked)
        return Page(made, View(asks=False, title=marked.title, answers=_on(scene, numbers)))

    def _bank(self, questions: Sequence[Question], number: int) -> tuple[str, ...]:
        """Words to choose from: the answers and some of the same kinds, in alphabetical order."""
        right = [q.answers[0] for q in questions if q.wanted == 1 and not q.drawn]
        taken = {exact(text) for q in questions for text in q.spellings()}
        rng = self.spec.rng(number, "bank")
        asked = {q.key[0] for q in questions if q.key}
        table = self._same_kind({self.plexus.entity(id).kind for id in asked})
        seen = {e.id for e in self.sheet}  # what the drawing names is no word to choose
        spare = [self.spec.name(e) for e in table if e.id not in asked | seen and exact(e.name) not in taken]
        extra = rng.sample(spare, min(len(spare), distractors(len(right))))
        return tuple(sorted({*right, *extra}, key=str.casefold))

    def _same_kind(self, wanted: set[str]) -> list[Entity]:
        both = {"nerve", self.plexus.stages[-1].singular}
        wide = wanted | both if wanted & both else wanted
        every: list[Entity] = [
            *self.plexus.segments.values(),
            *self.plexus.wholes.values(),
            *self.plexus.muscles.values(),
        ]
        return [e for e in every if e.kind in wide]

    def _longest_bank(self) -> tuple[str, ...]:
        """The longest words that a bank may hold: their room is kept on every form."""
        if not self.spec.banked:
            return ()
        wanted = {*askable.singulars(self.plexus, self.ask), *(["muscle"] if askable.MUSCLES in self.ask else [])}
        every = sorted((self.spec.name(e) for e in self._same_kind(wanted)), key=len, reverse=True)
        most = self._count(len(every))
        return tuple(every[: most + distractors(most)])


def distractors(answers: int) -> int:
    """How many words of a bank are no answer."""
    return 0 if not answers else min(5, max(2, answers // 3))


def _roots(row: Row) -> str:
    """The roots of a row in words; minor ones in brackets."""
    return " ".join(f"({dot.root})" if dot.minor else dot.root for dot in row.dots)


def kind_word(plexus: Plexus, entity: Entity) -> str:
    """What an entity is, in a question."""
    return "nerve" if entity.kind == plexus.stages[-1].singular else entity.kind


def _word(plexus: Plexus, entity: Entity) -> str:
    """The word of --ask that takes in one entity."""
    if entity.id in plexus.muscles:
        return askable.MUSCLES
    return plexus.segment(entity.id).stage or askable.NERVES


def _supply_prompt(targets: Sequence[Target], wanted: int) -> str:
    """How many are wanted; not how many there are."""
    kinds_there = {t.kind for t in targets}
    what = "muscle" if kinds_there == {"muscle"} else "skin area" if "muscle" not in kinds_there else "structure"
    return f"What this nerve supplies: name {counted(wanted, what)}."


def _on(scene: Scene, numbers: Mapping[LabelKey, int]) -> dict[LabelKey, int]:
    """The numbers of the labels that stand on one page."""
    here = {(p.entity, "name") for p in scene.parts if isinstance(p, Pill | Row)}
    here |= {(p.entity, p.role) for p in scene.parts if isinstance(p, Label)}
    return {key: n for key, n in numbers.items() if key in here}
