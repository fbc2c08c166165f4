"""A nerve as a tree: what stands on its course in order, and what each branch leads to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.layout.labels import Wording
from plexusdraw.layout.table import rows as table
from plexusdraw.model.entities import Exit, Place, Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres, brought

Roots = dict[str, bool]
"""Root → whether its share is minor, in root order."""
Key = tuple[str, int, str]
"""Segment, position on its course, what stands there: a branch that many segments join has one place on each."""


@dataclass(frozen=True, slots=True)
class Stop:
    """What stands at one position of a course.

    "target": a muscle or skin area. "line": a branch to one of them, drawn in one line. "branch": one with a course
    of its own. "end": a nerve that is not followed further. ``roots`` are those that leave here.
    """

    at: int
    what: Literal["place", "target", "line", "branch", "end"]
    id: str
    roots: Roots
    place: Place | None = None
    segment: Segment | None = None
    stem: Stem | None = None
    entry: table.Entry | None = None


@dataclass(frozen=True, slots=True)
class Stem:
    """A nerve with its stops in order; ``last``: root → position of the stop at which the last of its fibres leave."""

    segment: Segment
    depth: int
    roots: Roots
    stops: tuple[Stop, ...]
    last: dict[str, int]

    def key(self, stop: Stop) -> Key:
        """Where a stop stands."""
        return (self.segment.id, stop.at, stop.id)

    def stems(self) -> Iterator[Stem]:
        """This nerve and all branches with a course, in order."""
        yield self
        for stop in self.stops:
            if stop.stem is not None:
                yield from stop.stem.stems()


@dataclass(slots=True)
class Grower:
    """Follows a nerve to its ends; a branch that is met again is not followed again."""

    plexus: Plexus
    fibres: Fibres
    wording: Wording
    seen: set[str] = field(default_factory=set)
    apart: frozenset[str] = frozenset()
    """Ids of branches that are not followed, since they are drawn elsewhere."""

    def stem(self, segment: Segment, depth: int = 0) -> Stem:
        """A nerve with everything on its course, and what it goes on into at its end."""
        self.seen.add(segment.id)
        carried = self.fibres.carried[segment.id]
        stops: list[Stop] = []
        listed = {item.to for item in segment.course if isinstance(item, Exit)}
        for at, item in enumerate(segment.course):
            if isinstance(item, Place):
                stops.append(Stop(at, "place", item.id, {}, place=item))
            elif not self.plexus.has(item.to):
                continue
            elif item.to in self.plexus.segments:
                stops.append(self.branch(segment, item.to, at, depth))
            else:
                entry = self.entry(segment, item)
                stops.append(Stop(at, "target", item.to, entry.roots, entry=entry))
        beyond = [c for c in self.plexus.children[segment.id] if c not in listed]
        stops += [self.branch(segment, child, len(segment.course), depth) for child in beyond]
        return Stem(segment, depth, dict(carried), tuple(stops), _last(carried, stops))

    def branch(self, parent: Segment, child: str, at: int, depth: int) -> Stop:
        """A branch where it leaves *parent*."""
        segment = self.plexus.segments[child]
        roots = dict(self.fibres.between(parent.id, child))
        known = child in self.seen or child in self.apart
        if known or not segment.course or not (segment.stage is None or self.goes_on(parent, segment)):
            return Stop(at, "end", child, roots, segment=segment)
        only = segment.course[0]
        alone = len(segment.course) == 1 and not self.plexus.children[child]
        if alone and isinstance(only, Exit) and only.to not in self.plexus.segments:
            self.seen.add(child)
            return Stop(at, "line", child, roots, segment=segment, entry=self.entry(segment, only))
        return Stop(at, "branch", child, roots, segment=segment, stem=self.stem(segment, depth + 1))

    def goes_on(self, parent: Segment, child: Segment) -> bool:
        """Whether a nerve of the last stage is this one going on: it comes from it alone, and nothing else does."""
        becomes = [id for id in self.plexus.children[parent.id] if self.plexus.segments[id].stage is not None]
        last = child.stage == self.plexus.stages[-1].id
        return last and child.parents == (parent.id,) and becomes == [child.id]

    def entry(self, segment: Segment, item: Exit) -> table.Entry:
        """The row of a muscle or skin area, with the roots that this nerve brings."""
        target: Target = self.plexus.muscles.get(item.to) or self.plexus.skin[item.to]
        text = self.wording.of(target)
        if target.outside:
            text = f"{text} (+ {' '.join(target.outside)})"
        roots = brought(target, item, self.fibres.carried[segment.id])
        return table.Entry(target, roots, text)


def _last(carried: Mapping[str, bool], stops: Sequence[Stop]) -> dict[str, int]:
    """Where each root's strand ends. One that goes into no branch ends with the last; places at the end prolong it."""
    if not stops:
        return dict.fromkeys(carried, 0)
    end = max((s.at for s in stops if s.what != "place"), default=stops[-1].at)
    found = dict.fromkeys(carried, end)
    found |= {root: stop.at for stop in stops for root in stop.roots if root in carried}
    return {root: stops[-1].at if at == end else at for root, at in found.items()}
