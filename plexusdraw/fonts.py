"""The one typeface of every picture, measured and subset: Atkinson Hyperlegible, Regular and Bold, with a plain zero.

Widths hold with the font's pair kerning, because browsers and typst both apply it by default, and nothing
else (the font has no ligatures that apply by default). Advances, character map and kerning are read straight
from the font file with ``struct``: that takes a few milliseconds, where importing fontTools takes tens.
Only :func:`subset` imports fontTools, for letters that are not common. Table formats: OpenType specification 1.9,
chapters cmap, hmtx, GPOS.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from struct import unpack_from
from typing import TYPE_CHECKING, Any, TypeVar

from plexusdraw import borrowed, common_letters
from plexusdraw.scene import MM_PER_PT, Anchor, Box, Text

if TYPE_CHECKING:
    from functools import _lru_cache_wrapper

    from fontTools.ttLib import TTFont

T = TypeVar("T")

FAMILY = "Atkinson Hyperlegible"

ASCENT_EM = 0.76
"""Highest ink of unaccented Latin text (the dot of the bold i), em. Accented capitals rise to 0.89."""
DESCENT_EM = 0.21
"""Lowest ink of Latin text (the bold g), em."""
CAP_EM = 0.668
"""Height of capitals and figures, em."""

_DROPPED = frozenset({"GlyphOrder", "GSUB", "DSIG", "fpgm", "prep", "cvt ", "gasp"})
"""Substitution, signature and hints."""
_COUNTED = frozenset({"glyf", "loca"})
"""Written first: other tables count what is in them."""
ELLIPSIS = "…"
_FORGET: list[Callable[[], None]] = []
"""What empties each store of results that were measured in the fonts of then."""
_START = {"start": 0.0, "middle": 0.5, "end": 1.0}


def measuring(size: int | None) -> Callable[[Callable[..., T]], _lru_cache_wrapper[T]]:
    """Keeps results of a function that measures text, *size* of them at most (None: all), as ``lru_cache`` does.

    They are forgotten when text is measured in other fonts (:func:`prefer`).
    """

    def keep(function: Callable[..., T]) -> _lru_cache_wrapper[T]:
        kept = lru_cache(maxsize=size)(function)
        _FORGET.append(kept.cache_clear)
        return kept

    return keep


def width(string: str, size_pt: float, bold: bool = False) -> float:
    """Advance width of one line of text at *size_pt*, mm.

    A character that the font lacks counts as in the font from which it is borrowed; marks that join the character
    before them, and controls, count as nothing. FontError where no font has it.
    """
    return _em_width(string, bold) * size_pt * MM_PER_PT


def ascent(size_pt: float) -> float:
    """Height of the ink box over the baseline, mm."""
    return ASCENT_EM * size_pt * MM_PER_PT


def descent(size_pt: float) -> float:
    """Depth of the ink box under the baseline, mm."""
    return DESCENT_EM * size_pt * MM_PER_PT


def text(string: str, x: float, y: float, size: float, anchor: Anchor = "start", bold: bool = False) -> Text:
    """One line of text with its baseline point at (x, y) mm, and its ink box."""
    w = width(string, size, bold)
    top = ascent(size)
    box = Box(x - _START[anchor] * w, y - top, w, top + descent(size))
    return Text(string, x, y, size, anchor, bold, box)


def wrap(
    words: str | Sequence[str],
    max_width: float,
    size: float,
    bold: bool = False,
    max_lines: int | None = None,
) -> list[str]:
    """Fill lines of at most *max_width* mm with *words* (a string is split at its spaces).

    Items of a sequence stay whole. What does not go into *max_lines* is left out, and an ellipsis says so.
    A single word wider than *max_width* has a line of its own and overruns: the caller measures.
    """
    items = words.split() if isinstance(words, str) else list(words)
    lines = _filled(items, max_width, size, bold, max_lines)
    if max_lines is None or len(lines) <= max_lines:
        return [" ".join(line) for line in lines]
    kept = lines[:max_lines]
    last = kept[-1]
    while len(last) > 1 and width(_elided(last), size, bold) > max_width:
        last.pop()
    return [*(" ".join(line) for line in kept[:-1]), _elided(last)]


def wrapped(items: Sequence[str], max_width: float, size: float, bold: bool = False, *, most: int) -> list[str] | None:
    """As :func:`wrap` (mm, pt), or None where that takes more than *most* lines."""
    lines = _filled(items, max_width, size, bold, most)
    return None if len(lines) > most else [" ".join(line) for line in lines]


def _filled(items: Sequence[str], max_width: float, size: float, bold: bool, most: int | None) -> list[list[str]]:
    """Lines of *items*; of those beyond *most* only the start of the first."""
    lines: list[list[str]] = []
    for item in items:
        if lines and width(" ".join([*lines[-1], item]), size, bold) <= max_width:
            lines[-1].append(item)
        else:
            lines.append([item])
            if most is not None and len(lines) > most:
                break
    return lines


def _elided(line: Sequence[str]) -> str:
    return f"{' '.join(line).rstrip(',;:')} {ELLIPSIS}"


@cache
def subset(characters: frozenset[str], bold: bool = False) -> bytes:
    """A WOFF (1.0, zlib) that draws *characters*: kerned, unhinted, the same bytes each time.

    Glyphs keep their numbers and the others are emptied, so that the kerning table is copied as it is, and so is the
    name table, which holds copyright and licence (OFL, condition 2). That is several times faster than fontTools'
    subsetter, for a file that is some kilobytes larger.
    """
    from io import BytesIO  # noqa: PLC0415

    from fontTools.ttLib import TTFont  # noqa: PLC0415
    from fontTools.ttLib.sfnt import SFNTWriter  # noqa: PLC0415

    codes = {ord(c) for c in characters}
    out = BytesIO()
    with TTFont(_file(bold), lazy=True, recalcTimestamp=False, recalcBBoxes=False) as font:
        table = next(t for t in font["cmap"].tables if (t.platformID, t.platEncID) == (3, 1))
        table.cmap = {code: name for code, name in table.cmap.items() if code in codes}
        font["cmap"].tables = [table]
        _empty_glyphs(font, set(table.cmap.values()))
        post: Any = font["post"]
        post.formatType = 3.0  # no glyph names
        tags = sorted(set(font.keys()) - _DROPPED, key=lambda tag: (tag not in _COUNTED, tag))
        writer = SFNTWriter(out, len(tags), font.sfntVersion, flavor="woff")
        for tag in tags:  # one by one, since TTFont.save imports the code for tables that are copied as they are
            writer[tag] = font.getTableData(tag)
        writer.close()
    return out.getvalue()


def _empty_glyphs(font: TTFont, wanted: set[str]) -> None:
    """Empty the glyphs that *wanted* ones do not need; drop the hints of those."""
    from fontTools.ttLib.tables._g_l_y_f import Glyph  # noqa: PLC0415

    outlines = font["glyf"]
    kept = {".notdef"}
    while wanted:
        name = wanted.pop()
        kept.add(name)
        wanted |= set(outlines[name].getComponentNames(outlines)) - kept
    for name in font.getGlyphOrder():
        if name in kept:
            outlines[name].removeHinting()
        else:
            outlines.glyphs[name] = Glyph()


@cache
def paths() -> tuple[str, ...]:
    """Folders that hold the fonts, for a compiler that looks them up by family name."""
    return (str(_file(False).parent),)


def files() -> tuple[Path, Path]:
    """The font files of the typeface, Regular and Bold."""
    return _file(False), _file(True)


def faces(characters: frozenset[str], bold: bool = False, *, measured: bool = False) -> list[tuple[bytes, str]]:
    """The fonts that draw *characters* in one weight, as WOFF, each with the range of code points that it is for.

    Where they are common letters alone, all of these are in it.

    The range of the typeface itself is empty: it is for all that the others are not. A font that may not be embedded
    is left out; the viewer then takes one of its own, as for all that was never *measured* where only that is wanted.
    """
    lacking = {c for c in characters if not has_glyph(c, bold)}
    own = characters - lacking
    made = [(common_letters.woff(_file(bold), own) or subset(own, bold), "")]
    for face in borrowed.families(sorted(filter(borrowed.is_taken, lacking) if measured else lacking)).values():
        held = frozenset(c for c in lacking if (borrowed.is_taken(c) or not measured) and borrowed.holder(c) is face)
        if face.embeds:
            made.append((borrowed.subset(face.path, held), ",".join(f"U+{ord(c):04X}" for c in sorted(held))))
    return made


def prefer(path: str | Path | None) -> None:
    """Borrow what the typeface lacks from this font file first; ``None``: from the computer's fonts alone.

    Raises:
        FontError: it is no font that can be read.
    """
    borrowed.prefer(path)
    for forget in _FORGET:
        forget()


def has_all(text: str) -> bool:
    """Whether the typeface has every character of a text that shows something."""
    return all(c.isascii() or has_glyph(c) or borrowed.unseen(c) for c in text)


def file(bold: bool = False) -> str:
    """Path of the typeface's file."""
    return str(_file(bold))


