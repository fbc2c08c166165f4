"""PDF and PNG by typst, from one source: a page for each scene, every mark placed at its coordinates.

The PDF is PDF/UA-1: the drawing is a figure with an alternative text, and the words follow it as real text in
reading order. Strings are typst string literals, so no markup in a name is ever read as markup. Only our own
fonts are used, so that a page is the same on every computer; only what they lack is borrowed (``borrowed``), and set
in the font in which it was measured. No date is written.
"""

from __future__ import annotations

import atexit
import os
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from pathlib import Path as File
from shutil import copyfile, rmtree
from tempfile import mkdtemp
from types import ModuleType
from typing import TYPE_CHECKING

from plexusdraw import borrowed, fonts
from plexusdraw.errors import FontError, OutputError
from plexusdraw.look import redaction
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Disc, Fill, Group, Lines, Mark, Path, Plate, Words
from plexusdraw.look.spoken import spoken
from plexusdraw.look.theme import Paint, Theme
from plexusdraw.paint import runs
from plexusdraw.scene import Scene
from plexusdraw.scene.view import View

if TYPE_CHECKING:
    from typst import Fonts

Pages = Sequence[tuple[Scene, View]]

_PRELUDE = f"""\
#set text(font: "{fonts.FAMILY}", lang: "en", hyphenate: false, top-edge: "baseline", bottom-edge: "baseline")
#set par(spacing: 0pt, leading: 0pt)
#set block(spacing: 0pt)
#show heading: it => text(weight: "regular", it.body)
#let pen(colour, width, ..more) = if colour == none {{ none }} else {{
  stroke(paint: rgb(colour), thickness: width * 1mm, cap: "butt", join: "round", ..more)
}}
#let path(points, colour, width, dash: none, offset: 0) = {{
  let at(i) = (points.at(2 * i) * 1mm, points.at(2 * i + 1) * 1mm)
  let cubics = range(1, int(points.len() / 2), step: 3).map(i => curve.cubic(at(i), at(i + 1), at(i + 2)))
  let more = if dash == none {{ (:) }} else {{ (dash: (array: dash.map(d => d * 1mm), phase: offset * 1mm)) }}
  place(top + left, curve(stroke: pen(colour, width, ..more), curve.move(at(0)), ..cubics))
}}
#let filled(chains, fill, colour, width) = {{
  let pieces = ()
  for points in chains {{
    let at(i) = (points.at(2 * i) * 1mm, points.at(2 * i + 1) * 1mm)
    pieces.push(curve.move(at(0)))
    pieces += range(1, int(points.len() / 2), step: 3).map(i => curve.cubic(at(i), at(i + 1), at(i + 2)))
    pieces.push(curve.close(mode: "straight"))
  }}
  let inside = if fill != none {{ rgb(fill) }}
  place(top + left, curve(fill: inside, fill-rule: "even-odd", stroke: pen(colour, width), ..pieces))
}}
#let strokes(ends, colour, width) = place(top + left, curve(stroke: pen(colour, width), ..range(0, ends.len(), step: 4)
  .map(i => ends.slice(i, i + 4).map(v => v * 1mm))
  .map(((x, y, u, v)) => (curve.move((x, y)), curve.line((u, v)))).flatten()))
#let plate(x, y, w, h, r, fill, colour, width) = place(top + left, dx: x * 1mm, dy: y * 1mm, rect(
  width: w * 1mm, height: h * 1mm, radius: r * 1mm, stroke: pen(colour, width),
  fill: if fill != none {{ rgb(fill) }},
))
#let disc(x, y, r, fill, colour, width) = place(top + left, dx: (x - r) * 1mm, dy: (y - r) * 1mm, circle(
  radius: r * 1mm, stroke: pen(colour, width), fill: if fill != none {{ rgb(fill) }},
))
#let words(x, y, size, anchor, weight, fill, string, level: 0) = {{
  let line = text(size: size * 1pt, weight: weight, fill: rgb(fill), string)
  let shown = if level > 0 {{ heading(level: level, line) }} else {{ line }}
  if anchor == 0 {{ place(top + left, dx: x * 1mm, dy: y * 1mm, shown) }} else {{
    context place(top + left, dx: x * 1mm - anchor * measure(line).width, dy: y * 1mm, shown)
  }}
}}
"""
KEPT_DOCUMENTS = 10
WORTH_SHARING = 400
"""Characters from which on shapes of several pages are written down once."""
_ANCHORS = {"start": "0", "middle": "0.5", "end": "1"}


def pdf(pages: Pages, theme: Theme, *, together: bool = False) -> bytes:
    """A tagged PDF with a page for each scene: PDF/UA-1, unless no font at all has a character that it shows.

    *together*: one page, on which they stand one under the other.
    """
    return compiled(_sheet(pages, theme) if together else source(pages, theme))


def compiled(text: str) -> bytes:
    """The tagged PDF of a typst source."""
    typst = _typesetter()
    text, held = _with_fonts(text)
    try:
        return bytes(typst.compile(text.encode(), format="pdf", pdf_standards=["ua-1"], font_paths=held))
    except typst.TypstError:
        if text.isascii():
            raise
        return bytes(typst.compile(text.encode(), format="pdf", font_paths=held))


