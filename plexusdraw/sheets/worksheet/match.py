"""Match: nerves on the left, what they supply on the right; each has one partner, whichever source is right."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from plexusdraw import fonts, names
from plexusdraw.clinic import supply
from plexusdraw.clinic.supply import Supply
from plexusdraw.errors import SheetError
from plexusdraw.model.entities import Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Part, Scene
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, pool
from plexusdraw.sheets.worksheet.drawing import frame_of
from plexusdraw.sheets.worksheet.form_page import HEAD_PT, Frame, rule, step, words
from plexusdraw.sheets.worksheet.spec import Form, Pairs, Question, Spec, letter, points

INSTRUCTIONS = (
    "Write the letter of what belongs to each nerve on its line, or join the dots. Each nerve has one partner{rest}."
)
KEY = "The letter of what belongs to each nerve stands on its line."
LEFT_OVER = ", and some letters are left over"
ASKED = {
    "muscles": ("muscle", "Match each nerve with the muscle that it supplies."),
    "movements": ("movement", "Match each nerve with the movement whose main muscles it supplies."),
    "skin": ("skin area", "Match each nerve with the skin area that it supplies."),
}
"""Topic → what stands on the right, and the question."""
SIZE = {1: (5, 0), 2: (6, 1), 3: (6, 2), 4: (6, 3)}
"""Level → pairs of a block, and what is left over on the right."""
FEWEST = 3
"""A block with fewer pairs is none."""
TRIES = 40
LEAST_MM, MOST_MM = 7.5, 13.0
"""Height of a row: two lines of text, room to write a letter; not more than the eye can follow."""
WRITE_MM, NUMBER_MM, DOT_MM = 9.0, 6.0, 3.0
GUTTER_MM = 14.0
LEFT_SHARE = 0.44
HEAD_MM, AFTER_MM = 8.0, 3.0
TWO_COLUMNS_MM = 240.0
"""From this width of the page on, blocks stand side by side."""


@dataclass(frozen=True, slots=True)
class _Thing:
    """What may stand on the right: its text, the nerve that it belongs to, and whether another may share it."""

    text: str
    nerve: str
    shared: Callable[[str], bool]


@dataclass(frozen=True)
class Match:
    """Makes the forms of one set: a block for each topic."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def topics(self) -> tuple[str, ...]:
        """What is matched with nerves; UnknownNameError if ``spec.ask`` names something else."""
        return pool.topics(self.spec.ask, tuple(ASKED), tuple(ASKED))

    @cached_property
    def things(self) -> dict[str, tuple[_Thing, ...]]:
        """What may stand on the right, by topic.

        ``spec.only``: of nerves that come from one structure, or of its branches.

        Raises:
            SheetError: no topic has enough pairs. UnknownNameError: ``spec.only`` names nothing with fibres.
        """
        fine = self.spec.level > 2 or bool(self.spec.only)
        found = {topic: tuple(_things(supply.of(self.plexus), topic, fine)) for topic in self.topics}
        if self.spec.only:
            one = names.find(self.plexus, self.spec.only, ("segment",))
            found = {topic: tuple(t for t in things if self._comes(t.nerve, one.id)) for topic, things in found.items()}
            found = {topic: things for topic, things in found.items() if len({t.nerve for t in things}) >= FEWEST}
            if not found:
                raise SheetError(f"too few nerves with one partner each come from {one.name} to be matched")
        found = {topic: things for topic, things in found.items() if len({t.nerve for t in things}) >= FEWEST}
        if not found:
            raise SheetError(f"the {self.plexus.name} has too few nerves with one partner each to be matched")
        return found

    def _comes(self, nerve: str, origin: str) -> bool:
        """Whether a nerve is *origin* or gets fibres through it."""
        ways = (route.path for route in supply.of(self.plexus).fibres.through(nerve))
        return nerve == origin or any(origin in path[: path.index(nerve)] for path in ways)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec, rng = self.spec, self.spec.picker(number, "match")
        made = [(topic, self._block(things, rng)) for topic, things in self.things.items()]
        questions = [_question(i, topic, pairs) for i, (topic, pairs) in enumerate(made, start=first)]
        code = spec.code(number)
        rest = LEFT_OVER if any(len(p.right) > len(p.left) for _, p in made) else ""
        said = INSTRUCTIONS.format(rest=rest)
        frame = replace(frame_of(self.plexus, spec, code, points(questions), said), orientation="", legend="")
        pages = [Page(s, View(asks=True, title=frame.title)) for s in _pages(spec, frame, questions)]
        key = [
            Page(s, View(asks=False, title=frame.title))
            for s in _pages(spec, replace(frame, is_key=True, instructions=KEY), questions)
        ]
        return Form(code, tuple(pages), tuple(key), tuple(questions))

    def _block(self, things: Sequence[_Thing], rng: Random) -> Pairs:
        """Pairs by chance, each thing reached by its own nerve alone; the best of some tries."""
        wanted, extra = SIZE[self.spec.level]
        many = len({thing.nerve for thing in things})
        wanted = self.spec.count or max(min(FEWEST, many), self.spec.wanted(many, wanted))
        best: list[_Thing] = []
        for _ in range(TRIES):
            chosen = _apart(rng.sample(things, len(things)), wanted)
            best = max(best, chosen, key=len)
            if len(best) == wanted:
                break
        order = [t.nerve for t in best]
        rng.shuffle(order)
        over = [t for t in rng.sample(things, len(things)) if not any(t.nerve == n or t.shared(n) for n in order)]
        right = sorted({t.text for t in (*best, *over[:extra])}, key=str.casefold)
        partner = {t.nerve: right.index(t.text) for t in best}
        shown = tuple(names.display(self.plexus.segments[id]) for id in order)
        return Pairs(shown, tuple(right), tuple(partner[id] for id in order))


