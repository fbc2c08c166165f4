"""Fonts for characters that the typeface of the pictures lacks: the one that a user gives, else those of this computer.

A character that none of them has is an error that names it, since it would be a box on the page. Only text that needs
it loads any of this.
"""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plexusdraw.errors import FontError

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

ENDINGS = (".ttf", ".otf", ".ttc", ".otc")
_STYLES = ("bold", "italic", "oblique", "black", "light", "thin", "condensed", "mono", "serif", "math")
"""In the name of a file: tried after plain ones."""
_MAY_EMBED = 0x0002
"""Bit of fsType (OpenType 1.9, OS/2): set alone, a font may not be embedded."""
_UNSEEN = ("Mn", "Me", "Cf", "Cc", "Cs", "Zl", "Zp")
"""Categories that take no room and show nothing of their own."""


@dataclass(frozen=True)
class Face:
    """A font file: the advance of each of its characters, em."""

    path: Path
    family: str
    advances: dict[int, float]
    embeds: bool


class _Known:
    """What this process uses: the font that was asked for, and those found on the computer so far."""

    asked: Face | None = None
    used: dict[str, Face]

    def __init__(self) -> None:
        self.used = {}


_known = _Known()


def prefer(path: str | Path | None) -> None:
    """Take characters that the typeface lacks from this font file first; ``None``: from the computer's alone.

    Raises:
        FontError: it is no font that can be read.
    """
    found = None
    if path is not None:
        found = _face(Path(path))
        if found is None:
            raise FontError(f"{path}: not a font that can be read. Give a {', '.join(ENDINGS)} file.")
    _known.asked, _known.used = found, {}


def is_taken(character: str) -> bool:
    """Whether something that was measured borrows this character."""
    return character in _known.used


def asked() -> bool:
    """Whether a font is asked for."""
    return _known.asked is not None


def unseen(character: str) -> bool:
    """Whether a character takes no room and shows nothing of its own: marks that join another, signs of direction."""
    return unicodedata.category(character) in _UNSEEN or noncharacter(character)


def noncharacter(character: str) -> bool:
    """Whether Unicode (chapter 23) will never give this code to a character."""
    code = ord(character)
    return code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF


def advance(character: str) -> float | None:
    """Width of a character that the typeface lacks, em; None where no font has it."""
    face = holder(character)
    return None if face is None else face.advances[ord(character)]


def missing(text: str, characters: Iterable[str]) -> FontError:
    """The error for a text some of whose *characters*, which the typeface lacks, no font has."""
    lacking = (c for c in dict.fromkeys(characters) if not unseen(c) and holder(c) is None)
    named = ", ".join(f"{c} (U+{ord(c):04X})" for c in lacking)
    return FontError(f'"{text}": no font here has {named}. Give one that has, with --font FILE.')


def holder(character: str) -> Face | None:
    """The font from which a character is taken; the same for each of its occurrences."""
    if character not in _known.used:
        candidates = [_known.asked] if _known.asked else []
        candidates += {face.path: face for face in _known.used.values()}.values()
        found = next((face for face in (*candidates, *_of_computer()) if ord(character) in face.advances), None)
        if found is None:
            return None
        _known.used[character] = found
    return _known.used[character]


def families(text: Iterable[str]) -> dict[str, Face]:
    """Family → font of the characters of *text*, all of which the typeface lacks."""
    return {face.family: face for c in text if not unseen(c) and (face := holder(c))}


def told() -> list[str]:
    """What was borrowed so far, a line for each font."""
    lines = []
    for family, face in families(sorted(_known.used)).items():
        letters = "".join(c for c, other in sorted(_known.used.items()) if other is face)
        shown = letters if len(letters) <= _SHOWN else f"{letters[:_SHOWN]}…"
        lines.append(f"{shown} set in {family}, as the typeface lacks them")
    return lines


_SHOWN = 20
_LONGEST_FAMILY = 200
"""Most characters of the name of a font."""


_OF_EDITORS = ["FFTM", "PfEd", "TeX ", "BDF "]
"""Tables that programs for drawing fonts leave in them."""


@cache
def subset(path: Path, characters: frozenset[str]) -> bytes:
    """A WOFF of a font that draws *characters*, with what joins and orders them.

    Raises:
        FontError: its tables are damaged.
    """
    with _telling_damage(path):
        return _subset(path, characters)