def forget() -> None:
    """Make the typesetter drop what it keeps of documents, which it does for the last ten; takes a few ms."""
    typst = _typesetter()
    for _ in range(KEPT_DOCUMENTS + 1):
        typst.compile(b"", format="svg", font_paths=_typefaces())


def png(pages: Pages, theme: Theme, *, ppi: float, together: bool = False) -> bytes:
    """The page as a PNG image with *ppi* pixels per inch; *together*: several, one under the other.

    Raises:
        OutputError: it would have more than ``MOST_PIXELS``; says which *ppi* would do.
    """
    if len(pages) != 1 and not together:
        raise ValueError(f"a PNG holds one page, not {len(pages)}")
    scenes = [scene for scene, _ in pages]
    _check_pixels(max(scene.width for scene in scenes), sum(scene.height for scene in scenes), ppi)
    text, held = _with_fonts(_sheet(pages, theme) if together else source(pages, theme))
    return bytes(_typesetter().compile(text.encode(), format="png", ppi=ppi, font_paths=held))


def _check_pixels(width: float, height: float, ppi: float) -> None:
    """Refuse what no memory should be asked for: about 8 bytes a pixel; sides in mm."""
    pixels = width * height * (ppi / MM_PER_INCH) ** 2
    if pixels > MOST_PIXELS:
        fitting = int(ppi * (MOST_PIXELS / pixels) ** 0.5)
        raise OutputError(
            f"a PNG of {width:.0f} x {height:.0f} mm at {ppi:g} ppi would have {pixels / 1e6:.0f} million "
            f"pixels; at most {MOST_PIXELS / 1e6:.0f} million are made. Take --ppi {fitting} or less, or a format "
            "that is sharp at any size, such as .pdf."
        )


MM_PER_INCH = 25.4
MOST_PIXELS = 100_000_000
"""A4 at 1,000 ppi, A0 at 250."""
_process = 0
"""The process in which the typesetter has begun; its threads do not live on in a fork of that."""


def _typesetter() -> ModuleType:
    """The typesetter; OutputError in a forked process, where it would wait for threads that are not there."""
    global _process  # noqa: PLW0603
    if _process not in (0, os.getpid()):
        raise OutputError(
            "this process was forked from one that had made a PDF or PNG, and the typesetter's threads are not in it. "
            'Start processes anew, as by multiprocessing.get_context("spawn"), or fork before the first file.'
        )
    _process = os.getpid()
    import typst  # noqa: PLC0415

    return typst


def _with_fonts(text: str) -> tuple[str, Fonts]:
    """A source that names the fonts from which its letters are borrowed, and all the fonts that it takes."""
    lacking = sorted(c for c in set(text) if not (c.isascii() or fonts.has_glyph(c)))
    found = borrowed.families(lacking)
    if not found:
        return text, _typefaces()
    for face in found.values():
        borrowed.check(face.path, frozenset(c for c in lacking if borrowed.holder(c) is face))
    files = tuple(face.path for face in found.values())
    named = ", ".join(quoted(family) for family in (fonts.FAMILY, *map(_family_of, files)))
    own = f'#set text(font: "{fonts.FAMILY}"'
    letters = "".join(f"\\u{{{ord(c):x}}}" for c in lacking)
    return text.replace(own, f"{_BOLDER % letters}#set text(font: ({named})", 1), _typefaces(files)


_BOLDER = """\
#show regex("[%s]+"): it => context if text.weight not in (700, "bold") { it } else {
  text(stroke: 0.035em + text.fill, it)
}
"""
"""Letters that are borrowed, of which there may be no bold ones."""


@cache
def _typefaces(more: tuple[File, ...] = ()) -> Fonts:
    """Our fonts, those built into typst, and *more* font files: no others of this computer."""
    folders = [*fonts.paths(), *map(_folder_of, more)]
    made: Fonts = _typesetter().Fonts(include_system_fonts=False, font_paths=folders)
    return made


def _family_of(file: File) -> str:
    """The family of a font file, as the typesetter calls it; FontError if it cannot use it."""
    held = (
        _typesetter()
        .Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[_folder_of(file)])
        .families()
    )
    if not held:
        raise FontError(f"{file}: a font that cannot be typeset. Give another one with --font FILE.")
    return str(held[0])


@cache
def _folder_of(file: File) -> str:
    """A folder with this file alone, as the typesetter wants it, until the program ends."""
    folder = File(mkdtemp(prefix="plexusdraw-fonts-"))
    atexit.register(rmtree, folder, ignore_errors=True)
    copyfile(file, folder / f"font{file.suffix}")
    return str(folder)


def source(pages: Pages, theme: Theme) -> str:
    """The typst source of the document; shapes that pages have in common stand in it once."""
    made = [Content(scene, view, theme) for scene, view in pages]
    kept, bodies = together(made)
    how = f"margin: 0pt, fill: rgb({quoted(theme.page)})"
    body = "".join(f"#page({page.size}, {how})[\n{own}]\n" for page, own in zip(made, bodies, strict=True))
    return opening(redaction.title(pages[0][1])) + kept + body


