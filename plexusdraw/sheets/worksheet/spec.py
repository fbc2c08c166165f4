"""What a worksheet is: the choices for a class set, one form, and one question with its answers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Literal, TypeVar

from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Limb
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import Paper, paper
from plexusdraw.model.entities import Entity
from plexusdraw.names import display
from plexusdraw.names.accepted import Together
from plexusdraw.scene.view import LabelKey, Page
from plexusdraw.sheets.worksheet import codes, different

WRITING_MM = (30.2, 7.3)
"""Width and height of a box: 30 x 7 mm to write in by hand (a convention of this package), and its line."""

Writing = Literal["auto", "boxes", "lines"]
"""Where answers are written: in boxes on the drawing, on lines beside it, or in boxes where they fit."""

Choosing = Literal["anew", "all", "same"]
"""What the forms of a set ask: each a choice of its own, all that can be asked, or all forms one choice."""
SHARE = (2, 3)
"""So much of what can be asked stands on a form of a set: two forms then share about as much of what they ask."""
Prompt = Literal["drawing", "columns"]
"""What recall gives: the empty columns of a drawing, or columns with lines to write names on."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Spec:
    """The choices for a class set.

    ``kind``: one of the registry; ``more``: further kinds, a section each. ``ask`` empty: the stages
    between the first and the last whose order is anatomical, and nerves. ``count`` 0: as ``choosing`` says; a form that
    is alone asks all. ``only``: one structure, or the site of an injury. ``wording``: style of names, and own labels.
    ``stamp``: how the code of a form begins.
    """

    kind: str = "label"
    more: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    count: int = 0
    only: str = ""
    level: int = 2
    word_bank: bool = False
    forms: int = 1
    seed: int = 1
    title: str = ""
    instructions: str = ""
    course: str = ""
    detail: Detail | None = None
    page: Paper = field(default_factory=paper)
    side: Limb = "left"
    duplex: bool = False
    writing: Writing = "auto"
    choosing: Choosing = "anew"
    wording: Wording = field(default_factory=Wording)
    sources: tuple[str, ...] = ()
    """Where the cases of an injury come from, by the words of ``case_mix``; empty: its usual mix."""
    prompt: Prompt = "drawing"
    stamp: str = ""
    hint: str = ""
    """What a section says after its instructions."""
    named: bool = True
    """Whether a form has a line for name, date and score, and its code; one on a slide has not."""

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of all sections."""
        return (self.kind, *self.more)

    @property
    def shares(self) -> bool:
        """Whether a form asks only a share of what can be asked."""
        return self.forms > 1 and self.choosing != "all"

    def wanted(self, many: int, usual: int = 0) -> int:
        """How many of *many* a form asks: as told, else the *usual* number, in a set not more than its share."""
        if self.count:
            return min(self.count, many)
        if self.forms > 1 and self.choosing == "all":
            return many
        most = max(1, many * SHARE[0] // SHARE[1]) if self.shares else many
        return min(usual or most, most)

    def chosen(self, items: Sequence[T], form: int, purpose: str, usual: int = 0) -> list[T]:
        """What one form asks of all *items*, in their order; no two forms the same choice while there are others."""
        size = self.wanted(len(items), usual)
        number = 1 if self.choosing == "same" else form
        return [items[i] for i in different.choice(len(items), size, number, self.rng(0, purpose))]

    def picker(self, form: int, purpose: str) -> Random:
        """Chance for what a form asks: that of the first form where all ask the same."""
        return self.rng(1 if self.choosing == "same" else form, purpose)

    def name(self, entity: Entity) -> str:
        """What a structure is called on the drawing, in full."""
        own = dict(self.wording.own).get(entity.id)
        return own or (display(entity, "latin") if self.wording.style == "latin" else entity.name)

    @property
    def banked(self) -> bool:
        """Whether a form carries a word bank."""
        return self.word_bank or self.level == 1

    def rng(self, form: int, purpose: str) -> Random:
        """Random numbers for one purpose on one form (0: the whole set); the same in every run."""
        return Random(f"{self.seed}/{form}/{purpose}")

    def code(self, form: int) -> str:
        """The code printed on a form."""
        return codes.of(self.stamp, form)


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to choose. ``why``: of a wrong one, what is true instead; for keys, never on a form."""

    text: str
    right: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """Answers to choose from; ``several``: all that apply. ``prompt`` asks for that in words of its own."""

    prompt: str
    options: tuple[Option, ...]
    several: bool = False

    @property
    def letters(self) -> str:
        """Letters of the right answers: "B", "A D"."""
        return " ".join(letter(i) for i, option in enumerate(self.options) if option.right)


