"""A page of the layout as a slide: parts left out, never moved; the step's title, its section and number."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.errors import FitError
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Heading, Label, Leader, Note, Panel, Part, Row, Scene
from plexusdraw.scene.transform import changed

TITLE_PT = 18.0
"""No slide's title is smaller."""
FOOT_PT = 14.0
"""Section, subtitle and number."""
_FOOT_MM = 1.6
"""From the page's lower edge to the baseline of section and number."""
_SHARES = (0.3, 0.55, 0.15)
"""Of the width: section, subtitle, number."""


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
        if isinstance(part, Leader) and part.to == "supply" and part.entity in plexus.segments:
            return part.entity in supply
        return True

    return changed(scene, lambda part: part if stays(part) else None)


def room_for_title(scene: Scene) -> float:
    """Width for a title, mm; 0 where the page has none."""
    return next((p.room for p in scene.parts if isinstance(p, Note) and p.role == "title"), 0.0)


def fits(scene: Scene, title: str) -> bool:
    """Whether a title goes into its line at the least size."""
    return fonts.width(title, TITLE_PT, bold=True) <= room_for_title(scene)


@dataclass(frozen=True, slots=True)
class Foot:
    """What stands in the lower margin."""

    section: str
    subtitle: str
    number: int


def framed(scene: Scene, title: str, foot: Foot) -> Scene:
    """The page with room for a step's title, in a size that fits, and its foot in the lower margin.

    Raises:
        FitError: the subtitle is too wide for its place.
    """
    margin, y, room = scene.margin, scene.height - _FOOT_MM, scene.width - 2 * scene.margin
    middle = margin + room * (_SHARES[0] + _SHARES[1] / 2)
    texts = {
        "section": fonts.text(foot.section, margin, y, FOOT_PT),
        "subtitle": fonts.text(foot.subtitle, middle, y, FOOT_PT, "middle"),
        "number": fonts.text(str(foot.number), scene.width - margin, y, FOOT_PT, "end"),
    }
    rooms = dict(zip(texts, (share * room for share in _SHARES), strict=True))
    if texts["subtitle"].box.w > rooms["subtitle"]:
        wide = f"{rooms['subtitle']:.0f} mm of its place in {FOOT_PT:g} pt"
        raise FitError(f'the subtitle "{foot.subtitle}" is wider than the {wide}')
    feet = [Note("credit", key, text, rooms[key]) for key, text in texts.items() if text.string]
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
