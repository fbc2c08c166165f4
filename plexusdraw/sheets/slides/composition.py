"""A page of the layout as a slide: parts left out, never moved; the step's title, its section and number."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import MM_PER_PT, Gap, Heading, Label, Leader, Note, Panel, Part, Row, Scene

TITLE_PT = 18.0
"""No slide's title is smaller."""
FOOT_PT = 11.0
_FOOT_MM = 2.0
"""From the page's lower edge to the baseline of section and number."""
_SECTION_SHARE = 0.7


def drawn(scene: Scene) -> frozenset[str]:
    """Ids of the structures that a page shows."""
    furniture = (Panel, Heading, Note, Row)
    return frozenset(part.entity for part in scene.parts if not isinstance(part, furniture))


def has_table(scene: Scene) -> bool:
    """Whether a page holds rows of the supply table."""
    return any(isinstance(part, Row) for part in scene.parts)


def rows_of(plexus: Plexus, scene: Scene) -> Iterator[tuple[Row, frozenset[str]]]:
    """Each row of the supply table with the nerves it may stand for: the one named above it, where there is one."""
    above: str | None = None
    beside = has_table(scene) and not _is_table(scene)
    by_target: dict[str, set[str]] = {}
    if beside:
        for id in drawn(scene):
            for target in supplied(plexus, id):
                by_target.setdefault(target.id, set()).add(id)
    for part in scene.parts:
        if isinstance(part, Label) and part.role == "name":
            above = part.entity
        elif isinstance(part, Row):
            yield part, frozenset(by_target.get(part.entity, ())) if beside else frozenset({above or ""})


def _is_table(scene: Scene) -> bool:
    """Whether a page is a table alone."""
    return not any(isinstance(part, Gap | Leader) or type(part).__name__ == "Strand" for part in scene.parts)


def kept(plexus: Plexus, scene: Scene, supply: Collection[str]) -> Scene:
    """The page without what nerves not in *supply* supply."""
    seen = {id(row) for row, nerves in rows_of(plexus, scene) if not nerves.isdisjoint(supply)}
    alone = _is_table(scene)

    def stays(part: Part) -> bool:
        if isinstance(part, Row):
            return id(part) in seen
        if isinstance(part, Label) and (part.role == "supply" or alone):
            return part.entity in supply
        return not (isinstance(part, Leader) and part.entity in plexus.segments and part.entity not in supply)

    return replace(scene, parts=tuple(part for part in scene.parts if stays(part)))


def room_for_title(scene: Scene) -> float:
    """Width for a title, mm; 0 where the page has none."""
    return next((p.room for p in scene.parts if isinstance(p, Note) and p.role == "title"), 0.0)


def fits(scene: Scene, title: str) -> bool:
    """Whether a title goes into its line at the least size."""
    return fonts.width(title, TITLE_PT, bold=True) <= room_for_title(scene)


def framed(scene: Scene, title: str, section: str, number: int) -> Scene:
    """The page with the title of a step, in a size that fits, and its section and number in the lower margin."""
    parts = [_titled(part, title) if isinstance(part, Note) and part.role == "title" else part for part in scene.parts]
    margin = _margin(scene)
    y, room = scene.height - _FOOT_MM, scene.width - 2 * margin
    left = fonts.text(section, margin, y, FOOT_PT)
    right = fonts.text(str(number), scene.width - margin, y, FOOT_PT, "end")
    feet = [Note("credit", "section", left, _SECTION_SHARE * room)] if section else []
    feet.append(Note("credit", "number", right, (1 - _SECTION_SHARE) * room))
    return replace(scene, parts=(*parts, *feet), title=title)


def _titled(note: Note, title: str) -> Note:
    text = note.text
    wide = fonts.width(title, 1.0, bold=True)
    size = max(TITLE_PT, min(text.size, note.room / wide if wide else text.size))
    size = int(size * 10) / 10
    return replace(note, text=fonts.text(title, text.x, text.y, size, text.anchor, bold=True))


def _margin(scene: Scene) -> float:
    """The page's side margin, mm, told by its outermost column."""
    edges = [min(p.box.x, scene.width - p.box.right) for p in scene.parts if isinstance(p, Panel)]
    return max(min(edges, default=8.0), 2 * MM_PER_PT)
