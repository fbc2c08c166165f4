"""The way of the fibres: for every (root, muscle or skin area) the routes through the graph.

All that is computed rests on these routes. A route leaves each segment of its path at one position of
that segment's course; a cut at that position or nearer to the root breaks it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from types import MappingProxyType

from plexusdraw.errors import ModelError
from plexusdraw.model.composition import Shares, between, carried, order
from plexusdraw.model.entities import Exit, Segment, Target
from plexusdraw.model.plexus import Plexus

MAX_ROUTES = 200_000
"""More ways than this from roots to muscles and skin are not worked out: no real plexus has 2,000."""


@dataclass(frozen=True, slots=True)
class Route:
    """One way of one root's fibres to a muscle or skin area.

    ``path`` holds segment ids, the root first; ``exits[i]`` is the position on ``path[i]``'s course at which
    the fibres leave it. ``minor``: the target lists the root as minor, or the last exit does.
    """

    root: str
    target: str
    path: tuple[str, ...]
    exits: tuple[int, ...]
    minor: bool
    beyond: tuple[tuple[str, int], ...] = ()
    """Where it runs on: through parts of nerves that a course leaves out, as steps."""

    @property
    def steps(self) -> tuple[tuple[str, int], ...]:
        """Each segment, and the position at which the fibres leave it."""
        return (*zip(self.path, self.exits, strict=True), *self.beyond)

    def broken_by(self, segment: str, at: int) -> bool:
        """Whether a cut of *segment* at position *at* breaks this route."""
        return any(s == segment and exit >= at for s, exit in self.steps)


@dataclass(frozen=True, slots=True)
class _Way:
    """A way from a root into a segment; ``exits`` has one item less than ``path``."""

    path: tuple[str, ...]
    exits: tuple[int, ...]


class Fibres:
    """Routes of one plexus. ModelError if the graph has too many of them."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus = plexus
        self.carried: Mapping[str, Shares] = MappingProxyType(carried(plexus))

    @cached_property
    def shown(self) -> Mapping[str, Shares]:
        """What each segment carries as it is drawn and asked: without minor shares where a course hides them."""
        shown = self.plexus.laid_out
        return self.carried if shown is self.plexus else carried(shown)

    def between(self, parent: str, child: str) -> Shares:
        """What goes from a parent into a child: root → whether its share is minor, in root order."""
        return between(self.carried, parent, self.plexus.segments[child])

    @cached_property
    def routes(self) -> tuple[Route, ...]:
        """All routes: muscles, skin areas, then what a course leaves out; within one by nerve, then by root."""
        self._check_count()
        return tuple(route for target in self.plexus.targets for route in self._to(target))

    def of(self, target: str) -> tuple[Route, ...]:
        """Routes to a muscle, skin area or dermatome (those of its roots to its areas); none for other ids."""
        found = self.plexus.skin.get(target)
        if found is not None and found.dermatome:
            return tuple(route for routes in self.within(found).values() for route in routes)
        return self._by_target.get(target, ())

    def within(self, dermatome: Target) -> Mapping[str, tuple[Route, ...]]:
        """Area of a dermatome → routes of its roots to it. Without ``areas`` it covers all that list one of them."""
        areas = dermatome.areas or tuple(id for id, area in self.plexus.skin.items() if not area.dermatome)
        found = {id: tuple(r for r in self._by_target.get(id, ()) if r.root in dermatome.dermatome) for id in areas}
        return {id: routes for id, routes in found.items() if routes}

    def through(self, segment: str, *, unseen: bool = False) -> tuple[Route, ...]:
        """Routes that pass through a segment, or through any part of a whole; *unseen*: to what is left out as well."""
        found = (route for id in self.plexus.members(segment) for route in self._by_segment.get(id, ()))
        return tuple(route for route in found if unseen or route.target not in self.plexus.unseen)

    def ways(self, segment: str) -> tuple[tuple[str, ...], ...]:
        """Every way into a segment or the parts of a whole, as segment ids from the root up to and including it."""
        ids = self.plexus.members(segment)
        return tuple(way.path for id in ids for root in self.carried[id] for way in self._ways[id, root])

    @cached_property
    def _by_target(self) -> dict[str, tuple[Route, ...]]:
        found: dict[str, list[Route]] = {}
        for route in self.routes:
            found.setdefault(route.target, []).append(route)
        return {id: tuple(routes) for id, routes in found.items()}

    @cached_property
    def _by_segment(self) -> dict[str, tuple[Route, ...]]:
        found: dict[str, list[Route]] = {}
        for route in self.routes:
            for segment in route.path:
                found.setdefault(segment, []).append(route)
        return {id: tuple(routes) for id, routes in found.items()}

    @cached_property
    def counts(self) -> Mapping[str, Mapping[str, int]]:
        """Segment id → root → number of ways of that root's fibres into the segment."""
        found: dict[str, dict[str, int]] = {}
        for id in order(self.plexus.segments):
            segment = self.plexus.segments[id]
            ways = dict.fromkeys(self.carried[id], 1 if not segment.parents else 0)
            for parent in segment.parents:
                for root in self.between(parent, id):
                    ways[root] += found[parent][root]
            found[id] = ways
        return found

    def _check_count(self) -> None:
        total = sum(n for ways in self.counts.values() for n in ways.values())
        total += sum(n for nerves in self.plexus.nerves_of.values() for id in nerves for n in self.counts[id].values())
        if total > MAX_ROUTES:
            where = self.plexus.path or self.plexus.id
            raise ModelError(f"{where}: more than {MAX_ROUTES} ways from roots to muscles. Use fewer cross links.")

    @cached_property
    def _ways(self) -> dict[tuple[str, str], tuple[_Way, ...]]:
        self._check_count()
        found: dict[tuple[str, str], tuple[_Way, ...]] = {}
        for id in order(self.plexus.segments):
            segment = self.plexus.segments[id]
            for root in self.carried[id]:
                found[id, root] = tuple(self._arriving(segment, root, found))
        return found

    def _arriving(self, segment: Segment, root: str, found: Mapping[tuple[str, str], tuple[_Way, ...]]) -> list[_Way]:
        if not segment.parents:
            return [_Way((segment.id,), ())]
        return [
            _Way((*way.path, segment.id), (*way.exits, self.plexus.exit_of(parent, segment.id)))
            for parent in segment.parents
            for way in found.get((parent, root), ())
        ]

    def _may_take(self, way: _Way, target: str) -> bool:
        """Whether no link on the way is only for other targets."""
        only = (self.plexus.segments[id].reaches for id in way.path)
        return all(not ids or target in ids for ids in only)

    def _to(self, target: Target) -> list[Route]:
        found: list[Route] = []
        for nerve in self.plexus.nerves_of[target.id]:
            for at, item in enumerate(self.plexus.segments[nerve].course):
                if not isinstance(item, Exit) or item.to != target.id:
                    continue
                for root, minor in brought(target, item, self.carried[nerve]).items():
                    ways = (way for way in self._ways[nerve, root] if self._may_take(way, target.id))
                    found += [Route(root, target.id, way.path, (*way.exits, at), minor, item.beyond) for way in ways]
        return found


def brought(target: Target, item: Exit, shares: Shares) -> dict[str, bool]:
    """Roots that one exit brings to a target, and whether as minor, in root order."""
    narrowed = None if item.roots is None else {*item.roots, *(item.minor or ())}
    return {
        root: root in target.minor or root in (item.minor or ())
        for root in shares
        if (root in target.roots or root in target.minor) and (narrowed is None or root in narrowed)
    }


@lru_cache(maxsize=16)
def of(plexus: Plexus) -> Fibres:
    """The fibres of a plexus, worked out once."""
    return Fibres(plexus)
