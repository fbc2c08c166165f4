"""What a structure, a place or a reflex reaches: the one answer that trace, highlight, tables, cards and slides share.

* A segment or a place on it: every fibre that passes there, from its root to all that it reaches. What leaves
  before the place is not reached.
* A muscle, skin area or group: every route that leads to it. A reflex: the routes of its roots to its muscles.

Strands are told apart by (segment, root): ``Strands`` says how far along each segment they run, and over which parent
they came, so that a picture can light them piece by piece.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Entity, Exit, Group, Outside, Place, Reflex, Segment, Sign, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site
from plexusdraw.routes import fibres as all_fibres
from plexusdraw.routes.fibres import Fibres, Route

REACHING = (*names.STRUCTURES, "reflex")
END = 1_000_000
"""A position past the end of every course."""


@dataclass(slots=True)
class Strands:
    """How far fibres run along each segment, over which parent they came, and what they reach."""

    along: dict[tuple[str, str], int] = field(default_factory=dict)
    """(segment, root) → last position at which they still run."""
    arrivals: set[tuple[str, str, str]] = field(default_factory=set)
    """(segment, root, parent), and (muscle or skin, root, nerve)."""
    targets: set[tuple[str, str]] = field(default_factory=set)
    """(muscle or skin, root)."""

    def run(self, segment: str, root: str, to: int) -> None:
        """Fibres of *root* run along *segment* to position *to*."""
        self.along[segment, root] = max(to, self.along.get((segment, root), -1))

    def follow(self, route: Route) -> None:
        """All of one route."""
        for i, (segment, exit) in enumerate(zip(route.path, route.exits, strict=True)):
            self.run(segment, route.root, exit)
            if i:
                self.arrivals.add((segment, route.root, route.path[i - 1]))
        self.arrive(route)

    def arrive(self, route: Route) -> None:
        """The last step of a route."""
        self.targets.add((route.target, route.root))
        self.arrivals.add((route.target, route.root, route.path[-1]))

    def add(self, other: Strands) -> None:
        """All that the other has, too."""
        for (segment, root), to in other.along.items():
            self.run(segment, root, to)
        self.arrivals |= other.arrivals
        self.targets |= other.targets


@dataclass(frozen=True)
class Reach:
    """Where the fibres of one entity come from and what they reach.

    ``routes``: every route that passes it or leads to it. ``muscles`` and ``skin``: ids of what is reached, in model
    order; a muscle reaches itself, a group all its members.
    """

    fibres: Fibres
    entity: Entity
    roots: tuple[str, ...]
    roots_minor: tuple[str, ...]
    routes: tuple[Route, ...]
    muscles: tuple[str, ...]
    skin: tuple[str, ...]
    places: tuple[tuple[str, int], ...] = ()
    """Segments and positions on their courses: what it is, or where it lies; none for what is at the end of routes."""

    @cached_property
    def paths(self) -> tuple[tuple[str, ...], ...]:
        """Ids, the root first: of a segment or place every way into it, else every way to a target, which ends it."""
        if self.places:
            here = {(id, root) for id, at in self.places for root in _roots_at(self.fibres, id, at)}
            ways = (way for id, _ in self.places for way in self.fibres.ways(id))
            return tuple(way for way in ways if (way[-1], way[0]) in here)
        return tuple(dict.fromkeys((*route.path, route.target) for route in self.routes))

    @cached_property
    def strands(self) -> Strands:
        """Its fibres from end to end, as strands; those that reach nothing as far as they run."""
        found = Strands()
        if not self.places:
            for route in self.routes:
                found.follow(route)
            return found
        for id, at in self.places:
            for root in _roots_at(self.fibres, id, at):
                _upstream(self.fibres, found, id, root)
                _downstream(self.fibres, found, id, root, at)
        for route in self.routes:
            found.arrive(route)
        return found


def reach(plexus: Plexus, what: Entity | Site | str) -> Reach:
    """What an entity or a site reaches, or what a text means.

    Raises:
        UnknownNameError: the text means no structure and no place, or it means a sign, which has no fibres.
    """
    entity = find(plexus, what) if isinstance(what, str) else what
    fibres = all_fibres.of(plexus)
    if isinstance(entity, Site):
        return _passing(fibres, _named(plexus, entity), entity.cuts)
    if isinstance(entity, Segment) or (isinstance(entity, Place) and entity.id in plexus.places):
        return _passing(fibres, entity, plexus.cuts_at(entity.id))
    if isinstance(entity, Place):
        return reach(plexus, sites.parse(plexus, entity.full_name))
    if isinstance(entity, Outside):
        targets = ((entity.id,), ()) if entity.kind == "muscle" else ((), (entity.id,))
        return Reach(fibres, entity, entity.roots, entity.minor, (), *targets)
    if isinstance(entity, Sign):
        raise UnknownNameError(f"{names.display(entity)} is a sign: it has no fibres of its own to follow.")
    return _leading(fibres, entity, tuple(_to(fibres, entity)))


def find(plexus: Plexus, text: str) -> Entity:
    """The structure, reflex or place that a text means; a place that the model does not name is a place of its own.

    Raises:
        UnknownNameError: as for :func:`plexusdraw.names.find`.
    """
    try:
        return names.find(plexus, text, REACHING)
    except UnknownNameError as error:
        try:
            site = sites.parse(plexus, text)
        except UnknownNameError:
            raise error from None
        if site.id in plexus.segments or site.id in plexus.wholes:
            raise
        return _place(site)


def supplied(plexus: Plexus, segment: str) -> tuple[Target, ...]:
    """Muscles, then skin areas, that fibres of a segment reach, each kind in the order in which they leave it.

    What goes by way of an offshoot, which has a name of its own in the picture, is the offshoot's.
    """
    leaving: dict[str, tuple[int, ...]] = {}
    for i, id in enumerate(plexus.members(segment)):
        for route in all_fibres.of(plexus).through(id):
            here = route.path.index(id)
            if any(plexus.segments[passed].offshoot for passed in route.path[here + 1 :]):
                continue
            way = (i, *route.exits[here:])
            leaving[route.target] = min(way, leaving.get(route.target, way))
    ids = sorted(leaving, key=lambda id: (id not in plexus.muscles, leaving[id]))
    return tuple(plexus.muscles.get(id) or plexus.skin[id] for id in ids)


def strands_of(plexus: Plexus, entities: Iterable[Entity]) -> Strands:
    """The fibres of several structures together."""
    found = Strands()
    for entity in entities:
        found.add(reach(plexus, entity).strands)
    return found


def _place(site: Site) -> Place:
    return Place(id=site.id, name=site.name, kind="place", full_name=site.name)


def _named(plexus: Plexus, site: Site) -> Entity:
    """The segment, whole or place that a site is, else a place of its own."""
    known = site.id in plexus.places or site.id in plexus.segments or site.id in plexus.wholes
    return plexus.entity(site.id) if known else _place(site)


def _passing(fibres: Fibres, entity: Entity, places: tuple[tuple[str, int], ...]) -> Reach:
    """Segments from a position on: only what leaves there or beyond is reached."""
    routes: list[Route] = []
    shares: dict[str, bool] = {}
    for segment, at in places:
        routes += [r for r in fibres.through(segment) if r.exits[r.path.index(segment)] >= at]
        for root in _roots_at(fibres, segment, at):
            shares[root] = shares.get(root, True) and fibres.carried[segment][root]
    here = [root for root in fibres.plexus.roots if root in shares]
    return Reach(
        fibres,
        entity,
        tuple(root for root in here if not shares[root]),
        tuple(root for root in here if shares[root]),
        tuple(routes),
        *_split(fibres.plexus, [route.target for route in routes]),
        places,
    )


def _roots_at(fibres: Fibres, segment: str, at: int) -> tuple[str, ...]:
    """Roots whose fibres run at a position of a segment. Fibres that leave nowhere run to its end."""
    plexus = fibres.plexus
    leaves: dict[str, int] = {}
    for child in plexus.children[segment]:
        for root in fibres.between(segment, child):
            leaves[root] = max(plexus.exit_of(segment, child), leaves.get(root, -1))
    for route in fibres.through(segment, unseen=True):
        leaves[route.root] = max(route.exits[route.path.index(segment)], leaves.get(route.root, -1))
    return tuple(root for root in fibres.carried[segment] if leaves.get(root, END) >= at)


def _to(fibres: Fibres, entity: Entity) -> Iterable[Route]:
    plexus = fibres.plexus
    if isinstance(entity, Group):
        return [route for member in entity.members for route in fibres.of(member)]
    if isinstance(entity, Reflex):
        ids = dict.fromkeys(
            m for id in entity.muscles for m in (plexus.groups[id].members if id in plexus.groups else (id,))
        )
        roots = {*entity.roots, *entity.minor}
        return [route for id in ids for route in fibres.of(id) if route.root in roots]
    return fibres.of(entity.id)


def _leading(fibres: Fibres, entity: Entity, routes: tuple[Route, ...]) -> Reach:
    plexus = fibres.plexus
    minor = entity.minor if isinstance(entity, Reflex) else ()
    principal = {r.root for r in routes if r.root not in minor and (not r.minor or isinstance(entity, Reflex))}
    arriving = {route.root for route in routes}
    if isinstance(entity, Target) and entity.kind == "skin":
        targets: tuple[tuple[str, ...], tuple[str, ...]] = ((), (entity.id,))
    elif isinstance(entity, Group):
        targets = _split(plexus, entity.members)
    else:
        targets = _split(plexus, [route.target for route in routes])
    return Reach(
        fibres,
        entity,
        tuple(root for root in plexus.roots if root in principal),
        tuple(root for root in plexus.roots if root in arriving - principal),
        routes,
        *targets,
    )


def _split(plexus: Plexus, ids: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Muscles and skin areas among ids, each once, in model order; an outside muscle counts as one."""
    wanted = set(ids)
    muscles = (*plexus.muscles, *(o.id for o in plexus.outside.values() if o.kind == "muscle"))
    return tuple(m for m in muscles if m in wanted), tuple(s for s in plexus.skin if s in wanted)


def _upstream(fibres: Fibres, found: Strands, segment: str, root: str) -> None:
    plexus = fibres.plexus
    stack = [segment]
    while stack:
        here = stack.pop()
        for parent in plexus.segments[here].parents:
            if root in fibres.between(parent, here):
                found.arrivals.add((here, root, parent))
                found.run(parent, root, leaves_at(plexus, parent, here))
                stack.append(parent)


def leaves_at(plexus: Plexus, parent: str, child: str) -> int:
    """Position on *parent*'s course at which *child* leaves; its end for a staged child."""
    course = plexus.segments[parent].course
    return next((i for i, item in enumerate(course) if isinstance(item, Exit) and item.to == child), END)


def _downstream(fibres: Fibres, found: Strands, segment: str, root: str, at: int) -> None:
    plexus = fibres.plexus
    stack = [(segment, at)]
    while stack:
        here, start = stack.pop()
        found.run(here, root, END)
        for child in plexus.children[here]:
            if leaves_at(plexus, here, child) >= start and root in fibres.between(here, child):
                if (child, root, here) not in found.arrivals:
                    stack.append((child, 0))
                found.arrivals.add((child, root, here))
