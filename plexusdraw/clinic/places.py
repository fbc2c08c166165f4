"""All places of a plexus at which an injury can be told, and which of them are told apart.

* **Place**: sites after which everything that the model knows is the same.
* **Seen at the bedside**: of every muscle that can be tested alone, every skin area that is no dermatome and every
  reflex whether it is normal, weak (reduced) or paralysed (lost); and the signs that ask for a place, such as Horner
  syndrome. A weakness that leaves ``UNSEEN`` of the fibres or more counts as normal, as does a slight one. Places that
  look the same are one answer.
* **Plausible**: *usual* is a whole nerve, root, trunk or cord, and a place with a name of its own (one of its synonyms
  does not hold the name of its nerve: "carpal tunnel"). *Less usual* is any other place. *Unusual* is a site "after" a
  branch, a link (no stage, yet it comes from a segment), a segment that is not drawn, and a segment of a bare stage:
  one between the first and the last in which no segment gives off a branch or has a place, such as the divisions.
* **Commonest first**: the more plausible, then a segment's own name, then model order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property, lru_cache
from math import log2

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site

UNSEEN = 2 / 3
"""Weakness that leaves this share of the fibres or more is not seen at the bedside: a convention of this package. By
it C7 looks as the middle trunk does, as published (serratus anterior keeps two of three roots)."""
_SPECIFIC = 3
"""A sign weighs the logarithm to base 2 of (all places / places that show it), over this; at least 1."""

Seen = tuple[int, ...]


class Plausible(IntEnum):
    """How usual an injury there is; the smaller, the more so."""

    USUAL = 0
    LESS = 1
    UNUSUAL = 2

    @property
    def word(self) -> str:
        """In words."""
        return ("usual", "less usual", "unusual")[self]


@dataclass(frozen=True, slots=True)
class Place:
    """Sites after which everything is the same, commonest first."""

    sites: tuple[Site, ...]
    broken: int
    losses: tuple[Loss, ...]
    """Of every muscle, skin area, reflex and structure of the posterior rami, in that order."""
    seen: Seen
    """At the bedside: of each thing in ``Places.bedside`` 0 normal, 1 weak, 2 lost; then of each sign 0 or 1."""
    plausible: Plausible
    """Of the first site."""


class Places:
    """All places of a plexus, told apart by what their injury does."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.rule = plexus, deficits.of(plexus)
        hit = (other.id for other in plexus.outside.values() if other.cut)
        self.ids = (*plexus.muscles, *plexus.skin, *plexus.reflexes, *hit)
        muscles = (muscle.id for muscle in plexus.muscles.values() if muscle.testable)
        areas = (area.id for area in plexus.skin.values() if not area.dermatome)
        self.bedside = (*muscles, *areas, *plexus.reflexes)
        self.placed_signs = tuple(s for s in plexus.signs.values() if any(part.cut for part in s.when.parts()))

    @cached_property
    def all(self) -> tuple[Place, ...]:
        """Every place that an injury of the model can be told by, in model order."""
        by_bits: dict[int, list[Site]] = {}
        for site in sites.all_sites(self.plexus):
            by_bits.setdefault(self.rule.broken(site.breaks), []).append(site)
        found: dict[object, tuple[int, list[Site]]] = {}
        for broken, same in by_bits.items():
            found.setdefault(self._consequences(broken), (broken, []))[1].extend(same)
        places = (self.place(same, broken) for broken, same in found.values())
        return tuple(place for place in places if any(place.losses))

    def place(self, same: Sequence[Site], broken: int) -> Place:
        """The place of sites after which these bits are broken."""
        first, *rest = sorted(same, key=self.commonest)
        return Place((first, *rest), broken, self.losses(broken), self.seen(broken), self.plausible(first))

    def losses(self, broken: int) -> tuple[Loss, ...]:
        """Loss of every muscle, skin area, reflex and structure of the posterior rami."""
        found = [Loss.NONE] * len(self.ids)
        for at, loss in self._lost(broken):
            found[at] = loss
        return tuple(found)

    def _lost(self, broken: int) -> Iterator[tuple[int, Loss]]:
        """Where in ``ids`` stands what has a loss, in order, and which."""
        for at in sorted(self._touched(broken)):
            loss = self.rule.loss(self.ids[at], broken)
            if loss is not Loss.NONE:
                yield at, loss

    def _touched(self, broken: int) -> set[int]:
        """Where in ``ids`` stands what has a share in broken routes; all else has no loss."""
        found: set[int] = set()
        while broken:
            bit = broken & -broken
            found.update(self._sharers.get(bit.bit_length(), ()))
            broken ^= bit
        return found

    @cached_property
    def _sharers(self) -> dict[int, list[int]]:
        """Length of a bit → where in ``ids`` stands what depends on it."""
        made: dict[int, list[int]] = {}
        for at, id in enumerate(self.ids):
            supply = self.rule.supply.get(id)
            bits = supply.principal | supply.minor if supply else 0
            while bits:
                bit = bits & -bits
                made.setdefault(bit.bit_length(), []).append(at)
                bits ^= bit
        return made

    def seen(self, broken: int) -> Seen:
        """What the bedside shows of broken routes, as in ``Place.seen``."""
        signs = (int(self.rule.holds(sign.when, broken)) for sign in self.placed_signs)
        found = [0] * len(self.bedside)
        for at in self._touched(broken):
            place = self._beside.get(self.ids[at])
            if place is not None:
                found[place] = self.seen_of(self.ids[at], broken)
        return (*found, *signs)

    @cached_property
    def _beside(self) -> dict[str, int]:
        """Where each thing stands in ``bedside``."""
        return {id: at for at, id in enumerate(self.bedside)}

    def seen_of(self, id: str, broken: int) -> int:
        """0 normal, 1 weak or reduced, 2 lost."""
        loss = self.rule.loss(id, broken)
        if loss is not Loss.PART:
            return 2 * (loss is Loss.WHOLE)
        return int(self.rule.supply[id].remaining(broken) < UNSEEN)

    def alike(self, seen: Seen) -> tuple[Site, ...]:
        """All sites that look the same at the bedside, commonest first."""
        return self._alike.get(seen, ())

    @cached_property
    def bedside_bits(self) -> int:
        """All bits on which what is seen at the bedside depends."""
        found = 0
        for id in self.bedside:
            found |= self.rule.supply[id].principal | self.rule.supply[id].minor
        for sign in self.placed_signs:
            found |= self.rule.asked_cuts(sign.when)
        return found

    def plausible(self, site: Site) -> Plausible:
        """How usual an injury at this site is."""
        return self._plausible[site.id] if site.id in self._plausible else self._judge(site)

    def weight(self, sign: str) -> float:
        """What a sign counts in findings: the fewer places show it, the more; at least 1."""
        return self._weights[sign]

    def _consequences(self, broken: int) -> object:
        signs = tuple(self.rule.holds(sign.when, broken) for sign in self.plexus.signs.values())
        return tuple(self._lost(broken)), signs

    def commonest(self, site: Site) -> tuple[int, bool, int]:
        """Key that sorts sites, the commonest first."""
        return self.plausible(site), site.id != site.segment, self._order.get(site.id, len(self._order))

    @cached_property
    def _order(self) -> dict[str, int]:
        return {site.id: i for i, site in enumerate(sites.all_sites(self.plexus))}

    @cached_property
    def _alike(self) -> dict[Seen, tuple[Site, ...]]:
        found: dict[Seen, list[Site]] = {}
        for place in self.all:
            found.setdefault(place.seen, []).extend(place.sites)
        return {seen: tuple(sorted(same, key=self.commonest)) for seen, same in found.items()}

    @cached_property
    def _weights(self) -> dict[str, float]:
        shown = {sign.id: 0 for sign in self.plexus.signs.values()}
        for place in self.all:
            for sign in self.plexus.signs.values():
                shown[sign.id] += self.rule.holds(sign.when, place.broken)
        return {id: max(1.0, log2(len(self.all) / max(many, 1)) / _SPECIFIC) for id, many in shown.items()}

    @cached_property
    def _plausible(self) -> dict[str, Plausible]:
        return {site.id: self._judge(site) for site in sites.all_sites(self.plexus)}

    def _judge(self, site: Site) -> Plausible:
        segment = self.plexus.segments[site.segment]
        if site.id in self.plexus.places:
            place = self.plexus.places[site.id][0]
            own = any(segment.name.lower() not in text.lower() for text in place.synonyms)
            return Plausible.USUAL if own else Plausible.LESS
        is_link = segment.stage is None and bool(segment.parents) and not self._is_branch(segment.id)
        if site.id != site.segment or is_link or not segment.drawn or segment.stage in self._bare_stages:
            return Plausible.UNUSUAL
        return Plausible.USUAL

    def _is_branch(self, id: str) -> bool:
        """Whether a segment stands in the course of another."""
        segments = self.plexus.segments
        return any(getattr(item, "to", "") == id for p in segments[id].parents for item in segments[p].course)

    @cached_property
    def _bare_stages(self) -> frozenset[str]:
        plexus = self.plexus
        between = (stage.id for stage in plexus.stages[1:-1])
        return frozenset(id for id in between if not any(segment.course for segment in plexus.staged(id)))


@lru_cache(maxsize=16)
def of(plexus: Plexus) -> Places:
    """The places of a plexus, worked out once."""
    return Places(plexus)
