"""What a reader of the page can ask of a picture, answered beforehand by :mod:`plexusdraw.views.request`.

Only injuries are answered in the browser, since there are too many.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plexusdraw.clinic.injury import Injury
from plexusdraw.model.entities import Scenario, Sign
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.routes.reach import Strands, strands_of
from plexusdraw.scene import Label, Part, Pill, Row, Scene, Spot, Strand
from plexusdraw.scene.view import LabelKey, StrandKey, strand_keys
from plexusdraw.views import blanks, highlight, stages
from plexusdraw.views.injured import last_positions
from plexusdraw.views.request import Request, notes


@dataclass(frozen=True)
class Asked:
    """What is known of one picture before anybody asks."""

    hidden: Mapping[str, frozenset[str]]
    """Last stage to show, or "" for all → entities that come later."""
    numbers: Mapping[str, tuple[LabelKey, ...]]
    """Kind of name to blank → the labels, in the order in which they are numbered."""
    legends: Mapping[str, str]
    """What the picture shows → its legend; "" for none."""


def asked(plexus: Plexus, scene: Scene) -> Asked:
    """What can be asked of a picture, but for highlights and injuries."""
    later = {stage.id: frozenset(stages.hidden(plexus, scene, stage.id)) for stage in plexus.stages}
    kinds = {stage.singular: stage.singular for stage in plexus.stages}
    kinds |= {"labels": "labels", "nerve": "side branches", "muscle": "muscles"}
    return Asked(
        {"": frozenset(), **later},
        {kind: tuple(blanks.numbered(plexus, [scene], (word,))) for kind, word in kinds.items()},
        {what: notes(plexus, scene, request).get("legend") or "" for what, request in _told(plexus).items()},
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


def details(plexus: Plexus, pictures: Mapping[str, Sequence[Scene]]) -> dict[str, Any]:
    """What the scenes of each detail share, as :func:`_shared` says."""
    entities = (entity for entity in plexus.entities() if not isinstance(entity, Sign | Scenario))
    lit = {entity.id: strands_of(plexus, (entity,)) for entity in entities}
    return {detail: _shared(scenes, lit) for detail, scenes in pictures.items()}


def _shared(scenes: Sequence[Scene], lit: Mapping[str, Strands]) -> dict[str, Any]:
    """What the scenes of one detail share; *lit*: each entity with its fibres.

    ``strands``: entity, root, source, position, and the last position that the piece stands for; a dot of a row has
    None for that. ``cuts``: entities and positions where a cut can be marked. ``lit``: what is highlighted → a bit for
    each strand and then for each entity that can be lit, as a hexadecimal number, the first bit lowest.
    """
    parts = [part for scene in scenes for part in scene.parts]
    keys = strand_keys(parts)
    entities = list(dict.fromkeys(_lightable(parts)))
    last = {key: at for scene in scenes for key, at in last_positions(scene).items()}
    rows = [part for part in parts if isinstance(part, Row)]
    dots = {(row.entity, dot.root, row.via, 0) for row in rows for dot in row.dots}
    return {
        "strands": [[*key, None if key in dots else last.get((key[0], key[3]), key[3])] for key in keys],
        "lightable": entities,
        "rows": list(dict.fromkeys(row.entity for row in rows)),
        "cuts": [[entity, at] for entity, at in sorted({(p.entity, p.at) for p in parts if isinstance(p, Spot)})],
        "lit": {id: f"{bits:x}" for id, bits in _bits(scenes[0], lit, keys, entities) if bits},
    }


def _lightable(parts: Iterable[Part]) -> Iterator[str]:
    return (part.entity for part in parts if isinstance(part, Strand | Pill | Label | Row))


def _bits(
    scene: Scene, lit: Mapping[str, Strands], keys: Sequence[StrandKey], entities: Sequence[str]
) -> Iterator[tuple[str, int]]:
    """For each entity the bits of what is lit of a scene: by the place of strands, then of entities."""
    strand = {key: 1 << i for i, key in enumerate(keys)}
    seen = set(_lightable(scene.parts))
    name = {id: 1 << i for i, id in enumerate(entities, start=len(keys)) if id in seen}
    drawn = [part for part in scene.parts if isinstance(part, Strand | Row)]
    for id, fibres in lit.items():
        bright, on = highlight.shown(drawn, fibres)
        yield id, sum(strand[key] for key in set(on)) + sum(name.get(id, 0) for id in bright)
