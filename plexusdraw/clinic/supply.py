"""What may be asked of supply: the one nerve of a muscle, a skin area or a movement, and what it surely is not.

Asked is only what has one right answer: not what several nerves reach, what a nerve from outside the plexus shares,
or what may get a root by another nerve, as some sources say. ``may_supply`` is true also where sources merely differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property, lru_cache

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.model.entities import Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites


class Supply:
    """Nerves and what they supply, for one plexus."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.rule = plexus, deficits.of(plexus)
        self.fibres = self.rule.fibres
        self._cut: dict[str, Injury] = {}

    @cached_property
    def targets(self) -> tuple[Target, ...]:
        """Muscles and skin areas whose nerve may be asked, in model order; no dermatomes."""
        every = (*self.plexus.muscles.values(), *self.plexus.skin.values())
        here = (t for t in every if not t.outside and not t.dermatome and self.fibres.of(t.id))
        return tuple(t for t in here if not self.stray(t))

    def stray(self, target: Target) -> tuple[str, ...]:
        """Roots that some sources count for a target and that its own nerves are not known to bring."""
        ways = {id for route in self.fibres.of(target.id) for id in route.path}
        known = {root for id in ways for root in self.plexus.segments[id].variable}
        known |= {root for id in self.plexus.nerves_of[target.id] for root in self.fibres.carried[id]}
        return tuple(root for root in target.variable if root not in known)

    def nerve(self, target: Target, fine: bool = False) -> Segment | None:
        """The one nerve of a target: of the plexus, or (*fine*) its last branch. None: several, or it is not asked."""
        if target not in self.targets:
            return None
        found = {self._nerve(route.path, fine) for route in self.fibres.of(target.id)}
        only = found.pop() if len(found) == 1 else None
        return self.plexus.segments[only] if only and self.plexus.segments[only].drawn else None

    def _nerve(self, path: tuple[str, ...], fine: bool) -> str | None:
        """The nerve of the plexus that a way takes: in the last stage, else the side branch of an earlier one."""
        segments, last = self.plexus.segments, self.plexus.stages[-1].id
        if fine:
            return path[-1] if segments[path[-1]].stage in (None, last) else None
        staged = next((id for id in path if segments[id].stage == last), None)
        return staged or next((id for id in path if segments[id].stage is None), None)

    def nerves(self, fine: bool = False) -> tuple[Segment, ...]:
        """The nerves of which a target may be asked, in model order."""
        found = {nerve.id for target in self.targets if (nerve := self.nerve(target, fine))}
        return tuple(segment for segment in self.plexus.segments.values() if segment.id in found)

    def may_supply(self, segment: str, target: Target) -> bool:
        """Whether fibres of a segment reach a target, or may do so as some sources have it."""
        if any(segment in route.path for route in self.fibres.of(target.id)):
            return True
        outcome = self.cut(segment).outcome(target.id)
        return (
            bool(outcome.loss)
            or outcome.disputed
            or not set(self.stray(target)).isdisjoint(self.fibres.carried[segment])
        )

    def cut(self, segment: str) -> Injury:
        """What a cut at the start of a segment does; worked out once."""
        if segment not in self._cut:
            self._cut[segment] = Injury(self.plexus, [sites.start(self.plexus, segment)])
        return self._cut[segment]

    def movers(self, movement: str) -> Iterator[Target]:
        """The muscles of this plexus that do a movement."""
        for id in self.rule.movers[movement]:
            if id in self.plexus.muscles:
                yield self.plexus.muscles[id]

    def movement_nerve(self, movement: str, fine: bool = False) -> Segment | None:
        """The one nerve of all muscles that do a movement; None: several, or one of them is not asked."""
        if any(id not in self.plexus.muscles for id in self.rule.movers[movement]):
            return None
        found = {nerve.id if (nerve := self.nerve(m, fine)) else "" for m in self.movers(movement)}
        return self.plexus.segments.get(found.pop()) if len(found) == 1 else None

    def may_move(self, segment: str, movement: str) -> bool:
        """Whether a segment supplies, or may supply, a muscle that does a movement."""
        lost = self.cut(segment).movements[movement]
        return lost.loss is not Loss.NONE or any(self.may_supply(segment, m) for m in self.movers(movement))


@lru_cache(maxsize=16)
def of(plexus: Plexus) -> Supply:
    """The supply of a plexus, worked out once."""
    return Supply(plexus)
