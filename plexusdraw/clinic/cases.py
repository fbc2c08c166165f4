"""What may be asked of an injury, with its answer: the one home of what is fair.

The answer is what the injury says. What the sources dispute (:mod:`plexusdraw.clinic.disputes`) is accepted either way:
never required, never wrong, never left out of sight.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, Movement, Outcome

Kind = Literal["muscle", "movement", "skin"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One list that is asked for: ids (of a movement its name) that are required, and those accepted either way."""

    kind: Kind
    what: str
    """What is listed, in words: "Muscles paralysed"."""
    required: tuple[str, ...]
    disputed: tuple[str, ...]

    @property
    def right(self) -> tuple[str, ...]:
        """All that is accepted, required first."""
        return (*self.required, *self.disputed)


def asked(injury: Injury) -> tuple[Asked, ...]:
    """The lists that an injury is asked by, muscles first; each has something required.

    Muscles paralysed, movements lost, skin without feeling. Of muscles and skin, where none is surely so, those that
    are weak or have less feeling; a site that does no more makes muscles slightly weak.
    """
    skin = [o for o in injury.skin.values() if not injury.plexus.skin[o.id].dermatome]
    muscles = _worst("muscle", injury.muscles.values(), ("Muscles paralysed", "Muscles weak or paralysed"))
    areas = _worst("skin", skin, ("Skin areas without feeling", "Skin areas with less feeling or none"))
    found = [made for made in (muscles, _movements(injury.movements.values()), areas) if made is not None]
    return tuple(found or _slight(injury.muscles.values()))


def _worst(kind: Kind, outcomes: Iterable[Outcome], words: tuple[str, str]) -> Asked | None:
    every = tuple(outcomes)
    for what, least in zip(words, (Loss.WHOLE, Loss.PART), strict=True):
        required = tuple(o.id for o in every if o.loss >= least and not o.disputed)
        if required:
            return Asked(kind, what, required, tuple(_either(every, least)))
    return None


def _either(outcomes: Iterable[Outcome], least: Loss) -> Iterator[str]:
    """Those disputed that some source would list: no slight loss among the paralysed."""
    for outcome in outcomes:
        if outcome.disputed and (outcome.loss >= Loss.PART or least is Loss.PART):
            yield outcome.id


def _slight(outcomes: Iterable[Outcome]) -> Iterator[Asked]:
    ids = tuple(o.id for o in outcomes if o.loss)
    if ids:
        yield Asked("muscle", "Muscles slightly weak", ids, ())


def _movements(movements: Iterable[Movement]) -> Asked | None:
    lost = [m for m in movements if m.loss is Loss.WHOLE]
    required = tuple(m.name for m in lost if not m.disputed)
    if not required:
        return None
    return Asked("movement", "Movements lost", required, tuple(m.name for m in lost if m.disputed))


def fair(injury: Injury) -> bool:
    """Whether an injury makes a case by itself: a muscle that one can test is paralysed whichever source is right."""
    every, muscles = injury.muscles.values(), injury.plexus.muscles
    return any(o.loss is Loss.WHOLE and not o.disputed and muscles[o.id].testable for o in every)


def examinable(injury: Injury) -> bool:
    """Whether an injury makes a case whose losses are listed: some muscle is surely weak that can well be examined."""
    lists = (one for one in asked(injury) if one.kind == "muscle")
    muscles, states = injury.plexus.muscles, {id: o.loss for id, o in injury.muscles.items()}
    return any(muscles[id].testable and states[id] >= Loss.PART for one in lists for id in one.required)


def sure(outcome: Outcome) -> bool:
    """Whether an examination would find this for certain: wholly lost or not at all, whichever source is right."""
    return outcome.loss in (Loss.NONE, Loss.WHOLE) and not outcome.disputed