def has_glyph(character: str, bold: bool = False) -> bool:
    """Whether the font itself can draw *character*."""
    return ord(character) in _metrics(bold).glyphs


@cache
def _file(bold: bool) -> Path:
    return Path(__file__).parent / "typeface" / f"AtkinsonHyperlegible-{'Bold' if bold else 'Regular'}.ttf"


@measuring(None)
def _em_width(string: str, bold: bool) -> float:
    metrics = _metrics(bold)
    total = 0.0
    before: int | None = None
    for character in string:
        glyph = metrics.glyphs.get(ord(character))
        if glyph is not None:
            total += metrics.advances[glyph] / metrics.per_em
            if before is not None:
                total += metrics.kern(before, glyph) / metrics.per_em
        elif not borrowed.unseen(character):
            taken = borrowed.advance(character)
            if taken is None:
                raise borrowed.missing(string, [c for c in string if not has_glyph(c, bold)])
            total += taken
        before = glyph
    return total


@dataclass(frozen=True, slots=True)
class _Metrics:
    """What measuring needs of one font file; lengths in font units."""

    per_em: int
    glyphs: dict[int, int]
    """Code point → glyph."""
    advances: list[int]
    kerning: bytes
    """The GPOS table."""
    pair_tables: tuple[int, ...]
    """Offsets of the pair adjustment subtables in it, in the order of use."""
    known: dict[tuple[int, int], int] = field(default_factory=dict)

    def kern(self, left: int, right: int) -> int:
        """What the pair adds to the advance of *left*."""
        pair = (left, right)
        if pair not in self.known:
            found = (_pair(self.kerning, at, left, right) for at in self.pair_tables)
            self.known[pair] = next((value for value in found if value is not None), 0)
        return self.known[pair]


