"""Short words for long lists: groups for their members, runs of roots, one nerve for its branches."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from plexusdraw import names
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.grouped import grouped
from plexusdraw.routes.fibres import Route

_MANY = 4
"""Of a longer list the rest is counted."""


def listed(words: Sequence[str], most: int = _MANY, joint: str = ", ") -> str:
    """The first words and how many more there are."""
    if len(words) <= most + 1:
        return joint.join(words)
    return f"{joint.join(words[:most])} and {len(words) - most} more"


def named(plexus: Plexus, ids: Iterable[str], most: int = _MANY, mark: str = "") -> str:
    """Names of ids, groups for their members, each with a mark; a comma may stand in a name."""
    found = dict.fromkeys(names.display(plexus.entity(id)) + mark for id in grouped(plexus, ids))
    return listed(list(found), most, "; ")


def nerve(plexus: Plexus, target: str) -> str:
    """The nerve of a muscle or skin area; for several branches of one nerve, that nerve."""
    own = plexus.nerves_of.get(target, ())
    stems = dict.fromkeys(_stem(plexus, id) for id in own)
    chosen = own if len(own) == 1 else tuple(stems) if len(stems) < len(own) else own
    return listed([names.display(plexus.segments[id], "short") for id in chosen], most=1)


def runs(plexus: Plexus, roots: Sequence[str]) -> str:
    """ "C5-C7, T1": three or more neighbours as a run. Roots from outside the plexus come first."""
    order = list(plexus.roots)
    found = [[root] for root in roots if root not in order]
    for root in (root for root in order if root in roots):
        last = found[-1][-1] if found else ""
        if last in order and order.index(last) + 1 == order.index(root):
            found[-1].append(root)
        else:
            found.append([root])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(run) for run in found)


def weighed(plexus: Plexus, routes: Iterable[Route], outside: Iterable[str], small: Collection[str]) -> str:
    """Roots of routes, those that bring a minor share only in brackets: "C6, (C7)"; outside roots first."""
    main = dict.fromkeys([*(root for root in outside if root not in small)])
    rest = dict.fromkeys([root for root in outside if root in small])
    for route in routes:
        (rest if route.minor else main)[route.root] = None
    minor = runs(plexus, [root for root in rest if root not in main])
    return ", ".join(part for part in (runs(plexus, list(main)), f"({minor})" if minor else "") if part)


def _stem(plexus: Plexus, segment: str) -> str:
    """The staged segment from which a branch comes, or its own root branch."""
    while plexus.segments[segment].stage is None and len(plexus.segments[segment].parents) == 1:
        parent = plexus.segments[segment].parents[0]
        if plexus.segments[parent].stage is not None and parent not in _terminal(plexus):
            return segment
        segment = parent
    return segment


def _terminal(plexus: Plexus) -> Collection[str]:
    return {segment.id for segment in plexus.staged(plexus.stages[-1].id)}
