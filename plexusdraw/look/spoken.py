"""The words of a page as they are read aloud and copied: in the order that the scene gives."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plexusdraw.look.marks import Group, Words


def spoken(groups: Sequence[Group]) -> Iterator[tuple[Words, bool]]:
    """Each line of text, and whether it is the title."""
    for group in sorted(groups, key=lambda group: group.rank):
        for mark in group.marks:
            if isinstance(mark, Words):
                yield mark, group.kind == "title" and not group.entity
