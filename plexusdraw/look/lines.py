"""Lines of text as marks: fit to be written, and within their room."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from plexusdraw import borrowed, fonts
from plexusdraw.look.marks import Words
from plexusdraw.look.theme import Colour
from plexusdraw.scene import Text

SMALLEST_PT = 6.0
"""No text is set smaller, also where it must be shortened to its room."""
_SPACES = "\t\n\r"


def words(text: Text, fill: Colour) -> Words:
    """A line of text as a mark."""
    return Words(
        string=clean(text.string),
        x=text.x,
        y=text.y,
        size=text.size,
        anchor=text.anchor,
        bold=text.bold,
        fill=fill,
    )


def clean(string: str) -> str:
    """*string* on one line, without what no file format may hold.

    That is controls, halves of surrogate pairs and noncharacters (Unicode, chapter 23; XML 1.0, section 2.2).
    """
    if string.isascii() and string.isprintable():
        return string
    return "".join(" " if c in _SPACES else c for c in string if c in _SPACES or _printable(c))


def _printable(character: str) -> bool:
    return not borrowed.noncharacter(character) and unicodedata.category(character) not in ("Cc", "Cs")


def within(text: Text, room: float) -> Text:
    """*text* set smaller, down to the smallest size, then cut short, so that it keeps to *room* mm."""
    wide = fonts.width(text.string, text.size, text.bold)
    if wide <= room + 0.01:
        return text
    size = max(min(SMALLEST_PT, text.size), text.size * room / wide)
    line = fonts.wrap(text.string, room, size, text.bold, max_lines=1)
    return replace(text, string=line[0], size=size)