def _sheet(pages: Pages, theme: Theme) -> str:
    """The typst source of one page with all of them, one under the other."""
    width, height = max(scene.width for scene, _ in pages), sum(scene.height for scene, _ in pages)
    body, down = "", 0.0
    for scene, view in pages:
        block = f"block(width: {_mm(scene.width)}, height: {_mm(scene.height)})"
        body += f"#place(top + left, dy: {_mm(down)}, {block}[\n{content(scene, view, theme)}])\n"
        down += scene.height
    size = f"width: {_mm(width)}, height: {_mm(height)}, margin: 0pt, fill: rgb({quoted(theme.page)})"
    return opening("; ".join(redaction.title(view) for _, view in pages)) + f"#page({size})[\n{body}]\n"


def opening(title: str) -> str:
    """What stands before the pages; *title* is that of the document."""
    return f"#set document(title: {quoted(title)}, date: none)\n{_PRELUDE}"


def quoted(string: str) -> str:
    """A typst string literal."""
    return '"' + string.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ") + '"'


class Content:
    """What stands on a page, in markup: its shapes group by group, and its words. Its title is of this *level*."""

    def __init__(self, scene: Scene, view: View, theme: Theme, level: int = 1) -> None:
        groups = marks(scene, view, theme)
        self.alt = quoted(redaction.description(scene, view))
        self.size = f"width: {_mm(scene.width)}, height: {_mm(scene.height)}"
        self.drawn = [text for text in ("".join(f"{s}\n" for s in _shapes(group)) for group in groups) if text]
        self.read = "".join(f"{_words(w, level if title and w.string else 0)}\n" for w, title in spoken(groups))

    def with_shapes(self, drawn: str) -> str:
        """The whole, with its shapes in these words."""
        return f"#place(top + left, figure(alt: {self.alt}, block({self.size})[\n{drawn}]))\n{self.read}"


def together(pages: Sequence[Content]) -> tuple[str, list[str]]:
    """Shapes that several pages have in common, which stand before all, and the markup of each page."""
    where = runs.standing(page.drawn for page in pages)
    names: dict[str, str] = {}

    def drawn(page: Content) -> Iterator[str]:
        for run, shared in runs.runs(page.drawn, where):
            text = "".join(run)
            again = shared and len(text) >= WORTH_SHARING
            yield f"#{names.setdefault(text, f'shapes{len(names)}')}\n" if again else text

    bodies = [page.with_shapes("".join(drawn(page))) for page in pages]
    return "".join(f"#let {name} = [\n{run}]\n" for run, name in names.items()), bodies


def content(scene: Scene, view: View, theme: Theme, level: int = 1) -> str:
    """What stands on a page, in markup; its title is a heading of this *level*."""
    page = Content(scene, view, theme, level)
    return page.with_shapes("".join(page.drawn))


def _shapes(group: Group) -> Iterator[str]:
    for mark in group.marks:
        if not isinstance(mark, Words):
            yield _shape(mark)


@lru_cache(maxsize=4096)
def _shape(mark: Mark) -> str:
    match mark:
        case Path():
            points = ", ".join(f"{_n(x)}, {_n(y)}" for x, y in mark.curve)
            dash = ", ".join(_n(d) for d in mark.dash)
            more = f", dash: ({dash}), offset: {_n(mark.offset)}" if mark.dash else ""
            return f"#path(({points}), {_paint(mark.stroke)}, {_n(mark.width)}{more})"
        case Plate():
            b = mark.box
            box = ", ".join(_n(v) for v in (b.x, b.y, b.w, b.h, mark.radius))
            return f"#plate({box}, {_paint(mark.fill)}, {_paint(mark.stroke)}, {_n(mark.width)})"
        case Disc():
            circle = ", ".join(_n(v) for v in (mark.x, mark.y, mark.r))
            return f"#disc({circle}, {_paint(mark.fill)}, {_paint(mark.stroke)}, {_n(mark.width)})"
        case Words():
            return _words(mark, 0)
        case Fill():
            chains = "".join(f"({', '.join(f'{_n(x)}, {_n(y)}' for x, y in curve)}), " for curve in mark.curves)
            return f"#filled(({chains}), {_paint(mark.fill)}, {_paint(mark.stroke)}, {_n(mark.width)})"
        case Lines():
            ends = ", ".join(_n(v) for a, b in mark.lines for v in (*a, *b))
            return f"#strokes(({ends}), {_paint(mark.stroke)}, {_n(mark.width)})"


def _words(mark: Words, level: int) -> str:
    weight = 700 if mark.bold else 400
    place = f"{_n(mark.x)}, {_n(mark.y)}, {_n(mark.size)}, {_ANCHORS[mark.anchor]}, {weight}"
    more = f", level: {level}" if level else ""
    return f"#words({place}, {_paint(mark.fill)}, {quoted(mark.string)}{more})"


def _paint(paint: Paint) -> str:
    return quoted(paint) if paint else "none"


def _mm(value: float) -> str:
    return f"{_n(value)}mm"


def _n(value: float) -> str:
    """A number to 0.001: typst rounds nothing of its own."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
