"""What a course leaves out and still counts: muscles and skin areas without a name.

They stand where their fibres leave what is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from types import MappingProxyType

from plexusdraw.model.entities import Exit, Outside, Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres

Way = tuple[tuple[str, int], ...]
"""Segments, and the position at which each is left."""
NAMES = {"muscle": "another muscle", "skin": "another area of skin"}
"""What all that is left out is called, by kind."""


class Unseen:
    """What of the rest of a plexus still counts beside what is kept."""

    def __init__(self, plexus: Plexus, kept: frozenset[str]) -> None:
        self.plexus, self.kept = plexus, kept
        self.fibres = fibres.of(plexus)

    @cached_property
    def targets(self) -> Mapping[str, Target]:
        """All of them, by their ids, which say nothing; in model order."""
        made = (self._target(id) for id in self._ids)
        return MappingProxyType({target.id: target for target in made})

    def id(self, id: str) -> str:
        """The id in place of that of a muscle or skin area: its own if it is kept; empty if it does not count."""
        return id if id in self.kept else self._ids.get(id, "")

    def ids(self, ids: Iterable[str]) -> tuple[str, ...]:
        """The same for several, without those that do not count."""
        return tuple(found for id in ids if (found := self.id(id)))

    def areas(self, dermatome: Target) -> tuple[str, ...]:
        """All areas of a dermatome; none for what is no dermatome."""
        return self.ids(self.fibres.within(dermatome)) if dermatome.dermatome else ()

    def leaving(self, segment: str, at: int) -> Iterator[Exit]:
        """What leaves a kept segment at a position on its way to what is left out."""
        for (target, beyond), shares in self._leaving.get((segment, at), {}).items():
            main = tuple(root for root, minor in shares.items() if not minor)
            yield Exit(self._ids[target], main, tuple(root for root, minor in shares.items() if minor), beyond)

    def parts(self, whole: Segment) -> tuple[str, ...]:
        """The parts of a kept nerve that are left out, by ids that say nothing."""
        return tuple(self._parts[part] for part in whole.parts if part in self._parts)

    @cached_property
    def _parts(self) -> Mapping[str, str]:
        """Id of a part that is left out of a nerve that is kept → its id without a name."""
        wholes = (whole for whole in self.plexus.wholes.values() if whole.id in self.kept)
        gone = (part for whole in wholes for part in whole.parts if part not in self.kept)
        return {part: f"another-part-{i}" for i, part in enumerate(gone, start=1)}

    @cached_property
    def _ids(self) -> Mapping[str, str]:
        """Id of what is left out and counts → its id without a name."""
        plexus = self.plexus
        found: dict[str, str] = {}
        for kind, ids in (("muscle", (*plexus.muscles, *plexus.outside)), ("skin", tuple(plexus.skin))):
            counted = [id for id in ids if id in self._counted]
            found |= {id: f"another-{kind}-{i}" for i, id in enumerate(counted, start=1)}
        return found

    @cached_property
    def _counted(self) -> frozenset[str]:
        """Ids of what shares a movement with what is kept, or by which a kept sign or dermatome shows.

        And of what a kept link is for: without any, it would be for all.
        """
        plexus, kept = self.plexus, self.kept
        found = {one.id for one in self._movers if not self._shared.isdisjoint(one.movements)}
        for sign in (sign for id, sign in plexus.signs.items() if id in kept):
            for part in sign.when.parts():
                for id in (*part.lost, *part.weak, *part.spared):
                    found |= set(plexus.groups[id].members) if id in plexus.groups else {id}
        for area in plexus.skin.values():
            if area.id in kept and area.dermatome:
                found |= set(self.fibres.within(area))
        found |= {id for segment in plexus.segments.values() if segment.id in kept for id in segment.reaches}
        return frozenset(found - kept)

    @cached_property
    def _leaving(self) -> Mapping[tuple[str, int], Mapping[tuple[str, Way], Mapping[str, bool]]]:
        """Segment and position → what leaves there, and how it runs on → its roots, and whether as minor shares."""
        found: dict[tuple[str, int], dict[tuple[str, Way], dict[str, bool]]] = {}
        for id in self._ids:
            for route in self.fibres.of(id):
                steps = [step for step in route.steps if step[0] in self.kept]
                beyond = tuple((self._parts[part], at) for part, at in route.steps if part in self._parts)
                if steps:
                    shares = found.setdefault(steps[-1], {}).setdefault((id, beyond), {})
                    shares[route.root] = shares.get(route.root, True) and route.minor
        return found

    def _target(self, id: str) -> Target:
        """A muscle or skin area without its name. What comes to it by no kept way comes from outside."""
        plexus = self.plexus
        if id in plexus.outside:
            other = plexus.outside[id]
            outside, minor = dict.fromkeys(other.roots or ("",), ""), other.minor
            roots: tuple[str, ...] = ()
            variable: Iterable[str] = ()
        else:
            own = plexus.target(id)
            routes = self.fibres.of(id)
            roots = tuple(dict.fromkeys(route.root for route in routes if route.root in self.kept))
            gone = {route.root: route.minor for route in routes if route.root not in self.kept}
            outside = dict.fromkeys((*own.outside, *gone), "")
            minor = (*own.outside_minor, *(root for root, small in gone.items() if small))
            variable = own.variable
        kind = "skin" if id in plexus.skin else "muscle"
        return Target(
            id=self._ids[id],
            name=NAMES[kind],
            kind=kind,
            roots=roots,
            variable=MappingProxyType({root: "" for root in variable if root in self.kept}),
            outside=MappingProxyType(outside),
            outside_minor=minor,
            movements=self._movements(id),
            testable=False,
        )

    def _movements(self, id: str) -> tuple[str, ...]:
        """Those that something kept does as well."""
        own = next((one.movements for one in self._movers if one.id == id), ())
        return tuple(movement for movement in own if movement in self._shared)

    @property
    def _movers(self) -> tuple[Target | Outside, ...]:
        return (*self.plexus.muscles.values(), *self.plexus.outside.values())

    @cached_property
    def _shared(self) -> frozenset[str]:
        return frozenset(movement for one in self._movers if one.id in self.kept for movement in one.movements)
