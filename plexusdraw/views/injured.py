"""An injury on a page: which strands are lost, where the cuts are marked, the words in the rows of the table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from plexusdraw.scene import Row, Scene, Spot, Strand
from plexusdraw.scene.view import State, StrandKey, strand_key

if TYPE_CHECKING:
    from plexusdraw.clinic.injury import Injury

WORD: Mapping[str, str] = {
    "paralysed": "paralysed",
    "weak": "weak",
    "slight": "slightly weak",
    "lost": "lost",
    "reduced": "reduced",
}
"""State of a muscle or skin area → the word in its row; spared has none."""
STATE: Mapping[str, State] = {
    "paralysed": "lost",
    "weak": "weak",
    "slight": "weak",
    "lost": "lost",
    "reduced": "weak",
}
LEGENDS: dict[str, str] = {
    "cut": "Bars: the cut. Grey and dashed: fibres cut off beyond it. All else survives.",
    "partial": "Bars: the cut, which spares some fibres. Dashed: fibres cut in part.",
    "mixed": "Bars: the cuts. Grey and dashed: fibres cut off. Dashed: cut in part.",
    "cut elsewhere": "Grey and dashed: fibres cut off before they come here. All else survives.",
    "partial elsewhere": "Dashed: fibres cut in part before they come here.",
    "mixed elsewhere": "Grey and dashed: fibres cut off before they come here. Dashed: cut in part.",
    "cut table": "Dots: filled, principal; ring, minor; cross, lost.",
    "partial table": "Dots: filled, principal; ring, minor; cross, lost in part.",
    "mixed table": "Dots: filled, principal; ring, minor; cross, lost or in part.",
}


@dataclass(slots=True)
class Shown:
    """What an injury changes on a page, as in a :class:`~plexusdraw.scene.view.View`."""

    entities: dict[str, State] = field(default_factory=dict)
    strands: dict[StrandKey, State] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)


def states(scene: Scene, injury: Injury) -> Shown:
    """States of the nerves and rows that an injury reaches, and the words of the rows."""
    shown = Shown()
    _strands(scene, injury, shown)
    for part in scene.parts:
        if isinstance(part, Row):
            _row(part, injury, shown)
    return shown


def _strands(scene: Scene, injury: Injury, shown: Shown) -> None:
    flows: dict[str, set[str]] = {}
    last = last_positions(scene)
    for part in scene.parts:
        if isinstance(part, Strand):
            flow = _flow(part, injury, last)
            for id in {part.entity, part.whole} - {""}:
                flows.setdefault(id, set()).add(flow)
            if flow != "alive":
                shown.strands[strand_key(part)] = "lost" if flow == "lost" else "weak"
    for id, found in flows.items():
        if found != {"alive"}:
            shown.entities[id] = "lost" if found == {"lost"} else "weak"


def _row(row: Row, injury: Injury, shown: Shown) -> None:
    outcome = injury.outcome(row.entity)
    if outcome.state in WORD:
        shown.words[row.entity] = WORD[outcome.state]
        shown.entities[row.entity] = STATE[outcome.state]
    gone = {r.root for r in outcome.broken if row.via in (None, r.path[-1])}
    routes = injury.rule.fibres.of(row.entity)
    kept = {r.root for r in routes if r.path[-1] == row.via and r not in outcome.broken}
    for dot in row.dots:
        if dot.root in gone & kept:  # by a second way into the same nerve
            shown.strands[row.entity, dot.root, row.via, 0] = "weak"
        elif dot.root in gone:
            shown.strands[row.entity, dot.root, row.via, 0] = "lost"
        elif row.entity in shown.words:
            shown.strands[row.entity, dot.root, row.via, 0] = "plain"


def last_positions(scene: Scene) -> dict[tuple[str, int], int]:
    """(entity, position at which a piece begins) → last position that the piece stands for."""
    stops: dict[str, set[int]] = {}
    for part in scene.parts:
        if isinstance(part, Spot):
            stops.setdefault(part.entity, set()).add(part.at)
    found: dict[tuple[str, int], int] = {}
    for entity, places in stops.items():
        order = sorted(places)
        for here, following in zip(order, [*order[1:], None], strict=True):
            found[entity, here] = here if following is None else following - 1
    return found


def _flow(strand: Strand, injury: Injury, last: Mapping[tuple[str, int], int]) -> str:
    if strand.source is not None:
        return injury.strand(strand.entity, strand.root, source=strand.source)
    if strand.at < 0:
        return "alive"
    return injury.strand(strand.entity, strand.root, last.get((strand.entity, strand.at), strand.at))


def cuts(scene: Scene, injury: Injury) -> tuple[tuple[str, int], ...]:
    """(entity, position) of the spot that marks each cut: the last one at or before it."""
    found: list[tuple[str, int]] = []
    for entity, at in injury.cuts:
        here = [p.at for p in scene.parts if isinstance(p, Spot) and p.entity == entity and p.at <= at]
        if here:
            found.append((entity, max(here)))
    return tuple(found)


def legend(scene: Scene, injury: Injury) -> str:
    """What the signs of an injury mean, of those that the page has."""
    some = any(site.partial for site in injury.sites)
    kind = "partial" if injury.partial else "mixed" if some else "cut"
    strands = LEGENDS[kind] if cuts(scene, injury) else LEGENDS[f"{kind} elsewhere"]
    if scene.table == "none":
        return strands
    dots = LEGENDS[f"{kind} table"]
    if not any(part.minor for part in scene.parts if isinstance(part, Row)):
        dots = dots.replace(" ring, minor;", "")
    return dots if scene.table == "alone" else f"{strands} {dots}"
