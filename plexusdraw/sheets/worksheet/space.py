"""Room for answers on the page of a drawing: under it, or on its right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.scene import Box, Part
from plexusdraw.sheets.worksheet import flow
from plexusdraw.sheets.worksheet.flow import COLUMN_MM, GUTTER_MM, HAND_MM, LINES_MM, NARROWEST_MM, NUMBER_MM, Flow
from plexusdraw.sheets.worksheet.form_page import HEAD_PT
from plexusdraw.sheets.worksheet.spec import Question

LEAST_COLUMN_MM = 46.0
MOST_UNDER = 0.6
"""Most of the room that lines under a drawing may take from it."""
APART_MM = 5.0
"""Between the drawing and the lines under it."""


@dataclass(frozen=True, slots=True)
class Space:
    """A box for answers, in mm from the edges of the page, and how it is filled.

    ``under``: height that it takes from the drawing; 0 where it stands ``beside``.
    """

    box: Box
    how: Flow
    under: float = 0.0

    @property
    def beside(self) -> bool:
        """Whether it stands on the right of the drawing."""
        return not self.under

    @property
    def low(self) -> float | None:
        """Where the drawing ends if the space stands under it, mm from the top of the page."""
        return None if self.beside else self.box.y - APART_MM

    @property
    def left(self) -> float:
        """Where the drawing ends if the space stands beside it, mm from the left edge of the page."""
        return self.box.x - GUTTER_MM

    def takes(self, questions: Sequence[Question]) -> bool:
        """Whether lines for all *questions* have room."""
        wide = flow.column_width(self.box.w, self.how.columns)
        return not flow.poured(flow.lines(questions, wide), self.box, self.how)[1]

    def lines(self, questions: Sequence[Question]) -> list[Part]:
        """The parts to answer *questions* on."""
        wide = flow.column_width(self.box.w, self.how.columns)
        return flow.poured(flow.lines(questions, wide), self.box, self.how)[0]


def column(questions: Sequence[Question]) -> float:
    """Width of a column that takes the longest answer by hand, at most ``COLUMN_MM``, mm."""
    longest = max((len(answer) for q in questions if not q.drawn for answer in q.answers), default=0)
    asked = max((fonts.width(q.prompt, HEAD_PT) for q in questions if not q.drawn and not flow.named(q)), default=0.0)
    return min(COLUMN_MM, max(LEAST_COLUMN_MM, NUMBER_MM + max(HAND_MM * longest, asked + 1.0)))


def spaces(room: Box, questions: Sequence[Question]) -> Iterator[Space]:
    """Where lines leave the drawing some room, the best first; *room* is that of both.

    Under the drawing, whose rows can be pressed together more than its columns; else on its right. Lines stand nearer
    to each other, and are shorter than a hand would like, only where there is no room otherwise.
    """
    wanted = column(questions)
    for pitch in LINES_MM:
        yield from _under(room, questions, Flow(flow.many(room.w, wanted), pitch))
    for pitch in LINES_MM:
        one = Flow(1, pitch)
        if wanted < 0.5 * room.w and flow.least_height(flow.lines(questions, wanted), wanted, one) <= room.h:
            yield Space(Box(room.right - wanted, room.y, wanted, room.h), one)
    yield from _under(room, questions, Flow(flow.many(room.w, NARROWEST_MM), LINES_MM[-1]))


def _under(room: Box, questions: Sequence[Question], how: Flow) -> Iterator[Space]:
    items = flow.lines(questions, flow.column_width(room.w, how.columns))
    tall = flow.least_height(items, room.w, how)
    if tall + APART_MM < MOST_UNDER * room.h:
        yield Space(Box(room.x, room.bottom - tall, room.w, tall), how, tall + APART_MM)
