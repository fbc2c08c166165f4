"""The fibres that a reader wants to follow: lit, and the rest dimmed."""

from __future__ import annotations

from collections.abc import Iterable

from plexusdraw.routes.reach import Strands
from plexusdraw.scene import Label, Part, Pill, Row, Scene, Strand
from plexusdraw.scene.view import State, StrandKey, strand_key, strand_keys

LEGEND = "Not dimmed: the fibres asked for, from end to end."


def states(scene: Scene, lit: Strands) -> tuple[dict[str, State], dict[StrandKey, State]]:
    """States of the entities and of the strands of a page, dots of its table among them."""
    bright, on = shown(scene.parts, lit)
    strands: dict[StrandKey, State] = dict.fromkeys(strand_keys(scene.parts), "dimmed")
    named = dict.fromkeys(p.entity for p in scene.parts if isinstance(p, Strand | Pill | Label | Row))  # no columns
    return {id: "highlit" if id in bright else "dimmed" for id in named}, strands | dict.fromkeys(on, "highlit")


def shown(parts: Iterable[Part], lit: Strands) -> tuple[set[str], list[StrandKey]]:
    """Ids of what is lit, and which strands and dots among *parts* are."""
    bright, on = {target for target, _ in lit.targets}, []
    for part in parts:
        if isinstance(part, Strand):
            if _is_lit(part, lit):
                on.append(strand_key(part))
                bright |= {part.entity, part.whole}
        elif isinstance(part, Row):
            for dot in part.dots:
                here = (part.entity, dot.root) in lit.targets
                if part.via is not None:
                    here = (part.entity, dot.root, part.via) in lit.arrivals
                if here:
                    on.append((part.entity, dot.root, part.via, 0))
    return bright, on


def _is_lit(strand: Strand, lit: Strands) -> bool:
    if strand.source is not None:
        return (strand.entity, strand.root, strand.source) in lit.arrivals
    to = lit.along.get((strand.entity, strand.root), -2)
    return strand.at <= to
