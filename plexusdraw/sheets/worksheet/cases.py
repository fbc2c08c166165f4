"""Injury cases: a cut is marked and the losses are listed, or findings are given and the site is found.

Both are made from the engine, with its answer; what is fair is said by :mod:`plexusdraw.clinic.cases`. The persons are
invented, and say nothing of how injuries come about.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from plexusdraw.clinic.cases import Asked, asked, examinable, sure
from plexusdraw.clinic.cases import fair as plain
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import Finding, Kind
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import Answer, localise
from plexusdraw.errors import SheetError
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted, accepted_site
from plexusdraw.names.sites import Site
from plexusdraw.scene import Scene
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import case_mix, flow, form_page, texts
from plexusdraw.sheets.worksheet.case_picture import Shown, course, marks, told
from plexusdraw.sheets.worksheet.drawing import Drawing, bare, drawing, frame_of, lined, routes, without_supply
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.labelling import distractors
from plexusdraw.sheets.worksheet.pool import lists
from plexusdraw.sheets.worksheet.shared_answers import groups
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points
from plexusdraw.views.request import Request, view_of

PEOPLE = ("a baker", "a bus driver", "a carpenter", "a gardener", "a nurse", "a painter", "a student", "a teacher")
MOST = {"muscle": 5, "movement": 3, "skin": 2}
"""So many are asked for at most."""
MOST_FINDINGS = 7
UNCOUNTED_LEVEL = 4
"""From this level on a form does not say how many answers are wanted."""
MORE_WORDS = 1
"""So many more right words than are wanted stand in a word bank for each list."""
CASE = "Invented case: {who}. Site of the one injury: {site}. Nothing else is injured."
SAID: Mapping[Kind, str] = {
    "paralysed": "Paralysed",
    "weak": "Weak",
    "spared": "Full strength",
    "numb": "No feeling",
    "feels": "Normal feeling",
}
ASKED, ASKED_OPENLY = "List what is lost.", "List what is lost; lines may stay empty."
MARKED = "The bars mark it."
FOUND = "Invented case: {who}. {found}"
FINDINGS = f"{FOUND} Name one place whose injury explains all of this."
PLACES = "Name one of the {many} places that explain all findings."
USUAL_FINDINGS = "Paralysed: muscle of some length. " * 5
"""Room for so many words of findings is kept on every form of a set."""
EPS = 1e-6


@dataclass(frozen=True, slots=True)
class Case:
    """One case: its injury, what is asked, the case in words, and what the form says."""

    injury: Injury
    questions: tuple[Question, ...]
    told: str
    said: str
    marked: str = ""
    """What the form says where the cut is marked."""


@dataclass(frozen=True)
class Cases:
    """Makes the forms of one set: ``spec.kind`` "injury" asks for the losses, "site" for the place."""

    plexus: Plexus
    spec: Spec
    made: dict[int, Case] = field(default_factory=dict, compare=False)

    @cached_property
    def room(self) -> tuple[Frame, tuple[Question, ...]]:
        """Words and questions for which every form keeps room; of a set, not resting on how many forms there are."""
        if self.spec.forms == 1 or self.spec.choosing == "same":
            case = self.case(1)
            return self.frame("", 99, case.marked or case.said, self._bank(case, 1)), case.questions
        if self.spec.kind == "site":
            said = FINDINGS.format(who=max(PEOPLE, key=len), found=USUAL_FINDINGS)
            name = max((s.name for s in self.plexus.segments.values()), key=len)
            return self.frame("", 99, said), (Question(99, PLACES.format(many=88), (name,)),)
        every = {number: self.case(number) for number in range(1, len(self.sites) + 1)}
        said = max((case.marked for case in every.values()), key=len)
        banks = (self._bank(case, number) for number, case in every.items())
        fullest = max((case.questions for case in every.values()), key=lambda qs: sum(1 + q.wanted for q in qs))
        return self.frame("", 99, said, max(banks, key=lambda bank: sum(map(len, bank)))), fullest

    @cached_property
    def drawing(self) -> Drawing:
        """The drawing that forms share."""
        return self._drawn(*self.room)

    def _drawn(self, frame: Frame, questions: Sequence[Question]) -> Drawing:
        """The drawing with room for *questions*, without what nerves supply, which would give answers away.

        Where lists have no room beside all nerves, these are left out: a cut on one of them is marked on its course.
        """
        details: tuple[Detail, ...] = (self.spec.detail,) if self.spec.detail else ("nerves", "framework")
        found = (lined(self.plexus, self.spec, detail, frame, questions) for detail in details)
        made = next((one for one in found if one), None)
        made = made or drawing(self.plexus, self.spec, details[0], (), frame)
        return replace(made, scenes=tuple(map(without_supply, made.scenes)))

    def _drawing_of(self, frame: Frame, questions: Sequence[Question]) -> Drawing:
        """The shared drawing; one of its own for a form that says more than room is kept for."""
        kept, _ = self.room
        page = self.spec.page
        (top, bottom), (first, last) = form_page.room(page, kept), form_page.room(page, frame)
        fits = self.drawing.space is None or self.drawing.space.takes(questions)
        if first <= top + EPS and last >= bottom - EPS and fits:
            return self.drawing
        return self._drawn(frame, questions)

    def frame(self, code: str, total: int, instructions: str, bank: tuple[str, ...] = ()) -> Frame:
        """The words around one form; the case stands after what the teacher says."""
        own = f"{self.spec.instructions} {instructions}".strip()
        spec = replace(self.spec, instructions="")
        made = frame_of(self.plexus, spec, code, total, own)
        return replace(made, caution=" ".join(self.plexus.caution.split()), bank=bank)

    @cached_property
    def sites(self) -> tuple[tuple[Site, ...], ...]:
        """The injuries asked about, in an order of their own for each seed.

        Raises:
            SheetError: no site makes a case.
            UnknownNameError: ``spec.only`` is no site, or ``spec.sources`` names nothing.
        """
        if self.spec.only:
            return (case_mix.only(self.plexus, self.spec.only),)
        return case_mix.mixed(self.plexus, self.spec.sources, self._losses_at, self.spec.rng(0, "sites"))

    def _losses_at(self, site: Site) -> Hashable | None:
        """What tells the case of a site from those of others; None where it makes no fair one."""
        injury = Injury(self.plexus, [site])
        if self.spec.kind == "injury":
            return frozenset((one.what, one.right) for one in asked(injury)) if examinable(injury) else None
        outcomes = (*injury.muscles.values(), *injury.skin.values())
        return frozenset((o.id, o.loss, o.disputed) for o in outcomes) if plain(injury) else None

    def case(self, number: int) -> Case:
        """The case of one form, counted from 1."""
        if number not in self.made:
            self.made[number] = self._case(number)
        return self.made[number]

    def _case(self, number: int) -> Case:
        place = 0 if self.spec.choosing == "same" else number - 1
        sites = self.sites[place % len(self.sites)]
        injury = Injury(self.plexus, sites)
        who = self.spec.rng(number, "person").choice(PEOPLE)
        if self.spec.kind == "injury":
            told = CASE.format(who=who, site=" and ".join(site.text for site in sites))
            ask = ASKED_OPENLY if self.spec.level == UNCOUNTED_LEVEL else ASKED
            return Case(injury, tuple(self._losses(injury)), told, f"{told} {ask}", f"{told} {MARKED} {ask}")
        questions, told, said = self._search(injury, who, number)
        return Case(injury, tuple(questions), told, said)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec, case = self.spec, self.case(number)
        questions = tuple(replace(q, number=i) for i, q in enumerate(case.questions, start=first))
        code, bank = spec.code(number), self._bank(case, number)
        usual = self._drawing_of(self.frame(code, 99, case.marked or case.said, bank), questions)
        shown = self._shown(usual, case, bank)
        frame = self.frame(code, points(questions), case.marked if shown.marks else case.said, bank)
        scene, own = shown.drawing.scenes[0], shown.drawing
        view = View(asks=True, title=frame.title, cuts=shown.marks)
        pages = [Page(own.on_page(scene, spec.page, frame, questions), view)]
        if own.space is None:
            items = flow.lines(questions, texts.column_width(spec.page))
            pages += texts.line_pages(spec.page, replace(frame, caution=""), items)
        marked = own.on_page(scene, spec.page, frame, shown=replace(frame, is_key=True, bank=()))
        key = texts.marked_pages(
            Page(marked, self._answered(frame.title, marked, case.injury)), spec.page, frame, questions, own.space
        )
        return Form(code, tuple(pages), key, questions, case.told, frame.caution)

    def _shown(self, usual: Drawing, case: Case, bank: tuple[str, ...]) -> Shown:
        """The plexus, or the course of the nerve where a cut lies beyond what the plexus shows."""
        if self.spec.kind != "injury":
            return Shown(usual, ())
        found = told(usual.scenes[0], case.injury)
        if not found:
            frame = self.frame("", 99, case.marked, bank)
            drawn = course(self.plexus, self.spec, case.injury, frame, case.questions)
            if drawn is not None and (there := marks(drawn.scenes[0], case.injury)):
                return Shown(drawn, there)
        return Shown(usual, found)

    def _answered(self, title: str, scene: Scene, injury: Injury) -> View:
        """The cut marked, and what lies downstream of it lost."""
        made = view_of(bare(self.plexus), routes(self.plexus), scene, Request(injury=injury))
        return View(asks=False, title=title, entities=made.entities, strands=made.strands, cuts=made.cuts)

    def _bank(self, case: Case, number: int) -> tuple[str, ...]:
        """Of an injury, the muscles and skin areas asked and some others; of a site, nothing."""
        if not self.spec.banked or self.spec.kind != "injury":
            return ()
        rng = self.spec.rng(number, "bank")
        shown: list[str] = []
        for q in case.questions:  # of each list more than is wanted
            sure_of = [answer for i, answer in enumerate(q.answers) if i not in q.either]
            shown += rng.sample(sure_of, min(len(sure_of), q.wanted + MORE_WORDS))
        taken = {answer for q in case.questions for answer in q.answers}
        spare = [m.name for m in self.plexus.muscles.values() if m.name not in taken and m.testable]
        extra = rng.sample(spare, min(len(spare), distractors(len(shown))))
        return tuple(sorted({*shown, *extra}, key=str.casefold))

    def _losses(self, injury: Injury) -> Iterator[Question]:
        """What :func:`plexusdraw.clinic.cases.asked` asks, a question each: as many as one line each can ask."""
        for number, one in enumerate(asked(injury), start=1):
            yield replace(_listed(self.plexus, number, one, self.spec.level), choice=lists.of_injury(injury, one))

    def _search(self, injury: Injury, who: str, number: int) -> tuple[list[Question], str, str]:
        """Findings that lead to one place, or to as few as they can: the question, the case, and what the form says."""
        found, answers = self._told(injury, number)
        words = " ".join(_grouped(found))
        right = tuple(dict.fromkeys(a.name for a in answers))
        spelled = tuple(_site_spellings(self.plexus, a) for a in answers)
        prompt = PLACES.format(many=len(right))
        if len(right) == 1:
            prompt = "Name the place that explains all findings."
        question = Question(1, prompt, right, 1, spelled)
        return [question], FOUND.format(who=who, found=words), FINDINGS.format(who=who, found=words)

    def _told(self, injury: Injury, number: int) -> tuple[list[Finding], list[Answer]]:
        """Findings, one more at a time, until one place is left or nothing tells the places apart."""
        rng = self.spec.picker(number, "findings")
        tested = [o for o in injury.muscles.values() if self.plexus.muscles[o.id].testable and not o.disputed]
        worst = max((o.loss for o in tested), default=Loss.NONE)
        lost = [o for o in tested if o.loss is worst and worst]
        lost = lost or [o for o in injury.skin.values() if o.loss is Loss.WHOLE and self._tells(injury, o.id)]
        if not lost:
            names = " and ".join(site.text for site in injury.sites)
            raise SheetError(f"no examination finds an injury of {names}: take another site, or --kind injury")
        found = [_finding(injury, o.id) for o in rng.sample(lost, min(2, len(lost)))]
        while True:
            answers = _complete(self.plexus, found)
            more = self._telling(injury, answers, {f.about for f in found}) if len(answers) > 1 else None
            if more is None or len(found) >= MOST_FINDINGS:
                return found, answers
            found.append(more)

    def _telling(self, injury: Injury, answers: Sequence[Answer], known: set[str]) -> Finding | None:
        """The finding that speaks against most of the answers."""
        rule = injury.rule
        ids = (id for id in (*self.plexus.muscles, *self.plexus.skin) if id not in known and self._tells(injury, id))
        found = [_finding(injury, id) for id in ids]
        against = [sum(f.against(rule, a.broken) for a in answers) for f in found]
        most = max(against, default=0)
        return found[against.index(most)] if most else None

    def _tells(self, injury: Injury, id: str) -> bool:
        """Whether a muscle or skin area is surely lost or surely spared; a dermatome would name the root."""
        outcome = injury.outcome(id)
        area = self.plexus.skin.get(id)
        if area is None and not self.plexus.muscles[id].testable:
            return False
        return not (area and area.dermatome) and sure(outcome)


def _complete(plexus: Plexus, found: Sequence[Finding]) -> list[Answer]:
    """The places at each of which an injury does all that is found, the best first."""
    answers = localise(plexus, found, top=60).answers
    whole = (a for a in answers if not a.unexplained and not a.contradicted and len(a.cuts) == 1)
    return [a for a in whole if all(_does(_injured(plexus, a.cuts), one) for one in found)]


@lru_cache(maxsize=256)
def _injured(plexus: Plexus, cuts: tuple[Site, ...]) -> Injury:
    """The injury of these sites; the cases of a set ask about the same places again and again."""
    return Injury(plexus, cuts)


def _does(injury: Injury, found: Finding) -> bool:
    """Whether an injury does what is found, as the model has it or as some sources may; a slight loss looks normal."""
    outcome = injury.outcome(found.about)
    least = {"paralysed": Loss.WHOLE, "numb": Loss.WHOLE, "weak": Loss.PART}.get(found.kind)
    agrees = outcome.loss <= Loss.SLIGHT if least is None else outcome.loss >= least
    return agrees or outcome.disputed


def _finding(injury: Injury, id: str) -> Finding:
    """What an examination of one muscle or skin area would find."""
    outcome = injury.outcome(id)
    whole = outcome.loss is Loss.WHOLE
    if outcome.kind == "muscle":
        kind: Kind = "paralysed" if whole else "weak" if outcome.loss else "spared"
        return Finding(kind, id, outcome.name)
    return Finding("numb" if whole else "feels", id, outcome.name)


def _grouped(found: Sequence[Finding]) -> Iterator[str]:
    """The findings in words, those of one sort together."""
    for kind, text in SAID.items():
        names = [f.name for f in found if f.kind == kind]
        if names:
            yield f"{text}: {'; '.join(names)}."


def _listed(plexus: Plexus, number: int, one: Asked, level: int) -> Question:
    tested = [id for id in one.required if one.kind != "muscle" or plexus.muscles[id].testable]
    wanted = min(MOST[one.kind], len(tested or one.required))
    prompt = f"{one.what}: {_said(wanted)}."
    either = tuple(range(len(one.required), len(one.right)))
    if level == UNCOUNTED_LEVEL:
        prompt = f"{one.what}."
    lines = MOST[one.kind] if level == UNCOUNTED_LEVEL else 0
    if one.kind == "movement":
        return Question(number, prompt, one.right, wanted, either=either, lines=lines)
    entities = [plexus.entity(id) for id in one.right]
    spelled = tuple(accepted(plexus, entity, entities) for entity in entities)
    names = tuple(entity.name for entity in entities)
    several = groups(plexus, one.right)
    return Question(number, prompt, names, wanted, spelled, either=either, together=several, lines=lines)


def _said(wanted: int) -> str:
    """How many are wanted; not how many there are."""
    return "name one" if wanted == 1 else f"name {wanted}"


def _site_spellings(plexus: Plexus, answer: Answer) -> tuple[str, ...]:
    """Every spelling of a place, and of all that no bedside test tells from it."""
    alike = (cuts[0] for cuts in (answer.cuts, *answer.alike) if len(cuts) == 1)
    found = (text for site in alike for text in accepted_site(plexus, site, plexus.segments.values()))
    return tuple(text for text in dict.fromkeys(found) if text != answer.name)
