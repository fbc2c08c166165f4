"""Through which planes the fibres of a strand have come: anterior or posterior divisions, both, or none yet."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Literal

from plexusdraw.model.composition import order
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres

Side = Literal["anterior", "posterior"]
NONE: frozenset[Side] = frozenset()


class Planes:
    """Planes of every strand of a plexus: those of the last segments on its ways that have one."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.fibres = plexus, fibres.of(plexus)

    def of(self, segment: str, root: str) -> frozenset[Side]:
        """Planes of a root's fibres in a segment, or in all parts of a whole."""
        return NONE.union(*(self._all.get((id, root), NONE) for id in self.plexus.members(segment)))

    def arriving(self, segment: str, root: str, parent: str) -> frozenset[Side]:
        """Planes of those fibres that come into a segment from one parent."""
        own = self.plexus.segments[segment].plane
        return self.of(parent, root) if own == "middle" else frozenset({own})

    @cached_property
    def _all(self) -> dict[tuple[str, str], frozenset[Side]]:
        found: dict[tuple[str, str], frozenset[Side]] = {}
        for id in order(self.plexus.segments):
            segment = self.plexus.segments[id]
            for root in self.fibres.carried[id]:
                above = (p for p in segment.parents if root in self.fibres.between(p, id))
                brought = NONE.union(*(found[p, root] for p in above))
                found[id, root] = brought if segment.plane == "middle" else frozenset({segment.plane})
        return found


@lru_cache(maxsize=16)
def of(plexus: Plexus) -> Planes:
    """The planes of a plexus, worked out once."""
    return Planes(plexus)
