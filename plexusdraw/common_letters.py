"""The letters of ordinary names, cut out of the typeface beforehand, so that most pictures need no font library.

``letters/NAME-CRC.woff`` is made from the font file with that checksum, and taken for no other: with another release of
the typeface, fonts are cut out as a picture is written. Each file holds copyright and licence in its name table (OFL,
condition 2). ``python gallery/build.py`` makes them anew.
"""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from string import ascii_letters, digits
from zlib import crc32

LETTERS = frozenset(f"{ascii_letters}{digits} ,.;:-–()/+'’&?!%…×·½\"")
FOLDER = Path(__file__).parent / "letters"


def woff(font: Path, wanted: frozenset[str]) -> bytes | None:
    """A WOFF that draws at least the *wanted* characters of this font file; None where it holds no such file."""
    if not wanted <= LETTERS:
        return None
    try:
        return _place(font).read_bytes()
    except OSError:
        return None


def made(font: Path) -> bytes:
    """A WOFF of a font that draws ``LETTERS``: kerned, unhinted."""
    from fontTools import subset  # noqa: PLC0415
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    out = BytesIO()
    options = subset.Options(layout_features=["kern"], name_IDs=["*"], notdef_outline=True, hinting=False)
    options.drop_tables += ["gasp", "GDEF", "GSUB"]
    with TTFont(font, recalcTimestamp=False) as whole:
        cut = subset.Subsetter(options)
        cut.populate(text="".join(sorted(LETTERS)))
        cut.subset(whole)
        whole.flavor = "woff"
        whole.save(out)
    return out.getvalue()


def keep(files: Iterable[Path]) -> None:
    """Make those of these font files, and take away those of other releases."""
    FOLDER.mkdir(exist_ok=True)
    for old in FOLDER.glob("*.woff"):
        old.unlink()
    for font in files:
        _place(font).write_bytes(made(font))


def _place(font: Path) -> Path:
    return FOLDER / f"{font.stem}-{crc32(font.read_bytes()):08x}.woff"
