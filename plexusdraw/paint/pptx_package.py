"""A deck's package (ECMA-376 part 2): slides and notes put in as text, and the archive written without a date."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from itertools import groupby
from typing import TYPE_CHECKING, Any
from uuid import NAMESPACE_URL, uuid5
from xml.sax.saxutils import escape, quoteattr
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from plexusdraw.look import lines
from plexusdraw.paint.pptx_theme import Element

if TYPE_CHECKING:
    from pptx.opc.package import Part
    from pptx.presentation import Presentation

_A = "http://schemas.openxmlformats.org/drawingml/2006/main"
_P = "http://schemas.openxmlformats.org/presentationml/2006/main"
_R = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_SPACES = f'xmlns:a="{_A}" xmlns:p="{_P}" xmlns:r="{_R}"'
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_TYPE = "application/vnd.openxmlformats-officedocument.presentationml."
_SECTIONS = "http://schemas.microsoft.com/office/powerpoint/2010/main"
_SECTIONS_EXTENSION = "{521415D9-36F7-43E2-AB2F-B90AF26B5E84}"
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
_USUAL = {
    "rels": "application/vnd.openxmlformats-package.relationships+xml",
    "xml": "application/xml",
}
"""Types by ending; parts of another type are listed."""
_DAWN = (1980, 1, 1, 0, 0, 0)
"""Date of all members of the archive: the earliest that the format knows."""
_PACKED = 6
"""Level of compression; the highest takes three times as long for a thirtieth less."""
_LONGEST_TITLE = 255
"""Characters in the title of a document: the library takes no more."""
_FIRST_ID = 256
"""Least number of a slide in the list of slides."""
_TREE = '<p:nvGrpSpPr><p:cNvPr id="1" name=""{}/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr><p:grpSpPr/>'
_COLOURS = "<p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr>"
_HOLDER = (
    '<p:sp><p:nvSpPr><p:cNvPr id="{}" name="{}"/><p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>'
    '<p:nvPr><p:ph type="{}" idx="{}"{}/></p:nvPr></p:nvSpPr><p:spPr/>{}</p:sp>'
)


def add_slide(made: Presentation, number: int, said: str, shapes: str, notes: Sequence[str], timing: str = "") -> None:
    """Put a slide at the end. *said*: its alternative text; *notes*: lines; *timing*: what appears when, or nothing."""
    from pptx.opc.constants import RELATIONSHIP_TYPE as RT  # noqa: PLC0415

    tree = _TREE.format(f" descr={quoteattr(said)}")
    part = _part(made, f"slides/slide{number}.xml", "slide", _sheet("sld", tree + shapes, timing))
    part.relate_to(made.slide_layouts[0].part, RT.SLIDE_LAYOUT)
    id = made.part.relate_to(part, RT.SLIDE)
    made.part._element.get_or_add_sldIdLst().append(
        element_of(f'<p:sldId {{}} id="{_FIRST_ID + number - 1}" r:id="{id}"/>')
    )
    if notes:
        sheet = _part(made, f"notesSlides/notesSlide{number}.xml", "notesSlide", _sheet("notes", _notes(notes)))
        sheet.relate_to(made.part.notes_master_part, RT.NOTES_MASTER)
        sheet.relate_to(part, RT.SLIDE)
        part.relate_to(sheet, RT.NOTES_SLIDE)


def _part(made: Presentation, name: str, kind: str, text: str) -> Part:
    from pptx.opc.package import Part as New  # noqa: PLC0415
    from pptx.opc.packuri import PackURI  # noqa: PLC0415

    return New(PackURI(f"/ppt/{name}"), f"{_TYPE}{kind}+xml", made.part.package, text.encode())


def _sheet(kind: str, tree: str, timing: str = "") -> str:
    """A slide or its notes as a document."""
    return f"{_HEAD}<p:{kind} {_SPACES}><p:cSld><p:spTree>{tree}</p:spTree></p:cSld>{_COLOURS}{timing}</p:{kind}>"


def _notes(notes: Sequence[str]) -> str:
    """Placeholders of the notes' master: the slide small, its notes, its number."""
    said = "".join(f"<a:p><a:r><a:t>{escape(line)}</a:t></a:r></a:p>" if line else "<a:p/>" for line in notes)
    text = f"<p:txBody><a:bodyPr/><a:lstStyle/>{said}</p:txBody>"
    quarter = ' sz="quarter"'
    return (
        _TREE.format("")
        + _HOLDER.format(2, "Slide Image Placeholder 1", "sldImg", 2, "", "")
        + _HOLDER.format(3, "Notes Placeholder 2", "body", 3, quarter, text)
        + _HOLDER.format(4, "Slide Number Placeholder 3", "sldNum", 5, quarter, "")
    )


