"""What a set of broken routes means for each muscle, skin area, movement, reflex and sign.

The rule of the whole package stands here and nowhere else. Broken routes are the bits of one integer, so
that thousands of injuries can be looked through in a moment.

* muscle: *paralysed* when no principal route is left, *weak* when some are, *slight* when only minor routes
  are lost. A root from outside the plexus always counts as left. Where one root alone is principal, the minor ones
  keep the muscle *weak*: in published losses of a single root no muscle is paralysed that has another root.
* skin: *lost* when no route is left, *reduced* when principal routes are lost (overlap keeps the rest).
* dermatome: the skin of one root, whichever nerves bring it. It is *lost* or *reduced* only when the root's fibres are
  hit on their way to every skin area that it covers, as by a root, a trunk or a cord that carries them all. A cut that
  hits some of the areas alone, as of most nerves, leaves it spared: the skin areas tell that loss. One of several roots
  is *reduced* when this holds for one of them, and lost when nothing of any is left.
* a structure of other nerves is spared, unless it names places that take a part of its fibres (paraspinals).
* movement: *lost* when every muscle that does it is paralysed, *weak* when one of them is weak or paralysed.
* reflex: *lost* when no route of its principal roots to its muscles is left, *reduced* when some are lost.
* a partial injury makes nothing worse than weak, reduced or partly lost.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import IntEnum
from functools import cached_property, lru_cache

from plexusdraw.model.entities import Rule, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.routes.fibres import Route

MINOR_WEIGHT = 0.25
"""A minor route counts a quarter of a principal one in the remaining share: a convention of this package."""

HALF = 0.5
"""Share of the fibres below which a weak muscle is taken not to hold against much: a convention of this package."""

Cut = tuple[str, int]
"""Segment id and position on its course."""


class Loss(IntEnum):
    """How much is lost; the more, the greater."""

    NONE = 0
    SLIGHT = 1
    PART = 2
    WHOLE = 3


WORDS: Mapping[str, tuple[str, str, str, str]] = {
    "muscle": ("spared", "slight", "weak", "paralysed"),
    "skin": ("spared", "spared", "reduced", "lost"),
    "movement": ("spared", "slight", "weak", "lost"),
    "reflex": ("kept", "kept", "reduced", "lost"),
}
"""Kind → word for each loss, from none to whole."""

RESTS_ON = (
    "Paralysed: no principal root still has a way to the muscle. Fibres remaining: the share of its ways that is left, "
    "minor ones counted as a quarter. MRC: strength from 0 to 5, a rough estimate from both."
)
"""What the words and figures beside a muscle rest on."""


def mrc(loss: Loss, remaining: float) -> str:
    """Strength by the grades 0 to 5 of the Medical Research Council, an estimate: "0-1", "3-4".

    Paralysed: 0, or 0-1 if a minor share remains. Weak: 2-3 if under half of the fibres remain, else 3-4. Slightly
    weak: 4-5. Source: common practice; the grades are no even steps of force, so an estimate is all that it can be.
    """
    if loss is Loss.WHOLE:
        return "0-1" if remaining > 0 else "0"
    if loss is Loss.PART:
        return "3-4" if remaining >= HALF else "2-3"
    return "4-5" if loss is Loss.SLIGHT else "5"


@dataclass(frozen=True, slots=True)
class Supply:
    """Routes of one target as bits; what comes from outside as weights."""

    principal: int
    minor: int
    outside: float = 0.0
    """Weight of all that comes from outside this plexus."""
    safe: bool = False
    """A principal root comes from outside."""
    backed: bool = False
    """A muscle with one principal root, for which its minor ones stand in."""

    def loss(self, broken: int) -> Loss:
        """By the rule for muscles."""
        hit = broken & self.principal
        if hit and hit == self.principal and not self.safe:
            return Loss.PART if self.backed and (self.outside or self.minor & ~broken) else Loss.WHOLE
        if hit:
            return Loss.PART
        return Loss.SLIGHT if broken & self.minor else Loss.NONE

    def skin_loss(self, broken: int) -> Loss:
        """By the rule for skin: minor routes and overlap from outside keep some feeling."""
        loss = self.loss(broken)
        if loss is Loss.WHOLE and (self.outside or self.minor & ~broken):
            return Loss.PART
        return loss

    def remaining(self, broken: int) -> float:
        """Share of the supply that is left, 0 to 1."""
        whole = self._weight(self.principal, self.minor)
        return self._weight(self.principal & ~broken, self.minor & ~broken) / whole if whole else 1.0

    def _weight(self, principal: int, minor: int) -> float:
        return principal.bit_count() + MINOR_WEIGHT * minor.bit_count() + self.outside


class States:
    """The rule, ready for one plexus."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus = plexus
        self.fibres = fibres.of(plexus)
        self.routes = self.fibres.routes
        self.bit: dict[Route, int] = {route: 1 << i for i, route in enumerate(self.routes)}
        self._by_cut: dict[Cut, int] = {}

    def broken(self, cuts: Iterable[Cut]) -> int:
        """Bits of all routes that cuts break, and of the places that signs ask for."""
        found = 0
        for cut in cuts:
            if cut not in self._by_cut:
                self._by_cut[cut] = self._broken_by(*cut)
            found |= self._by_cut[cut]
        return found

    def loss(self, id: str, broken: int) -> Loss:
        """Loss of a muscle, skin area, dermatome, root, reflex, outside structure or group.

        A group is wholly lost when all its members are, and partly when one of them is lost at least partly.
        """
        if id in self.plexus.groups:
            return _together([self.loss(member, broken) for member in self.plexus.groups[id].members])
        supply = self.supply.get(id)
        if supply is None:
            return Loss.NONE
        if not self._is_skin(id):
            return supply.loss(broken)
        by_root = self.by_root.get(id)
        whole = by_root is None or any(all(broken & area for area in areas) for areas in by_root)
        return supply.skin_loss(broken) if whole else min(supply.skin_loss(broken), Loss.SLIGHT)

    def movement(self, name: str, broken: int) -> Loss:
        """Loss of a movement."""
        return _together([self.loss(id, broken) for id in self.movers[name]])

    def holds(self, rule: Rule, broken: int, whole: int | None = None) -> bool:
        """Whether a sign's rule holds. *whole*: the bits that are broken outright, all of them if ``None``.

        What is broken in part is neither wholly lost nor cut.
        """
        outright = broken if whole is None else whole
        return (
            all(self.loss(id, outright) is Loss.WHOLE for id in rule.lost)
            and all(self.loss(id, broken) >= Loss.PART for id in rule.weak)
            and all(self.loss(id, broken) <= Loss.SLIGHT for id in rule.spared)
            and all(bool(outright & self.sign_cuts[cut]) for id in rule.cut for cut in self.plexus.cuts_at(id))
            and all(self.holds(part, broken, whole) for part in rule.all)
            and (not rule.any or any(self.holds(part, broken, whole) for part in rule.any))
        )

    @cached_property
    def supply(self) -> Mapping[str, Supply]:
        """Supply of every muscle, skin area, root and reflex."""
        plexus = self.plexus
        found = {target.id: self._target(target) for target in plexus.targets}
        for root in plexus.roots:
            found[root] = self._supply(route for route in self.routes if route.root == root)
        for reflex in plexus.reflexes.values():
            ids = {m for id in reflex.muscles for m in self.members(id)}
            routes = [route for id in ids for route in self.fibres.of(id)]
            principal = self.bits(r for r in routes if r.root in reflex.roots)
            minor = self.bits(r for r in routes if r.root in reflex.minor)
            found[reflex.id] = Supply(principal, minor)
        for outside in plexus.outside.values():
            places = [self.sign_cuts[cut] for id in outside.cut for cut in self.plexus.cuts_at(id)]
            if places:
                found[outside.id] = Supply(sum(dict.fromkeys(places)), 0)
        return found

    @cached_property
    def areas(self) -> Mapping[str, Mapping[str, int]]:
        """Dermatome → area that it covers → the routes of its roots to it, as bits."""
        dermatomes = (area for area in self.plexus.skin.values() if area.dermatome)
        return {d.id: {id: self.bits(routes) for id, routes in self.fibres.within(d).items()} for d in dermatomes}

    @cached_property
    def by_root(self) -> Mapping[str, tuple[tuple[int, ...], ...]]:
        """Dermatome → for each of its roots that has routes: those to each area that it covers, as bits."""
        found: dict[str, tuple[tuple[int, ...], ...]] = {}
        for id in self.areas:
            dermatome = self.plexus.skin[id]
            ways = self.fibres.within(dermatome).values()
            of_each = ([self.bits(r for r in to if r.root == root) for to in ways] for root in dermatome.dermatome)
            found[id] = tuple(tuple(filter(None, bits)) for bits in of_each if any(bits))
        return found

    @cached_property
    def movers(self) -> Mapping[str, tuple[str, ...]]:
        """Movement → the muscles that do it, those of other nerves last; movements in model order."""
        found: dict[str, list[str]] = {}
        muscles = [(t.id, t.movements) for t in self.plexus.targets]
        for id, movements in (*muscles, *((o.id, o.movements) for o in self.plexus.outside.values())):
            for movement in movements:
                found.setdefault(movement, []).append(id)
        return {name: tuple(ids) for name, ids in found.items()}

    @cached_property
    def sign_cuts(self) -> Mapping[Cut, int]:
        """Places that signs and outside structures ask for → their bit, above the bits of the routes."""
        rules = [part for sign in self.plexus.signs.values() for part in sign.when.parts()]
        asked = [*(rule.cut for rule in rules), *(outside.cut for outside in self.plexus.outside.values())]
        places = dict.fromkeys(place for cut in asked for id in cut for place in self.plexus.cuts_at(id))
        return {place: 1 << (len(self.routes) + i) for i, place in enumerate(places)}

    def asked_cuts(self, rule: Rule) -> int:
        """Bits of the places for which a sign's rule asks."""
        found = 0
        for part in rule.parts():
            for id in part.cut:
                for cut in self.plexus.cuts_at(id):
                    found |= self.sign_cuts[cut]
        return found

    def members(self, id: str) -> tuple[str, ...]:
        """Members of a group; anything else is its own."""
        group = self.plexus.groups.get(id)
        return (id,) if group is None else group.members

    def bits(self, routes: Iterable[Route]) -> int:
        """Routes as bits."""
        found = 0
        for route in routes:
            found |= self.bit[route]
        return found

    def routes_in(self, bits: int) -> tuple[Route, ...]:
        """Bits as routes."""
        return tuple(route for route in self.routes if bits & self.bit[route])

    def roots_of(self, dermatome: str) -> tuple[str, ...]:
        """Roots of a dermatome."""
        return self.plexus.skin[dermatome].dermatome

    def _broken_by(self, segment: str, at: int) -> int:
        found = 0
        for leaving, bit in self._leaving.get(segment, ()):
            if leaving >= at:
                found |= bit
        for (other, place), bit in self.sign_cuts.items():
            if other == segment and at <= place:
                found |= bit
        return found

    @cached_property
    def _leaving(self) -> dict[str, list[tuple[int, int]]]:
        """Segment id → where each route leaves it, and the route's bit."""
        found: dict[str, list[tuple[int, int]]] = {}
        for route, bit in self.bit.items():
            for segment, leaving in route.steps:
                found.setdefault(segment, []).append((leaving, bit))
        return found

    def _is_skin(self, id: str) -> bool:
        return id in self.plexus.skin or (id in self.plexus.unseen and self.plexus.unseen[id].kind == "skin")

    def _target(self, target: Target) -> Supply:
        principal = [root for root in target.outside if root not in target.outside_minor]
        outside = len(principal) + MINOR_WEIGHT * len(target.outside_minor)
        routes = self.fibres.of(target.id)
        backed = target.kind == "muscle" and len({*principal, *(r.root for r in routes if not r.minor)}) == 1
        return replace(self._supply(routes, outside, bool(principal)), backed=backed)

    def _supply(self, routes: Iterable[Route], outside: float = 0.0, safe: bool = False) -> Supply:
        routes = tuple(routes)
        principal = self.bits(route for route in routes if not route.minor)
        minor = self.bits(route for route in routes if route.minor)
        if not principal and not safe:
            return Supply(minor, 0, outside)
        return Supply(principal, minor, outside, safe)


def _together(losses: list[Loss]) -> Loss:
    return Loss.WHOLE if min(losses) is Loss.WHOLE else min(max(losses), Loss.PART)


@lru_cache(maxsize=16)
def of(plexus: Plexus) -> States:
    """The rule for a plexus, made ready once."""
    return States(plexus)
