"""Makes the font files of this folder: those of the package fontpkg-atkinson-hyperlegible, with a plain zero.

The face strikes its zero through, so that among the numbers of roots and questions a 10 looks like a sign; it has no
other zero. Only the two halves of the counter are joined: outline, advance and kerning stay. For developers:
``python -m plexusdraw.typeface.plain_zero``.
"""

from __future__ import annotations

from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from typing import Any

from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
STYLES = ("Regular", "Bold")
VERSION_ID = 5
"""Of the version in a name table."""
ON, OFF = 1, 0

Point = tuple[int, int, int]
"""x, y, and whether it lies on the curve."""


def original(style: str) -> Path:
    """The file as published. ModuleNotFoundError: the package with it is not installed."""
    spec = find_spec("fontpkg_atkinson_hyperlegible")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("install fontpkg-atkinson-hyperlegible", name="fontpkg_atkinson_hyperlegible")
    return Path(spec.origin).parent / "files" / f"AtkinsonHyperlegible-{style}.ttf"


def made(style: str) -> TTFont:
    """The font with a plain zero; its version says so."""
    font = TTFont(original(style), recalcTimestamp=False)
    outlines: Any = font["glyf"]
    zero = outlines["zero"]
    places, ends, flags = zero.getCoordinates(outlines)
    points = [(x, y, flag & ON) for (x, y), flag in zip(places, flags, strict=True)]
    outer, upper, _ = (points[a + 1 : b + 1] for a, b in pairwise((-1, *ends)))
    drawn = [*outer, *_counter(outer, upper)]
    zero.coordinates = type(places)([(x, y) for x, y, _ in drawn])
    zero.flags = bytearray(flag for _, _, flag in drawn)
    zero.endPtsOfContours, zero.numberOfContours = [len(outer) - 1, len(drawn) - 1], 2
    zero.removeHinting()
    for record in font["name"].names:
        if record.nameID == VERSION_ID:
            record.string = f"{record.toUnicode()}; plain zero by plexusdraw"
    return font


def _counter(outer: list[Point], upper: list[Point]) -> list[Point]:
    """The whole counter: its quarter at the upper right, mirrored about the middle of the outline."""
    right, top = max(x for x, _, _ in upper), max(y for _, y, _ in upper)
    first = next(i for i, (x, _, flag) in enumerate(upper) if x == right and flag == ON)
    last = next(i for i, (_, y, flag) in enumerate(upper) if y == top and flag == ON)
    quarter = upper[first : last + 1]
    twice = 2 * quarter[-1][0], min(y for _, y, _ in outer) + max(y for _, y, _ in outer) + 1
    half = [*quarter, *((twice[0] - x, y, flag) for x, y, flag in reversed(quarter[:-1]))]
    return [*half, *((x, twice[1] - y, flag) for x, y, flag in reversed(half[1:-1]))]


def main() -> None:
    """Write the files."""
    for style in STYLES:
        made(style).save(HERE / f"AtkinsonHyperlegible-{style}.ttf", reorderTables=None)


if __name__ == "__main__":
    main()
