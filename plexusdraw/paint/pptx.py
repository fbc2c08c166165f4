"""Slides by python-pptx: native shapes, placeholders for title, section and number, notes, the theme's colours.

Office Open XML (ECMA-376). A page that has a note of role "title" gives it to the title placeholder, and credits with
the keys "section" and "number" to those of footer and slide number, at the places where they stand. No date is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from typing import TYPE_CHECKING, Any
from uuid import NAMESPACE_URL, uuid5
from xml.sax.saxutils import escape, quoteattr
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from plexusdraw.look import lines, redaction
from plexusdraw.look.appearance import marks
from plexusdraw.look.theme import Theme
from plexusdraw.paint import pptx_fonts
from plexusdraw.paint.pptx_shapes import LINE_ASCENT_EM, LINE_EM, Shapes, emu
from plexusdraw.paint.pptx_theme import Element, Palette, themed
from plexusdraw.scene import MM_PER_PT, Note, Scene
from plexusdraw.scene.view import View

if TYPE_CHECKING:
    from pptx.presentation import Presentation

_SPACES = (
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" '
    'xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
)
_SECTIONS = "http://schemas.microsoft.com/office/powerpoint/2010/main"
_SECTIONS_EXTENSION = "{521415D9-36F7-43E2-AB2F-B90AF26B5E84}"
_LAYOUT = "Title Only"
MasterOrLayout = Any
_DAWN = (1980, 1, 1, 0, 0, 0)
"""Date of all members of the archive: the earliest that the format knows."""
_PLACES = {"title": ("title", "Title", ""), "section": ("ftr", "Section", "11"), "number": ("sldNum", "Number", "12")}
_FONT = '<a:latin typeface="+mn-lt"/>'
_ALIGN = {"start": "l", "middle": "ctr", "end": "r"}
_KERN = "100"
"""Type from this size on is kerned, hundredths of a point: all of it, as it is measured."""
_LONGEST_TITLE = 255
"""Characters in the title of a document: the library takes no more."""
_TITLE_PT = 18.0
"""Least size of a slide's title."""


@dataclass(frozen=True, slots=True)
class Slide:
    """One slide: what stands where, in which state and look; what to say; the section that it belongs to."""

    scene: Scene
    view: View
    theme: Theme
    notes: str = ""
    section: str = ""

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
    made = _template(slides[min(1, len(slides) - 1)].scene, theme, palette)  # a title slide has other places
    for number, slide in enumerate(slides, start=1):
        _add(made, slide, number, palette)
    _add_sections(made, slides)
    pptx_fonts.embed(made)
    _describe(made, title or slides[0].title)
    out = BytesIO()
    made.save(out)
    return _repacked(out.getvalue())


def _places(scene: Scene) -> dict[str, Note]:
    """The notes that are placeholders on a slide."""
    found: dict[str, Note] = {}
    for part in scene.parts:
        if isinstance(part, Note) and (part.role == "title" or (part.role == "credit" and part.key in _PLACES)):
            found["title" if part.role == "title" else part.key] = part
    return found


def _template(scene: Scene, theme: Theme, palette: Palette) -> Presentation:
    """An empty deck with one layout, in our colours."""
    from pptx import Presentation as Open  # noqa: PLC0415
    from pptx.util import Emu  # noqa: PLC0415

    made = Open()
    made.slide_width, made.slide_height = Emu(emu(scene.width)), Emu(emu(scene.height))
    size: Element = made.part._element.find(_p("sldSz"))
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
    places = _places(scene)
    for element in (*made.part._element.iter(_a("defRPr")), *master.element.iter(_a("defRPr"))):
        element.set("kern", _KERN)
    for holder in (master, made.slide_layouts[0]):
        _place_all(holder, scene, places)
    _style_title(master.element, places)
    return made


