"""What a reader of the page can ask of a picture, answered beforehand by :mod:`plexusdraw.views.request`.

Only injuries are answered in the browser, since there are too many.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plexusdraw.clinic.injury import Injury
from plexusdraw.model.entities import Scenario, Sign
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import strands_of
from plexusdraw.scene import Label, Pill, Row, Scene, Spot, Strand
from plexusdraw.scene.view import LabelKey, StrandKey, strand_key
from plexusdraw.views import blanks, highlight, stages
from plexusdraw.views.injured import last_positions
from plexusdraw.views.request import Request, view_of


@dataclass(frozen=True)
class Asked:
    """What is known of one picture before anybody asks."""

    hidden: Mapping[str, frozenset[str]]
    """Last stage to show, or "" for all → entities that come later."""
    numbers: Mapping[str, tuple[LabelKey, ...]]
    """Kind of name to blank → the labels, in the order in which they are numbered."""
    legends: Mapping[str, str]
    """What the picture shows → its legend; "" for none."""


def asked(plexus: Plexus, fibres: Fibres, scene: Scene) -> Asked:
    """What can be asked of a picture, but for highlights and injuries."""
    later = {stage.id: frozenset(stages.hidden(plexus, scene, stage.id)) for stage in plexus.stages}
    kinds = {stage.singular: stage.singular for stage in plexus.stages}
    kinds |= {"labels": "labels", "nerve": "side branches", "muscle": "muscles"}
    return Asked(
        {"": frozenset(), **later},
        {kind: tuple(blanks.numbered(plexus, [scene], (word,))) for kind, word in kinds.items()},
        {what: _legend(plexus, fibres, scene, request) for what, request in _told(plexus).items()},
    )


def _told(plexus: Plexus) -> dict[str, Request]:
    """A request of each kind that has a legend of its own."""
    somewhere = sites.all_sites(plexus)[:1]
    return {
        "light": Request(highlight=plexus.entities()[:1]),
        "blank": Request(hide=("labels",)),
        "cut": Request(injury=Injury(plexus, somewhere)),
        "partial": Request(injury=Injury(plexus, somewhere, partial=True)),
    }


def _legend(plexus: Plexus, fibres: Fibres, scene: Scene, request: Request) -> str:
    return view_of(plexus, fibres, scene, request).notes.get("legend") or ""


def strand_keys(scenes: Iterable[Scene]) -> list[StrandKey]:
    """Strands of scenes and dots of their rows, each once."""
    found: dict[StrandKey, None] = {}
    for part in (part for scene in scenes for part in scene.parts):
        if isinstance(part, Strand):
            found[strand_key(part)] = None
        elif isinstance(part, Row):
            found |= {(part.entity, dot.root, part.via, 0): None for dot in part.dots}
    return list(found)


def shared(plexus: Plexus, scenes: Sequence[Scene]) -> dict[str, Any]:
    """What the scenes of one detail share.

    ``strands``: entity, root, source, position, and the last position that the piece stands for; a dot of a row has
    None for that. ``cuts``: entities and positions where a cut can be marked. ``lit``: what is highlighted → a bit for
    each strand and then for each entity that can be lit, as a hexadecimal number, the first bit lowest.
    """
    keys = strand_keys(scenes)
    entities = list(dict.fromkeys(id for scene in scenes for id in _lightable(scene)))
    last = {key: at for scene in scenes for key, at in last_positions(scene).items()}
    dots = {(p.entity, d.root, p.via, 0) for scene in scenes for p in scene.parts if isinstance(p, Row) for d in p.dots}
    lit = {}
    for entity in (entity for entity in plexus.entities() if not isinstance(entity, Sign | Scenario)):
        names, strands = highlight.states(scenes[0], strands_of(plexus, (entity,)))
        seen = (*map(strands.get, keys), *map(names.get, entities))
        bits = _bits(state == "highlit" for state in seen)
        if bits:
            lit[entity.id] = f"{bits:x}"
    return {
        "strands": [[*key, None if key in dots else last.get((key[0], key[3]), key[3])] for key in keys],
        "lightable": entities,
        "rows": list(dict.fromkeys(p.entity for scene in scenes for p in scene.parts if isinstance(p, Row))),
        "cuts": [[entity, at] for entity, at in sorted(_spots(scenes))],
        "lit": lit,
    }


def _lightable(scene: Scene) -> Iterable[str]:
    return (part.entity for part in scene.parts if isinstance(part, Strand | Pill | Label | Row))


def _spots(scenes: Iterable[Scene]) -> set[tuple[str, int]]:
    return {(part.entity, part.at) for scene in scenes for part in scene.parts if isinstance(part, Spot)}


def _bits(values: Iterable[bool]) -> int:
    digits = "".join("1" if value else "0" for value in values)
    return int(digits[::-1] or "0", 2)
