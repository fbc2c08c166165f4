"""Figures of a limb without names, side by side in as many rows as make them largest, each under its heading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.charts.chart import Chart
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb import legend, plates, shapes
from plexusdraw.layout.limb.options import By, LimbOptions, Picture
from plexusdraw.layout.limb.plates import Plate
from plexusdraw.layout.paper import Paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.scene import MM_PER_PT, Area, Box, Heading, Note, Part, Scene, Shape

LEADING = 1.28
UNDER = 1.2
"""From a heading's baseline to the figure, mm."""
KEY = (
    ("lost", "paralysed; skin lost"),
    ("weak", "weak; skin reduced"),
    ("slight", "slightly weak"),
    ("plain", "spared"),
)
"""State → what its pattern stands for after an injury."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure and what stands over it; *key* tells it from the others of a page."""

    plate: Plate
    words: str
    key: str
    latin: str
    """The words in Latin."""

    @property
    def wide(self) -> float:
        """Width, percent of the whole limb."""
        return self.plate.box.w * self.plate.scale

    @property
    def tall(self) -> float:
        """Height, percent of the whole limb."""
        return self.plate.box.h * self.plate.scale


@dataclass(frozen=True, slots=True)
class Strip:
    """Figures in their places, and the box that they take, mm; *k* mm a unit of the whole limb."""

    parts: tuple[Part, ...]
    box: Box
    k: float


def figures(
    plexus: Plexus,
    chart: Chart,
    pictures: Sequence[Picture],
    side: str,
    by: By = "state",
    *,
    ends: bool = False,
    style: Style = "english",
) -> tuple[Figure, ...]:
    """The whole limbs of some pictures in every view; with *ends* their close-ups instead, if the chart has any.

    *style*: of the words over them.
    """
    found: list[Figure] = []
    for picture in pictures:
        options = LimbOptions(picture, by=by, side=side)  # type: ignore[arg-type]
        for one in plates.plates(plexus, chart, options):
            for plate in one:
                if plate.close == ends:
                    view = next(v for v in chart.views if v.id == plate.side)
                    what = plate.layer or picture
                    words, latin = (plates.title(view, ends, what, Wording(s)) for s in ("english", "latin"))
                    key = f"{plate.layer or picture}-{plate.side}{'-close' if ends else ''}"
                    found.append(Figure(plate, latin if style == "latin" else words, key, latin))
    return tuple(found)


def strip(
    found: Sequence[Figure],
    room: Box,
    size: float,
    gap: float,
    rows: int = 0,
    *,
    packed: bool = False,
    wider: float = 1.0,
) -> Strip:
    """Figures from the top of *room*, as large as they can be, headings of *size* pt.

    *gap*: least mm between figures; what a row does not need of the width stands between them. *rows*: as many rows,
    else as many as make them largest. *packed*: no more than *gap* between them. *wider*: headings are
    broken so that so much wider ones, in another typeface, stand clear of each other.
    """
    ways = [rows] if rows else range(1, len(found) + 1)
    split = [_rows(found, n) for n in ways]
    sized = [(_largest(one, room, size, gap, wider), one) for one in split]
    k, best = max(sized, key=lambda pair: pair[0])
    parts: list[Part] = []
    y, right = room.y, room.x
    for row in best:
        cells = [max(f.wide * k, _word(f, size)) for f in row]
        lines = [_lines(f, (cell + 0.6 * gap) / wider, size) for f, cell in zip(row, cells, strict=True)]
        head = max(map(len, lines)) * size * MM_PER_PT * LEADING + UNDER
        tall = max(f.tall for f in row) * k
        spare = 0.0 if packed else (room.w - sum(cells) - gap * (len(row) - 1)) / (len(row) + 1)
        x = room.x + spare
        for figure, cell, words in zip(row, cells, lines, strict=True):
            plate, own = figure.plate, k * figure.plate.scale
            dx = x + (cell - plate.box.w * own) / 2 - plate.box.x * own
            dy = y + head + tall - plate.box.bottom * own
            seen = [p for p in plate.parts if not (isinstance(p, Shape) and p.role == "key")]
            parts += [shapes.scaled(part, own, dx, dy) for part in seen]
            middle = min(max(dx + plate.middle * own, x + _wide(words, size) / 2), x + cell - _wide(words, size) / 2)
            parts += _heading(figure, words, middle, y + head + tall - plate.box.h * own - UNDER, size)
            x += cell + gap + spare
        right = max(right, x - gap - spare)
        y += head + tall + gap
    return Strip(tuple(parts), Box(room.x, room.y, right - room.x, y - gap - room.y), k)