def _place_all(holder: MasterOrLayout, scene: Scene, places: dict[str, Note]) -> None:
    """Put the placeholders of a master or layout where the page has them; drop those that it has not."""
    kinds = {kind: name for name, (kind, _, _) in _PLACES.items()}
    for shape in list(holder.placeholders):
        element = shape.element
        kind = element.find(f".//{_p('ph')}").get("type", "body")
        note = places.get(kinds.get(kind, ""))
        if note is None and kind != "body":
            element.getparent().remove(element)
            continue
        x, y, w, h = _note_box(note) if note else (10.0, 30.0, scene.width - 20.0, scene.height - 45.0)
        shape.left, shape.top, shape.width, shape.height = emu(x), emu(y), emu(w), emu(h)
        if note:
            _unpad(element, note)


def _note_box(note: Note) -> tuple[float, float, float, float]:
    """Left, top, width, height of the line of text, mm."""
    em, text = note.text.size * MM_PER_PT, note.text
    x = {"start": text.x, "middle": text.x - note.room / 2, "end": text.x - note.room}[text.anchor]
    return x, text.y - LINE_ASCENT_EM * em, note.room, LINE_EM * em


def _unpad(element: Element, note: Note) -> None:
    """No insets, so that the baseline is where the page has it; size and side of the text."""
    body: Element = element.find(f".//{_a('bodyPr')}")
    for child in list(body):
        body.remove(child)
    body.attrib.update({"lIns": "0", "tIns": "0", "rIns": "0", "bIns": "0", "anchor": "t", "wrap": "square"})
    body.append(_xml("<a:normAutofit {}/>"))
    align = _ALIGN[note.text.anchor]
    styles: Element = element.find(f".//{_a('lstStyle')}")
    for child in list(styles):
        styles.remove(child)
    size, bold = round(note.text.size * 100), int(note.text.bold)
    colour = "tx1" if note.role == "title" else "tx2"
    fill = f'<a:solidFill><a:schemeClr val="{colour}"/></a:solidFill>'
    style = f'<a:lvl1pPr {{}} algn="{align}"><a:defRPr sz="{size}" b="{bold}">{fill}{_FONT}</a:defRPr></a:lvl1pPr>'
    styles.append(_xml(style))


def _style_title(master: Element, places: dict[str, Note]) -> None:
    """The master's style of titles."""
    style: Element = master.find(f".//{_p('titleStyle')}/{_a('lvl1pPr')}")
    style.set("algn", "l")
    size = places["title"].text.size if "title" in places else _TITLE_PT
    style.find(_a("defRPr")).attrib.update({"sz": str(round(size * 100)), "b": "1"})


def _add(made: Presentation, slide: Slide, number: int, palette: Palette) -> None:
    """One slide with its shapes and notes."""
    added = made.slides.add_slide(made.slide_layouts[0])
    tree: Element = added.shapes._spTree
    for child in list(tree)[2:]:
        tree.remove(child)
    tree[0][0].set("descr", redaction.description(slide.scene, slide.view))
    for element in _xml(f"<p:spTree {{}}>{''.join(_content(slide, number, palette))}</p:spTree>"):
        tree.append(element)
    if slide.notes:
        frame = added.notes_slide.notes_text_frame
        assert frame is not None
        frame.text = "\n".join(lines.clean(line) for line in slide.notes.split("\n"))


def _content(slide: Slide, number: int, palette: Palette) -> Iterator[str]:
    """Placeholders first, since a reader is told the objects in their order, then the drawing."""
    scene, view = slide.scene, slide.view
    places = _places(scene)
    without = {note.key: None for note in places.values()}
    names = redaction.Names(scene, view)
    roots = {names.root(id): i for i, id in enumerate(scene.roots)}
    for id, key in enumerate([name for name in _PLACES if name in places], start=2):
        text = view.note(places[key])
        if text:
            yield _placeholder(id, key, lines.clean(text), number, places[key], scene)
    shapes = Shapes(palette, roots, first_id=2 + len(_PLACES))
    yield from shapes.all(marks(scene, replace(view, notes={**view.notes, **without}), slide.theme))


