"""What an examination found, and how well an injury agrees with it.

Each finding has, for each loss that an injury predicts, a gain. An abnormal finding that is predicted gains
up to 1 and costs 1 if it is not; a normal finding gains nothing and costs up to 1.5 if loss is predicted.
A finding about a group counts by the share of its members of which it is true; a normal one, by the worst.
The figures are a convention of this package. They only order the answers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from plexusdraw import names
from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import States
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import exact, tokens

Kind = Literal[
    "weak",
    "paralysed",
    "moderate",
    "slight",
    "spared",
    "numb",
    "feels",
    "sign",
    "no-sign",
    "reflex-lost",
    "reflex-kept",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

GAINS: Mapping[Kind, tuple[float, float, float, float]] = {
    "paralysed": (-1.0, -1.0, 0.5, 1.0),
    "weak": (-1.0, 0.5, 1.0, 1.0),
    "moderate": (-1.0, 0.5, 1.0, 0.5),
    "slight": (-1.0, 1.0, 0.9, 0.25),
    "spared": (0.0, -0.25, -1.0, -1.5),
    "numb": (-1.0, -1.0, 0.75, 1.0),
    "feels": (0.0, 0.0, -0.25, -1.0),
    "reflex-lost": (-1.0, -1.0, 0.75, 1.0),
    "reflex-kept": (0.0, 0.0, -0.5, -1.0),
    "sign": (-1.0, -1.0, -1.0, 1.0),
    "no-sign": (0.0, 0.0, 0.0, -1.0),
}
"""Finding → gain for a predicted loss of none, slight, part, whole; a sign that shows counts as whole."""

NORMAL: frozenset[Kind] = frozenset(("spared", "feels", "reflex-kept", "no-sign"))
CONTRADICTED = -0.5
"""A normal finding whose gain is not above this speaks against the site."""

_AMONG: Mapping[Kind, tuple[str, ...]] = {
    "numb": ("skin", "outside"),
    "feels": ("skin", "outside"),
    "sign": ("sign",),
    "no-sign": ("sign",),
    "reflex-lost": ("reflex",),
    "reflex-kept": ("reflex",),
}
_MUSCLES = ("muscle", "group", "outside")
_REMARK = re.compile(r"\s*\([^()]*\)")
_WORDS: Mapping[Kind, str] = {
    "moderate": "moderately weak",
    "slight": "slightly weak",
    "no-sign": "no",
    "reflex-lost": "lost",
    "reflex-kept": "kept",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: its kind and what it is about; ``movement`` holds if *about* is a movement's name."""

    kind: Kind
    about: str
    name: str
    movement: bool = False

    @property
    def text(self) -> str:
        """In words: "weak deltoid", "wrist drop"."""
        word = "" if self.kind == "sign" else _WORDS.get(self.kind, self.kind) + " "
        return f"{word}{self.name}"

    def gain(self, rule: States, broken: int) -> float:
        """How well broken routes agree with it."""
        gains = GAINS[self.kind]
        if self.kind in ("sign", "no-sign"):
            return gains[3 if rule.holds(rule.plexus.signs[self.about].when, broken) else 0]
        if self.movement:
            return gains[rule.movement(self.about, broken)]
        members = [gains[rule.loss(id, broken)] for id in rule.members(self.about)]
        if self.kind in NORMAL or max(members) <= 0:
            return min(members)
        return sum(max(gain, 0.0) for gain in members) / len(members)

    def ids(self, rule: States) -> tuple[str, ...]:
        """Ids on which it depends."""
        if self.movement:
            return rule.movers[self.about]
        if self.kind in ("sign", "no-sign"):
            rules = rule.plexus.signs[self.about].when.parts()
            return tuple(id for part in rules for id in (*part.lost, *part.weak, *part.spared))
        return (self.about,)


def finding(plexus: Plexus, kind: Kind, text: str) -> Finding:
    """A finding from what a person types; UnknownNameError if it names nothing of that kind.

    A remark in brackets is left aside where the text is not understood with it.
    """
    try:
        return _finding(plexus, kind, text)
    except UnknownNameError:
        bare = _REMARK.sub("", text)
        if bare == text or not bare.strip():
            raise
        return _finding(plexus, kind, bare)


def _finding(plexus: Plexus, kind: Kind, text: str) -> Finding:
    among = _AMONG.get(kind, _MUSCLES)
    if among == _MUSCLES:
        movement = _movement(plexus, text)
        if movement:
            return Finding(kind, movement, movement, movement=True)
    entity = names.find(plexus, text, among)
    return Finding(kind, entity.id, names.display(entity))


def graded(plexus: Plexus, text: str) -> Finding:
    """A muscle with its strength, "biceps=3": 0 is paralysed, 1 to 3 moderately weak, 4 slightly, 5 normal.

    Raises UnknownNameError for a grade that is none, or an unknown muscle.
    """
    name, sign, grade = text.rpartition("=")
    number = grade.strip().removesuffix("/5").rstrip("+-")
    if not sign or number not in tuple("012345"):
        raise UnknownNameError(f'"{text}": write a muscle and its strength from 0 to 5, such as "biceps=3".')
    kinds: tuple[Kind, ...] = ("paralysed", "moderate", "moderate", "moderate", "slight", "spared")
    return finding(plexus, kinds[int(number)], name)


def _movement(plexus: Plexus, text: str) -> str | None:
    """The movement of this name, or the only one with all these words and its own action among them.

    None if a muscle or group has the name. UnknownNameError with the choices if several movements may be
    meant: "thumb extension".
    """
    if names.matches(plexus, text, _MUSCLES, names.STRICT):
        return None
    movers, wish = deficits.of(plexus).movers, set(tokens(text))
    if exact(text) in map(exact, movers):
        return next(name for name in movers if exact(name) == exact(text))
    found = [name for name in movers if wish <= set(tokens(name)) and _action(name) in wish]
    if len(found) > 1:
        raise UnknownNameError(f'"{text}" may mean {", ".join(found)}. Say which.', found)
    return found[0] if found else None


def _action(movement: str) -> str:
    """ "flexion" of "finger DIP flexion, index and middle"."""
    return tokens(movement.partition(",")[0])[-1]
