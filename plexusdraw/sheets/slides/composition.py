"""A page of the layout as a slide: parts left out, never moved; the step's title, its section and number."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Heading, Label, Leader, Note, Panel, Part, Row, Scene
from plexusdraw.scene.transform import changed

TITLE_PT = 18.0
"""No slide's title is smaller."""
FOOT_PT = 11.0
_FOOT_MM = 2.0
"""From the page's lower edge to the baseline of section and number."""
_SECTION_SHARE = 0.7


def drawn(scene: Scene) -> frozenset[str]:
    """Ids of the structures that a page shows."""
    return frozenset(part.entity for part in scene.parts if not isinstance(part, Panel | Heading | Note | Row))


def rows_of(scene: Scene) -> Iterator[Row]:
    """The rows of the supply table on a page."""
    return (part for part in scene.parts if isinstance(part, Row))


def kept(plexus: Plexus, scene: Scene, supply: Collection[str]) -> Scene:
    """The page without what nerves not in *supply* supply."""

    def stays(part: Part) -> bool:
        if isinstance(part, Row):
            return part.nerve in supply
        if isinstance(part, Label) and (part.role == "supply" or scene.table == "alone"):
            return part.entity in supply
        return not (isinstance(part, Leader) and part.entity in plexus.segments and part.entity not in supply)

    return changed(scene, lambda part: part if stays(part) else None)


def room_for_title(scene: Scene) -> float:
    """Width for a title, mm; 0 where the page has none."""
    return next((p.room for p in scene.parts if isinstance(p, Note) and p.role == "title"), 0.0)


def fits(scene: Scene, title: str) -> bool:
    """Whether a title goes into its line at the least size."""
    return fonts.width(title, TITLE_PT, bold=True) <= room_for_title(scene)


def framed(scene: Scene, title: str, section: str, number: int) -> Scene:
    """The page with room for a step's title, in a size that fits, and its section and number in the lower margin."""
    margin, y, room = scene.margin, scene.height - _FOOT_MM, scene.width - 2 * scene.margin
    left = fonts.text(section, margin, y, FOOT_PT)
    right = fonts.text(str(number), scene.width - margin, y, FOOT_PT, "end")
    feet = [Note("credit", "section", left, _SECTION_SHARE * room)] if section else []
    feet.append(Note("credit", "number", right, (1 - _SECTION_SHARE) * room))
    made = changed(scene, lambda part: _sized(part, title))
    last = len(made.parts)
    return replace(made, parts=(*made.parts, *feet), reading=(*made.reading, *range(last, last + len(feet))))


def _sized(part: Part, title: str) -> Part:
    """The note of the title in the size in which *title* fits; other parts as they are."""
    if not isinstance(part, Note) or part.role != "title":
        return part
    text = part.text
    wide = fonts.width(title, 1.0, bold=True)
    size = max(TITLE_PT, min(text.size, part.room / wide if wide else text.size))
    size = int(size * 10) / 10
    return replace(part, text=fonts.text("", text.x, text.y, size, text.anchor, bold=True))
