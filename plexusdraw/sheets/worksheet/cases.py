"""Injury cases: a cut is marked and the losses are listed, or findings are given and the site is found.

Both are made from the engine, with its answer. What rests on roots on which the sources differ (``variable``
in the model) is not asked. The persons are invented, and say nothing of how injuries come about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import Finding
from plexusdraw.clinic.injury import Injury, Outcome
from plexusdraw.clinic.localise import Answer, localise
from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.sites import Site
from plexusdraw.scene import Scene, Spot
from plexusdraw.scene.view import View
from plexusdraw.sheets import furniture
from plexusdraw.sheets.furniture import Frame
from plexusdraw.sheets.worksheet import texts
from plexusdraw.sheets.worksheet.drawing import Drawing, bare, drawing, frame_of, routes, without_supply
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points
from plexusdraw.sheets.worksheet.spellings import accepted
from plexusdraw.views.request import Request, marks, view

PEOPLE = ("a baker", "a bus driver", "a carpenter", "a gardener", "a nurse", "a painter", "a student", "a teacher")
MOST = {"muscle": 5, "movement": 3, "skin": 2}
"""So many are asked for at most."""
MOST_FINDINGS = 7
STEP_BEHIND = 0.02
"""An answer is as good as the best one if it agrees with the findings by no more than this less (a convention)."""
LOSSES = "Invented case: {who}. The cut is marked with bars; nothing else is injured. List what is lost."
DESCRIBED = "Invented case: {who}. One injury cuts the {site}; nothing else is injured. List what is lost."
FINDINGS = "Invented case: {who}. {found} Name one place whose injury explains all of this."


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
            SheetError: ``spec.only`` is a site that is not fair to ask about.
        """
        if self.spec.only:
            site = site_names.parse(self.plexus, self.spec.only)
            if not self._fair(site):
                raise SheetError(f"{site.name}: no muscle is surely paralysed there, or it is not on the drawing")
            return (site,)
        found = [s for s in site_names.all_sites(self.plexus) if _plain(s) and self._fair(s)]
        if not found:
            raise SheetError(f"no site of the {self.plexus.name} makes a case with one right answer")
        self.spec.rng(0, "sites").shuffle(found)
        return tuple(found)

    def _fair(self, site: Site) -> bool:
        """Whether the site can be marked, and something is lost on which the sources agree."""
        drawn = any(isinstance(p, Spot) and p.entity == site.segment for p in self.drawing.scenes[0].parts)
        return drawn and bool(self._lost(Injury(self.plexus, [site])))

    def _lost(self, injury: Injury) -> list[Outcome]:
        """Muscles that are paralysed whatever source is right."""
        return [o for o in injury.muscles.values() if o.state == "paralysed" and self._sure(injury, o)]

    def _sure(self, injury: Injury, outcome: Outcome) -> bool:
        """Whether the sources agree: nothing is left, or nothing is broken, with every root that any of them describes.

        A root that some describe enters somewhere; it shares the fate of the rest only if it enters before the cut.
        """
        plexus, cut = self.plexus, injury.cuts[0][0]
        target = plexus.muscles.get(outcome.id) or plexus.skin[outcome.id]
        if not outcome.broken:
            return not target.variable
        if outcome.left or target.outside:
            return False
        beyond = [plexus.segments[id] for r in outcome.broken for id in r.path[r.path.index(cut) + 1 :]]
        entered = any(s.variable or (target.variable and len(s.parents) > 1) for s in beyond)
        return not entered and (not target.variable or bool(plexus.segments[cut].parents))

    def form(self, number: int) -> Form:
        """One form of the set, counted from 1."""
        spec = self.spec
        site = self.sites[(number - 1) % len(self.sites)]
        injury = Injury(self.plexus, [site])
        who = spec.rng(number, "person").choice(PEOPLE)
        if spec.kind == "injury":
            questions = list(self._losses(injury))
            said = (LOSSES if spec.level < 3 else DESCRIBED).format(who=who, site=site.name)
        else:
            questions, said = self._search(injury, who, number)
        code = spec.code(number)
        frame = self.frame(code, points(questions), said)
        scene = self._scene(frame)
        shown = tuple(marks(scene, injury)) if spec.kind == "injury" and spec.level < 3 else ()
        page = (scene, View(cuts=shown, aliases=texts.ALIAS, notes={}))
        lines = texts.answer_pages(spec.page, replace(frame, caution=""), questions)
        key = [(self._scene(frame, replace(frame, is_key=True)), self._answered(scene, injury))]
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, (page, *lines), tuple(key), tuple(questions))

    def _scene(self, frame: Frame, shown: Frame | None = None) -> Scene:
        scene = without_supply(self.drawing.scenes[0])
        return furniture.composed(scene, self.spec.page, frame, shown)

    def _answered(self, scene: Scene, injury: Injury) -> View:
        """The cut marked, and what lies downstream of it lost."""
        made = view(bare(self.plexus), routes(self.plexus), scene, Request(injury=injury))
        return View(entities=made.entities, strands=made.strands, cuts=made.cuts)

    def _losses(self, injury: Injury) -> Iterator[Question]:
        """Muscles paralysed, movements lost, skin numb: as many as one line each can ask."""
        plexus = self.plexus
        muscles = self._lost(injury)
        spelled = tuple(accepted(plexus, plexus.entity(o.id)) for o in muscles)
        yield _listed(1, "muscle", "Muscles paralysed", [o.name for o in muscles], spelled)
        number = 2
        sure = {o.id for o in muscles}
        moves = [m for m in injury.movements.values() if m.state == "lost" and sure.issuperset(m.gone)]
        if moves:
            yield _listed(number, "movement", "Movements lost", [m.name for m in moves], ())
            number += 1
        skin = [o for o in injury.skin.values() if not plexus.skin[o.id].dermatome and o.state == "lost"]
        areas = [o for o in skin if self._sure(injury, o)]
        if areas:
            spelled = tuple(accepted(plexus, plexus.entity(o.id)) for o in areas)
            yield _listed(number, "skin", "Skin areas without feeling", [o.name for o in areas], spelled)

    def _search(self, injury: Injury, who: str, number: int) -> tuple[list[Question], str]:
        """Findings that lead to one place, or to as few as they can, and the question for it."""
        found, answers = self._told(injury, number)
        words = " ".join(_grouped(found))
        right = tuple(dict.fromkeys(a.name for a in answers))
        spelled = tuple(_site_spellings(self.plexus, a) for a in answers)
        places = "place" if len(right) == 1 else f"one of the {len(right)} places"
        prompt = f"Name the {places} that explain{'s' if len(right) == 1 else ''} all findings."
        question = Question(1, prompt, right, 1, spelled)
        return [question], FINDINGS.format(who=who, found=words)

    def _told(self, injury: Injury, number: int) -> tuple[list[Finding], list[Answer]]:
        """Findings, one more at a time, until one place is left or nothing tells the places apart."""
        rng = self.spec.rng(number, "findings")
        lost = self._lost(injury)
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
        return not (area and area.dermatome) and outcome.loss in (Loss.NONE, Loss.WHOLE) and self._sure(injury, outcome)


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


def _listed(number: int, kind: str, what: str, right: Sequence[str], spelled: tuple[tuple[str, ...], ...]) -> Question:
    wanted = min(MOST[kind], len(right))
    many = f"any {wanted} of {len(right)}" if wanted < len(right) else f"all {wanted}" if wanted > 1 else "there is one"
    return Question(number, f"{what}: {many}.", tuple(right), wanted, spelled)


def _site_spellings(plexus: Plexus, answer: Answer) -> tuple[str, ...]:
    """Other names of the place, and of all that no bedside test tells from it; a whole segment's with its synonyms."""
    found: list[str] = []
    for site in (cuts[0] for cuts in answer.alike if len(cuts) == 1):
        found.append(site.name)
        found += accepted(plexus, plexus.segments[site.segment]) if site.id == site.segment else ()
    return tuple(dict.fromkeys(name for name in found if name != answer.name))
