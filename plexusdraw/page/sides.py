"""How the picture of a right limb differs from the mirror image of the left one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plexusdraw.look import strokes
from plexusdraw.look.theme import Dashes
from plexusdraw.page.marks import Place, curve_place, flipped, hundredths, turned
from plexusdraw.scene import Strand

Item = list[Any]
Course = tuple[tuple[Place, ...], tuple[tuple[int, ...], ...]]
"""Where a strand is drawn, plain and with a hair more, and each of the dashes that it may have: hundredths of a mm."""


def course(part: Strand, dashes: Sequence[Dashes]) -> Course:
    """All that tells how a strand is drawn in any state; *dashes*: those of all looks, in widths of the strand."""
    made = (strokes.dashed(tuple(d * part.width for d in dash), part.curve) for dash in dashes)
    written = tuple(tuple(hundredths(v) for v in (*dash, offset)) for dash, offset in made)
    return (curve_place(part.curve), curve_place(strokes.longer(part.curve))), written


def flipped_course(course: Course, wide: int) -> Course:
    """The same, mirrored on a page of that width, hundredths of a mm."""
    places, dashes = course
    return tuple(flipped(place, wide) for place in places), dashes


def unlike(left: Item, right: Item, wide: int) -> Item | int:
    """How the slots of a part of the right limb differ from the left one's mirror image; 0 if none does."""
    *head, slots = left
    *same, theirs = right
    assert head == same, "the sides differ in places alone"
    turn = head[0] == "cut"  # a bar is the same from either end
    unlike = [_unlike_slot(slot, other, wide, turn=turn) for slot, other in zip(slots, theirs, strict=True)]
    return unlike if any(unlike) else 0


def _unlike_slot(slot: Item, other: Item, wide: int, *, turn: bool) -> Item | int:
    """For each place what :func:`_unlike_place` says; 0 if all are mirrored; else None and the whole slot."""
    if not other:
        return 0
    (look, places, dashes), (its_look, others, its_dashes) = slot, other
    if look != its_look or dashes != its_dashes or len(places) != len(others):
        return [None, *other]
    pairs = zip(places, others, strict=True)
    unlike = [_unlike_place(place, theirs, wide, turn=turn) for place, theirs in pairs]
    return unlike if any(unlike) else 0


def _unlike_place(place: Place, other: Place, wide: int, *, turn: bool) -> Place | int:
    """0 if it is mirrored, how far it is moved across if it is only moved (dots keep their order), else itself."""
    if flipped(place, wide) in (other, turned(other) if turn else other):
        return 0
    moved = other[1] - place[1]
    return moved if moved and (place[0], *place[2:]) == (other[0], *other[2:]) else other
