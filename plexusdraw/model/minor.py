"""A plexus without its minor shares, for pictures that hide them. Ids and positions on courses stay as they are."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from plexusdraw.model.composition import carried
from plexusdraw.model.entities import CourseItem, Exit, Segment, Target
from plexusdraw.model.plexus import Plexus


def without_minor(plexus: Plexus) -> Plexus:
    """The same plexus with principal shares alone: for layouts; what is computed counts all of them."""
    shares = carried(plexus)
    targets = {target.id: target for target in plexus.targets}

    def segment(one: Segment) -> Segment:
        main = tuple(root for root, minor in shares[one.id].items() if not minor)
        return replace(one, only_roots=main, minor=(), course=tuple(item_of(item) for item in one.course))

    def item_of(item: CourseItem) -> CourseItem:
        if not isinstance(item, Exit) or item.to not in targets or not item.minor:
            return item
        roots = targets[item.to].roots if item.roots is None else item.roots
        return Exit(item.to, tuple(root for root in roots if root not in item.minor))

    def target(one: Target) -> Target:
        outside = {root: nerve for root, nerve in one.outside.items() if root not in one.outside_minor}
        return replace(one, minor=(), outside=MappingProxyType(outside), outside_minor=())

    return replace(
        plexus,
        segments=MappingProxyType({id: segment(one) for id, one in plexus.segments.items()}),
        muscles=MappingProxyType({id: target(one) for id, one in plexus.muscles.items()}),
        skin=MappingProxyType({id: target(one) for id, one in plexus.skin.items()}),
        reflexes=MappingProxyType({id: replace(one, minor=()) for id, one in plexus.reflexes.items()}),
        base_roots=plexus.palette,
    )
