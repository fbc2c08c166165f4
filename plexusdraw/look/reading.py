"""The order in which the words of a page are read aloud and copied."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plexusdraw.look.marks import Group, Words
from plexusdraw.scene import Panel, Scene

_FIRST = ("title", "orientation")
_LAST = ("legend", "caution", "credit")


def reading_order(scene: Scene, groups: Sequence[Group]) -> Iterator[tuple[Words, bool]]:
    """Each line of text, and whether it is the title: title, columns from the roots on, table, notes.

    A column is read downwards; what belongs to no column (the supply table) keeps the order of the scene.
    """
    spoken = [(group, [m for m in group.marks if isinstance(m, Words)]) for group in groups]
    keyed = [(_key(scene, group, lines), i) for i, (group, lines) in enumerate(spoken) if lines]
    for _, i in sorted(keyed):
        group, lines = spoken[i]
        for line in lines:
            yield line, group.kind == "title" and not group.entity


def _key(scene: Scene, group: Group, lines: Sequence[Words]) -> tuple[int, float, float]:
    if not group.entity and group.kind in _FIRST:
        return (0, _FIRST.index(group.kind), 0.0)
    if not group.entity and group.kind in _LAST:
        return (3, _LAST.index(group.kind), 0.0)
    x, y = lines[0].x, lines[0].y
    for part in scene.parts:
        if isinstance(part, Panel) and part.box.x <= x <= part.box.right:
            return (1, part.index, y)
    return (2, 0.0, 0.0)