@cache
def _metrics(bold: bool) -> _Metrics:
    data = _file(bold).read_bytes()
    (count,) = unpack_from(">4xH", data)
    records = (unpack_from(">4s4xII", data, 12 + 16 * i) for i in range(count))
    tables = {tag: data[at : at + length] for tag, at, length in records}
    (per_em,) = unpack_from(">18xH", tables[b"head"])
    return _Metrics(
        per_em,
        _character_map(tables[b"cmap"]),
        _advances(tables),
        tables[b"GPOS"],
        _pair_tables(tables[b"GPOS"]),
    )


def _advances(tables: dict[bytes, bytes]) -> list[int]:
    (glyphs,) = unpack_from(">4xH", tables[b"maxp"])
    (metrics,) = unpack_from(">34xH", tables[b"hhea"])
    own = [unpack_from(">H", tables[b"hmtx"], 4 * i)[0] for i in range(metrics)]
    return own + [own[-1]] * (glyphs - metrics)


def _character_map(cmap: bytes) -> dict[int, int]:
    """Code point → glyph from the Windows Unicode subtable (platform 3, encoding 1, format 4)."""
    (count,) = unpack_from(">2xH", cmap)
    records = [unpack_from(">HHI", cmap, 4 + 8 * i) for i in range(count)]
    base = next(at for platform, encoding, at in records if (platform, encoding) == (3, 1))
    segments = unpack_from(">6xH", cmap, base)[0] // 2
    ends = unpack_from(f">{segments}H", cmap, base + 14)
    starts = unpack_from(f">{segments}H", cmap, base + 16 + 2 * segments)
    deltas = unpack_from(f">{segments}H", cmap, base + 16 + 4 * segments)
    offsets_at = base + 16 + 6 * segments
    offsets = unpack_from(f">{segments}H", cmap, offsets_at)
    found: dict[int, int] = {}
    for i, (start, end, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                (glyph,) = unpack_from(">H", cmap, offsets_at + 2 * i + offset + 2 * (code - start))
            if not offset or glyph:
                found[code] = (glyph + delta) & 0xFFFF
    return {code: glyph for code, glyph in found.items() if glyph}


def _pair_tables(gpos: bytes) -> tuple[int, ...]:
    """Offsets of the pair subtables (lookup type 2) of the feature "kern" (no extension lookups)."""
    features_at, lookups_at = unpack_from(">6xHH", gpos)
    (count,) = unpack_from(">H", gpos, features_at)
    used: set[int] = set()
    for i in range(count):
        tag, at = unpack_from(">4sH", gpos, features_at + 2 + 6 * i)
        if tag == b"kern":
            (n,) = unpack_from(">2xH", gpos, features_at + at)
            used.update(unpack_from(f">{n}H", gpos, features_at + at + 4))
    offsets: list[int] = []
    for lookup in sorted(used):
        at = lookups_at + unpack_from(">H", gpos, lookups_at + 2 + 2 * lookup)[0]
        kind, n = unpack_from(">H2xH", gpos, at)
        if kind == 2:
            offsets += [at + sub for sub in unpack_from(f">{n}H", gpos, at + 6)]
    return tuple(offsets)


def _pair(gpos: bytes, at: int, left: int, right: int) -> int | None:
    """Adjustment of the advance of *left* by the pair subtable at *at*; None where the table is silent."""
    form, coverage, first, second = unpack_from(">4H", gpos, at)
    index = _covered(gpos, at + coverage, left)
    if index is None or not first & 4:
        return None
    size = 2 * (first.bit_count() + second.bit_count())
    value = 2 * (first & 3).bit_count()  # x and y placement stand before the advance
    if form == 1:
        table = at + unpack_from(">H", gpos, at + 10 + 2 * index)[0]
        (pairs,) = unpack_from(">H", gpos, table)
        for i in range(pairs):
            record = table + 2 + i * (2 + size)
            if unpack_from(">H", gpos, record)[0] == right:
                return int(unpack_from(">h", gpos, record + 2 + value)[0])
        return None
    one, two, _, columns = unpack_from(">4H", gpos, at + 8)
    cell = _class(gpos, at + one, left) * columns + _class(gpos, at + two, right)
    return int(unpack_from(">h", gpos, at + 16 + cell * size + value)[0])


@lru_cache(maxsize=4096)
def _covered(gpos: bytes, at: int, glyph: int) -> int | None:
    """Index of *glyph* in a coverage table."""
    form, count = unpack_from(">2H", gpos, at)
    if form == 1:
        listed = unpack_from(f">{count}H", gpos, at + 4)
        return listed.index(glyph) if glyph in listed else None
    for i in range(count):
        start, end, index = unpack_from(">3H", gpos, at + 4 + 6 * i)
        if start <= glyph <= end:
            return int(index + glyph - start)
    return None


@lru_cache(maxsize=4096)
def _class(gpos: bytes, at: int, glyph: int) -> int:
    """Class of *glyph* in a class definition table; 0 where it has none."""
    (form,) = unpack_from(">H", gpos, at)
    if form == 1:
        start, count = unpack_from(">2H", gpos, at + 2)
        inside = start <= glyph < start + count
        return int(unpack_from(">H", gpos, at + 6 + 2 * (glyph - start))[0]) if inside else 0
    (count,) = unpack_from(">H", gpos, at + 2)
    for i in range(count):
        start, end, value = unpack_from(">3H", gpos, at + 4 + 6 * i)
        if start <= glyph <= end:
            return int(value)
    return 0
