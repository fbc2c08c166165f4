"""Which fibres a highlighted structure lights: its own, from the root end to what they reach."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from plexusdraw.model.plexus import Entity, Exit, Group, Level, Plexus, Segment
from plexusdraw.routes.fibres import Fibres

END = 1_000_000
"""A position past the end of every course."""


@dataclass(slots=True)
class Light:
    """Lit fibres: how far along each segment, over which parent they came, and what they reach."""

    along: dict[tuple[str, str], int] = field(default_factory=dict)
    """(segment, root) → last position at which they still run."""
    arrivals: set[tuple[str, str, str]] = field(default_factory=set)
    """(segment, root, parent), and (muscle or skin, root, nerve)."""
    targets: set[tuple[str, str]] = field(default_factory=set)
    """(muscle or skin, root)."""

    def run(self, segment: str, root: str, to: int) -> None:
        """Fibres of *root* run along *segment* to position *to*."""
        self.along[segment, root] = max(to, self.along.get((segment, root), -1))


def light(plexus: Plexus, fibres: Fibres, entities: Iterable[Entity]) -> Light:
    """What lights when *entities* are highlighted: through a segment all that passes it, to a target its routes."""
    lit = Light()
    for entity in entities:
        if isinstance(entity, Group):
            for member in entity.members:
                _to_target(fibres, lit, member)
        elif isinstance(entity, Level):
            owner = next(s for s in plexus.segments.values() if entity in s.course)
            _through(plexus, fibres, lit, owner)
        elif entity.id in plexus.segments:
            _through(plexus, fibres, lit, plexus.segments[entity.id])
        else:
            _to_target(fibres, lit, entity.id)
    return lit


def _to_target(fibres: Fibres, lit: Light, target: str) -> None:
    for route in fibres.of(target):
        for i, (segment, exit) in enumerate(zip(route.path, route.exits, strict=True)):
            lit.run(segment, route.root, exit)
            if i:
                lit.arrivals.add((segment, route.root, route.path[i - 1]))
        lit.targets.add((route.target, route.root))
        lit.arrivals.add((route.target, route.root, route.path[-1]))


def _through(plexus: Plexus, fibres: Fibres, lit: Light, segment: Segment) -> None:
    for root in fibres.carried[segment.id]:
        _upstream(plexus, fibres, lit, segment.id, root)
        _downstream(plexus, fibres, lit, segment.id, root)
    for route in fibres.through(segment.id):
        lit.targets.add((route.target, route.root))
        lit.arrivals.add((route.target, route.root, route.path[-1]))


def _upstream(plexus: Plexus, fibres: Fibres, lit: Light, segment: str, root: str) -> None:
    stack = [segment]
    while stack:
        here = stack.pop()
        for parent in plexus.segments[here].parents:
            if root in fibres.between(parent, here):
                lit.arrivals.add((here, root, parent))
                lit.run(parent, root, leaves_at(plexus, parent, here))
                stack.append(parent)


def leaves_at(plexus: Plexus, parent: str, child: str) -> int:
    """Position on *parent*'s course at which *child* leaves; its end for a staged child."""
    course = plexus.segments[parent].course
    return next((i for i, item in enumerate(course) if isinstance(item, Exit) and item.to == child), END)


def _downstream(plexus: Plexus, fibres: Fibres, lit: Light, segment: str, root: str) -> None:
    stack = [segment]
    while stack:
        here = stack.pop()
        lit.run(here, root, END)
        for child in plexus.graph.successors(here):
            if child in plexus.segments and root in fibres.between(here, child):
                if (child, root, here) not in lit.arrivals:
                    stack.append(child)
                lit.arrivals.add((child, root, here))
