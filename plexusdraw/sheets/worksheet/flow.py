"""Texts and lines to write on, poured into columns of a box: items as they are read, column after column."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.scene import Box, Part
from plexusdraw.sheets.worksheet.form_page import HEAD_PT, SMALL_PT, rule, step, words
from plexusdraw.sheets.worksheet.spec import Question

LINES_MM = (8.5, 7.3)
"""Distances of the lines to write on: usual, and least (room for a hand: a convention of this package)."""
COLUMN_MM = 84.0
"""Width at which one column more is begun."""
GUTTER_MM = 8.0
NUMBER_MM = 8.0
HAND_MM = 2.4
"""Width of a letter written by hand on such lines (common practice, no source)."""
NARROWEST_MM = 54.0
"""Least width of a column of lines to write on."""
LEAST_LINES = 4
"""So many lines of a long item stand at the foot of a column at least."""
SEARCH_MM = 0.5
"""Step in which the least height of a box is looked for."""


@dataclass(frozen=True, slots=True)
class Flow:
    """How a box is filled: columns side by side, mm from line to line."""

    columns: int
    pitch: float


@dataclass(frozen=True, slots=True)
class Item:
    """Lines of text, then rules to write on, in one piece; ``indent`` of the rules in mm, ``size`` in pt."""

    texts: tuple[tuple[str, float, bool], ...]
    """Text, indent in mm, bold."""
    rules: int = 0
    indent: float = 0.0
    size: float = HEAD_PT
    numbered: bool = False
    """Whether the last text stands before the first rule, on its line."""
    whole: bool = False
    """Whether it is never split."""
    tail: str = ""
    """What stands after the last rule, on its line."""

    def height(self, pitch: float) -> float:
        """Height with its rules *pitch* mm apart, mm."""
        texts = len(self.texts) - (1 if self.numbered else 0)
        return texts * step(self.size) + self.rules * pitch + (0.35 * step(self.size) if texts else 0.0)

    def split(self, room: float) -> tuple[Item | None, Item | None]:
        """What goes into *room* mm and what is left; (None, self) where too little would stand alone."""
        lines = int(room / step(self.size) - 0.35)
        if self.whole or self.rules or lines < LEAST_LINES or len(self.texts) - lines < 2:
            return None, self
        return replace(self, texts=self.texts[:lines]), replace(self, texts=self.texts[lines:])


def many(wide: float, column: float = COLUMN_MM) -> int:
    """How many columns of *column* mm stand side by side on *wide* mm."""
    return max(1, int((wide + GUTTER_MM) / (column + GUTTER_MM)))


def column_width(wide: float, columns: int) -> float:
    """Width of one column, mm."""
    return (wide - (columns - 1) * GUTTER_MM) / columns


def poured(items: Sequence[Item], box: Box, flow: Flow) -> tuple[list[Part], list[Item]]:
    """The parts of what goes into a box, and the items that do not; an item higher than the box overruns it."""
    wide = column_width(box.w, flow.columns)
    waiting = list(reversed(items))
    made: list[Part] = []
    column, y = 0, box.y
    while waiting:
        item = waiting.pop()
        if y + item.height(flow.pitch) > box.bottom + 1e-6:
            first, rest = item.split(box.bottom - y)
            if first is None and y > box.y:
                column, y = column + 1, box.y
                waiting.append(item)
                if column == flow.columns:
                    break
                continue
            if first is not None and rest is not None:
                waiting.append(rest)
                item = first
        made += _set(item, box.x + column * (wide + GUTTER_MM), y, wide, flow.pitch)
        y += item.height(flow.pitch)
    return made, waiting[::-1]


def least_height(items: Sequence[Item], wide: float, flow: Flow) -> float:
    """Least height of a box *wide* mm that takes all items, mm."""
    heights = [item.height(flow.pitch) for item in items]
    tall = max(sum(heights) / flow.columns, *heights)
    while poured(items, Box(0.0, 0.0, wide, tall), flow)[1]:
        tall += SEARCH_MM
    return tall


def _set(item: Item, x: float, y: float, wide: float, pitch: float) -> Iterator[Part]:
    last = len(item.texts) - 1
    for i, (text, indent, bold) in enumerate(item.texts):
        if i == last and item.numbered:
            yield words(text, x + indent, y + pitch - 1.5, item.size, bold=bold)
            continue
        y += step(item.size)
        yield words(text, x + indent, y, item.size, bold=bold)
    for i in range(item.rules):
        y += pitch
        end = x + wide
        if item.tail and i == item.rules - 1:
            end -= fonts.width(item.tail, SMALL_PT) + 1.5
            yield words(item.tail, end + 1.5, y - 1.5, SMALL_PT)
        yield rule(x + item.indent, y - 1.0, end)


def named(question: Question) -> bool:
    """Whether a number says all: the name of what bears it on the drawing is asked."""
    return question.key is not None and question.key[1] == "name"


def lines(questions: Sequence[Question], wide: float) -> list[Item]:
    """A numbered line for each name; a prompt and as many lines as are wanted for each list."""
    found = []
    for q in questions:
        if q.drawn:
            continue
        if named(q):
            found.append(Item(((str(q.number), 0.0, True),), 1, NUMBER_MM, numbered=True))
            continue
        first, *rest = fonts.wrap(q.prompt, wide - NUMBER_MM, HEAD_PT)
        head = [(f"{q.number}\u00a0\u00a0{first}", 0.0, False), *((text, NUMBER_MM, False) for text in rest)]
        found.append(Item(tuple(head), q.lines or q.wanted, NUMBER_MM))
    return found
