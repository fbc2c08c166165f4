"""How the picture of a right limb differs from the mirror image of the left one."""

from __future__ import annotations

from typing import Any

from plexusdraw.page.marks import Place, flipped

Item = list[Any]


def unlike(left: Item, right: Item, wide: int) -> Item | int:
    """How the slots of a part of the right limb differ from the left one's mirror image; 0 if none does."""
    *head, slots = left
    *same, theirs = right
    assert head == same, "the sides differ in places alone"
    unlike = [_unlike_slot(slot, other, wide) for slot, other in zip(slots, theirs, strict=True)]
    return unlike if any(unlike) else 0


def _unlike_slot(slot: Item, other: Item, wide: int) -> Item | int:
    """For each place what :func:`_unlike_place` says; 0 if all are mirrored; else None and the whole slot."""
    (look, places, dashes), (its_look, others, its_dashes) = slot, other
    if look != its_look or dashes != its_dashes or len(places) != len(others):
        return [None, *other]
    unlike = [_unlike_place(place, theirs, wide) for place, theirs in zip(places, others, strict=True)]
    return unlike if any(unlike) else 0


def _unlike_place(place: Place, other: Place, wide: int) -> Place | int:
    """0 if it is mirrored, how far it is moved across if it is only moved (dots keep their order), else itself."""
    if flipped(place, wide) == other:
        return 0
    moved = other[1] - place[1]
    return moved if moved and (place[0], *place[2:]) == (other[0], *other[2:]) else other
