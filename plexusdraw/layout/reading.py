"""The order in which a page is read, aloud or by its numbers: title, columns from the roots on, table, foot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plexusdraw.scene import Heading, Label, Note, Panel, Part, Pill, Point, Role, Row

_HEAD: Mapping[Role, int] = {"title": 0, "orientation": 1}
_FOOT: Mapping[Role, int] = {"legend": 0, "caution": 1, "credit": 2}

SUPPLY = "supply"
"""Kind of a panel behind a column of a table."""
Place = tuple[int, int, float, float]
"""Band of the page, column in it, y and x in mm."""


def reading_order(parts: Sequence[Part]) -> tuple[int, ...]:
    """Places in *parts* of all that carries words, in reading order; the roots are on the left.

    A column is read downwards, and so is what stands in none: the supply table beside a drawing. Columns of a table,
    under a drawing or alone, come after both.
    """
    panels = [part for part in parts if isinstance(part, Panel)]
    placed = [(_place(part, panels), i) for i, part in enumerate(parts)]
    return tuple(i for _, i in sorted((place, i) for place, i in placed if place is not None))


def _place(part: Part, panels: Sequence[Panel]) -> Place | None:
    if isinstance(part, Note) and part.role in _HEAD:
        return (0, _HEAD[part.role], 0.0, 0.0)
    if isinstance(part, Note) and part.role in _FOOT:
        return (3, _FOOT[part.role], 0.0, 0.0)
    point = _point(part)
    if point is None:
        return None
    x, y = point
    panel = next((panel for panel in panels if panel.box.holds(x, y)), None)
    if panel is None:
        return (2, 0, y, x)
    return (2, 1 + panel.index, y, x) if panel.kind == SUPPLY else (1, panel.index, y, x)


def _point(part: Part) -> Point | None:
    """Where the words of a part begin, or the number that stands for them."""
    match part:
        case Pill() | Label():
            return part.badge
        case Row():
            return (part.name.x, part.name.y)
        case Heading() | Note():
            return (part.text.x, part.text.y)
        case _:
            return None