def _placeholder(id: int, key: str, text: str, number: int, note: Note, scene: Scene) -> str:
    kind, name, index = _PLACES[key]
    place = f' sz="quarter" idx="{index}"' if index else ""
    # Some office suites do not take side and typeface of footers from the layout.
    own = f' sz="{round(note.text.size * 100)}"'
    side = f'<a:pPr algn="{_ALIGN[note.text.anchor]}"/>'
    how = f'<a:rPr lang="en-US"{own}>{_FONT}</a:rPr>'
    run = f"<a:r>{how}<a:t>{escape(text)}</a:t></a:r>"
    if key == "number":
        run = f'<a:fld id="{_guid("number")}" type="slidenum">{how}<a:t>{number}</a:t></a:fld>'
    x, y, w, h = _note_box(note)
    frame = f'<a:off x="{emu(x)}" y="{emu(y)}"/><a:ext cx="{emu(w)}" cy="{emu(h)}"/>' if key == "title" else ""
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id}" name={quoteattr(name)}/><p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>'
        f'<p:nvPr><p:ph type="{kind}"{place}/></p:nvPr></p:nvSpPr>'
        f"<p:spPr>{f'<a:xfrm>{frame}</a:xfrm>' if frame else ''}</p:spPr>"
        f"<p:txBody><a:bodyPr/><a:lstStyle/><a:p>{side}{run}</a:p></p:txBody></p:sp>"
    )


def _add_sections(made: Presentation, slides: Sequence[Slide]) -> None:
    """The list of sections, each from its first slide to the next section's."""
    if not any(slide.section for slide in slides):
        return
    ids = [str(element.get("id")) for element in made.slides._sldIdLst]
    found: list[tuple[str, list[str]]] = []
    for slide, id in zip(slides, ids, strict=True):
        if not found or found[-1][0] != slide.section:
            found.append((slide.section, []))
        found[-1][1].append(id)
    inner = "".join(
        f"<s:section name={quoteattr(lines.clean(name) or 'Slides')} id={quoteattr(_guid(f'{i} {name}'))}><s:sldIdLst>"
        + "".join(f'<s:sldId id="{id}"/>' for id in members)
        + "</s:sldIdLst></s:section>"
        for i, (name, members) in enumerate(found)
    )
    root: Element = made.part._element
    extensions = root.find(_p("extLst"))
    if extensions is None:
        extensions = _xml("<p:extLst {}/>")
        root.append(extensions)
    listed = f'<s:sectionLst xmlns:s="{_SECTIONS}">{inner}</s:sectionLst>'
    extensions.append(_xml(f'<p:ext {{}} uri="{_SECTIONS_EXTENSION}">{listed}</p:ext>'))


def _describe(made: Presentation, title: str) -> None:
    """What the document says of itself: a title, and nobody's name or date."""
    about: Any = made.core_properties
    shown = lines.clean(title)[:_LONGEST_TITLE]
    about.title, about.author, about.last_modified_by, about.language = shown, "", "", "en"
    root = about._element
    for child in list(root):
        if str(child.tag).endswith(("}created", "}modified", "}lastModifiedBy", "}creator")):
            root.remove(child)


def _repacked(data: bytes) -> bytes:
    """The same archive without the time of day."""
    out = BytesIO()
    with ZipFile(BytesIO(data)) as source, ZipFile(out, "w", ZIP_DEFLATED, compresslevel=9) as target:
        for name in source.namelist():
            entry = ZipInfo(name, _DAWN)
            entry.compress_type = ZIP_DEFLATED
            target.writestr(entry, source.read(name))
    return out.getvalue()


def _guid(text: str) -> str:
    return "{" + str(uuid5(NAMESPACE_URL, f"plexusdraw:{text}")).upper() + "}"


def _xml(text: str) -> Element:
    """Parse; "{}" in the first element takes the name spaces."""
    from pptx.oxml import parse_xml  # noqa: PLC0415

    element: Element = parse_xml(text.replace("{}", _SPACES, 1))
    return element


def _a(name: str) -> str:
    return f"{{http://schemas.openxmlformats.org/drawingml/2006/main}}{name}"


def _p(name: str) -> str:
    return f"{{http://schemas.openxmlformats.org/presentationml/2006/main}}{name}"
