"""What an examination found, and how well an injury agrees with it.

Each finding has a gain for each loss that an injury predicts (``GAINS``). An abnormal finding gains from 0, not
explained, to 1, explained in full; it is *explained* from ``EXPLAINED`` on. A normal finding gains 0 where nothing is
predicted, and costs up to 1.25 where loss is; from ``CONTRADICTED`` on it *speaks against* the place.

* strength below normal, 1 to 4, may be a partial injury: it agrees with a predicted paralysis as well
* a group: abnormal, the mean of its members; normal, the worst of them
* a movement: the gain of its loss, times (1 + share of its muscles that are weak or paralysed) / 2
* a sign that shows counts as a whole loss, one that does not as none
* a dermatome, abnormal: the gain of its loss, or the mean of its areas if that is more, an area whose fibres of the
  root are spared counting as normal, since a person feels what a nerve takes of it; times (1 + share of the root's
  fibres that are hit) / 2, since a dermatome tells of its root (the mean of theirs, if several). Normal: the gain of
  its loss

Findings that cannot all be true are refused (``check``): what is normal in one finding and abnormal in another, all of
a group normal and some of it weak, all of a group paralysed and a member normal, one strength and another; a group or
movement weak and each of its muscles normal, a movement normal without a muscle that has power, or lost with one.
The figures are a convention of this package. They only order the answers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from plexusdraw import names
from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss, States
from plexusdraw.errors import FindingsError, UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import canonical, exact, tokens

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
    "paralysed": (0.0, 0.0, 0.5, 1.0),
    "weak": (0.0, 0.25, 1.0, 1.0),
    "moderate": (0.0, 0.25, 1.0, 0.9),
    "slight": (0.0, 0.9, 1.0, 0.9),
    "spared": (0.0, -0.1, -0.6, -1.25),
    "numb": (0.0, 0.0, 0.9, 1.0),
    "feels": (0.0, -0.1, -0.25, -1.0),
    "reflex-lost": (0.0, 0.25, 1.0, 1.0),
    "reflex-kept": (0.0, 0.0, -0.5, -1.0),
    "sign": (0.0, 0.0, 0.0, 1.0),
    "no-sign": (0.0, 0.0, 0.0, -1.0),
}
"""Finding → gain for a predicted loss of none, slight, part, whole. What agrees but for its degree gains 0.9, in muscle
as in skin; a minor root lost to what is normal costs 0.1."""

NORMAL: frozenset[Kind] = frozenset(("spared", "feels", "reflex-kept", "no-sign"))
EXPLAINED = 0.5
"""An abnormal finding that gains at least this is explained."""
CONTRADICTED = -0.5
"""A normal finding whose gain is not above this speaks against the site."""
GRADED: frozenset[Kind] = frozenset(("moderate", "slight"))
"""Strength from 1 to 4: a paralysis predicted for it means that the injury is partial."""

STRENGTHS: Mapping[Kind, frozenset[int]] = {
    "paralysed": frozenset((0,)),
    "weak": frozenset(range(5)),
    "moderate": frozenset((1, 2, 3)),
    "slight": frozenset((4,)),
    "spared": frozenset((5,)),
    "numb": frozenset((0,)),
    "feels": frozenset((5,)),
    "reflex-lost": frozenset((0,)),
    "reflex-kept": frozenset((5,)),
    "sign": frozenset((0,)),
    "no-sign": frozenset((5,)),
}
"""Finding → what it may mean, 0 nothing left to 5 normal: two findings of one thing must share a value."""
BY_GRADE: tuple[Kind, ...] = ("paralysed", "moderate", "moderate", "moderate", "slight", "spared")
"""Strength 0 to 5 (Medical Research Council, War Memorandum 7, 1943; Memorandum 45, 1976) → finding."""
GRADE = r"(?:\b(?:mrc\s+grade|mrc|grade|m)\s*|=\s*|(?<!\w)(?=[0-5]\s*[+-]?\s*/))([0-5])\s*[+-]?(?:\s*/\s*5)?(?![\w/])"
"""A strength within a text, as a pattern without capitals: "3/5", "M4", "MRC 2", "grade 4-", "=5"."""
_AMONG: Mapping[Kind, tuple[str, ...]] = {
    "numb": ("skin", "outside"),
    "feels": ("skin", "outside"),
    "sign": ("sign",),
    "no-sign": ("sign",),
    "reflex-lost": ("reflex",),
    "reflex-kept": ("reflex",),
}
_MUSCLES = ("muscle", "group", "outside")
_STRENGTH = frozenset(BY_GRADE) | {"weak"}
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
            losses = [rule.loss(id, broken) for id in rule.movers[self.about]]
            share = sum(loss >= Loss.PART for loss in losses) / len(losses)
            return gains[rule.movement(self.about, broken)] * (1 + share) / 2
        if self.about in rule.areas and self.kind not in NORMAL:
            return self._gain_of_dermatome(rule, broken)
        members = [gains[rule.loss(id, broken)] for id in rule.members(self.about)]
        return min(members) if self.kind in NORMAL else sum(members) / len(members)

    def _gain_of_dermatome(self, rule: States, broken: int) -> float:
        gains, areas = GAINS[self.kind], rule.areas[self.about]
        felt = [gains[rule.loss(id, broken) if broken & routes else Loss.NONE] for id, routes in areas.items()]
        best = max(gains[rule.loss(self.about, broken)], sum(felt) / max(len(felt), 1))
        left = [rule.supply[root].remaining(broken) for root in rule.roots_of(self.about)]
        return best * (2 - sum(left) / len(left)) / 2

    def against(self, rule: States, broken: int) -> bool:
        """Whether it speaks against broken routes: abnormal and not explained, or normal and loss predicted."""
        gain = self.gain(rule, broken)
        return gain <= CONTRADICTED if self.kind in NORMAL else gain < EXPLAINED

    def members(self, rule: States) -> frozenset[str]:
        """Ids of the single muscles or areas that it is about; its own for a movement, sign or reflex."""
        return frozenset((self.about,) if self.movement else rule.members(self.about))

    def ids(self, rule: States) -> tuple[str, ...]:
        """Ids on which it depends."""
        if self.movement:
            return rule.movers[self.about]
        if self.kind in ("sign", "no-sign"):
            rules = rule.plexus.signs[self.about].when.parts()
            return tuple(id for part in rules for id in (*part.lost, *part.weak, *part.spared))
        return (self.about,)


def check(rule: States, findings: Sequence[Finding]) -> None:
    """FindingsError with the first two findings that cannot both be true, or several that cannot be so together."""
    for i, a in enumerate(findings):
        for b in findings[:i]:
            if a.movement == b.movement and _contradict(a, b, rule):
                raise FindingsError(f'"{b.text}" and "{a.text}" cannot both be true. Leave one of them out.')
    for finding in findings:
        others = _against_all(rule, finding, findings)
        if others:
            told = ", ".join(f'"{other.text}"' for other in others)
            raise FindingsError(f'"{finding.text}" cannot be true beside {told}. Leave one of them out.')


def _against_all(rule: States, finding: Finding, findings: Sequence[Finding]) -> list[Finding]:
    """The findings of single muscles or areas that leave a group or a movement no way to be as found; none if one does.

    All are normal, and it is not; all are paralysed, and the movement is normal; one has power, and the movement none.
    """
    ids = rule.movers[finding.about] if finding.movement else sorted(finding.members(rule))
    if len(ids) < 2 and not finding.movement:
        return []
    told = {id: [f for f in findings if f is not finding and _holds_of(f, id, rule)] for id in ids}
    left = {id: frozenset.intersection(_ANY, *(STRENGTHS[f.kind] for f in told[id])) for id in ids}
    opposite = _WHOLE if finding.kind not in NORMAL else _NONE if finding.movement else None
    if all(left[id] == opposite for id in ids):
        wrong = ids
    elif finding.movement and finding.kind == "paralysed":
        wrong = [id for id in ids if not left[id] & _NONE][:1]
    else:
        return []
    return list(dict.fromkeys(f for id in wrong for f in told[id]))


_ANY, _NONE, _WHOLE = frozenset(range(6)), frozenset((0,)), frozenset((5,))


def _holds_of(finding: Finding, id: str, rule: States) -> bool:
    """Whether a finding says something of this one muscle or area, by itself or as a member."""
    members = finding.members(rule)
    return not finding.movement and id in members and (len(members) == 1 or finding.kind in (*NORMAL, "paralysed"))


def _contradict(a: Finding, b: Finding, rule: States) -> bool:
    mine, other = a.members(rule), b.members(rule)
    if not mine & other or STRENGTHS[a.kind] & STRENGTHS[b.kind]:
        return False
    if mine == other:
        return True
    every = [f for f in (a, b) if f.kind in (*NORMAL, "paralysed")]  # true of each member
    return len(every) == 2 or any(f.members(rule) >= mine | other for f in every)


def finding(plexus: Plexus, kind: Kind, text: str) -> Finding:
    """A finding from what a person types; UnknownNameError if it names nothing of that kind.

    A remark in brackets is left aside where the text is not understood with it. A strength in the text, "deltoid 3/5",
    says how weak it is; FindingsError if that is not of this kind.
    """
    grade, rest = graded_text(text) if kind in _STRENGTH else (None, text)
    if grade is not None:
        if grade not in STRENGTHS[kind]:
            word = _WORDS.get(BY_GRADE[grade], BY_GRADE[grade])
            raise FindingsError(f'"{text}": a strength of {grade} is {word}, not {_WORDS.get(kind, kind)}.')
        return finding(plexus, BY_GRADE[grade], rest)
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
    grade, rest = graded_text(text)
    if grade is None or not rest:
        raise UnknownNameError(f'"{text}": write a muscle and its strength from 0 to 5, such as "biceps=3".')
    return finding(plexus, BY_GRADE[grade], rest)


def graded_text(text: str) -> tuple[int | None, str]:
    """The strength that a text tells, if it tells one, and what is left of the text."""
    found = re.search(GRADE, text, re.ASCII | re.IGNORECASE)
    if found is None:
        return None, text
    return int(found[1]), f"{text[: found.start()]} {text[found.end() :]}".strip()


def _movement(plexus: Plexus, text: str) -> str | None:
    """The movement of this name, or the only one with all these words and its own action among them.

    None if a muscle or group has the name. UnknownNameError with the choices if several movements may be
    meant: "thumb extension".
    """
    if names.matches(plexus, text, _MUSCLES, names.STRICT):
        return None
    movers = deficits.of(plexus).movers
    if exact(text) in map(exact, movers):
        return next(name for name in movers if exact(name) == exact(text))
    wishes = [set(canonical(words)) for words in _together(tokens(text))]
    found = [
        name
        for name in movers
        if any(wish <= set(canonical(tokens(name))) and _action(name) in wish for wish in wishes)
    ]
    if len(found) > 1:
        raise UnknownNameError(f'"{text}" may mean {", ".join(found)}. Say which.', found)
    return found[0] if found else None


def _action(movement: str) -> str:
    """ "flexion" of "finger DIP flexion, index and middle"."""
    return canonical(tokens(movement.partition(",")[0]))[-1]


def _together(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The words as they are, and with two that stand side by side as one: "plantar flexion", "plantarflexion"."""
    yield words
    for i in range(len(words) - 1):
        yield (*words[:i], words[i] + words[i + 1], *words[i + 2 :])