@cache
def check(path: Path, characters: frozenset[str]) -> None:
    """Look whether a font can draw *characters*, which the typesetter would leave out without a word.

    Raises:
        FontError: its tables are damaged.
    """
    from fontTools.pens.basePen import NullPen  # noqa: PLC0415
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    with _telling_damage(path), TTFont(path, fontNumber=0, lazy=True) as font:
        glyphs, names = font.getGlyphSet(), font.getBestCmap() or {}
        for character in sorted(characters):
            glyphs[names[ord(character)]].draw(NullPen())


@contextmanager
def _telling_damage(path: Path) -> Iterator[None]:
    try:
        yield
    except Exception as error:  # a damaged file ends its reader in any way
        raise FontError(f"{path}: this font is damaged. Give another, with --font FILE.") from error


def _subset(path: Path, characters: frozenset[str]) -> bytes:
    from fontTools import subset as subsetter  # noqa: PLC0415
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    out = BytesIO()
    with TTFont(path, fontNumber=0, recalcTimestamp=False) as font:
        options = subsetter.Options(layout_features=["*"], notdef_outline=True, hinting=False)
        options.drop_tables += _OF_EDITORS
        made = subsetter.Subsetter(options)
        made.populate(text="".join(sorted(characters)))
        made.subset(font)
        font.flavor = "woff"
        font.save(out)
    return out.getvalue()


@cache
def _of_computer() -> Iterable[Face]:
    """The fonts of this computer, plain ones first, each read when it is asked for."""
    return _Lazily(sorted(_files(), key=lambda path: (_styled(path), path.name.lower(), str(path))))


class _Lazily:
    """Fonts that are read in turn, and kept."""

    def __init__(self, paths: list[Path]) -> None:
        self.paths, self.read = iter(paths), list[Face]()

    def __iter__(self) -> Iterator[Face]:
        yield from list(self.read)
        for path in self.paths:
            face = _face(path)
            if face is not None:
                self.read.append(face)
                yield face


def _styled(path: Path) -> int:
    return sum(word in path.stem.lower() for word in _STYLES)


def _files() -> Iterator[Path]:
    for folder in _folders():
        for here, _, names in os.walk(folder):
            yield from (Path(here, name) for name in names if name.lower().endswith(ENDINGS))


def _folders() -> list[Path]:
    """Where this system keeps fonts."""
    try:
        home = Path.home()
    except RuntimeError:  # an account without one, as in a container
        home = Path(os.devnull)
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", str(home))
        return [
            Path(os.environ.get("WINDIR", r"C:\Windows"), "Fonts"),
            Path(local, "Microsoft", "Windows", "Fonts"),
        ]
    if sys.platform == "darwin":
        return [Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library" / "Fonts"]
    shared = os.environ.get("XDG_DATA_HOME", str(home / ".local" / "share"))
    return [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path(shared, "fonts"), home / ".fonts"]


def _face(path: Path) -> Face | None:
    """A font file, or None where it cannot be read."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    _silence()
    try:
        with path.open("rb") as stream, TTFont(stream, fontNumber=0, lazy=True) as font:
            return Face(path, _family(font), _advances(font), _embeds(font))
    except Exception:  # a damaged file ends its reader in any way, for want of memory too
        return None


@cache
def _silence() -> None:
    """What the reader of fonts makes of a damaged one is no message for a user."""
    import logging  # noqa: PLC0415

    logging.getLogger("fontTools").addHandler(logging.NullHandler())


def _family(font: TTFont) -> str:
    """The name by which a file asks for a font, and a warning tells it: one that can be seen, on one line.

    Raises:
        ValueError: it has none.
    """
    names: Any = font["name"]
    found = str(names.getBestFamilyName() or names.getDebugName(1) or "")
    if not found.strip() or not found.isprintable() or len(found) > _LONGEST_FAMILY:
        raise ValueError("no name")
    return found


def _advances(font: TTFont) -> dict[int, float]:
    per_em: float = font["head"].unitsPerEm
    widths: Any = font["hmtx"]
    return {code: widths[name][0] / per_em for code, name in (font.getBestCmap() or {}).items()}


def _embeds(font: TTFont) -> bool:
    return "OS/2" not in font or font["OS/2"].fsType & 0x000E != _MAY_EMBED
