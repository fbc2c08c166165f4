"""A table of words on a page: cells of paragraphs, a rule over each row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.scene import Leader, Note, Part, Role
from plexusdraw.scene.curves import line
from plexusdraw.sheets.case.frame import GAP_MM, step

PAD_MM = 0.9
Cell = Sequence[str | tuple[str, bool]]
"""Paragraphs; with True one in bold."""


@dataclass(frozen=True)
class Table:
    """Heads and rows; ``shares``: width of each column as a share of the page. ``key`` tells it from other tables."""

    key: str
    heads: Sequence[str]
    shares: Sequence[float]
    rows: Sequence[Sequence[Cell]]

    def drawn(self, left: float, top: float, width: float, size: float) -> tuple[list[Part], float]:
        """The table in a type of *size* pt from *top* mm on; and where it ends."""
        parts: list[Part] = []
        y = top
        for i, row in enumerate((tuple(((head, True),) for head in self.heads), *self.rows)):
            cells = [self._lines(cell, width * s - GAP_MM, size) for cell, s in zip(row, self.shares, strict=True)]
            if i:
                parts.append(Leader("", "rule", line((left, y), (left + width, y))))
                y += PAD_MM
            x = left
            for k, (found, share) in enumerate(zip(cells, self.shares, strict=True)):
                for n, (text, bold) in enumerate(found):
                    base = y + (n + 1) * step(size) - fonts.descent(size)
                    place = fonts.text(text, x, base, size, bold=bold)
                    role: Role = "legend" if i else "table-heading"
                    parts.append(Note(role, f"{self.key}-{i}-{k}-{n}", place, width * share - 0.5 * GAP_MM))
                x += width * share
            y += max(map(len, cells)) * step(size) + PAD_MM
        return parts, y

    @staticmethod
    def _lines(cell: Cell, width: float, size: float) -> list[tuple[str, bool]]:
        found: list[tuple[str, bool]] = []
        for paragraph in cell:
            text, bold = (paragraph, False) if isinstance(paragraph, str) else paragraph
            found += [(words, bold) for words in fonts.wrap(text, width, size, bold=bold)]
        return found
