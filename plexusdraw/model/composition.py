"""Which roots each segment carries: the one calculation that checks, fibres and pictures share.

A root's segment carries itself. Any other carries what its parents bring, narrowed by ``only_roots``. A
root's share is minor in a segment where the file says so, and in all that follows; where it arrives by
two ways, it is minor only if it is minor by both.
"""

from __future__ import annotations

from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

from plexusdraw.model.entities import Segment
from plexusdraw.model.plexus import Plexus

Shares = Mapping[str, bool]
"""Root → whether its share is minor, in root order."""


def order(segments: Mapping[str, Segment]) -> tuple[str, ...]:
    """Segment ids, parents before children, stable; graphlib.CycleError if there is a cycle."""
    parents = {id: [p for p in s.parents if p in segments] for id, s in segments.items()}
    return tuple(TopologicalSorter(parents).static_order())


def cycle(segments: Mapping[str, Segment]) -> tuple[str, ...]:
    """Ids of a cycle from parent to child, first id again at the end; empty if there is none."""
    try:
        order(segments)
    except CycleError as error:
        ids: list[str] = error.args[1]
        start = min(range(len(ids) - 1), key=lambda i: list(segments).index(ids[i]))
        ring = ids[:-1][start:] + ids[:-1][:start]
        return (*ring, ring[0])
    return ()


def between(carried: Mapping[str, Shares], parent: str, child: Segment) -> dict[str, bool]:
    """Roots that go from a parent into a child, and whether their share is minor there."""
    return {
        root: minor or root in child.minor
        for root, minor in carried[parent].items()
        if child.only_roots is None or root in child.only_roots
    }


def carried(plexus: Plexus) -> dict[str, dict[str, bool]]:
    """Segment id → shares, for all segments in model order, then wholes; the graph must have no cycle."""
    rank = {root: i for i, root in enumerate(plexus.roots)}
    found: dict[str, dict[str, bool]] = {}
    for id in order(plexus.segments):
        segment = plexus.segments[id]
        shares: dict[str, bool] = {id: False} if id in rank else {}
        for parent in segment.parents:
            for root, minor in between(found, parent, segment).items():
                shares[root] = shares.get(root, True) and minor
        found[id] = {root: shares[root] for root in sorted(shares, key=rank.__getitem__)}
    kept = {id: found[id] for id in plexus.segments}
    return kept | {whole.id: together(plexus, kept, whole) for whole in plexus.wholes.values()}


def together(plexus: Plexus, carried: Mapping[str, Shares], whole: Segment) -> dict[str, bool]:
    """What all parts of a whole carry: a share is minor if it is so in every part that has it."""
    shares: dict[str, bool] = {}
    for part in whole.parts:
        for root, minor in carried[part].items():
            shares[root] = shares.get(root, True) and minor
    return {root: shares[root] for root in plexus.roots if root in shares}
