"""A build-up: steps that follow one another and only add to the drawing, as one slide; each waits for a click."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plexusdraw.sheets.slides.steps import Step
from plexusdraw.sheets.slides.things import Things


@dataclass(frozen=True, slots=True)
class Turn:
    """A step in its turn: what it brings, and what is said."""

    step: Step
    new: Things
    words: str

    @property
    def adds(self) -> bool:
        """Whether it does nothing but add to the drawing."""
        step = self.step
        other = step.highlight or step.hide or step.injure or step.ask or step.picture or step.aside
        return step.on == "drawing" and not other and bool(self.new.drawn) and not self.new.supply

    def goes_on(self, before: Turn) -> bool:
        """Whether it builds on with the one before it, under the same heads."""
        same = all(getattr(self.step, key) == getattr(before.step, key) for key in ("section", "subtitle", "theme"))
        return self.adds and before.adds and same


def runs(turns: Iterable[Turn]) -> Iterator[tuple[Turn, ...]]:
    """The turns in their order, those of one build-up together."""
    held: list[Turn] = []
    for turn in turns:
        if held and not turn.goes_on(held[-1]):
            yield tuple(held)
            held = []
        held.append(turn)
    if held:
        yield tuple(held)


def titles(run: Sequence[Turn]) -> tuple[str, ...]:
    """What a build-up may be called as a whole, the best first; the last fits where its steps fit alone."""
    first, last = run[0].step, run[-1].step
    return tuple(filter(None, (last.section, f"{first.title} to {last.title}", last.title)))


def notes(run: Sequence[Turn]) -> str:
    """What is said, click by click; a line for each."""
    parts = [f"Click {number}: {turn.step.title}\n{turn.words}" for number, turn in enumerate(run, start=1)]
    return "\n".join(("Each click brings what is named here.", *parts))
