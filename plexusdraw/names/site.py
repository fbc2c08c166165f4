"""A place at which a nerve may be injured, and every such place of a plexus that has a name.

A site is a segment and a position on its course; a cut there breaks what leaves at that position or beyond.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from plexusdraw.model.entities import Exit, Place, Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names

TORN = {"preganglionic", "avulsion", "avulsed", "torn"}
"""Words of a root that is torn from the cord."""


@dataclass(frozen=True, slots=True)
class Site:
    """A place on a segment: position on its course, and an id and a name that ``parse`` understands.

    ``partial``: a cut here spares some fibres.

    A place on a whole lies on all its parts: ``others`` are the further ones, as segments and positions, and
    ``left_out`` those that a course leaves out.
    """

    segment: str
    at: int
    id: str
    name: str
    partial: bool = False
    others: tuple[tuple[str, int], ...] = ()
    left_out: tuple[tuple[str, int], ...] = ()
    latin: str = ""
    """The name in Latin; empty where there is none."""

    @property
    def cuts(self) -> tuple[tuple[str, int], ...]:
        """Every segment that is cut there, and at which position."""
        return ((self.segment, self.at), *self.others)

    @property
    def breaks(self) -> tuple[tuple[str, int], ...]:
        """The same, with what a course leaves out."""
        return (*self.cuts, *self.left_out)

    @property
    def text(self) -> str:
        """The name, and "(partial)" where it is."""
        return self.told()

    def told(self, style: names.Style = "english") -> str:
        """The same in the language of the names."""
        name = self.called(style)
        return f"{name} (partial)" if self.partial else name

    def called(self, style: names.Style = "english") -> str:
        """The name, Latin where asked for and known."""
        return (self.latin if style == "latin" else "") or self.name


def all_sites(plexus: Plexus) -> tuple[Site, ...]:
    """Every place that has a name: starts, places, and after each branch beyond which something leaves."""
    found = [site for segment in plexus.segments.values() for site in _on(plexus, segment)]
    for whole in plexus.wholes.values():
        found += [
            start(plexus, whole.id),
            *(of(plexus, place.id) for place in whole.course if isinstance(place, Place)),
        ]
    return tuple(found)


def start(plexus: Plexus, segment: str) -> Site:
    """The start of a segment. A root's is its anterior ramus, past the ganglion: what lies before it must be said."""
    if segment in plexus.wholes:
        return on_parts(plexus, segment, plexus.wholes[segment].name, plexus.wholes[segment].latin)
    at = 0 if _torn_place(plexus, segment) is None else 1
    return Site(segment, at, segment, plexus.segments[segment].name, latin=_latin(plexus, segment))


def on_drawing(plexus: Plexus, site: Site) -> Site:
    """The same place on the plexus that is drawn, where a convention draws it otherwise.

    What the convention lets leave there first, and what by nature leaves elsewhere, is not beyond the place.
    """
    if plexus.drawing is None:
        return site
    own, shown = plexus.segments[site.segment], plexus.drawn.segments[site.segment]
    beyond = [item.to if isinstance(item, Exit) else item.id for item in own.course[site.at :]]
    there = [item.to if isinstance(item, Exit) else item.id for item in shown.course]
    return replace(site, at=next((there.index(id) for id in beyond if id in there), len(there) if site.at else 0))


def torn(plexus: Plexus, segment: str) -> Site:
    """Where a root is torn from the cord: its place of that name, else its start."""
    if segment in plexus.wholes:
        return start(plexus, segment)
    place = _torn_place(plexus, segment)
    return start(plexus, segment) if place is None else of(plexus, place.id)


def _torn_place(plexus: Plexus, segment: str) -> Place | None:
    first = next(iter(plexus.segments[segment].course), None)
    return first if isinstance(first, Place) and first.name in TORN else None


def _on(plexus: Plexus, segment: Segment) -> Iterator[Site]:
    yield start(plexus, segment.id)
    exits = [i for i, item in enumerate(segment.course) if isinstance(item, Exit) and plexus.has(item.to)]
    goes_on = any(plexus.exit_of(segment.id, child) == len(segment.course) for child in plexus.children[segment.id])
    last = len(segment.course) if goes_on else max(exits, default=0)
    for at, item in enumerate(segment.course):
        if isinstance(item, Place):
            yield Site(segment.id, at, item.id, item.full_name, latin=item.full_latin)
        elif at < last and plexus.has(item.to) and isinstance((*segment.course, item)[at + 1], Exit):
            yield beside(plexus, segment, item.to, at + 1, "after")


def beside(plexus: Plexus, segment: Segment, other: str, at: int, word: str) -> Site:
    """The site at a position that is told by what leaves beside it: "radial nerve after triceps"."""
    name = names.display(plexus.entity(other))
    own, thing = _latin(plexus, segment.id), names.latin(plexus.entity(other))
    latin = f"{own} {word} {thing}" if own and thing else ""  # a Latin word for it would bend the name
    return Site(segment.id, at, f"{segment.id}-{word}-{other}", f"{segment.name} {word} {name}", latin=latin)


def _latin(plexus: Plexus, segment: str) -> str:
    """Latin of a segment; roots keep their letters."""
    return plexus.segments[segment].name if segment in plexus.roots else plexus.segments[segment].latin


def of(plexus: Plexus, id: str) -> Site:
    """The site of a segment, whole or place."""
    if id not in plexus.places:
        return start(plexus, id)
    place, segment, at = plexus.places[id]
    if segment.parts:
        return on_parts(plexus, id, place.full_name, place.full_latin)
    return Site(segment.id, at, id, place.full_name, latin=place.full_latin)


def on_parts(plexus: Plexus, id: str, name: str, latin: str) -> Site:
    """A place on all parts of a whole."""
    (segment, at), *others = plexus.cuts_at(id)
    left_out = tuple((part, 0) for part in plexus.wholes[id].left_out) if id in plexus.wholes else ()
    return Site(segment, at, id, name, others=tuple(others), left_out=left_out, latin=latin)