@dataclass(frozen=True, slots=True)
class Pairs:
    """Two columns to match: ``partner[i]`` is the place in ``right`` of what belongs to ``left[i]``."""

    left: tuple[str, ...]
    right: tuple[str, ...]
    partner: tuple[int, ...]

    @property
    def letters(self) -> str:
        """The letter for each on the left: "1 C, 2 A"."""
        return ", ".join(f"{i} {letter(at)}" for i, at in enumerate(self.partner, start=1))


def letter(place: int) -> str:
    """The letter of an answer, counted from 0: A, B, ..., Z, AA."""
    return letter(place // 26 - 1) + letter(place % 26) if place > 25 else chr(ord("A") + place)


@dataclass(frozen=True, slots=True)
class Question:
    """One question: what is asked at which number, and what is right.

    ``wanted`` of the ``answers`` are asked for, a point each. ``accepted``: for each answer, other spellings
    that are right. ``shared`` maps a spelling that is also right elsewhere to the numbers where it is.
    ``drawn``: answered by drawing, marked by eye.
    """

    number: int
    prompt: str
    answers: tuple[str, ...]
    wanted: int = 1
    accepted: tuple[tuple[str, ...], ...] = ()
    key: LabelKey | None = None
    shared: tuple[tuple[str, tuple[int, ...]], ...] = ()
    note: str = ""
    drawn: bool = False
    either: tuple[int, ...] = ()
    """Which of the answers the sources dispute: accepted either way."""
    together: tuple[Together, ...] = ()
    """Names that stand for several of the answers at once; members are those answers."""
    choice: Choice | None = None
    """Answers to choose from: on the form of a choice; of a list, for readers that take no lists."""
    pairs: Pairs | None = None
    """What is to be matched; the answers then say each pair."""
    lines: int = 0
    """Lines to answer on, where these are not as many as are wanted."""
    card: str = ""
    """Of a flash card, what it asks: the prompt is its front, the answers its back."""

    @property
    def points(self) -> int:
        """Points for all that is wanted."""
        return self.wanted

    def spellings(self) -> tuple[str, ...]:
        """Every spelling that is right."""
        others = (s for other in (*self.accepted, *(group.spellings for group in self.together)) for s in other)
        return tuple(dict.fromkeys((*self.answers, *others)))


@dataclass(frozen=True, slots=True)
class Form:
    """One form: its code, its pages, those of its key, and its questions by number."""

    code: str
    pages: tuple[Page, ...]
    key: tuple[Page, ...]
    questions: tuple[Question, ...]
    stem: str = ""
    """The case that all questions are about, in words."""
    caution: str = ""
    """What must stand beside the questions wherever they are shown."""
    sections: tuple[Form, ...] = ()
    """Of a form of several kinds, its sections in order."""
    letter: str = ""
    """Of a section, its letter: "a", "b"."""

    @property
    def label(self) -> str:
        """The code, and of a section its letter: for names of files and ids."""
        return f"{self.code}-{self.letter}" if self.letter else self.code

    @property
    def whole(self) -> tuple[Form, ...]:
        """Its sections; itself, if it is of one kind."""
        return self.sections or (self,)


def points(questions: Iterable[Question]) -> int:
    """Points of a whole form."""
    return sum(q.points for q in questions)
