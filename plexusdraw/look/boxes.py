"""Blanks, badges and plates behind text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import hypot, sqrt

from plexusdraw import fonts
from plexusdraw.look.lines import SMALLEST_PT
from plexusdraw.look.marks import Disc, Mark, Plate, Words
from plexusdraw.look.theme import Blank, Colour
from plexusdraw.scene import MM_PER_PT, Box, Point

_RIM_MM = 0.25
"""Room between a number and the rim of its badge."""
SLIDE_PT = (14.0, 20.0)
"""Least and largest type of a number on a slide."""
IN_BOX = 0.58
"""Height of a number as a share of that of the box in which it stands."""


def roundest(plate: Box, texts: Iterable[Box]) -> float:
    """The largest radius of a plate's corners, mm, at which no corner of a text on it lies outside."""
    found = min(plate.w, plate.h) / 2
    for box in texts:
        x = max(0.0, min(box.x - plate.x, plate.right - box.right))
        y = max(0.0, min(box.y - plate.y, plate.bottom - box.bottom))
        found = min(found, x + y + sqrt(2 * x * y))  # then the arc runs through the corner of the text
    return found


class Boxes:
    """Makes boxes in one style.

    *scale* is how much larger than A4 the page is, *largest* the largest number on it: all badges have room for it.
    *slide*: nobody writes on it, so that numbers stand in the boxes, to be read from the back row; names that come in
    place of the boxes need none beside them.
    """

    def __init__(self, style: Blank, scale: float, largest: int, *, slide: bool = False) -> None:
        self.style = style
        self.scale = scale
        self.slide = slide
        digits = "8" * len(str(largest))
        self.widest = hypot(fonts.width(digits, 1.0, bold=True), fonts.CAP_EM * MM_PER_PT) / 2
        """Half the diagonal of the largest number, mm for each pt of type."""

    def behind(self, boxes: Iterable[Box], colour: Colour) -> Plate:
        """A plate behind text."""
        pad, inked = 0.6 * self.scale, list(boxes)
        x, y = min(b.x for b in inked) - pad, min(b.y for b in inked) - 0.4 * pad
        right, bottom = max(b.right for b in inked) + pad, max(b.bottom for b in inked) + 0.4 * pad
        return Plate(box=Box(x, y, right - x, bottom - y), radius=pad, fill=colour)

    def box(self, box: Box) -> Plate:
        """The box to write in."""
        style = self.style
        radius, width = min(style.radius * self.scale, box.h / 2), min(style.width * self.scale, box.h / 12)
        return Plate(box=box, radius=radius, fill=style.fill, stroke=style.stroke, width=width)

    def blank(self, box: Box, at: Point, number: int) -> Iterator[Mark]:
        """A box to write in, with its number."""
        yield self.box(box)
        if self.slide:
            size = max(SLIDE_PT[0], min(SLIDE_PT[1], IN_BOX * box.h / (fonts.CAP_EM * MM_PER_PT)))
            x, y = box.x + box.w / 2, box.y + box.h / 2
            yield self._number(number, (x, y), size, self.style.badge)
        else:
            yield from self.badge(at, self.badge_radius(box.h), number)

    def beside(self, at: Point, r: float, number: int) -> Iterator[Mark]:
        """The number beside an answer."""
        if not self.slide:
            yield from self.badge(at, r, number)

    def badge_radius(self, height: float) -> float:
        """Radius of a badge beside a box of this height, mm: as large, but with room for any number of the page."""
        return max(0.46 * height, self.widest * SMALLEST_PT + _RIM_MM)

    def badge(self, at: Point, r: float, number: int) -> Iterator[Mark]:
        """A number in a disc."""
        size = max(SMALLEST_PT, min((r - _RIM_MM) / self.widest, 1.25 * r / MM_PER_PT))
        yield Disc(x=at[0], y=at[1], r=r, fill=self.style.badge)
        yield self._number(number, at, size, self.style.number)

    @staticmethod
    def _number(number: int, at: Point, size: float, fill: Colour) -> Words:
        y = at[1] + 0.5 * fonts.CAP_EM * size * MM_PER_PT
        return Words(string=str(number), x=at[0], y=y, size=size, anchor="middle", bold=True, fill=fill)
