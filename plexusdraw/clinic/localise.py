"""From findings back to the places that explain them, and to the test that would tell these apart.

All single sites, then all pairs, are scored by :mod:`plexusdraw.clinic.findings`. Sites after which everything
the model knows is the same are one answer. Pairs are looked at only if no single site explains
everything, and each must explain more than the best single site. So must a run of three or more
neighbouring roots, trunks or cords, as a pull on the limb tears them; roots past their ganglia, or, if that
explains more, from the cord.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations
from math import log2

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss, States
from plexusdraw.clinic.findings import CONTRADICTED, NORMAL, Finding
from plexusdraw.model.plexus import Plexus, Target
from plexusdraw.names import sites
from plexusdraw.names.sites import Site

SECOND_CUT = 0.75
"""What a second cut costs, measured in findings explained: a convention of this package."""
NEXT_CUT = 0.25
"""What each further cut of a run of neighbours costs."""
LEADING = 0.2
"""Answers whose score is at most this below the best one are told apart by the next tests."""
MOST_LEADING = 8
_MOST_PLACES = 400
"""Of a model with more places that matter, the best ones are paired."""
_MOST_NEIGHBOURS = 12
"""Runs of neighbours are looked for in stages of at most this many segments."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One place, or pair of places, with what it explains. Texts are those of the findings.

    ``score``: 1 if it explains every abnormal finding in full and nothing speaks against it; it may be
    negative. ``extra``: number of losses it predicts that no finding mentions.
    """

    id: str
    name: str
    cuts: tuple[Site, ...]
    explained: tuple[str, ...]
    unexplained: tuple[str, ...]
    contradicted: tuple[str, ...]
    score: float
    extra: int
    broken: int


@dataclass(frozen=True, slots=True)
class Test:
    """A muscle, skin area or reflex to examine next.

    ``tells``: bits of information its result gives on which leading answer is right, taking them as equally
    likely; 1 bit halves their number.
    """

    id: str
    name: str
    kind: str
    tells: float


@dataclass(frozen=True, slots=True)
class Result:
    """Answers, best first, and tests, most telling first."""

    plexus: Plexus
    findings: tuple[Finding, ...]
    answers: tuple[Answer, ...]
    next_tests: tuple[Test, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """Sites after which everything is the same."""

    sites: tuple[Site, ...]
    broken: int
    losses: tuple[Loss, ...]
    """Of every muscle, skin area and reflex, in that order."""


class Places:
    """All places of a plexus, told apart by what their injury does."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.rule = plexus, deficits.of(plexus)
        self.ids = (*plexus.muscles, *plexus.skin, *plexus.reflexes)

    @cached_property
    def all(self) -> tuple[Place, ...]:
        """Every place that an injury of the model can be told by, in model order."""
        by_bits: dict[int, list[Site]] = {}
        for site in sites.all_sites(self.plexus):
            by_bits.setdefault(self.rule.broken(site.cuts), []).append(site)
        found: dict[tuple[tuple[Loss, ...], tuple[bool, ...]], tuple[int, list[Site]]] = {}
        for broken, same in by_bits.items():
            found.setdefault(self._consequences(broken), (broken, []))[1].extend(same)
        return tuple(Place(tuple(same), broken, losses) for (losses, _), (broken, same) in found.items() if any(losses))

    def losses(self, broken: int) -> tuple[Loss, ...]:
        """Loss of every muscle, skin area and reflex."""
        return tuple(self.rule.loss(id, broken) for id in self.ids)

    def _consequences(self, broken: int) -> tuple[tuple[Loss, ...], tuple[bool, ...]]:
        signs = tuple(self.rule.holds(sign.when, broken) for sign in self.plexus.signs.values())
        return self.losses(broken), signs


@lru_cache(maxsize=16)
def places(plexus: Plexus) -> Places:
    """The places of a plexus, worked out once."""
    return Places(plexus)


