"""What the colour of an area or muscle stands for: the nerve that it belongs to, its roots, or its state."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from plexusdraw.layout.limb.options import By
from plexusdraw.model.entities import Target
from plexusdraw.model.plexus import Plexus

FILLS = 18
"""As many fills every theme that is built in has (a test holds it)."""


@lru_cache(maxsize=16)
def families(plexus: Plexus) -> tuple[str, ...]:
    """Ids of the nerves that colours stand for: those of the last stage, then branches that leave before it.

    Those to skin stand before those to muscles, so that the nerves of each picture differ as much as can be.
    """
    last = [segment.id for segment in plexus.staged(plexus.stages[-1].id)]
    found = dict.fromkeys(last)
    for target in (*plexus.skin.values(), *plexus.muscles.values()):
        nerve = family(plexus, target.id)
        if nerve:
            found.setdefault(nerve)
    return tuple(found)


@lru_cache(maxsize=16)
def fills(plexus: Plexus) -> Mapping[str, int]:
    """Nerve → index of its fill. Where there are more nerves than fills, those that share one share no picture."""
    order = families(plexus)
    kinds = [{family(plexus, target) for target in table} for table in (plexus.skin, plexus.muscles)]
    found = {id: i for i, id in enumerate(order[:FILLS])}
    for id in order[FILLS:]:
        taken = {found[other] for kind in kinds if id in kind for other in kind if other in found}
        found[id] = next((i for i in range(FILLS) if i not in taken), len(found))
    return MappingProxyType(found)


def family(plexus: Plexus, target: str) -> str:
    """The nerve of the last stage by which a target is reached, else the first branch; empty where there is none.

    A branch of two nerves, as the sural is, stands for itself.
    """
    nerves = plexus.nerves_of.get(target, ())
    if not nerves:
        return ""
    return _stem(plexus, nerves[0])


def _stem(plexus: Plexus, id: str) -> str:
    segment, last = plexus.segments[id], plexus.stages[-1].id
    if segment.stage is not None or any(plexus.segments[p].stage not in (None, last) for p in segment.parents):
        return id
    stems = {_stem(plexus, parent) for parent in segment.parents}
    return stems.pop() if len(stems) == 1 else id


def tone(plexus: Plexus, target: Target | None, by: By) -> tuple[int, tuple[str, ...], bool]:
    """Index of the fill, roots, and whether no nerve of the plexus reaches it: as in :class:`plexusdraw.scene.Area`."""
    if target is None:
        return -1, (), True
    if by == "state":
        return -1, (), False
    if by == "root" or (target.kind == "skin" and target.dermatome):
        roots = target.roots or target.minor
        return -1, tuple(root for root in plexus.roots if root in roots), False
    nerve = family(plexus, target.id)
    return (fills(plexus)[nerve] if nerve else -1), (), False
