"""Injury cases: a cut is marked and the losses are listed, or findings are given and the site is found.

Both are made from the engine, with its answer; what is fair is said by :mod:`plexusdraw.clinic.cases`. The persons are
invented, and say nothing of how injuries come about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw.clinic.cases import Asked, asked, fair, sure
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import Finding
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import Answer, localise
from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.accepted import accepted, accepted_site
from plexusdraw.names.sites import Site
from plexusdraw.scene import Scene, Spot
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, texts
from plexusdraw.sheets.worksheet.drawing import Drawing, bare, drawing, frame_of, routes, without_supply
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.pool import lists
from plexusdraw.sheets.worksheet.shared_answers import groups
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points
from plexusdraw.views.injured import cuts
from plexusdraw.views.request import Request, view_of

PEOPLE = ("a baker", "a bus driver", "a carpenter", "a gardener", "a nurse", "a painter", "a student", "a teacher")
MOST = {"muscle": 5, "movement": 3, "skin": 2}
"""So many are asked for at most."""
MOST_FINDINGS = 7
STEP_BEHIND = 0.02
"""An answer is as good as the best one if it agrees with the findings by no more than this less (a convention)."""
LOSSES = "Invented case: {who}. The cut is marked with bars; nothing else is injured. List what is lost."
CASE = "Invented case: {who}. One injury cuts the {site}; nothing else is injured."
DESCRIBED = f"{CASE} List what is lost."
FOUND = "Invented case: {who}. {found}"
FINDINGS = f"{FOUND} Name one place whose injury explains all of this."


@dataclass(frozen=True)
class Cases:
    """Makes the forms of one set: ``spec.kind`` "injury" asks for the losses, "site" for the place."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def drawing(self) -> Drawing:
        """The drawing that all forms share."""
        return drawing(self.plexus, self.spec, self.spec.detail or "nerves", (), self.frame("", 99, "muscle " * 60))

    def frame(self, code: str, total: int, instructions: str) -> Frame:
        """The words around one form; the case stands after what the teacher says."""
        own = f"{self.spec.instructions} {instructions}".strip()
        spec = replace(self.spec, instructions="")
        made = frame_of(self.plexus, spec, code, total, own)
        return replace(made, caution=" ".join(self.plexus.caution.split()))

    @cached_property
    def sites(self) -> tuple[Site, ...]:
        """The sites asked about, in an order of their own for each seed.

        Raises:
            SheetError: no site makes a case.
            UnknownNameError: ``spec.only`` is no site.
        """
        if self.spec.only:
            return (site_names.parse(self.plexus, self.spec.only),)
        found = [s for s in site_names.all_sites(self.plexus) if _plain(s) and self._fair(s)]
        if not found:
            raise SheetError(f"no site of the {self.plexus.name} makes a case with one right answer")
        self.spec.rng(0, "sites").shuffle(found)
        return tuple(found)

    def _fair(self, site: Site) -> bool:
        """Whether the site can be marked, and makes a case by itself."""
        return self._drawn(site) and fair(Injury(self.plexus, [site]))

    def _drawn(self, site: Site) -> bool:
        return any(isinstance(p, Spot) and p.entity == site.segment for p in self.drawing.scenes[0].parts)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec = self.spec
        place = 0 if spec.choosing == "same" else number - 1
        site = self.sites[place % len(self.sites)]
        injury = Injury(self.plexus, [site])
        who = spec.rng(number, "person").choice(PEOPLE)
        if spec.kind == "injury":
            questions = list(self._losses(injury, first))
            told = CASE.format(who=who, site=site.name)
            said = (LOSSES if self._marked(site) else DESCRIBED).format(who=who, site=site.name)
        else:
            questions, told, said = self._search(injury, who, number, first)
        code = spec.code(number)
        frame = self.frame(code, points(questions), said)
        scene = self._scene(frame)
        shown = cuts(scene, injury) if spec.kind == "injury" and self._marked(site) else ()
        page = Page(scene, View(asks=True, title=frame.title, cuts=shown))
        ruled = texts.answer_pages(spec.page, replace(frame, caution=""), questions)
        key = [Page(self._scene(frame, replace(frame, is_key=True)), self._answered(frame.title, scene, injury))]
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, (page, *ruled), tuple(key), tuple(questions), told, frame.caution)

    @cached_property
    def _drawn_bare(self) -> Scene:
        """The drawing without what nerves supply, which would give answers away."""
        return without_supply(self.drawing.scenes[0])

    def _scene(self, frame: Frame, shown: Frame | None = None) -> Scene:
        return form_page.composed(self._drawn_bare, self.spec.page, frame, shown)

    def _answered(self, title: str, scene: Scene, injury: Injury) -> View:
        """The cut marked, and what lies downstream of it lost."""
        made = view_of(bare(self.plexus), routes(self.plexus), scene, Request(injury=injury))
        return View(asks=False, title=title, entities=made.entities, strands=made.strands, cuts=made.cuts)

    def _marked(self, site: Site) -> bool:
        """Whether the cut is shown by bars; else the site is said in words."""
        return self.spec.level < 3 and self._drawn(site)

    def _losses(self, injury: Injury, first: int) -> Iterator[Question]:
        """What :func:`plexusdraw.clinic.cases.asked` asks, a question each: as many as one line each can ask."""
        for number, one in enumerate(asked(injury), start=first):
            yield replace(_listed(self.plexus, number, one), choice=lists.of_injury(injury, one))

    def _search(self, injury: Injury, who: str, number: int, first: int) -> tuple[list[Question], str, str]:
        """Findings that lead to one place, or to as few as they can: the question, the case, and what the form says."""
        found, answers = self._told(injury, number)
        words = " ".join(_grouped(found))
        right = tuple(dict.fromkeys(a.name for a in answers))
        spelled = tuple(_site_spellings(self.plexus, a) for a in answers)
        places = "place" if len(right) == 1 else f"one of the {len(right)} places"
        prompt = f"Name the {places} that explain{'s' if len(right) == 1 else ''} all findings."
        question = Question(first, prompt, right, 1, spelled)
        return [question], FOUND.format(who=who, found=words), FINDINGS.format(who=who, found=words)

    def _told(self, injury: Injury, number: int) -> tuple[list[Finding], list[Answer]]:
        """Findings, one more at a time, until one place is left or nothing tells the places apart."""
        rng = self.spec.picker(number, "findings")
        lost = [o for o in injury.muscles.values() if o.loss is Loss.WHOLE and sure(o)]
        found = [Finding("paralysed", o.id, o.name) for o in rng.sample(lost, min(2, len(lost)))]
        while True:
            answers = _complete(localise(self.plexus, found, top=60).answers)
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
        return not (area and area.dermatome) and sure(outcome)


