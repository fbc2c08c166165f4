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

from collections.abc import Iterable, Mapping

from plexusdraw.clinic.deficits import Cut, Loss
from plexusdraw.model.plexus import Plexus, Target
from plexusdraw.routes.fibres import Route


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
    return all(cuts.get(id, exit + 1) > exit for id, exit in zip(way.path, way.exits, strict=True))


def _may_last(plexus: Plexus, target: Target, root: str, ways: tuple[Route, ...], cuts: Mapping[str, int]) -> bool:
    """Whether fibres of a variable root may still reach the target."""
    if root in cuts:
        return False
    nerves = [(nerve, plexus.exit_of(nerve, target.id)) for nerve in plexus.nerves_of.get(target.id, ())]
    every = {origin for nerve, at in nerves for origin in _origins(plexus, nerve, at, {})}
    if root in every:
        return any(root in _origins(plexus, nerve, at, cuts) for nerve, at in nerves)
    return any(_joined(plexus, way, cuts) for way in ways) or not ways


def _origins(plexus: Plexus, segment: str, at: int, cuts: Mapping[str, int]) -> set[str]:
    """Roots from which a position of a segment can be reached past all cuts."""
    if cuts.get(segment, at + 1) <= at:
        return set()
    parents = plexus.segments[segment].parents
    if not parents:
        return {segment}
    return {origin for p in parents for origin in _origins(plexus, p, plexus.exit_of(p, segment), cuts)}


def _joined(plexus: Plexus, way: Route, cuts: Mapping[str, int]) -> bool:
    """Whether a way is whole from the start of its nerve on: the first segment of the last stage, or of none."""
    last = plexus.stages[-1].id
    steps = list(zip(way.path, way.exits, strict=True))
    start = next((i for i, id in enumerate(way.path) if plexus.segments[id].stage in (None, last)), len(steps) - 1)
    return all(cuts.get(id, exit + 1) > exit for id, exit in steps[start:])