def _things(known: Supply, topic: str, fine: bool) -> Iterator[_Thing]:
    if topic == "movements":
        for movement in known.rule.movers:
            nerve = known.movement_nerve(movement, fine)
            if nerve is not None:
                yield _Thing(movement, nerve.id, lambda id, m=movement: known.may_move(id, m))  # type: ignore[misc]
        return
    kind = "muscle" if topic == "muscles" else "skin"
    for target in known.targets:
        own: Segment | None = known.nerve(target, fine) if target.kind == kind else None
        if own is not None:
            yield _Thing(target.name, own.id, lambda id, t=target: known.may_supply(id, t))  # type: ignore[misc]


def _apart(things: Sequence[_Thing], wanted: int) -> list[_Thing]:
    """Things of different nerves, none of which another of these nerves may share."""
    chosen: list[_Thing] = []
    for thing in things:
        if len(chosen) == wanted:
            break
        if all(t.nerve != thing.nerve and not t.shared(thing.nerve) and not thing.shared(t.nerve) for t in chosen):
            chosen.append(thing)
    return chosen


def _question(number: int, topic: str, pairs: Pairs) -> Question:
    said = tuple(f"{left}: {pairs.right[at]}" for left, at in zip(pairs.left, pairs.partner, strict=True))
    return Question(number, ASKED[topic][1], said, len(said), pairs=pairs)


def _pages(spec: Spec, frame: Frame, questions: Sequence[Question]) -> Iterator[Scene]:
    """The blocks side by side or below each other, on as many pages as they need."""
    top, bottom = form_page.room(spec.page, frame)
    room = spec.page.width - 2 * spec.page.margin
    columns = 2 if room >= TWO_COLUMNS_MM else 1
    wide = (room - (columns - 1) * GUTTER_MM) / columns
    stacks = _stacked(questions, columns, bottom - top)
    for first in range(0, len(stacks), columns):
        page = stacks[first : first + columns]
        tall = _pitch(page, bottom - top)
        parts: list[Part] = []
        for i, stack in enumerate(page):
            x, y = spec.page.margin + i * (wide + GUTTER_MM), top
            for question in stack:
                parts += _drawn(question, x, y, wide, tall, frame.is_key)
                y += HEAD_MM + _rows(question) * tall + AFTER_MM
        yield form_page.blank_page(spec.page, frame, parts)


def _rows(question: Question) -> int:
    assert question.pairs is not None
    return len(question.pairs.right)


def _stacked(questions: Sequence[Question], columns: int, room: float) -> list[list[Question]]:
    """Blocks in columns, none higher than the page allows, and the columns of a page about alike."""
    need = [HEAD_MM + _rows(q) * LEAST_MM + AFTER_MM for q in questions]
    share = max(sum(need) / columns, *need)
    stacks: list[list[Question]] = [[]]
    used = 0.0
    for question, tall in zip(questions, need, strict=True):
        if stacks[-1] and (used + tall > room or used + tall / 2 > share):
            stacks.append([])
            used = 0.0
        stacks[-1].append(question)
        used += tall
    return stacks


def _pitch(stacks: Sequence[Sequence[Question]], room: float) -> float:
    """Height of a row, so that the fullest column fills the page."""
    found = [(room - len(s) * (HEAD_MM + AFTER_MM)) / max(1, sum(map(_rows, s))) for s in stacks]
    return min(MOST_MM, max(LEAST_MM, min(found)))


def _drawn(question: Question, x: float, y: float, wide: float, tall: float, filled: bool) -> Iterator[Part]:
    """One block: lines, numbers and nerves; dots; letters and their partners."""
    pairs = question.pairs
    assert pairs is not None
    head = step(HEAD_PT)
    yield words(f"{question.number}\u00a0\u00a0 {question.prompt}", x, y + head, HEAD_PT, bold=True)
    start = y + HEAD_MM
    left = x + WRITE_MM + 2.0
    stop = x + wide * LEFT_SHARE
    for i, text in enumerate(pairs.left):
        base = start + i * tall + tall / 2
        yield rule(x, base + 1.6, x + WRITE_MM)
        if filled:
            yield words(letter(pairs.partner[i]), x + 3.0, base + 0.6, HEAD_PT, bold=True)
        yield words(str(i + 1), left, base + 1.0, HEAD_PT, bold=True)
        yield from _wrapped(text, left + NUMBER_MM, base, stop - left - NUMBER_MM - DOT_MM)
        yield words("•", stop - DOT_MM + 1.0, base + 1.0, HEAD_PT)
    begin = x + wide * (1 - LEFT_SHARE + 0.06)
    for i, text in enumerate(pairs.right):
        base = start + i * tall + tall / 2
        yield words("•", begin, base + 1.0, HEAD_PT)
        yield words(letter(i), begin + DOT_MM + 1.0, base + 1.0, HEAD_PT, bold=True)
        yield from _wrapped(text, begin + DOT_MM + 1.0 + NUMBER_MM, base, x + wide - begin - DOT_MM - NUMBER_MM - 1.0)


def _wrapped(text: str, x: float, middle: float, room: float) -> Iterator[Part]:
    lines = fonts.wrap(text, room, HEAD_PT)
    gap = 1.15 / form_page.LEADING * step(HEAD_PT)
    for i, line in enumerate(lines):
        yield words(line, x, middle + 1.0 + (i - (len(lines) - 1) / 2) * gap, HEAD_PT)