def add_sections(made: Presentation, names: Sequence[str]) -> None:
    """The list of sections, each from its first slide to the next section's; *names*: that of each slide."""
    if not any(names):
        return
    ids = iter([str(element.get("id")) for element in made.part._element.sldIdLst])
    inner = ""
    for i, (name, own) in enumerate(groupby(names)):
        members = "".join(f'<s:sldId id="{next(ids)}"/>' for _ in own)
        called, number = quoteattr(lines.clean(name) or "Slides"), quoteattr(guid(f"{i} {name}"))
        inner += f"<s:section name={called} id={number}><s:sldIdLst>{members}</s:sldIdLst></s:section>"
    root: Element = made.part._element
    extensions = root.find(in_p("extLst"))
    if extensions is None:
        extensions = element_of("<p:extLst {}/>")
        root.append(extensions)
    listed = f'<s:sectionLst xmlns:s="{_SECTIONS}">{inner}</s:sectionLst>'
    extensions.append(element_of(f'<p:ext {{}} uri="{_SECTIONS_EXTENSION}">{listed}</p:ext>'))


def describe(made: Presentation, title: str) -> None:
    """What the document says of itself: a title, and nobody's name or date."""
    about: Any = made.core_properties
    shown = lines.clean(title)[:_LONGEST_TITLE]
    about.title, about.author, about.last_modified_by, about.language = shown, "", "", "en"
    root = about._element
    for child in list(root):
        if str(child.tag).endswith(("}created", "}modified", "}lastModifiedBy", "}creator")):
            root.remove(child)


def packed(made: Presentation) -> bytes:
    """The archive of a deck, the same bytes at any time of day."""
    package: Any = made.part.package
    parts = list(package.iter_parts())
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED, compresslevel=_PACKED) as archive:

        def put(name: str, data: bytes) -> None:
            archive.writestr(ZipInfo(name, _DAWN), data, ZIP_DEFLATED, _PACKED)

        put("[Content_Types].xml", _types(parts))
        put("_rels/.rels", package._rels.xml)
        for part in parts:
            put(part.partname.membername, part.blob)
            if len(part.rels):
                put(part.partname.rels_uri.membername, part.rels.xml)
    return out.getvalue()


def _types(parts: Sequence[Part]) -> bytes:
    """The type of each part."""
    usual = "".join(f'<Default Extension="{ending}" ContentType="{type}"/>' for ending, type in _USUAL.items())
    named = sorted((str(part.partname), part.content_type) for part in parts)
    own = "".join(
        f'<Override PartName="{name}" ContentType="{type}"/>' for name, type in named if type not in _USUAL.values()
    )
    return f'{_HEAD}<Types xmlns="{_TYPES}">{usual}{own}</Types>'.encode()


def guid(text: str) -> str:
    """An id made of a text, in the form that the format asks for."""
    return "{" + str(uuid5(NAMESPACE_URL, f"plexusdraw:{text}")).upper() + "}"


def element_of(text: str) -> Element:
    """Parse; "{}" in the first element takes the name spaces."""
    from pptx.oxml import parse_xml  # noqa: PLC0415

    element: Element = parse_xml(text.replace("{}", _SPACES, 1))
    return element


def in_a(name: str) -> str:
    """A name of DrawingML."""
    return f"{{{_A}}}{name}"


def in_p(name: str) -> str:
    """A name of PresentationML."""
    return f"{{{_P}}}{name}"
