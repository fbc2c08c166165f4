"""What to examine next, to tell the leading answers apart.

* **Leading**: the best answer, and of the others those at places that are not unusual: the ones that score at most
  ``LEADING`` below the best, at least ``LEAST`` and at most ``MOST`` in all.
* **A test** is what an examiner can do at the bedside: a muscle that can be tested alone, a skin area, a reflex, a sign
  that asks for a place; a dermatome only where the best answer and another leading one cut roots alone. Nothing that a
  finding is about.
* **It tells** what the leading answers, taken as equally likely, predict of it: normal, weak (reduced) or lost, as seen
  at the bedside. ``tells`` is the mean of two amounts of information, in bits: normal or not; and which of the three.
* The ``MANY`` most telling ones, each with results of its own, in the order of the model where they tell as much.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log2
from typing import TYPE_CHECKING

from plexusdraw.clinic.findings import Finding
from plexusdraw.clinic.places import Places, Plausible

if TYPE_CHECKING:
    from plexusdraw.clinic.localise import Answer

LEADING = 0.2
LEAST = 3
MOST = 8
MANY = 5
WELL = 0.75
"""A test that tells this share of the best one splits the answers well."""

WORDS = ("splits the leading answers best", "splits them well", "splits them less")


@dataclass(frozen=True, slots=True)
class Test:
    """A muscle, skin area, reflex or sign to examine next.

    ``tells``: bits, as above; ``word``: the same in words. ``normal``, ``changed``: names of the leading answers after
    which it is normal, and after which it is weak, reduced, lost or shown.
    """

    id: str
    name: str
    kind: str
    tells: float
    word: str
    normal: tuple[str, ...]
    changed: tuple[str, ...]


def choose(known: Places, findings: Sequence[Finding], answers: Sequence[Answer]) -> Iterator[Test]:
    """The most telling tests, best first."""
    if not answers:
        return
    leading = leading_of(answers)
    done = {m for f in findings for id in _about(known, f) for m in known.rule.members(id)}
    rows: dict[tuple[int, ...], tuple[float, str]] = {}
    for id, results in _results(known, leading):
        tells = (bits(results) + bits([result > 0 for result in results])) / 2
        if id not in done and tells > 0 and results not in rows:
            rows[results] = tells, id
    best = sorted(rows.items(), key=lambda row: -row[1][0])[:MANY]
    for i, (results, (tells, id)) in enumerate(best):
        word = WORDS[0] if i == 0 else WORDS[1] if tells >= WELL * best[0][1][0] else WORDS[2]
        entity = known.plexus.entity(id)
        told = [[a.name for a, r in zip(leading, results, strict=True) if (r > 0) == gone] for gone in (False, True)]
        yield Test(id, entity.name, entity.kind, tells, word, tuple(told[0]), tuple(told[1]))


def leading_of(answers: Sequence[Answer]) -> Sequence[Answer]:
    """The answers that tests should tell apart."""
    usual = [answers[0], *(a for a in answers[1:] if a.plausible is not Plausible.UNUSUAL)]
    many = sum(answer.score >= answers[0].score - LEADING for answer in usual)
    return usual[: min(max(many, LEAST), MOST)]


def _results(known: Places, leading: Sequence[Answer]) -> Iterator[tuple[str, tuple[int, ...]]]:
    """Each test and what it shows after each of the leading answers."""
    ids = (*known.bedside, *(sign.id for sign in known.placed_signs))
    for i, id in enumerate(ids):
        yield id, tuple(answer.seen[i] for answer in leading)
    roots = [all(cut.segment in known.plexus.roots for cut in answer.cuts) for answer in leading]
    if roots[0] and sum(roots) > 1:
        for area in known.plexus.skin.values():
            if area.dermatome:
                yield area.id, tuple(known.seen_of(area.id, answer.broken) for answer in leading)


def _about(known: Places, finding: Finding) -> tuple[str, ...]:
    """What is examined already: a sign itself, not the muscles by which it shows."""
    return (finding.about,) if finding.kind in ("sign", "no-sign") else finding.ids(known.rule)


def bits(results: Sequence[object]) -> float:
    """Entropy of results, in bits."""
    shares = [n / len(results) for n in Counter(results).values()]
    return -sum(share * log2(share) for share in shares)
