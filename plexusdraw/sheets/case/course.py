"""Cuts that a plexus cannot show, since they lie beyond what is drawn of a nerve: its own course shows them."""

from __future__ import annotations

from math import hypot

from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import UnknownNameError
from plexusdraw.layout.nerve.fit import nerve_at
from plexusdraw.model.entities import Place
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Scene, Spot

APART_MM = 3.0
"""Marks of one nerve that are nearer cannot be told apart."""


def nerves(injury: Injury, scene: Scene) -> tuple[str, ...]:
    """Ids of the nerves on whose course cuts lie that the picture of the plexus would mark at another place."""
    spots = [part for part in scene.parts if isinstance(part, Spot)]
    found = []
    for segment, at in injury.cuts:
        if not _shown(injury.plexus, spots, segment, at):
            found.append(_course(injury.plexus, segment))
    return tuple(dict.fromkeys(nerve for nerve in found if nerve))


def alone(injury: Injury) -> str:
    """The nerve on which all cuts lie; empty where there are several, or where its course is not known."""
    found = {_course(injury.plexus, segment) for segment, _ in injury.cuts}
    return found.pop() if len(found) == 1 else ""


def _shown(plexus: Plexus, spots: list[Spot], segment: str, at: int) -> bool:
    """Whether a mark tells where the cut is: nothing leaves between them, and no other mark could be meant.

    The first mark of a nerve is its start, which is plain.
    """
    own = {spot.at: spot for spot in spots if spot.entity == segment}
    here = max((place for place in own if place <= at), default=None)
    if here is None or not all(isinstance(item, Place) for item in plexus.segments[segment].course[here:at]):
        return False
    mark = own[here]
    others = (spot for spot in own.values() if spot is not mark)
    return here == min(own) or all(hypot(mark.x - s.x, mark.y - s.y) >= APART_MM for s in others)


def _course(plexus: Plexus, segment: str) -> str:
    try:
        return nerve_at(plexus, [segment])
    except UnknownNameError:  # a root or trunk, or a nerve that nothing leaves
        return ""
