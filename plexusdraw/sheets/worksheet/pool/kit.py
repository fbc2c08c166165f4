"""What every topic of the pool shares: a question with one right answer, wrong ones with reasons, and what is near."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from random import Random

from plexusdraw import names
from plexusdraw.clinic import supply
from plexusdraw.clinic.supply import Supply
from plexusdraw.model.entities import Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import exact
from plexusdraw.routes.reach import supplied
from plexusdraw.sheets.worksheet.spec import Choice, Option

WRONG = 3
"""So many wrong answers stand beside the right one."""
NEAREST = 6
"""Wrong answers are drawn from so many that are nearest to the right one."""
SAID = 2
"""So many things are named in a reason."""


@dataclass(frozen=True)
class Kit:
    """How questions are made. ``fine``: branches of nerves too. ``near``: wrong answers near to the right one."""

    plexus: Plexus
    fine: bool = False
    near: bool = True

    @cached_property
    def supply(self) -> Supply:
        """Who supplies what."""
        return supply.of(self.plexus)

    @cached_property
    def nerves(self) -> tuple[Segment, ...]:
        """The nerves that are asked about and stand to choose."""
        own, fine = self.supply.nerves(), self.supply.nerves(True) if self.fine else ()
        wanted = {segment.id for segment in (*own, *fine)}
        return tuple(segment for segment in self.plexus.segments.values() if segment.id in wanted)

    def roots(self, segment: str) -> tuple[str, ...]:
        """Roots of a segment, small shares too."""
        return tuple(self.supply.fibres.shown[segment])

    def near_first(self, about: Iterable[str], ids: Sequence[str], roots: Callable[[str], Iterable[str]]) -> list[str]:
        """Ids in the order of how many roots they share with *about*; what shares none comes last."""
        here = set(about)
        return sorted(ids, key=lambda id: -len(here & set(roots(id))))


Draw = Callable[[Random], Choice | None]
"""Words a question, with wrong answers by chance; None, where there are not enough of them."""


@dataclass(frozen=True)
class Subject:
    """One question that can be asked. ``about``: id of the structure. ``gather`` finds what is right and wrong."""

    topic: str
    about: str
    gather: Callable[[], Draw]

    @cached_property
    def make(self) -> Draw:
        """Words it, as often as it is asked; what chance does not change is gathered once."""
        return self.gather()


def worded(kit: Kit, prompt: str, right: str, wrong: Sequence[Option], rng: Random) -> Choice | None:
    """A question of four answers in an order by chance; *wrong* ones nearest first. None if it tells its answer."""
    if within(right, prompt):
        return None
    known, free = {exact(right)}, []
    for option in wrong:
        if exact(option.text) not in known:
            known.add(exact(option.text))
            free.append(option)
    if len(free) < WRONG:
        return None
    chosen = rng.sample(free[:NEAREST] if kit.near else free, WRONG)
    options = [Option(right, True), *chosen]
    rng.shuffle(options)
    return Choice(prompt, tuple(options))


def within(name: str, text: str) -> bool:
    """Whether a text holds a name, as "nerve to piriformis" holds that of its muscle."""
    return f" {exact(name)} " in f" {exact(text)} "


def listed(items: Sequence[str], most: int = SAID) -> str:
    """ "a", "a and b", "a, b and others"; parted by semicolons where a name has a comma."""
    comma = ";" if any("," in item for item in items[:most]) else ","
    if len(items) <= most:
        return f"{comma if comma == ';' else ' and'} ".join(items)
    return f"{f'{comma} '.join(items[:most])} and others"


def supplies(plexus: Plexus, segment: str) -> str:
    """Why a nerve is wrong: what it supplies."""
    return f"supplies {listed([t.name for t in supplied(plexus, segment)])}"


def supplied_by(plexus: Plexus, target: Target) -> str:
    """Why a muscle or skin area is wrong: who supplies it."""
    found = [names.display(plexus.segments[id]) for id in plexus.nerves_of[target.id]]
    return f"supplied by the {listed(found)}"
