"""Numbers at places of a plexus: a plate beside each mark, clear of names and of strands of others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import cos, hypot, radians, sin

from plexusdraw import fonts
from plexusdraw.layout.checks import dense, worded
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.sites import Site
from plexusdraw.scene import MM_PER_PT, Box, Label, Part, Pill, Point, Scene, Spot, Strand

SIZE_PT = 7.0
CLOSE_MM = 12.0
"""Nearer marks of one nerve could not be told apart beside their numbers."""
BAR_MM = 1.6
"""From the edge of a bundle, and from the place, to the ends of its mark."""
_HEIGHT = 1.5
"""Of a plate, in ems."""
_STEPS = (0.0, 1.5, 3.0, 4.5, 6.0, 8.0, 10.0)
"""How far along its strands a plate may stand from the mark, mm."""
_OFFS = (1.0, -1.0, 0.0, 1.7, -1.7, 2.4, -2.4)
"""How far beside them, in its nearest distance; on them only ahead of the mark."""
KIN = 0.1
"""Weight of a strand of another part of the same nerve, or of what it becomes: rather there than on another nerve."""
_OVER_TEXT = 1000
"""Where nothing is free, a plate lies rather over many strands than over one word."""


def spot_of(plexus: Plexus, spots: Sequence[Spot], segment: str, at: int) -> Spot | None:
    """Where a place is marked: the last spot at or before it, of what is not drawn that where it leaves what is."""
    here = [s for s in spots if s.entity == segment and s.at <= at]
    if here:
        return max(here, key=lambda s: s.at)
    for parent in plexus.segments[segment].parents:
        try:
            leaves = plexus.segments[parent].position_of(segment)
        except KeyError:  # it goes on at the parent's end
            leaves = len(plexus.segments[parent].course)
        found = spot_of(plexus, spots, parent, leaves)
        if found:
            return found
    return None


def spots_of(plexus: Plexus, scene: Scene, sites: Sequence[Site]) -> tuple[Spot, ...]:
    """The spots of several sites, each once."""
    spots = [part for part in scene.parts if isinstance(part, Spot)]
    found = (spot_of(plexus, spots, id, at) for site in sites for id, at in site.cuts)
    return tuple(dict.fromkeys(spot for spot in found if spot))


def numbered(plexus: Plexus, scene: Scene, places: Sequence[Sequence[Site]]) -> dict[Spot, list[int]]:
    """Where places are marked, with their numbers from 1; those of one nerve that stand too close share a mark."""
    made: dict[Spot, list[int]] = {}
    for number, sites in enumerate(places, start=1):
        for spot in spots_of(plexus, scene, sites):
            near = (s for s in made if s.entity == spot.entity and hypot(s.x - spot.x, s.y - spot.y) < CLOSE_MM)
            own = made.setdefault(next(near, spot), [])
            if number not in own:
                own.append(number)
    return made


def plates(scene: Scene, numbers: Mapping[Spot, Sequence[int]]) -> Iterator[Part]:
    """A plate with its numbers for each spot; two that stand at one place share one."""
    taken = [w.box for w in worded(scene)] + [_bar(spot) for spot in numbers]
    strands = [part for part in scene.parts if isinstance(part, Strand)]
    wholes = {s.entity: s.whole for s in strands if s.whole}
    for spot, own, entities in _joined(numbers, wholes):
        text = ", ".join(map(str, own))
        high = _HEIGHT * SIZE_PT * MM_PER_PT
        wide = max(high, fonts.width(text, SIZE_PT, bold=True) + 0.55 * high)
        within = wholes.get(spot.entity)
        kin = {s.entity for s in strands if (within and s.whole == within) or s.source in entities}
        foreign = [
            (p, s.width / 2, KIN if s.entity in kin else 1.0)
            for s in strands
            if s.entity not in entities
            for p in dense(s.curve)
        ]
        names = [p for p in scene.parts if isinstance(p, Label) and (p.entity, p.role) == (spot.entity, "name")]
        bad, near = _place(spot, wide, high, taken, foreign)
        x, y = (bad and _beside(names, wide, high, taken, scene)) or near
        box = Box(x - wide / 2, y - high / 2, wide, high)
        base = y + 0.5 * fonts.CAP_EM * SIZE_PT * MM_PER_PT
        taken.append(box)
        yield Pill(spot.entity, "place", box, fonts.text(text, x, base, SIZE_PT, "middle", bold=True), (x, y))


def _joined(
    numbers: Mapping[Spot, Sequence[int]], wholes: Mapping[str, str]
) -> list[tuple[Spot, Sequence[int], set[str]]]:
    """Spots with their numbers, and whose strands they mark.

    Those of a whole's parts that stand over each other with the same numbers are one.
    """
    made: list[tuple[Spot, Sequence[int], set[str]]] = []
    for spot, own in numbers.items():
        pairs = ((i, other) for i, (other, same, _) in enumerate(made) if list(same) == list(own))
        at = next((i for i, other in pairs if _over_each_other(other, spot, wholes)), None)
        if at is None:
            made.append((spot, own, {spot.entity}))
        else:
            other, same, entities = made[at]
            made[at] = (_spanning(other, spot), same, entities | {spot.entity})
    return made


def _over_each_other(one: Spot, other: Spot, wholes: Mapping[str, str]) -> bool:
    """Whether two spots are one place on the parts of a whole."""
    whole = wholes.get(one.entity)
    return bool(whole) and whole == wholes.get(other.entity) and abs(one.x - other.x) < BAR_MM


def _spanning(one: Spot, other: Spot) -> Spot:
    """The one made as high as both."""
    top, bottom = min(one.y - one.half, other.y - other.half), max(one.y + one.half, other.y + other.half)
    return replace(one, y=(top + bottom) / 2, half=(bottom - top) / 2)


def _bar(spot: Spot) -> Box:
    """What the mark of a cut takes."""
    ux, uy = abs(cos(radians(spot.angle))), abs(sin(radians(spot.angle)))
    w, h = BAR_MM * ux + (spot.half + 0.9) * uy, BAR_MM * uy + (spot.half + 0.9) * ux
    return Box(spot.x - w, spot.y - h, 2 * w, 2 * h)


def _place(
    spot: Spot, wide: float, high: float, taken: Sequence[Box], foreign: Sequence[tuple[Point, float, float]]
) -> tuple[float, Point]:
    """The middle of a plate, beside the mark or a little along: the first place that is free, else the freest.

    And how much it covers there.
    """
    ux, uy = cos(radians(spot.angle)), sin(radians(spot.angle))
    best: tuple[float, Point] | None = None
    for along in _STEPS:
        for sign in (1, -1):
            for off in _OFFS:
                away = (spot.half + BAR_MM + (high if abs(ux) > abs(uy) else wide) / 2) * off
                ahead = sign * (along + (0.0 if off else wide / 2 + BAR_MM + 0.4))
                x, y = spot.x + ux * ahead - uy * away, spot.y + uy * ahead + ux * away
                box = Box(x - wide / 2, y - high / 2, wide, high)
                bad: float = _OVER_TEXT * sum(box.meets(other, 0.3) for other in taken)
                bad += sum(
                    weight * (hypot(max(box.x - a, 0, a - box.right), max(box.y - b, 0, b - box.bottom)) < r + 0.2)
                    for (a, b), r, weight in foreign
                )
                if not bad:
                    return 0, (x, y)
                if best is None or bad < best[0]:
                    best = (bad, (x, y))
    assert best is not None
    return best


def _beside(names: Sequence[Label], wide: float, high: float, taken: Sequence[Box], scene: Scene) -> Point | None:
    """Beyond the name of the nerve, on the same line; None where something stands there, or the page ends."""
    for line in (name.lines[-1] for name in names if name.lines):
        sign = -1 if line.anchor == "end" else 1
        edge = line.box.x if sign < 0 else line.box.right
        x, y = edge + sign * (wide / 2 + BAR_MM), line.box.y + line.box.h / 2
        box = Box(x - wide / 2, y - high / 2, wide, high)
        inside = scene.margin <= box.x and box.right <= scene.width - scene.margin
        if inside and not any(box.meets(other) for other in taken):
            return x, y
    return None
