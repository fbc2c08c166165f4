"""Multiple choice: four answers of which one is right; the key says why each of the others is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from plexusdraw import fonts
from plexusdraw.clinic.report import caution
from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Part
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, pool, texts
from plexusdraw.sheets.worksheet.drawing import frame_of
from plexusdraw.sheets.worksheet.flow import NUMBER_MM, Item
from plexusdraw.sheets.worksheet.form_page import HEAD_PT, Frame
from plexusdraw.sheets.worksheet.pool.kit import Subject
from plexusdraw.sheets.worksheet.spec import Choice, Form, Question, Spec, letter, points
from plexusdraw.sheets.worksheet.texts import LIST_PTS

INSTRUCTIONS = "One answer to each question is right. Circle its letter."
MARKING = "Key. The right answer is bold; why each of the others is wrong stands beside it."
COUNT = 12
"""Questions on a form, if the teacher says no other number."""
SIZES_PT = (11.0, 10.0, HEAD_PT, 8.5)
"""Sizes of the text, pt: the largest at which the questions fit one page."""
ABOUT_INJURIES = ("injuries", "sites")


@dataclass(frozen=True)
class Choices:
    """Makes the forms of one set."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def topics(self) -> tuple[str, ...]:
        """What is asked about; UnknownNameError if ``spec.ask`` names something else."""
        usual = pool.EASY if self.spec.level == 1 else tuple(pool.TOPICS)
        return pool.topics(self.spec.ask, tuple(pool.TOPICS), usual)

    @cached_property
    def subjects(self) -> dict[str, list[Subject]]:
        """What can be asked, by topic.

        Raises:
            SheetError: nothing can be asked.
        """
        kit = pool.kit(self.plexus, self.spec.level)
        every = [subject for topic in self.topics for subject in pool.TOPICS[topic](kit)]
        found: dict[str, list[Subject]] = {}
        for subject in pool.only(self.plexus, every, self.spec.only):
            found.setdefault(subject.topic, []).append(subject)
        if not found:
            raise SheetError(f"the {self.plexus.name} makes no question with one right answer about {self.topics[0]}")
        return found

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec = self.spec
        questions = [
            Question(i, made.prompt, tuple(o.text for o in made.options if o.right), choice=made)
            for i, made in enumerate(self._chosen(number), start=first)
        ]
        if not questions:
            raise SheetError(f"the {self.plexus.name} has too few structures for three wrong answers to a question")
        code = spec.code(number)
        frame = replace(frame_of(self.plexus, spec, code, points(questions), INSTRUCTIONS), orientation="", legend="")
        said = " ".join(caution(self.plexus).split()) if {*self.topics} & {*ABOUT_INJURIES} else ""
        frame = replace(frame, caution=said)
        pages = _set(spec, frame, questions)
        view = View(asks=True, title=frame.title)
        form = tuple(Page(form_page.blank_page(spec.page, frame, parts), view) for parts in pages)
        return Form(code, form, tuple(_key(spec, frame, questions)), tuple(questions), caution=said)

    def _chosen(self, number: int) -> Iterator[Choice]:
        """Questions by chance, as many of each topic as of another, in the order of the topics."""
        rng = self.spec.picker(number, "choice")
        wanted = self.spec.wanted(sum(map(len, self.subjects.values())), COUNT)
        waiting = {topic: rng.sample(subjects, len(subjects)) for topic, subjects in self.subjects.items()}
        made: dict[str, list[Choice]] = {topic: [] for topic in waiting}
        while sum(map(len, made.values())) < wanted and any(waiting.values()):
            for topic, rest in waiting.items():
                if rest and sum(map(len, made.values())) < wanted and (choice := _next(rest, rng, made[topic])):
                    made[topic].append(choice)
        yield from (choice for choices in made.values() for choice in choices)


def _next(rest: list[Subject], rng: Random, known: Sequence[Choice]) -> Choice | None:
    """The next question that can be made and is not on the form."""
    while rest:
        choice = rest.pop().make(rng)
        if choice is not None and choice.prompt not in {c.prompt for c in known}:
            return choice
    return None


def _set(spec: Spec, frame: Frame, questions: Sequence[Question]) -> list[list[Part]]:
    """The questions in columns, as large as one page has room for."""
    wide = texts.column_width(spec.page)
    for size in SIZES_PT:
        pages = texts.flowed(spec.page, frame, [_item(q, wide, size) for q in questions])
        if len(pages) == 1:
            break
    return pages


def _item(question: Question, wide: float, size: float) -> Item:
    """The question, and its answers with their letters."""
    assert question.choice is not None
    rows = hanging(f"{question.number}", question.prompt, 0.0, wide, size, bold=True)
    for i, option in enumerate(question.choice.options):
        rows += hanging(letter(i), option.text, NUMBER_MM, wide, size)
    return Item((*rows, ("", 0.0, False)), size=size, whole=True)


def hanging(
    mark: str, said: str, indent: float, wide: float, size: float, bold: bool = False
) -> list[tuple[str, float, bool]]:
    """A number or letter and its text, further lines below its first word; indent and width in mm, size in pt."""
    start = f"{mark}\u00a0\u00a0 "
    beyond = indent + fonts.width(start, size, bold)
    first, *rest = fonts.wrap(said, wide - beyond - 0.5, size, bold)
    return [(f"{start}{first}", indent, bold), *((text, beyond, bold) for text in rest)]


def _key(spec: Spec, frame: Frame, questions: Sequence[Question]) -> Iterator[Page]:
    plain = replace(frame, is_key=True, instructions=MARKING)
    items = [_marked(q, texts.column_width(spec.page)) for q in questions]
    for parts in texts.flowed(spec.page, plain, items):
        yield Page(form_page.blank_page(spec.page, plain, parts), View(asks=False, title=plain.title))


def _marked(question: Question, wide: float) -> Item:
    """The answers of one question, the right one bold, the others with their reason."""
    assert question.choice is not None
    rows = hanging(f"{question.number}", question.prompt, 0.0, wide, LIST_PTS[0])
    for i, option in enumerate(question.choice.options):
        said = option.text if option.right else f"{option.text} – {option.why}"
        rows += hanging(letter(i), said, NUMBER_MM, wide, LIST_PTS[0], option.right)
    return Item((*rows, ("", 0.0, False)), size=LIST_PTS[0], whole=True)
