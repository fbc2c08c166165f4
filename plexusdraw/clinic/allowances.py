"""Variants of bodies that would explain what speaks against a place.

A variant explains findings of an answer if, with it, the same cuts agree better with them and no worse with any other.
It explains a finding *in part* if that still speaks against the place, though less: a link may keep half of a muscle's
fibres.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from plexusdraw.clinic import deficits
from plexusdraw.clinic.findings import Finding
from plexusdraw.clinic.localise import Answer, Result
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Variant
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site

_LEAST = 0.05
"""Of a gain, what is no rounding."""


@dataclass(frozen=True, slots=True)
class Allowance:
    """A variant with which an answer agrees better: texts of the findings that it explains, and explains in part."""

    answer: Answer
    variant: Variant
    explains: tuple[str, ...]
    in_part: tuple[str, ...]


def of(result: Result, varied: Iterable[Plexus]) -> Iterator[Allowance]:
    """For each answer that something speaks against the variants that would explain it.

    *varied*: the plexus of the result with one more variant each.
    """
    plexuses = tuple(varied)
    for answer in result.answers:
        against = {*answer.unexplained, *answer.contradicted}
        before = _gains(result.plexus, answer.cuts, result.findings)
        for plexus in plexuses if against else ():
            after = _gains(plexus, answer.cuts, result.findings)
            if not after or any(after[finding] < gain - _LEAST for finding, gain in before.items()):
                continue
            better = [f for f in before if f.text in against and after[f] > before[f] + _LEAST]
            if better:
                rule, broken = deficits.of(plexus), _broken(plexus, answer.cuts)
                whole = tuple(f.text for f in better if not f.against(rule, broken))
                part = tuple(f.text for f in better if f.text not in whole)
                yield Allowance(answer, plexus.variants[plexus.applied[-1]], whole, part)


def _broken(plexus: Plexus, cuts: Iterable[Site]) -> int:
    there = [replace(sites.parse(plexus, site.name), partial=site.partial) for site in cuts]
    return deficits.of(plexus).broken(cut for site in there for cut in site.breaks)


def _gains(plexus: Plexus, cuts: Iterable[Site], findings: Iterable[Finding]) -> Mapping[Finding, float]:
    """How well cuts agree with each finding; nothing where the variant has no such place or structure."""
    try:
        broken = _broken(plexus, cuts)
        return {finding: finding.gain(deficits.of(plexus), broken) for finding in findings}
    except (UnknownNameError, KeyError):
        return {}