def localise(plexus: Plexus, findings: Iterable[Finding], top: int = 10) -> Result:
    """The *top* best answers to findings. Without an abnormal finding there is none."""
    found = tuple(dict.fromkeys(findings))
    search = _Search(plexus, found)
    if all(finding.kind in NORMAL for finding in found):
        return Result(plexus, found, (), ())
    answers = search.answers(top)
    return Result(plexus, found, answers[:top], tuple(_tests(places(plexus), found, answers)))


class _Search:
    def __init__(self, plexus: Plexus, findings: Sequence[Finding]) -> None:
        self.places, self.findings = places(plexus), findings
        self.rule: States = self.places.rule
        self.full = sum(finding.kind not in NORMAL for finding in findings)
        self._gains: dict[int, float] = {}

    def answers(self, top: int) -> tuple[Answer, ...]:
        """Singles and, where needed, pairs, best first."""
        singles = [self._answer((place,)) for place in self.places.all if self._gain(place.broken) > -self.full]
        best = max((answer.score for answer in singles), default=0.0)
        several: list[Answer] = []
        if not any(_complete(answer) for answer in singles):
            several = [*self._pairs(best, max(4 * top, 40)), *self._runs(best)]
        return tuple(sorted((*singles, *several), key=_rank))

    @cached_property
    def _relevant(self) -> int:
        """Bits on which the findings depend."""
        bits = 0
        for id in (id for finding in self.findings for id in finding.ids(self.rule)):
            for member in self.rule.members(id):
                supply = self.rule.supply.get(member)
                bits |= 0 if supply is None else supply.principal | supply.minor
        return bits | sum(self.rule.sign_cuts.values())

    def _gain(self, broken: int) -> float:
        key = broken & self._relevant
        if key not in self._gains:
            self._gains[key] = sum(finding.gain(self.rule, key) for finding in self.findings)
        return self._gains[key]

    def _pairs(self, best: float, many: int) -> list[Answer]:
        """The best of the pairs that explain so much more than any single site that the second cut is paid for."""
        by_bits: dict[int, Place] = {}
        for place in self.places.all:
            key = place.broken & self._relevant
            if key not in by_bits or self._extra(place.losses) < self._extra(by_bits[key].losses):
                by_bits[key] = place
        keys = sorted(by_bits, key=self._gain, reverse=True)[:_MOST_PLACES]
        scored: list[tuple[float, int, int]] = []
        for a, b in combinations(keys, 2):
            gain = self._gain(a | b)
            if gain - SECOND_CUT > best * self.full:
                scored.append((gain, a, b))
        scored.sort(key=lambda row: -row[0])
        return [self._answer((by_bits[a], by_bits[b])) for _, a, b in scored[:many]]

    def _runs(self, best: float) -> Iterator[Answer]:
        """Runs of at least three neighbours of a stage that explain more than any single site."""
        plexus = self.places.plexus
        for stage in plexus.stages:
            ids = [segment.id for segment in plexus.staged(stage.id)]
            if stage.order == "given" and len(ids) <= _MOST_NEIGHBOURS:
                for first, last in combinations(range(len(ids) + 1), 2):
                    if last - first >= 3:
                        answer = self._run(ids[first:last])
                        if answer.score > best:
                            yield answer

    def _run(self, ids: Sequence[str]) -> Answer:
        """Segments all cut at their start, or all torn from the cord if that explains more."""
        plexus = self.places.plexus
        ways = [[site(plexus, id) for id in ids] for site in (sites.start, sites.torn)]
        return max((self._answer([self._only(site) for site in way]) for way in ways), key=lambda answer: answer.score)

    def _only(self, site: Site) -> Place:
        """A site for an answer of several, which reads no losses of one."""
        return Place((site,), self.rule.broken(site.cuts), ())

    def _extra(self, losses: Sequence[Loss]) -> int:
        named = {m for f in self.findings for id in f.ids(self.rule) for m in self.rule.members(id)}
        return sum(
            loss for id, loss in zip(self.places.ids, losses, strict=True) if loss >= Loss.PART and id not in named
        )

    def _answer(self, chosen: Sequence[Place]) -> Answer:
        broken = 0
        for place in chosen:
            broken |= place.broken
        gains = [(finding, finding.gain(self.rule, broken)) for finding in self.findings]
        against = {f for f, gain in gains if f.kind in NORMAL and gain <= CONTRADICTED}
        missed = {f for f, gain in gains if f.kind not in NORMAL and gain < 0}
        cuts = tuple(_plainest(place) for place in chosen)
        total = sum(gain for _, gain in gains) - _cost(len(chosen))
        losses = chosen[0].losses if len(chosen) == 1 else self.places.losses(broken)
        return Answer(
            id="+".join(site.id for site in cuts),
            name=_name([_range(self.places.plexus, place.sites) for place in chosen]),
            cuts=cuts,
            explained=tuple(f.text for f in self.findings if f not in against | missed),
            unexplained=tuple(f.text for f in self.findings if f in missed),
            contradicted=tuple(f.text for f in self.findings if f in against),
            score=total / self.full,
            extra=self._extra(losses),
            broken=broken,
        )


