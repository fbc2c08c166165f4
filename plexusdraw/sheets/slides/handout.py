"""Slides as a document by typst: one a page, with bookmarks by section; or a handout with lines for notes.

Tagged (PDF/UA-1): sections are headings of the first level, titles of slides of the second.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw.errors import SheetError
from plexusdraw.layout.paper import Paper
from plexusdraw.look.theme import Theme
from plexusdraw.paint import typeset
from plexusdraw.paint.pptx import Slide
from plexusdraw.scene import Note

PER_PAGE = (2, 3, 6)
"""Slides on a page of a handout."""
RULE_MM = 8.0
"""Distance of the lines for notes."""
HEAD_PT = 10.0
_HEAD_MM = 9.0
_GAP = 6.0
_BESIDE = 0.62
"""Share of the width that a slide takes beside its lines."""

_FUNCTIONS = """\
#let section(x, y, size, fill, name) = place(top + left, dx: x * 1mm, dy: y * 1mm,
  heading(level: 1, text(size: size * 1pt, fill: rgb(fill), name)))
#let slide(x, y, share, w, h, fill, rule, body) = {
  place(top + left, dx: x * 1mm, dy: y * 1mm, scale(share * 100%, origin: top + left,
    block(width: w * 1mm, height: h * 1mm, fill: rgb(fill), body)))
  place(top + left, dx: x * 1mm, dy: y * 1mm, pdf.artifact(rect(width: w * share * 1mm, height: h * share * 1mm,
    stroke: 0.2mm + rgb(rule))))
}
#let rules(x, w, ys, rule) = pdf.artifact(for y in ys {
  place(top + left, dx: x * 1mm, dy: y * 1mm, line(length: w * 1mm, stroke: 0.2mm + rgb(rule)))
})
"""


def document(slides: Sequence[Slide], title: str) -> bytes:
    """The slides as a PDF, one a page of their size. Strings that a font lacks lose the tags (see ``typeset``)."""
    kept, bodies = _bodies(slides)
    pages = "".join(map(_page, slides, bodies))
    return typeset.compiled(typeset.opening(title) + _FUNCTIONS + kept + pages)


def _page(slide: Slide, body: str) -> str:
    scene = slide.scene
    size = f"width: {scene.width:.3f}mm, height: {scene.height:.3f}mm"
    return f"#page({size}, margin: 0pt, fill: rgb({typeset.quoted(slide.theme.page)}))[\n{body}]\n"


def _bodies(slides: Sequence[Slide]) -> tuple[str, list[str]]:
    """What slides have in common, to stand before them, and the markup of each."""
    made = [_body(slide, opens) for slide, opens in _with_openings(slides)]
    kept, bodies = typeset.together([content for _, content in made])
    return kept, [head + body for (head, _), body in zip(made, bodies, strict=True)]


def _with_openings(slides: Sequence[Slide]) -> Iterator[tuple[Slide, bool]]:
    """Each slide, and whether a section begins with it."""
    section = ""
    for slide in slides:
        yield slide, bool(slide.section) and slide.section != section
        section = slide.section


def _body(slide: Slide, opens: bool) -> tuple[str, typeset.Content]:
    """The markup of a section that begins, and what stands on the slide: that name is a heading where it has it.

    Titles are headings under that of their section; of the first level where they have none.
    """
    level = 2 if slide.section else 1
    note = next((p for p in slide.scene.parts if isinstance(p, Note) and p.key == "section"), None)
    if not opens or note is None:
        return "", typeset.Content(slide.scene, slide.view, slide.theme, level)
    view = replace(slide.view, notes={**slide.view.notes, note.key: None})
    text, fill = note.text, typeset.quoted(slide.theme.soft)
    head = f"#section({text.x:.3f}, {text.y:.3f}, {text.size:.2f}, {fill}, {typeset.quoted(text.string)})\n"
    return head, typeset.Content(slide.scene, view, slide.theme, level)


@dataclass(frozen=True, slots=True)
class Cell:
    """Where one slide of a handout stands, and the lines beside or below it: left edge, width, heights; mm."""

    x: float
    y: float
    share: float
    rules_x: float
    rules_w: float
    rules: tuple[float, ...]


def handout(slides: Sequence[Slide], title: str, theme: Theme, paper: Paper, each: int = 3) -> bytes:
    """The slides as a PDF, *each* (2, 3 or 6) a page, with lines for notes in the look of *theme*.

    Raises:
        SheetError: no such number of slides, or a paper too small for them.
    """
    if each not in PER_PAGE:
        raise SheetError(f"a handout has 2, 3 or 6 slides a page, not {each}")
    found = cells(slides[0].scene.width, slides[0].scene.height, paper, each)
    size = f"width: {paper.width:g}mm, height: {paper.height:g}mm"
    kept, bodies = _bodies(slides)
    made = [typeset.opening(f"{title} (handout)"), _FUNCTIONS, kept]
    for first in range(0, len(slides), each):
        inner = _head(title, first // each + 1, theme, paper)
        these = slice(first, first + each)
        inner += "".join(
            _placed(slide, body, cell, theme)
            for slide, body, cell in zip(slides[these], bodies[these], found, strict=False)
        )
        made.append(f"#page({size}, margin: 0pt, fill: rgb({typeset.quoted(theme.page)}))[\n{inner}]\n")
    return typeset.compiled("".join(made))


def cells(width: float, height: float, paper: Paper, each: int) -> list[Cell]:
    """Places for *each* slides of this size (mm) on a page; SheetError where they have no room."""
    across = 2 if each == 6 else 1
    down = each // across
    m = paper.margin
    step_x = (paper.width - 2 * m + _GAP) / across
    step_y = (paper.height - 2 * m - _HEAD_MM + _GAP) / down
    room_x, room_y = step_x - _GAP, step_y - _GAP
    beside = each == 3
    share = min(room_x * (_BESIDE if beside else 1.0) / width, (room_y - (0.0 if beside else 2 * RULE_MM)) / height)
    if share < 0.15:
        raise SheetError(f"{paper.name} is too small for {each} slides a page")
    return [
        _cell(m + i % across * step_x, m + _HEAD_MM + i // across * step_y, (room_x, room_y), (width, height), share)
        for i in range(each)
    ]


def _cell(x: float, y: float, room: tuple[float, float], size: tuple[float, float], share: float) -> Cell:
    """One place; lines go beside the slide where that leaves more than a third of the width, else below it."""
    w, h = size[0] * share, size[1] * share
    beside = w < 0.7 * room[0]
    top, bottom = (y, y + room[1]) if beside else (y + h, y + room[1])
    left, wide = (x + w + _GAP, room[0] - w - _GAP) if beside else (x, room[0])
    count = int((bottom - top) / RULE_MM)
    return Cell(x, y, share, left, wide, tuple(top + RULE_MM * (i + 1) for i in range(count)))


def _head(title: str, number: int, theme: Theme, paper: Paper) -> str:
    """Title and page number over the slides."""
    soft, y = typeset.quoted(theme.soft), paper.margin + 3.0
    style = f"{HEAD_PT}, {{}}, 400, {soft}"
    left = f"#words({paper.margin:g}, {y:g}, {style.format(0)}, {typeset.quoted(title)})\n"
    return left + f"#words({paper.width - paper.margin:g}, {y:g}, {style.format(1)}, {typeset.quoted(str(number))})\n"


def _placed(slide: Slide, body: str, cell: Cell, theme: Theme) -> str:
    scene, rule = slide.scene, typeset.quoted(theme.rules.leader)
    place = f"{cell.x:.3f}, {cell.y:.3f}, {cell.share:.5f}, {scene.width:.3f}, {scene.height:.3f}"
    fill = typeset.quoted(slide.theme.page)
    ys = "".join(f"{y:.2f}, " for y in cell.rules)
    lines = f"#rules({cell.rules_x:.2f}, {cell.rules_w:.2f}, ({ys}), {rule})\n"
    return f"#slide({place}, {fill}, {rule})[\n{body}]\n{lines}"
