"""The empty deck that slides are put into: one layout, our colours, and places for title, section and number."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from plexusdraw.look.theme import Theme
from plexusdraw.paint.pptx_geometry import LINE_ASCENT_EM, LINE_EM, emu
from plexusdraw.paint.pptx_package import element_of, in_a, in_p
from plexusdraw.paint.pptx_theme import Element, Palette, themed
from plexusdraw.scene import MM_PER_PT, Box, Note, Scene

if TYPE_CHECKING:
    from pptx.presentation import Presentation

MasterOrLayout = Any
PLACES = {"title": ("title", "Title", ""), "section": ("ftr", "Section", "11"), "number": ("sldNum", "Number", "12")}
"""Note → kind of its placeholder, name, index."""
FONT = '<a:latin typeface="+mn-lt"/>'
ALIGN = {"start": "l", "middle": "ctr", "end": "r"}
_LAYOUT = "Title Only"
_KERN = "100"
"""Type from this size on is kerned, hundredths of a point: all of it, as it is measured."""
_TITLE_PT = 18.0
"""Least size of a slide's title."""


def places(scene: Scene) -> dict[str, Note]:
    """The notes that are placeholders on a slide."""
    found: dict[str, Note] = {}
    for part in scene.parts:
        if isinstance(part, Note) and (part.role == "title" or (part.role == "credit" and part.key in PLACES)):
            found["title" if part.role == "title" else part.key] = part
    return found


def template(scene: Scene, theme: Theme, palette: Palette) -> Presentation:
    """An empty deck with one layout, in our colours."""
    from pptx import Presentation as Open  # noqa: PLC0415
    from pptx.util import Emu  # noqa: PLC0415

    made = Open()
    made.slide_width, made.slide_height = Emu(emu(scene.width)), Emu(emu(scene.height))
    size: Element = made.part._element.find(in_p("sldSz"))
    size.attrib.pop("type", None)
    for layout in [layout for layout in made.slide_layouts if layout.name != _LAYOUT]:
        made.slide_layouts.remove(layout)
    for rels in (made.part.rels, made.part.package._rels):
        for key in [k for k, rel in rels.items() if rel.reltype.endswith(("/printerSettings", "/thumbnail"))]:
            rels.pop(key)
    master = made.slide_master
    for rel in master.part.rels.values():
        if rel.reltype.endswith("/theme"):
            part: Any = rel.target_part
            part._blob = themed(part.blob, theme, palette)
    found = places(scene)
    for element in (*made.part._element.iter(in_a("defRPr")), *master.element.iter(in_a("defRPr"))):
        element.set("kern", _KERN)
    for holder in (master, made.slide_layouts[0]):
        _place_all(holder, scene, found)
    _style_title(master.element, found)
    return made


def _place_all(holder: MasterOrLayout, scene: Scene, places: dict[str, Note]) -> None:
    """Put the placeholders of a master or layout where the page has them; drop those that it has not."""
    kinds = {kind: name for name, (kind, _, _) in PLACES.items()}
    for shape in list(holder.placeholders):
        element = shape.element
        kind = element.find(f".//{in_p('ph')}").get("type", "body")
        note = places.get(kinds.get(kind, ""))
        if note is None and kind != "body":
            element.getparent().remove(element)
            continue
        box = line_of(note) if note else Box(10.0, 30.0, scene.width - 20.0, scene.height - 45.0)
        shape.left, shape.top, shape.width, shape.height = emu(box.x), emu(box.y), emu(box.w), emu(box.h)
        if note:
            _unpad(element, note)


def line_of(note: Note) -> Box:
    """The line of text that a note has for itself, mm."""
    em, text = note.text.size * MM_PER_PT, note.text
    x = {"start": text.x, "middle": text.x - note.room / 2, "end": text.x - note.room}[text.anchor]
    return Box(x, text.y - LINE_ASCENT_EM * em, note.room, LINE_EM * em)


def _unpad(element: Element, note: Note) -> None:
    """No insets, so that the baseline is where the page has it; size and side of the text."""
    body: Element = element.find(f".//{in_a('bodyPr')}")
    for child in list(body):
        body.remove(child)
    body.attrib.update({"lIns": "0", "tIns": "0", "rIns": "0", "bIns": "0", "anchor": "t", "wrap": "square"})
    body.append(element_of("<a:normAutofit {}/>"))
    align = ALIGN[note.text.anchor]
    styles: Element = element.find(f".//{in_a('lstStyle')}")
    for child in list(styles):
        styles.remove(child)
    size, bold = round(note.text.size * 100), int(note.text.bold)
    colour = "tx1" if note.role == "title" else "tx2"
    fill = f'<a:solidFill><a:schemeClr val="{colour}"/></a:solidFill>'
    style = f'<a:lvl1pPr {{}} algn="{align}"><a:defRPr sz="{size}" b="{bold}">{fill}{FONT}</a:defRPr></a:lvl1pPr>'
    styles.append(element_of(style))


def _style_title(master: Element, places: dict[str, Note]) -> None:
    """The master's style of titles."""
    style: Element = master.find(f".//{in_p('titleStyle')}/{in_a('lvl1pPr')}")
    style.set("algn", "l")
    size = places["title"].text.size if "title" in places else _TITLE_PT
    style.find(in_a("defRPr")).attrib.update({"sz": str(round(size * 100)), "b": "1"})
