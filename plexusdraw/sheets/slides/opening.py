"""The first and the last slide: title with a picture of plexus and limb; the sources of the model, once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from plexusdraw import charts, fonts
from plexusdraw.api import fitting
from plexusdraw.layout.fit import Options, orientation
from plexusdraw.layout.limb import strip
from plexusdraw.layout.paper import Paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Box, Gap, Heading, Note, Part, Scene, Strand
from plexusdraw.scene.transform import Move
from plexusdraw.sheets.slides.case_slide import blank
from plexusdraw.sheets.slides.room import lines_of
from plexusdraw.sheets.slides.steps import Outline

TITLE_PT = 40.0
BENEATH_PT = {"subtitle-line": 24.0, "occasion": 20.0, "orientation": 16.0}
"""Type of what stands under the title, by the key of its note."""
TOP_SHARE = 0.13
"""Of the height: from the upper edge to the title."""
LIMB_SHARE = 0.36
"""Of the width: the limb on the right."""
ART_PT = 4.0
"""Type of the drawing whose names are left out; lengths follow it."""
WORDS = ("common practice", "memory")
"""Ids that stand for no source."""
HEAD_PT = 24.0
SOURCE_PT = 14.0
COLUMNS = 2
GAP_MM = 8.0
LEADING = 1.22


def title(plexus: Plexus, options: Options, outline: Outline) -> Scene:
    """The slide with the title, what stands under it, the plexus without names and, with a chart, the limb."""
    page = options.page
    room = Box(page.margin, page.height * TOP_SHARE, page.width - 2 * page.margin, page.height * (1 - TOP_SHARE))
    limb = list(_limb(plexus, options, room))
    wide = room.w * (1 - LIMB_SHARE) - GAP_MM if limb else room.w
    y = room.y + fonts.ascent(TITLE_PT)
    notes = [Note("title", "title", fonts.text("", room.x, y, TITLE_PT, bold=True), wide)]
    said = (outline.subtitle, outline.occasion, orientation(plexus, options))
    for (key, size), words in zip(BENEATH_PT.items(), said, strict=True):
        for i, line in enumerate(fonts.wrap(words, wide, size)):
            y += size * MM_PER_PT * 1.5
            notes.append(Note("credit", f"{key}-{i}", fonts.text(line, room.x, y, size), wide))
    under = Box(room.x, y + GAP_MM, wide, page.height - page.margin - y - 2 * GAP_MM)
    return blank(page, [*_art(plexus, options, under), *limb, *notes], options.side, plexus, _told(plexus, bool(limb)))


def _told(plexus: Plexus, with_limb: bool) -> str:
    return f"The strands of the {plexus.name}, without names" + (", and the muscles of the limb." if with_limb else ".")


def _art(plexus: Plexus, options: Options, room: Box) -> Iterator[Part]:
    """The strands of the plexus, as large as its place."""
    page = Paper("picture", room.w, room.h, margin=0.0, smallest=ART_PT)
    made = fitting(plexus.drawn, replace(options, detail="framework", page=page, supply=False, remark=False))
    for part in made[0].parts if made else ():
        if isinstance(part, Gap | Strand):
            yield Move(room.x, room.y).part(part)


def _limb(plexus: Plexus, options: Options, room: Box) -> Iterator[Part]:
    """The limb from the front, its muscles in the colours of their nerves."""
    if not plexus.chart:
        return
    figures = strip.figures(plexus, charts.of(plexus), ("muscles",), options.side, "nerve")
    shown = [f for f in figures if f.plate.layer != "deep"][:2]
    wide = LIMB_SHARE * room.w
    place = Box(room.x + room.w - wide, room.y, wide, room.h - 2 * options.page.margin)
    made = strip.strip(shown, place, SOURCE_PT, GAP_MM, rows=1)
    yield from (part for part in made.parts if not isinstance(part, Heading))


def sources(plexus: Plexus, options: Options, _: Outline) -> Scene:
    """The sources that most entries rest on, as many as fit; the notes name all."""
    page = options.page
    y = page.margin + fonts.ascent(HEAD_PT)
    wide = page.width - 2 * page.margin
    head = Note("title", "title", fonts.text("", page.margin, y, HEAD_PT, bold=True), wide)
    room = Box(page.margin, y + GAP_MM, wide, page.height - 2 * page.margin - y - GAP_MM)
    return blank(page, [head, *_listed(titles(plexus), room)], options.side, plexus, "Titles of the sources.")


def titles(plexus: Plexus) -> list[str]:
    """Titles of the sources that entries name, the one with most entries first."""
    cited = (id for entity in plexus.entities() for id in entity.sources)
    many = Counter(id for id in cited if id in plexus.sources and id not in WORDS)
    found = sorted(many, key=lambda id: (-many[id], list(plexus.sources).index(id)))
    return [plexus.sources[id].title for id in found]


def _listed(texts: Sequence[str], room: Box) -> Iterator[Note]:
    """Titles in columns, as many as fit, then how many there are beside these."""
    wide = (room.w - GAP_MM * (COLUMNS - 1)) / COLUMNS
    every = [lines_of(text, wide, SOURCE_PT) for text in texts]
    for shown in range(len(texts), -1, -1):
        rest = len(texts) - shown
        more = f"and {rest} more, named in the notes of this slide" if rest else ""
        placed = _placed([*every[:shown], *([lines_of(more, wide, SOURCE_PT)] if more else [])], room, wide)
        if placed is not None:
            yield from placed
            return


def _placed(texts: Sequence[Sequence[str]], room: Box, wide: float) -> list[Note] | None:
    """Texts in lines down the columns, none broken from one to the next; None where they do not fit."""
    step = SOURCE_PT * MM_PER_PT * LEADING
    column, y, made = 0, room.y, list[Note]()
    for i, lines in enumerate(texts):
        if y + len(lines) * step > room.bottom:
            column, y = column + 1, room.y
        if column == COLUMNS:
            return None
        x = room.x + column * (wide + GAP_MM)
        for k, line in enumerate(lines):
            y += step
            text = fonts.text(line, x, y - fonts.descent(SOURCE_PT), SOURCE_PT)
            made.append(Note("legend", f"source-{i}-{k}", text, wide))
        y += 0.35 * step
    return made