def _plain(site: Site) -> bool:
    """Whether a site has a name of the trade."""
    return not site.id.startswith(f"{site.segment}-after-")


def _complete(answers: Sequence[Answer]) -> list[Answer]:
    """The answers against which nothing speaks, as good as the best."""
    whole = [a for a in answers if not a.unexplained and not a.contradicted and len(a.cuts) == 1]
    best = max((a.agrees for a in whole), default=0.0)
    return [a for a in whole if a.agrees >= best - STEP_BEHIND]


def _finding(injury: Injury, id: str) -> Finding:
    """What an examination of one muscle or skin area would find."""
    outcome = injury.outcome(id)
    whole = outcome.loss is Loss.WHOLE
    if outcome.kind == "muscle":
        return Finding("paralysed" if whole else "spared", id, outcome.name)
    return Finding("numb" if whole else "feels", id, outcome.name)


def _grouped(found: Sequence[Finding]) -> Iterator[str]:
    """The findings in words, those of one sort together."""
    said = {"paralysed": "Paralysed", "spared": "Full strength", "numb": "No feeling", "feels": "Normal feeling"}
    for kind, text in said.items():
        names = [f.name for f in found if f.kind == kind]
        if names:
            yield f"{text}: {'; '.join(names)}."


def _listed(plexus: Plexus, number: int, one: Asked) -> Question:
    wanted = min(MOST[one.kind], len(one.required))
    many = len(one.right)
    said = f"any {wanted} of {many}" if wanted < many else f"all {wanted}" if wanted > 1 else "there is one"
    either = tuple(range(len(one.required), many))
    if one.kind == "movement":
        return Question(number, f"{one.what}: {said}.", one.right, wanted, either=either)
    entities = [plexus.entity(id) for id in one.right]
    spelled = tuple(accepted(plexus, entity, entities) for entity in entities)
    names = tuple(entity.name for entity in entities)
    several = groups(plexus, one.right)
    return Question(number, f"{one.what}: {said}.", names, wanted, spelled, either=either, together=several)


def _site_spellings(plexus: Plexus, answer: Answer) -> tuple[str, ...]:
    """Every spelling of a place, and of all that no bedside test tells from it."""
    alike = (cuts[0] for cuts in (answer.cuts, *answer.alike) if len(cuts) == 1)
    found = (text for site in alike for text in accepted_site(plexus, site, plexus.segments.values()))
    return tuple(text for text in dict.fromkeys(found) if text != answer.name)
