"""The typeface of a deck, embedded: Embedded OpenType (W3C member submission, 2008), neither packed nor scrambled.

ECMA-376 part 1, 15.2.13 (font part) and 19.2.1.9 (embeddedFontLst).
"""

from __future__ import annotations

import struct
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plexusdraw import fonts

if TYPE_CHECKING:
    from pptx.presentation import Presentation

_VERSION = 0x00020001
_MAGIC = 0x504C
_ANY_CHARSET = 1
_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/font"
_CONTENT = "application/x-fontdata"
_STYLES = ("regular", "bold")


@cache
def embedded(path: str) -> bytes:
    """A font file as Embedded OpenType."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    data = Path(path).read_bytes()
    font = TTFont(BytesIO(data), lazy=True)
    os2: Any = font["OS/2"]
    names: Any = font["name"]
    panose = [getattr(os2.panose, field) for field in _panose()]
    head = struct.pack("<II10B2BIHH", _VERSION, 0, *panose, _ANY_CHARSET, 0, os2.usWeightClass, os2.fsType, _MAGIC)
    ranges = [getattr(os2, f"ulUnicodeRange{i}") for i in (1, 2, 3, 4)]
    pages = [getattr(os2, f"ulCodePageRange{i}", 0) for i in (1, 2)]
    checked: Any = font["head"]
    head += struct.pack("<7I", *ranges, *pages, checked.checkSumAdjustment) + bytes(16)
    for name in (1, 2, 5, 4):
        text = (names.getDebugName(name) or "").encode("utf-16-le")
        head += struct.pack("<HH", 0, len(text)) + text
    head += struct.pack("<HH", 0, 0)  # no root string: it may be shown anywhere
    return struct.pack("<II", len(head) + len(data) + 8, len(data)) + head + data


def _panose() -> tuple[str, ...]:
    return (
        *("bFamilyType", "bSerifStyle", "bWeight", "bProportion", "bContrast"),
        *("bStrokeVariation", "bArmStyle", "bLetterForm", "bMidline", "bXHeight"),
    )


def embed(made: Presentation) -> None:
    """Put the typeface into a deck, regular and bold."""
    from pptx.opc.package import Part  # noqa: PLC0415
    from pptx.opc.packuri import PackURI  # noqa: PLC0415
    from pptx.oxml import parse_xml  # noqa: PLC0415

    spaces = (
        'xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main" '
        'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
    )
    inner = ""
    for number, (style, bold) in enumerate(zip(_STYLES, (False, True), strict=True), start=1):
        part = Part(
            PackURI(f"/ppt/fonts/font{number}.fntdata"), _CONTENT, made.part.package, embedded(fonts.file(bold))
        )
        inner += f'<p:{style} r:id="{made.part.relate_to(part, _RELATION)}"/>'
    listed = f'<p:embeddedFontLst {spaces}><p:embeddedFont><p:font typeface="{fonts.FAMILY}"/>{inner}</p:embeddedFont>'
    root: Any = made.part._element
    root.find("{http://schemas.openxmlformats.org/presentationml/2006/main}notesSz").addnext(
        parse_xml(f"{listed}</p:embeddedFontLst>")
    )
    root.set("embedTrueTypeFonts", "1")
