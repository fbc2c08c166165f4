"""A part of a plexus to be drawn alone: some of its nerves, what feeds them and what leaves them.

What is computed stays that of the whole plexus: the part is its ``drawing``. Courses are kept whole, so that a position
on a segment means the same in both.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Exit, Region
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus


def of(plexus: Plexus, text: str) -> Region:
    """The part of a plexus that a text means: its id, name or another name, or the first word of one.

    Raises:
        UnknownNameError: it has no such part.
    """
    wish = kebab(text).lower()
    for region in plexus.regions.values():
        names = [kebab(name).lower() for name in (region.id, region.name, *region.synonyms)]
        if wish in names or any(name.split("-")[0] == wish for name in names):
            return region
    known = ", ".join(region.name for region in plexus.regions.values())
    said = f"its parts are {known}" if known else "its file names none (regions)"
    raise UnknownNameError(f'the {plexus.name} has no part "{text}"; {said}')


def drawn_alone(plexus: Plexus, region: Region) -> Plexus:
    """The same plexus, drawn as one of its parts."""
    return replace(plexus, drawing=_cut_out(plexus.drawn, region))


def _cut_out(plexus: Plexus, region: Region) -> Plexus:
    nerves = [part for id in region.nerves for part in plexus.members(id)]
    kept = {*_closure(plexus, nerves, up=True), *_closure(plexus, nerves, up=False)}
    wholes = {}
    for whole in plexus.wholes.values():
        parts = tuple(part for part in whole.parts if part in kept)
        if parts:
            wholes[whole.id] = replace(whole, parts=parts)
    segments = {
        id: replace(segment, parents=tuple(parent for parent in segment.parents if parent in kept))
        for id, segment in plexus.segments.items()
        if id in kept
    }
    reached = {item.to for segment in segments.values() for item in segment.course if isinstance(item, Exit)}
    last = len(plexus.stages) - 1
    stages = [
        s for i, s in enumerate(plexus.stages) if i in (0, last) or any(g.stage == s.id for g in segments.values())
    ]
    muscles = {id: muscle for id, muscle in plexus.muscles.items() if id in reached}
    skin = {id: area for id, area in plexus.skin.items() if id in reached}
    groups = {id: group for id, group in plexus.groups.items() if set(group.members) <= {*muscles}}
    return replace(
        plexus,
        name=region.name,
        latin=region.latin or plexus.latin,
        stages=tuple(stages),
        segments=MappingProxyType(segments),
        wholes=MappingProxyType(wholes),
        muscles=MappingProxyType(muscles),
        skin=MappingProxyType(skin),
        groups=MappingProxyType(groups),
        reflexes=MappingProxyType({}),
        signs=MappingProxyType({}),
        outside=MappingProxyType({}),
        regions=MappingProxyType({}),
        base_roots=plexus.palette,
        drawing=None,
    )


def _closure(plexus: Plexus, ids: Iterable[str], *, up: bool) -> set[str]:
    """Segments from which some come, or that come from them, themselves included."""
    found: set[str] = set()
    todo = list(ids)
    while todo:
        id = todo.pop()
        if id not in found:
            found.add(id)
            todo += plexus.segments[id].parents if up else plexus.children[id]
    return found
