"""A set of cuts → what is lost, weak and spared, and why.

The rule for states is in :mod:`plexusdraw.clinic.deficits`. A partial cut (``Site.partial``, or ``partial`` for all of
them) spares some fibres: what it alone takes is no worse than weak, reduced or partly alive, and half of each route
that it breaks counts as left (a convention of this package).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import WORDS, Loss
from plexusdraw.clinic.disputes import disputed
from plexusdraw.model.composition import order
from plexusdraw.model.entities import Sign, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.sites import Site
from plexusdraw.routes.fibres import Route

Flow = Literal["alive", "partly", "lost"]
"""Of the fibres of one root at one place: all, some or none still joined to the spinal cord."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """State of one muscle, skin area or reflex; ``broken`` and ``left`` are its routes."""

    id: str
    name: str
    kind: str
    loss: Loss
    remaining: float
    """Share of the supply that is left, 0 to 1; a minor route weighs a quarter."""
    roots_lost: tuple[str, ...]
    roots_left: tuple[str, ...]
    broken: tuple[Route, ...]
    left: tuple[Route, ...]
    outside: Mapping[str, str] = field(default_factory=dict)
    """Root → nerve that brings it from outside this plexus."""
    disputed: bool = False
    """Whether sources differ on it (:mod:`plexusdraw.clinic.disputes`)."""

    @property
    def state(self) -> str:
        """The word for it: paralysed, weak, slight, spared; lost, reduced, spared; lost, reduced, kept."""
        return WORDS[self.kind][self.loss]

    @property
    def mrc(self) -> str:
        """Strength as an estimate, by ``deficits.mrc``."""
        return deficits.mrc(self.loss, self.remaining)


@dataclass(frozen=True, slots=True)
class Movement:
    """State of a movement; ids of the muscles that still do it in full, weakly, and no longer."""

    name: str
    loss: Loss
    able: tuple[str, ...]
    weak: tuple[str, ...]
    gone: tuple[str, ...]
    disputed: bool = False
    """Whether it is lost only if a muscle is paralysed on which sources differ."""

    @property
    def state(self) -> str:
        """Lost, weak, slight or spared."""
        return WORDS["movement"][self.loss]


class Injury:
    """Consequences of cuts; each part is worked out when it is first asked for."""

    def __init__(self, plexus: Plexus, sites: Iterable[Site], partial: bool = False) -> None:
        self.plexus = plexus
        self.sites = tuple(replace(site, partial=True) if partial else site for site in sites)
        self.partial = partial or (bool(self.sites) and all(site.partial for site in self.sites))
        """Every cut spares some fibres."""
        self.rule = deficits.of(plexus)
        self.cuts: tuple[deficits.Cut, ...] = tuple(dict.fromkeys(cut for s in self.sites for cut in s.cuts))
        self._breaks = tuple(dict.fromkeys(cut for s in self.sites for cut in s.breaks))
        self.broken = self.rule.broken(self._breaks)
        """Bits of the routes broken wholly or in part, as in ``plexusdraw.clinic.deficits``."""
        self._whole_cuts = tuple(dict.fromkeys(cut for s in self.sites for cut in s.cuts if not s.partial))
        self.whole = self.rule.broken(cut for s in self.sites for cut in s.breaks if not s.partial)
        """Bits of the routes broken wholly."""

    @cached_property
    def muscles(self) -> Mapping[str, Outcome]:
        """All muscles in model order."""
        return {id: self._target(target) for id, target in self.plexus.muscles.items()}

    @cached_property
    def skin(self) -> Mapping[str, Outcome]:
        """All skin areas and dermatomes in model order."""
        return {id: self._target(target) for id, target in self.plexus.skin.items()}

    @cached_property
    def movements(self) -> Mapping[str, Movement]:
        """All movements in model order."""
        return {name: self._movement(name, ids) for name, ids in self.rule.movers.items()}

    @cached_property
    def reflexes(self) -> Mapping[str, Outcome]:
        """All reflexes in model order."""
        found = {}
        for reflex in self.plexus.reflexes.values():
            supply = self.rule.supply[reflex.id]
            routes = self.rule.routes_in(supply.principal | supply.minor)
            found[reflex.id] = self._outcome(reflex.id, reflex.name, "reflex", routes, {})
        return found

    @cached_property
    def signs(self) -> tuple[Sign, ...]:
        """The signs that show."""
        signs = self.plexus.signs.values()
        return tuple(s for s in signs if self.rule.holds(s.when, self.broken, self.whole))

    @cached_property
    def notably_spared(self) -> tuple[str, ...]:
        """Ids of the muscles and skin areas that lose nothing and whose fibres run beside what is cut.

        Beside: through the cut segment, or the one from which it comes; after a cut in an earlier stage, also
        through a nerve of the last stage that loses fibres. Those nearest to the cut come first.
        """
        near, far = self._beside()
        dermatomes = {area.id for area in self.plexus.skin.values() if area.dermatome}
        found = [o for o in (*self.muscles.values(), *self.skin.values()) if not o.loss and o.id not in dermatomes]
        first = [o.id for o in found if any(near.intersection(route.path) for route in o.left)]
        later = [o.id for o in found if any(far.intersection(route.path) for route in o.left)]
        return tuple(dict.fromkeys((*first, *later)))

    def _beside(self) -> tuple[set[str], set[str]]:
        """Ids of the cut segments, and of those from which they come, up to a staged one."""
        segments, near, far = self.plexus.segments, set[str](), set[str]()
        last = {segment.id for segment in self.plexus.staged(self.plexus.stages[-1].id)}
        for cut, _ in self.cuts:
            todo = list(segments[cut].parents)
            if segments[cut].stage not in (None, self.plexus.stages[-1].id):
                broken = self.rule.routes_in(self.broken)
                far |= {id for route in broken for id in route.path if id in last}
            near.add(cut)
            while todo:
                far.add(id := todo.pop())
                todo += segments[id].parents if segments[id].stage is None else ()
        return near, far

    def outcome(self, id: str) -> Outcome:
        """Outcome of a muscle, skin area or reflex; KeyError for another id."""
        for table in (self.muscles, self.skin, self.reflexes):
            if id in table:
                return table[id]
        raise KeyError(id)

    def loss(self, id: str) -> Loss:
        """What a structure loses: what whole cuts take, or what all cuts do, but no more than a part."""
        return max(self.rule.loss(id, self.whole), min(self.rule.loss(id, self.broken), Loss.PART))

    def strand(self, segment: str, root: str, at: int = 0, source: str | None = None) -> Flow:
        """Whether a root's fibres are alive in one piece of a segment.

        *source*: the piece that arrives from this parent; else the piece that begins at position *at*.
        KeyError if the segment does not carry the root.
        """
        known = self._by_routes(segment, root, at, source) if self._has_links else None
        if known is not None:
            return known
        total = self.rule.fibres.counts[source or segment][root]
        exit_at = at if source is None else self.plexus.exit_of(source, segment)
        if self._ways.leaving(source or segment, root, exit_at) == total:
            return "alive"
        return "partly" if self._whole_ways.leaving(source or segment, root, exit_at) else "lost"

    @cached_property
    def _has_links(self) -> bool:
        """Whether some links are for some muscles only: then ways through a segment do not all go everywhere."""
        return any(one.reaches for one in self.plexus.segments.values())

    def _by_routes(self, segment: str, root: str, at: int, source: str | None) -> Flow | None:
        """As :meth:`strand`, by the routes that take the piece; ``None`` if none does."""
        fibres, taking = self.rule.fibres, []
        for route in (*fibres.through(segment, unseen=True), *fibres.of(segment)):
            here = route.path.index(segment) if segment in route.path else len(route.path)
            wanted = route.exits[here] >= at if source is None else here > 0 and route.path[here - 1] == source
            if route.root == root and wanted:
                taking.append((route.path[: here + (source is None)], route.exits))
        last = at if source is None else None
        if not any(self._ways.breaks(*way, last) for way in taking):
            return "alive" if taking else None
        return "lost" if all(self._whole_ways.breaks(*way, last) for way in taking) else "partly"

    @cached_property
    def _ways(self) -> _Ways:
        return _Ways(self.rule, self.cuts)

    @cached_property
    def _whole_ways(self) -> _Ways:
        """As if the partial cuts were none."""
        return _Ways(self.rule, self._whole_cuts) if self._whole_cuts != self.cuts else self._ways

    def _target(self, target: Target) -> Outcome:
        routes = self.rule.fibres.of(target.id)
        made = self._outcome(target.id, target.name, target.kind, routes, target.outside)
        differ = disputed(self.plexus, target, made.loss, routes, bool(made.left), self._breaks)
        return replace(made, disputed=True) if differ else made

    def _outcome(self, id: str, name: str, kind: str, routes: tuple[Route, ...], outside: Mapping[str, str]) -> Outcome:
        broken = tuple(r for r in routes if self.broken & self.rule.bit[r])
        left = tuple(r for r in routes if not self.broken & self.rule.bit[r])
        lasting = {route.root for route in left}
        lost = {route.root for route in broken} - lasting
        supply = self.rule.supply[id]
        roots = self.plexus.roots
        return Outcome(
            id=id,
            name=name,
            kind=kind,
            loss=self.loss(id),
            remaining=(supply.remaining(self.whole) + supply.remaining(self.broken)) / 2,
            roots_lost=tuple(r for r in roots if r in lost),
            roots_left=(*outside, *(r for r in roots if r in lasting)),
            broken=broken,
            left=left,
            outside=outside,
        )

    def _movement(self, name: str, ids: tuple[str, ...]) -> Movement:
        losses = {id: self.loss(id) for id in ids}
        loss = max(self.rule.movement(name, self.whole), min(self.rule.movement(name, self.broken), Loss.PART))
        gone = tuple(id for id, loss in losses.items() if loss is Loss.WHOLE)
        return Movement(
            name,
            loss,
            tuple(id for id, loss in losses.items() if loss <= Loss.SLIGHT),
            tuple(id for id, loss in losses.items() if loss is Loss.PART),
            gone,
            loss is Loss.WHOLE and any(self._differ(id) for id in gone),
        )

    def _differ(self, id: str) -> bool:
        """Whether sources differ on a muscle, one that a course leaves out included."""
        if id in self.plexus.unseen:
            return self._target(self.plexus.unseen[id]).disputed
        return id in self.muscles and self.muscles[id].disputed


class _Ways:
    """How many ways of each root's fibres are still joined to the cord, in each segment."""

    def __init__(self, rule: deficits.States, cuts: Iterable[deficits.Cut]) -> None:
        self.plexus, self._fibres = rule.plexus, rule.fibres
        self._first_cut: dict[str, int] = {}
        for segment, at in cuts:
            self._first_cut[segment] = min(at, self._first_cut.get(segment, at))
        self._alive: dict[str, dict[str, int]] = {}
        for id in order(self.plexus.segments):
            self._alive[id] = self._arriving(id)

    def leaving(self, segment: str, root: str, at: int) -> int:
        """Number of ways still alive at a position of a segment."""
        first = self._first_cut.get(segment)
        return 0 if first is not None and first <= at else self._alive[segment][root]

    def breaks(self, path: tuple[str, ...], exits: tuple[int, ...], last: int | None) -> bool:
        """Whether a cut breaks the first segments of a route; *last*: the position on the last one of them."""
        leaves = [*exits[: len(path) - 1], exits[len(path) - 1] if last is None else last]
        firsts = (self._first_cut.get(id) for id in path)
        return any(first is not None and first <= exit for first, exit in zip(firsts, leaves, strict=True))

    def _arriving(self, id: str) -> dict[str, int]:
        """Root → number of ways that still arrive at the start of a segment."""
        parents = self.plexus.segments[id].parents
        ways = dict.fromkeys(self._fibres.carried[id], 0 if parents else 1)
        for parent in parents:
            at = self.plexus.exit_of(parent, id)
            for root in self._fibres.between(parent, id):
                ways[root] += self.leaving(parent, root, at)
        return ways


def injure(plexus: Plexus, sites: Iterable[Site | str], partial: bool = False) -> Injury:
    """What cuts at these sites do; a text is understood as by ``sites.parse_all``, and each place is cut once.

    Raises:
        UnknownNameError: a text is no site.
        FindingsError: one place is cut wholly and in part.
    """
    found = [site_names.parse_all(plexus, site) if isinstance(site, str) else (site,) for site in sites]
    return Injury(plexus, site_names.together(site for several in found for site in several), partial)
