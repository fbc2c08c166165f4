"""The fibres that a reader wants to follow: lit, and the rest dimmed."""

from __future__ import annotations

from plexusdraw.routes.reach import Strands
from plexusdraw.scene import Label, Pill, Row, Scene, Strand
from plexusdraw.scene.view import State, StrandKey, strand_key

LEGEND = "Not dimmed: the fibres asked for, from end to end."


def states(scene: Scene, lit: Strands) -> tuple[dict[str, State], dict[StrandKey, State]]:
    """States of the entities and of the strands of a page, dots of its table among them."""
    strands: dict[StrandKey, State] = {}
    bright = {target for target, _ in lit.targets}
    for part in scene.parts:
        if isinstance(part, Strand):
            on = _is_lit(part, lit)
            strands[strand_key(part)] = "highlit" if on else "dimmed"
            if on:
                bright |= {part.entity, part.whole}
        elif isinstance(part, Row):
            for dot in part.dots:
                on = (part.entity, dot.root) in lit.targets
                if part.via is not None:
                    on = (part.entity, dot.root, part.via) in lit.arrivals
                strands[part.entity, dot.root, part.via, 0] = "highlit" if on else "dimmed"
    named = dict.fromkeys(p.entity for p in scene.parts if isinstance(p, Strand | Pill | Label | Row))  # no columns
    return {id: "highlit" if id in bright else "dimmed" for id in named}, strands


def _is_lit(strand: Strand, lit: Strands) -> bool:
    if strand.source is not None:
        return (strand.entity, strand.root, strand.source) in lit.arrivals
    to = lit.along.get((strand.entity, strand.root), -2)
    return strand.at <= to
