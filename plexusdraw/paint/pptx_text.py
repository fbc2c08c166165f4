"""Text boxes that stay in their place in another typeface.

The typeface is in the deck, but some programs take another in its place. Arial, and what has its widths, is up to a
fifteenth wider, some figures more: every box has so much to spare, where it is free. What is wider still (DejaVu Sans
by a fifth) would run into its neighbours or off the slide: the box wraps, and shrinks what does not fit it
(``a:normAutofit``), which does nothing to text in its own typeface.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from plexusdraw.look.marks import Disc, Mark, Plate, Words
from plexusdraw.paint.pptx_geometry import box_of, line_box
from plexusdraw.scene import MM_PER_PT, Box

ALIGN = {"start": "l", "middle": "ctr", "end": "r"}
NAME_SPARE, RUNNING_SPARE = 0.07, 0.35
"""What a box is wider than its text, as a share of it: of a name, and of running text, which no strand is near."""
SPARE_EM = 0.22
"""And in ems."""
_HIGHER_EM = 0.06
"""What it is higher on either side, so that no rounding makes it too low for its line."""
_OVER_MM = 0.1
"""Texts that lie over one another by no more stand side by side."""
_EDGE_MM = 1.0
_ON_PLATE_EM = 0.03
"""No box of a text comes nearer to the edge of the slide, or of its plate, than its text does by itself."""
_SHARES = {"start": (0.0, 1.0), "middle": (0.5, 0.5), "end": (1.0, 0.0)}
"""Of the spare width, to the left and to the right: the side that a text begins at stays."""


@dataclass(frozen=True, slots=True)
class Room:
    """Where text may go on a slide: the page, and the lines of text on it, mm."""

    page: Box
    lines: Sequence[Box]

    def box_for(self, mark: Words, others: Iterable[Mark] = (), *, running: bool = False) -> Box:
        """The box of a line of text, mm: up to its neighbours; on a plate or disc, among *others*, not as wide as that.

        *running*: it is no name in the drawing.
        """
        line, em = line_box(mark), mark.size * MM_PER_PT
        within, edge = _under(line, others, _ON_PLATE_EM * em) or (self.page, _EDGE_MM)
        left, right = _SHARES[mark.anchor]
        spare = (RUNNING_SPARE if running else NAME_SPARE) * line.w + SPARE_EM * em
        before = min([line.x - within.x - edge, *(self.gaps(line, after=False) if left else ())])
        after = min([within.right - edge - line.right, *(self.gaps(line, after=True) if right else ())])
        room = [free / share for free, share in ((before, left), (after, right)) if share]
        spare = max(0.0, min(spare, *room))
        higher = _HIGHER_EM * em
        return Box(line.x - left * spare, line.y - higher, line.w + spare, line.h + 2 * higher)

    def gaps(self, line: Box, *, after: bool) -> Iterator[float]:
        """Half of what is free up to each text beside a line, mm: the other half is that text's own."""
        for other in self.lines:
            if line.y < other.y + other.h and other.y < line.y + line.h:
                gap = other.x - line.x - line.w if after else line.x - other.x - other.w
                if gap > -_OVER_MM and other is not line:
                    yield gap / 2


def _under(line: Box, others: Iterable[Mark], edge: float) -> tuple[Box, float] | None:
    """The plate on which a line stands, and how near to its edge it may come, mm; the disc, which numbers may fill."""
    x, y = line.x + line.w / 2, line.y + line.h / 2
    found = None
    for mark in others:  # the last of them is the uppermost
        if isinstance(mark, Plate | Disc) and box_of(mark).holds(x, y):
            found = box_of(mark), 0.0 if isinstance(mark, Disc) else edge
    return found


def body(mark: Words, fill: str) -> str:
    """The text itself; *fill*: its colour as XML."""
    bold = ' b="1"' if mark.bold else ""
    run = f'<a:rPr lang="en-US" sz="{round(mark.size * 100)}"{bold}>{fill}</a:rPr>'
    return (
        '<p:txBody><a:bodyPr wrap="square" lIns="0" tIns="0" rIns="0" bIns="0" anchor="ctr"><a:normAutofit/></a:bodyPr>'
        f'<a:lstStyle/><a:p><a:pPr algn="{ALIGN[mark.anchor]}"/><a:r>{run}<a:t>{escape(mark.string)}</a:t></a:r>'
        "</a:p></p:txBody>"
    )
