"""From findings back to the places that explain them: the exact rules.

What a finding gains after an injury is in :mod:`plexusdraw.clinic.findings`; what is a place, how plausible it is and
what looks the same at the bedside in :mod:`plexusdraw.clinic.places`; what to examine next in
:mod:`plexusdraw.clinic.next_tests`. All figures are conventions of this package.

1. **Score** of one place or several: the sum of the gains of all findings, less the costs, divided by the weights of
   the abnormal findings. 1: explains all. A sign that shows weighs more the fewer places show it; all else weighs 1.
2. **Costs**, in findings: ``UNLIKELY`` for each place that is less usual or unusual; ``SECOND`` for a second place, or
   ``NEIGHBOUR`` if both lie on neighbours of one stage of given order; for a run of three and more neighbours
   ``NEIGHBOUR``, and ``NEXT`` for each beyond the second.
3. **Singles**: every place that explains an abnormal finding.
4. **Pairs**: of places that explain an abnormal finding; of those that do the same to the findings, the most plausible,
   then the one with the fewest losses beyond the findings. A pair stands if it scores above the best single place,
   and each of its places is needed: taken away, at least two abnormal findings gain less by half their weight; or one
   does, and no other place of the plexus explains that one.
5. **Runs** of three and more neighbours, as a pull on the limb tears them: all cut at their start, or all torn from the
   cord if that scores more. A run stands if it scores above the best single place and both its ends are needed.
6. **Order**: by score; then fewer cuts, more plausible, fewer losses that no finding mentions, model order.
7. **One answer** for all that look the same at the bedside and have the same gains: the first by this order, named by
   the commonest of its places; the others are listed.
8. The best single place is always among the answers. What no single place explains is said.
9. An answer is **partial** if a strength of 1 to 4 was found where it predicts a paralysis.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, islice, product

from plexusdraw.clinic import next_tests
from plexusdraw.clinic import places as all_places
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import CONTRADICTED, EXPLAINED, GRADED, NORMAL, Finding, check
from plexusdraw.clinic.next_tests import Test
from plexusdraw.clinic.places import Place, Plausible, Seen
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site

SECOND = 1.1
"""More than one finding, so that one stray finding asks for no second place."""
NEIGHBOUR = 0.6
NEXT = 0.25
UNLIKELY: Mapping[Plausible, float] = {Plausible.USUAL: 0.0, Plausible.LESS: 0.1, Plausible.UNUSUAL: 0.25}
_MOST_PLACES = 400
"""Of a model with more places that matter, the best ones are paired."""
_MOST_NEIGHBOURS = 12
"""Runs of neighbours are looked for in stages of at most this many segments."""
_MOST_NAMES = 12
"""As many names of one answer are listed."""
_LOOKED_AT = 30
"""As many answers are looked at for the next tests."""

places = all_places.of


@dataclass(frozen=True, slots=True)
class Answer:
    """One place, or several, with what it explains. Texts are those of the findings.

    ``score``: 1 if it explains every abnormal finding in full and nothing speaks against it; it may be
    negative. ``agrees``: the same without the costs of places. ``extra``: sum of the losses it predicts that no finding
    mentions. ``alike``: itself, and all that no bedside test tells from it, commonest first; each the sites to cut.
    ``partial``: it must spare some fibres.
    """

    id: str
    name: str
    cuts: tuple[Site, ...]
    alike: tuple[tuple[Site, ...], ...]
    explained: tuple[str, ...]
    unexplained: tuple[str, ...]
    contradicted: tuple[str, ...]
    score: float
    agrees: float
    plausible: Plausible
    partial: bool
    extra: int
    broken: int
    seen: Seen

    @property
    def places(self) -> tuple[str, ...]:
        """Names of all that no bedside test tells apart, commonest first."""
        return tuple(_name([site.name for site in cuts]) for cuts in self.alike)


@dataclass(frozen=True, slots=True)
class Result:
    """Answers, best first, and tests, most telling first. ``unexplained``: findings that no single place explains."""

    plexus: Plexus
    findings: tuple[Finding, ...]
    answers: tuple[Answer, ...]
    next_tests: tuple[Test, ...]
    unexplained: tuple[Finding, ...] = ()
    leading: tuple[Answer, ...] = ()
    """The answers that the tests tell apart, however many were asked for."""


def localise(plexus: Plexus, findings: Iterable[Finding], top: int = 10) -> Result:
    """The *top* best answers to findings, the best single place among them. Without an abnormal finding there is none.

    Raises:
        FindingsError: two findings contradict each other.
    """
    found = tuple(dict.fromkeys(findings))
    known = places(plexus)
    check(known.rule, found)
    if all(finding.kind in NORMAL for finding in found):
        return Result(plexus, found, (), ())
    search = _Search(known, found)
    answers = search.answers(max(top, _LOOKED_AT))
    leading = tuple(next_tests.leading_of(answers)) if answers else ()
    tests = tuple(next_tests.choose(known, found, answers))
    return Result(plexus, found, _first(answers, top), tests, search.by_none(), leading)


def _first(answers: Sequence[Answer], top: int) -> tuple[Answer, ...]:
    """The best answers; if none of them is a single place, the best of these comes last."""
    first = tuple(answers[:top])
    single = next((answer for answer in answers if len(answer.cuts) == 1), None)
    if single is None or any(len(answer.cuts) == 1 for answer in first):
        return first
    return (*first[: max(top - 1, 1)], single)


@dataclass(frozen=True, slots=True)
class _Draft:
    """Places scored; all that its order needs."""

    places: tuple[Place, ...]
    broken: int
    total: float
    """Gains less costs, in findings."""
    plausible: Plausible
    extra: int

    @property
    def rank(self) -> tuple[float, int, int, int]:
        return -round(self.total, 9), len(self.places), self.plausible, self.extra


class _Search:
    def __init__(self, known: all_places.Places, findings: Sequence[Finding]) -> None:
        self.places, self.rule, self.findings = known, known.rule, findings
        self.weights = [known.weight(f.about) if f.kind == "sign" else 1.0 for f in findings]
        self.abnormal = [i for i, f in enumerate(findings) if f.kind not in NORMAL]
        self.full = sum(self.weights[i] for i in self.abnormal)
        self._gains: dict[int, tuple[float, ...]] = {}
        self._named = {m for f in findings for id in f.ids(self.rule) for m in self.rule.members(id)}

    def answers(self, many: int) -> list[Answer]:
        """The best of all that stand, best first, and the best single place."""
        singles = [self._draft((place,)) for place in self.places.all if self._explains(place.broken)]
        best = max((draft.total for draft in singles), default=0.0)
        several: list[_Draft] = []
        if best < self.full - NEIGHBOUR:  # else nothing can be worth another place
            several = [*self._pairs(best), *self._runs(best)]
        found: dict[object, list[_Draft]] = {}
        for draft in sorted((*singles, *several), key=lambda draft: draft.rank):
            found.setdefault(self._looks(draft), []).append(draft)
        groups = list(found.values())
        first = groups[:many] + [group for group in groups[many:] if len(group[0].places) == 1][:1]
        return [self._answer(same) for same in first]

    def by_none(self) -> tuple[Finding, ...]:
        """Abnormal findings that no single place explains."""
        return tuple(self.findings[i] for i in self.abnormal if not self._could[i])

    @cached_property
    def _relevant(self) -> int:
        """Bits on which the findings depend."""
        bits = 0
        roots = {root for id in self._named if id in self.rule.areas for root in self.rule.roots_of(id)}
        for member in self._named | roots:
            supply = self.rule.supply.get(member)
            bits |= 0 if supply is None else supply.principal | supply.minor
        for finding in self.findings:
            if finding.kind in ("sign", "no-sign"):
                bits |= self.rule.asked_cuts(self.places.plexus.signs[finding.about].when)
        return bits

    def _gain(self, broken: int) -> tuple[float, ...]:
        """Weighted gain of each finding."""
        key = broken & self._relevant
        if key not in self._gains:
            pairs = zip(self.findings, self.weights, strict=True)
            self._gains[key] = tuple(finding.gain(self.rule, key) * weight for finding, weight in pairs)
        return self._gains[key]

    def _explains(self, broken: int) -> bool:
        gains = self._gain(broken)
        return any(gains[i] >= EXPLAINED * self.weights[i] for i in self.abnormal)

    @cached_property
    def _could(self) -> dict[int, set[Seen]]:
        """Abnormal finding → what the places look like that explain it."""
        found: dict[int, set[Seen]] = {i: set() for i in self.abnormal}
        for place in self.places.all:
            gains = self._gain(place.broken)
            for i in self.abnormal:
                if gains[i] >= EXPLAINED * self.weights[i]:
                    found[i].add(place.seen)
        return found

    def _pairs(self, best: float) -> Iterator[_Draft]:
        """Pairs that score above the best single place and need both places."""
        by_bits: dict[int, Place] = {}
        for place in self.places.all:
            if self._explains(place.broken):
                key = place.broken & self._relevant
                if key not in by_bits or self._before(place, by_bits[key]):
                    by_bits[key] = place
        chosen = sorted(by_bits.values(), key=lambda place: -sum(self._gain(place.broken)))[:_MOST_PLACES]
        for a, b in combinations(chosen, 2):
            gains = self._gain(a.broken | b.broken)
            least = UNLIKELY[a.plausible] + UNLIKELY[b.plausible] + NEIGHBOUR
            if sum(gains) - least > best and self._needed(gains, b, a) and self._needed(gains, a, b):
                draft = self._draft(self._in_order(a, b))
                if draft.total > best:
                    yield draft

    def _before(self, a: Place, b: Place) -> bool:
        return (a.plausible, self._extra(a.losses)) < (b.plausible, self._extra(b.losses))

    def _in_order(self, a: Place, b: Place) -> tuple[Place, ...]:
        """Cranial first."""
        order = list(self.places.plexus.segments)
        return tuple(sorted((a, b), key=lambda place: order.index(place.sites[0].segment)))

    def _needed(self, gains: Sequence[float], rest: Place, place: Place) -> bool:
        """Whether *place* makes enough of a difference beside the rest."""
        alone = self._gain(rest.broken)
        more = [i for i in self.abnormal if gains[i] - alone[i] >= EXPLAINED * self.weights[i]]
        return len(more) > 1 or (len(more) == 1 and self._could[more[0]] <= {place.seen})

    def _runs(self, best: float) -> Iterator[_Draft]:
        """Runs of at least three neighbours of a stage."""
        for ids in self._neighbours:
            for first, last in combinations(range(len(ids) + 1), 2):
                if last - first >= 3:
                    run = self._run(ids[first:last])
                    gains = self._gain(run.broken)
                    ends = ((run.places[1:], run.places[0]), (run.places[:-1], run.places[-1]))
                    if run.total > best and all(self._needed(gains, _together(rest), end) for rest, end in ends):
                        yield run

    @cached_property
    def _neighbours(self) -> list[list[str]]:
        """Segments of each stage of given order."""
        plexus = self.places.plexus
        stages = ([s.id for s in plexus.staged(stage.id)] for stage in plexus.stages if stage.order == "given")
        return [ids for ids in stages if len(ids) <= _MOST_NEIGHBOURS]

    def _run(self, ids: Sequence[str]) -> _Draft:
        """Segments all cut at their start, or all torn from the cord if that scores more."""
        ways = ([make(self.places.plexus, id) for id in ids] for make in (sites.start, sites.torn))
        drafts = (self._draft(tuple(self._only(site) for site in way)) for way in ways)
        return max(drafts, key=lambda draft: draft.total)

    def _only(self, site: Site) -> Place:
        """A site by itself, for an answer of several. A root's start and its tear are equally plausible here."""
        broken = self.rule.broken(site.breaks)
        return Place((site,), broken, (), self.places.seen(broken), Plausible.USUAL)

    def _extra(self, losses: Sequence[Loss]) -> int:
        rows = zip(self.places.ids, losses, strict=True)
        return sum(loss for id, loss in rows if loss >= Loss.PART and id not in self._named)

    def _draft(self, chosen: tuple[Place, ...]) -> _Draft:
        broken = _together(chosen).broken
        losses = chosen[0].losses if len(chosen) == 1 else self.places.losses(broken)
        total = sum(self._gain(broken)) - self._cost(chosen)
        return _Draft(chosen, broken, total, max(place.plausible for place in chosen), self._extra(losses))

    def _cost(self, chosen: Sequence[Place]) -> float:
        unlikely = sum(UNLIKELY[place.plausible] for place in chosen)
        if len(chosen) == 1:
            return unlikely
        ids = [place.sites[0].segment for place in chosen]
        near = len(ids) > 2 or any(ids == row[i : i + 2] for row in self._neighbours for i in range(len(row)))
        return unlikely + (NEIGHBOUR if near else SECOND) + NEXT * (len(chosen) - 2)

    def _looks(self, draft: _Draft) -> object:
        seen = draft.places[0].seen if len(draft.places) == 1 else self.places.seen(draft.broken)
        return seen, tuple(round(gain, 9) for gain in self._gain(draft.broken))

    def _answer(self, same: Sequence[_Draft]) -> Answer:
        """The answer of drafts that look the same, best first."""
        first = same[0]
        alike = self._names(same)
        cuts, gains = alike[0], self._gain(first.broken)
        missed = {i for i in self.abnormal if gains[i] < EXPLAINED * self.weights[i]}
        against = {i for i, f in enumerate(self.findings) if f.kind in NORMAL and gains[i] <= CONTRADICTED}
        rows = list(enumerate(f.text for f in self.findings))
        return Answer(
            id="+".join(site.id for site in cuts),
            name=_name([site.name for site in cuts]),
            cuts=cuts,
            alike=alike,
            explained=tuple(text for i, text in rows if i not in missed | against),
            unexplained=tuple(text for i, text in rows if i in missed),
            contradicted=tuple(text for i, text in rows if i in against),
            score=first.total / self.full,
            agrees=sum(gains) / self.full,
            plausible=first.plausible,
            partial=self._is_partial(first.broken),
            extra=first.extra,
            broken=self._broken(cuts),
            seen=first.places[0].seen if len(first.places) == 1 else self.places.seen(first.broken),
        )

    def _names(self, same: Sequence[_Draft]) -> tuple[tuple[Site, ...], ...]:
        """Sites of all the drafts; of a pair first each place by its commonest site, then by the others."""
        if len(same[0].places) == 1:
            singles = [site for draft in same if len(draft.places) == 1 for site in draft.places[0].sites]
            order = self.places.commonest
            one_each = [(site,) for site in sorted(singles, key=order)]
            return (*one_each, *(self._cuts(draft) for draft in same if len(draft.places) > 1))
        drafts = tuple(self._cuts(draft) for draft in same)
        if len(same[0].places) > 2:
            return drafts
        pairs = product(*(self._others(place) for place in same[0].places))
        found = islice((cuts for cuts in pairs if self._alike(cuts, same[0])), _MOST_NAMES)
        return tuple(dict.fromkeys((*found, *drafts)))

    def _alike(self, cuts: Sequence[Site], draft: _Draft) -> bool:
        """Whether cuts look like a draft and explain the same."""
        broken = self._broken(cuts)
        if self._gain(broken) != self._gain(draft.broken):
            return False
        mask = self.places.bedside_bits
        return broken & mask == draft.broken & mask or self.places.seen(broken) == self.places.seen(draft.broken)

    def _cuts(self, draft: _Draft) -> tuple[Site, ...]:
        return tuple(place.sites[0] for place in draft.places)

    def _broken(self, cuts: Iterable[Site]) -> int:
        return self.rule.broken(cut for site in cuts for cut in site.breaks)

    def _others(self, place: Place) -> list[Site]:
        """The commonest site that looks like a place, then those that do so beside any other cut."""
        mask, alike = self.places.bedside_bits, self.places.alike(place.seen)
        sure = [site for site in alike if self._broken((site,)) & mask == place.broken & mask]
        return sorted(dict.fromkeys((*alike[:1], *place.sites, *sure)), key=self.places.commonest)[:_MOST_NAMES]

    def _is_partial(self, broken: int) -> bool:
        graded = (id for f in self.findings if f.kind in GRADED for id in f.ids(self.rule))
        return any(self.rule.loss(id, broken) is Loss.WHOLE for id in graded)


def _together(chosen: Sequence[Place]) -> Place:
    """Places as one, with the bits of all."""
    broken = 0
    for place in chosen:
        broken |= place.broken
    first = chosen[0]
    return first if len(chosen) == 1 else Place(first.sites, broken, (), (), first.plausible)


def _name(names: Sequence[str]) -> str:
    """ "a", "a and b", or "a to d" for a run of neighbours."""
    return " and ".join(names) if len(names) < 3 else f"{names[0]} to {names[-1]}"