def _rank(answer: Answer) -> tuple[float, int, bool, int]:
    """By score; then one cut before two, a named place before "after ...", few losses beyond the findings."""
    unnamed = any(site.id.startswith(f"{site.segment}-after-") for site in answer.cuts)
    return -round(answer.score, 9), len(answer.cuts), unnamed, answer.extra


def _cost(cuts: int) -> float:
    return 0.0 if cuts < 2 else SECOND_CUT + NEXT_CUT * (cuts - 2)


def _name(places: Sequence[str]) -> str:
    """ "a", "a and b", or "a to d" for a run of neighbours."""
    return " and ".join(places) if len(places) < 3 else f"{places[0]} to {places[-1]}"


def _complete(answer: Answer) -> bool:
    return not answer.unexplained and not answer.contradicted


def _plainest(place: Place) -> Site:
    """A segment's own name where there is one, else a level, else the first of the sites."""
    named = [site for site in place.sites if not site.id.startswith(f"{site.segment}-after-")]
    return next((site for site in named if site.id == site.segment), (named or place.sites)[0])


def _range(plexus: Plexus, same: Sequence[Site]) -> str:
    """Name for sites that cannot be told apart: "ulnar nerve (start to elbow)"."""
    first, last = same[0], same[-1]
    if len(same) == 1:
        return first.name
    if all(site.segment == first.segment for site in same):
        rest = last.name.removeprefix(plexus.segments[first.segment].name).strip().removeprefix("at ")
        return f"{first.name} ({'start to' if first.id == first.segment else 'to'} {rest})"
    segments = dict.fromkeys(site.segment for site in same)
    names = (_range(plexus, [site for site in same if site.segment == segment]) for segment in segments)
    return " or ".join(dict.fromkeys(names))


def _tests(known: Places, findings: Sequence[Finding], answers: Sequence[Answer]) -> Iterator[Test]:
    """The five most telling things to examine: not yet examined, testable alone, each with results of its own."""
    leading = [a for a in answers if a.score >= answers[0].score - LEADING][:MOST_LEADING]
    done = {m for f in findings if f.kind not in ("sign", "no-sign") for m in _about(known.rule, f)}
    losses = [known.losses(answer.broken) for answer in leading]
    tests: dict[tuple[Loss, ...], tuple[float, float, Test]] = {}
    for i, id in enumerate(known.ids):
        entity = known.plexus.entity(id)
        if id in done or (isinstance(entity, Target) and not entity.testable):
            continue
        results = tuple(max(row[i], Loss.SLIGHT) for row in losses)
        tells = _bits(results)
        if tells > 0 and results not in tests:
            plain = _bits([result > Loss.SLIGHT for result in results])
            tests[results] = tells, plain, Test(id, entity.name, entity.kind, tells)
    best = sorted(tests.values(), key=lambda row: (-row[0], -row[1]))
    yield from (test for _, _, test in best[:5])


def _about(rule: States, finding: Finding) -> tuple[str, ...]:
    return tuple(m for id in finding.ids(rule) for m in rule.members(id))


def _bits(results: Sequence[object]) -> float:
    """Entropy of the results, in bits."""
    shares = [n / len(results) for n in Counter(results).values()]
    return -sum(share * log2(share) for share in shares)
