"""Slides by python-pptx: native shapes, placeholders for title, section and number, notes, the theme's colours.

Office Open XML (ECMA-376). A page that has a note of role "title" gives it to the title placeholder, and credits with
the keys "section" and "number" to those of footer and slide number, at the places where they stand. No date is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from plexusdraw.look import lines, redaction
from plexusdraw.look.appearance import marks
from plexusdraw.look.theme import Theme
from plexusdraw.paint import pptx_fonts, pptx_package, pptx_template
from plexusdraw.paint.pptx_geometry import frame
from plexusdraw.paint.pptx_shapes import Shapes
from plexusdraw.paint.pptx_template import ALIGN, FONT, PLACES
from plexusdraw.paint.pptx_theme import Palette
from plexusdraw.paint.pptx_timing import timing
from plexusdraw.scene import Note, Scene
from plexusdraw.scene.view import View

if TYPE_CHECKING:
    from pptx.presentation import Presentation


@dataclass(frozen=True, slots=True)
class Slide:
    """One slide: what stands where, in which state and look; what to say; the section that it belongs to."""

    scene: Scene
    view: View
    theme: Theme
    notes: str = ""
    section: str = ""
    clicks: tuple[frozenset[str], ...] = ()
    """Ids of what appears at each click, in a format that can do so; all else is there from the start."""

    @property
    def title(self) -> str:
        """The title as shown."""
        return redaction.title(self.view)


def paint(pages: Sequence[tuple[Scene, View]], theme: Theme) -> bytes:
    """A deck with a slide for each page."""
    return deck([Slide(scene, view, theme) for scene, view in pages], theme)


def deck(slides: Sequence[Slide], theme: Theme, title: str = "") -> bytes:
    """The deck as a file's bytes; *title* is that of the document. Pages are as large as the first.

    Raises:
        ValueError: there is no slide.
    """
    if not slides:
        raise ValueError("no slide to paint")
    palette = Palette(theme, len(slides[0].scene.roots))
    made = pptx_template.template(slides[min(1, len(slides) - 1)].scene, theme, palette)  # a title slide differs
    for number, slide in enumerate(slides, start=1):
        _add(made, slide, number, palette)
    pptx_package.add_sections(made, [slide.section for slide in slides])
    pptx_fonts.embed(made)
    pptx_package.describe(made, title or slides[0].title)
    return pptx_package.packed(made)


def _add(made: Presentation, slide: Slide, number: int, palette: Palette) -> None:
    """One slide with its shapes and notes."""
    scene, view = slide.scene, slide.view
    names = redaction.Names(scene, view)
    roots = {names.root(id): i for i, id in enumerate(scene.roots)}
    clicks = [{names.entity(id) for id in ids} for ids in slide.clicks]
    shapes = Shapes(palette, roots, clicks, first_id=2 + len(PLACES))
    drawn = "".join(_content(slide, number, shapes))
    said = redaction.description(scene, view)
    notes = [lines.clean(line) for line in slide.notes.split("\n")] if slide.notes else []
    pptx_package.add_slide(made, number, said, drawn, notes, timing([ids for ids in shapes.appearing if ids]))


def _content(slide: Slide, number: int, shapes: Shapes) -> Iterator[str]:
    """Placeholders first, since a reader is told the objects in their order, then the drawing."""
    scene, view = slide.scene, slide.view
    places = pptx_template.places(scene)
    without = {note.key: None for note in places.values()}
    for id, key in enumerate([name for name in PLACES if name in places], start=2):
        text = view.note(places[key])
        if text:
            yield _placeholder(id, key, lines.clean(text), number, places[key], scene)
    yield from shapes.all(marks(scene, replace(view, notes={**view.notes, **without}), slide.theme))


def _placeholder(id: int, key: str, text: str, number: int, note: Note, scene: Scene) -> str:
    kind, name, index = PLACES[key]
    place = f' sz="quarter" idx="{index}"' if index else ""
    # Some office suites do not take side and typeface of footers from the layout.
    own = f' sz="{round(note.text.size * 100)}"'
    side = f'<a:pPr algn="{ALIGN[note.text.anchor]}"/>'
    how = f'<a:rPr lang="en-US"{own}>{FONT}</a:rPr>'
    run = f"<a:r>{how}<a:t>{escape(text)}</a:t></a:r>"
    if key == "number":
        run = f'<a:fld id="{pptx_package.guid("number")}" type="slidenum">{how}<a:t>{number}</a:t></a:fld>'
    own_place = frame(pptx_template.line_of(note)) if key == "title" else ""
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id}" name={quoteattr(name)}/><p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>'
        f'<p:nvPr><p:ph type="{kind}"{place}/></p:nvPr></p:nvSpPr>'
        f"<p:spPr>{own_place}</p:spPr>"
        f"<p:txBody><a:bodyPr/><a:lstStyle/><a:p>{side}{run}</a:p></p:txBody></p:sp>"
    )
