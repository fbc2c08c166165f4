"""What of a picture can be pointed at by its name."""

from __future__ import annotations

from typing import Any

from plexusdraw.page.marks import hundredths
from plexusdraw.scene import Box, Label, Pill, Row, Scene

Item = list[Any]


def items(scene: Scene) -> list[Item]:
    """What can be pointed at by its name, in reading order: entity, what it is told to a listener beside its name,
    the boxes of its name and of its blank, and further boxes that stand for it, hundredths of a mm.
    """
    found: dict[str, Item] = {}
    for part in scene.read():
        if not isinstance(part, Pill | Label | Row):
            continue
        box = part.box if isinstance(part, Pill) else part.name.box if isinstance(part, Row) else _lines(part)
        if part.entity in found:
            found[part.entity][-1].append(_box(box))
        elif not isinstance(part, Label) or part.role == "name":
            blank = box if isinstance(part, Pill) else part.blank
            roots = [dot.root + (" small" if dot.minor else "") for dot in part.dots] if isinstance(part, Row) else []
            found[part.entity] = [part.entity, " ".join(roots), _box(box), _box(blank), []]
    return list(found.values())


def _lines(label: Label) -> Box:
    boxes = [line.box for line in label.lines] or [label.blank]
    x, y = min(b.x for b in boxes), min(b.y for b in boxes)
    return Box(x, y, max(b.right for b in boxes) - x, max(b.bottom for b in boxes) - y)


def _box(box: Box) -> list[int]:
    return [hundredths(v) for v in (box.x, box.y, box.w, box.h)]