def _heading(figure: Figure, words: Sequence[str], x: float, y: float, size: float) -> Iterator[Part]:
    step = size * MM_PER_PT * LEADING
    for i, line in enumerate(words):
        base = y - (len(words) - 1 - i) * step
        key = figure.key if not i else f"{figure.key}-{i + 1}"
        yield Heading(key, "view", fonts.text(line, x, base, size, "middle", bold=True))


def _rows(found: Sequence[Figure], many: int) -> list[list[Figure]]:
    """Figures in rows of nearly as many each, in order."""
    each, more = divmod(len(found), many)
    made, first = [], 0
    for i in range(many):
        last = first + each + (i < more)
        made.append(list(found[first:last]))
        first = last
    return made


def _largest(rows: Sequence[Sequence[Figure]], room: Box, size: float, gap: float, wider: float) -> float:
    """The most mm a unit at which all rows fit the room: halved in to a thousandth."""
    low, high = 0.0, min(room.w / min(sum(f.wide for f in row) for row in rows), 100.0)
    for _ in range(24):
        k = (low + high) / 2
        low, high = (k, high) if _fits(rows, room, size, gap, wider, k) else (low, k)
    return low


def _fits(rows: Sequence[Sequence[Figure]], room: Box, size: float, gap: float, wider: float, k: float) -> bool:
    tall = gap * (len(rows) - 1)
    for row in rows:
        cells = [max(f.wide * k, _word(f, size)) for f in row]
        if sum(cells) + gap * (len(row) - 1) > room.w:
            return False
        lines = max(len(_lines(f, (cell + 0.6 * gap) / wider, size)) for f, cell in zip(row, cells, strict=True))
        tall += max(f.tall for f in row) * k + lines * size * MM_PER_PT * LEADING + UNDER
    return tall <= room.h


def _lines(figure: Figure, width: float, size: float) -> list[str]:
    return list(fonts.wrap(figure.words, width, size, bold=True))


def _word(figure: Figure, size: float) -> float:
    """Width of the longest word over a figure, mm."""
    return max(fonts.width(word, size, bold=True) for word in figure.words.split())


def _wide(words: Sequence[str], size: float) -> float:
    return max(fonts.width(line, size, bold=True) for line in words)


def swatches(
    entries: Sequence[tuple[str, str]], x: float, y: float, width: float, size: float
) -> tuple[list[Part], float]:
    """What patterns stand for (state, words), from *y* mm on; and where that ends."""
    made = [legend.Swatch(Area(f"legend-{state}", "legend", ()), words) for state, words in entries]
    parts: list[Part] = []
    for row in legend.rows(made, width, size):
        y += size * MM_PER_PT * LEADING
        parts += legend.drawn(row, x, y - fonts.descent(size), size)
    return parts, y


def sheet(
    found: Sequence[Figure], plexus: Plexus, page: Paper, side: str, size: float, gap: float, rows: int = 0
) -> Scene:
    """A page of figures alone, as large as it takes, with no title; as high as they are."""
    room = Box(page.margin, page.margin, page.width - 2 * page.margin, page.height - 2 * page.margin)
    made = strip(found, room, size, gap, rows)
    worded = Heading | Note
    return Scene(
        width=made.box.right + page.margin,
        height=made.box.bottom + page.margin,
        margin=page.margin,
        medium="paper",
        table="none",
        parts=made.parts,
        reading=tuple(i for i, part in enumerate(made.parts) if isinstance(part, worded)),
        description=f"The {side} {plexus.limb}: {', '.join(f.words.lower() for f in found)}.",
        side=side,  # type: ignore[arg-type]
        roots=plexus.roots,
    )
