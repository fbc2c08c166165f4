"""Room for answers on the page of a drawing: under it, or on its right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.scene import Box, Part
from plexusdraw.sheets.worksheet import flow
from plexusdraw.sheets.worksheet.flow import COLUMN_MM, GUTTER_MM, HAND_MM, NUMBER_MM, Flow
from plexusdraw.sheets.worksheet.form_page import HEAD_PT
from plexusdraw.sheets.worksheet.spec import Question

LEAST_COLUMN_MM = 46.0
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
    def left(self) -> float:
        """Where the drawing ends if the space stands beside it, mm from the left edge of the page."""
        return self.box.x - GUTTER_MM

    def lines(self, questions: Sequence[Question]) -> list[Part]:
        """The parts to answer *questions* on."""
        wide = flow.column_width(self.box.w, self.how.columns)
        return flow.poured(flow.lines(questions, wide), self.box, self.how)[0]


def column(questions: Sequence[Question]) -> float:
    """Width of a column that takes the longest answer by hand, at most ``COLUMN_MM``, mm."""
    longest = max((len(answer) for q in questions if not q.drawn for answer in q.answers), default=0)
    asked = max((fonts.width(q.prompt, HEAD_PT) for q in questions if not q.drawn and not flow.named(q)), default=0.0)
    return min(COLUMN_MM, max(LEAST_COLUMN_MM, NUMBER_MM + max(HAND_MM * longest, asked + 1.0)))


def spaces(room: Box, questions: Sequence[Question], pitch: float) -> Iterator[Space]:
    """Under the drawing and beside it, where lines *pitch* mm apart leave some room; *room* is that of both."""
    wanted = column(questions)
    columns = flow.many(room.w, wanted)
    each = flow.column_width(room.w, columns)
    how = Flow(columns, pitch)
    tall = flow.least_height(flow.lines(questions, each), room.w, how)
    if tall + APART_MM < 0.7 * room.h:
        yield Space(Box(room.x, room.bottom - tall, room.w, tall), how, tall + APART_MM)
    one = Flow(1, pitch)
    if wanted < 0.5 * room.w and flow.least_height(flow.lines(questions, wanted), wanted, one) <= room.h:
        yield Space(Box(room.right - wanted, room.y, wanted, room.h), one)
