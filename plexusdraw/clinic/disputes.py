"""Where the sources differ: whether one that counts its roots otherwise would tell a muscle or skin area otherwise.

A model keeps what sources say beside its default: roots as ``minor`` (some leave them out, some count them in full) and
as ``variable`` (described by some, with no way in the usual arrangement). An outcome is disputed

* if it is wholly lost, though a minor root or one from outside is left, or a variable one may be;
* if it is weak, though its one principal root is lost and minor ones alone stand in;
* if it is slight: it rests on minor roots alone;
* if nothing is lost, though a variable root may be.

A variable root may come by any way that the graph has, whatever narrows it; where the graph has none, it joins the
nerve of the muscle at its start.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from plexusdraw.clinic.deficits import Cut, Loss
from plexusdraw.model.entities import Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Route

Way = tuple[tuple[str, int], ...]
"""Segments, and the position at which each is left."""


def disputed(
    plexus: Plexus, target: Target, loss: Loss, routes: Iterable[Route], left: bool, cuts: Iterable[Cut]
) -> bool:
    """Whether sources differ on the *loss* of a target; *left*: whether any of its *routes* is whole."""
    if loss is Loss.SLIGHT:
        return True
    first: dict[str, int] = {}
    for segment, at in cuts:
        first[segment] = min(at, first.get(segment, at))
    ways = tuple(routes)
    if loss is Loss.PART:
        outside = set(target.outside) - set(target.outside_minor)
        return target.kind == "muscle" and not outside and not any(_whole(way, first) for way in ways if not way.minor)
    lasting = [root for root in target.variable if _may_last(plexus, target, root, ways, first)]
    if loss is Loss.WHOLE:
        return left or bool(target.outside) or bool(lasting)
    return len(lasting) < len(target.variable)


def _whole(way: Route, cuts: Mapping[str, int]) -> bool:
    return all(cuts.get(id, exit + 1) > exit for id, exit in way.steps)


def _may_last(plexus: Plexus, target: Target, root: str, ways: tuple[Route, ...], cuts: Mapping[str, int]) -> bool:
    """Whether fibres of a variable root may still reach the target."""
    if root in cuts:
        return False
    return any(all(cuts.get(id, at + 1) > at for id, at in way) for way in variable_ways(plexus, target, root, ways))


def variable_ways(plexus: Plexus, target: Target, root: str, routes: tuple[Route, ...]) -> tuple[Way, ...]:
    """Ways by which fibres of a variable root may come to a target whose other *routes* are these."""
    nerves = [(nerve, plexus.exit_of(nerve, target.id)) for nerve in plexus.nerves_of[target.id]]
    every = tuple(way for nerve, at in nerves for way in _ways(plexus, nerve, at) if way[0][0] == root)
    return every or tuple(dict.fromkeys(_joined(plexus, route) for route in routes)) or ((),)


def _ways(plexus: Plexus, segment: str, at: int) -> Iterator[Way]:
    """All ways from a root to a position of a segment."""
    parents = plexus.segments[segment].parents
    if not parents:
        yield ((segment, at),)
    for parent in parents:
        for way in _ways(plexus, parent, plexus.exit_of(parent, segment)):
            yield (*way, (segment, at))


def _joined(plexus: Plexus, route: Route) -> Way:
    """A route from the start of its nerve on: the first segment of the last stage, or of none."""
    last = plexus.stages[-1].id
    ids = route.path
    start = next((i for i, id in enumerate(ids) if plexus.segments[id].stage in (None, last)), len(ids) - 1)
    return route.steps[start:]
