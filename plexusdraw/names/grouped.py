"""A group's name in place of those of all its members."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from plexusdraw.model.plexus import Plexus


def grouped(plexus: Plexus, ids: Iterable[str], alike: Mapping[str, object] | None = None) -> tuple[str, ...]:
    """Ids with a group's id in place of all its members, where all stand in the list; largest groups first.

    ``alike``: only members of equal value are brought together.
    """
    found = list(ids)
    for group in sorted(plexus.groups.values(), key=lambda group: -len(group.members)):
        there = [id for id in found if id in group.members]
        same = alike is None or len({repr(alike[id]) for id in there}) == 1
        if len(there) == len(group.members) > 1 and same:
            found[found.index(there[0])] = group.id
            found = [id for id in found if id not in there]
    return tuple(found)
