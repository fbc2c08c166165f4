"""The typeface in a deck: Embedded OpenType that holds the font file whole, regular and bold."""

from __future__ import annotations

import struct
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

import plexusdraw
from plexusdraw import fonts, paint
from plexusdraw.look import theme
from plexusdraw.paint import pptx_fonts


@pytest.mark.parametrize("bold", [False, True])
def test_the_header_says_what_follows_and_the_font_is_whole(bold: bool) -> None:
    data, font = pptx_fonts.embedded(fonts.file(bold)), Path(fonts.file(bold)).read_bytes()
    size, held, version, flags = struct.unpack_from("<4I", data)
    assert (size, held) == (len(data), len(font))
    assert (version, flags) == (0x00020001, 0)
    assert struct.unpack_from("<H", data, 34) == (0x504C,)
    assert data.endswith(font)
    assert fonts.FAMILY.encode("utf-16-le") in data


def test_a_deck_names_and_holds_both_weights() -> None:
    pages = plexusdraw.figure("brachial", detail="framework", paper="16:9").pages()
    deck = ZipFile(BytesIO(paint.paint("pptx", pages, theme.load("lecture"))))
    held = [deck.read(name) for name in deck.namelist() if name.endswith(".fntdata")]
    assert sorted(map(len, held)) == sorted(len(pptx_fonts.embedded(fonts.file(bold))) for bold in (False, True))
    listed = deck.read("ppt/presentation.xml").decode()
    assert f'<p:font typeface="{fonts.FAMILY}"/>' in listed
    assert listed.index("notesSz") < listed.index("embeddedFontLst")
