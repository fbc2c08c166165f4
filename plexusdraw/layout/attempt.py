"""One size of a drawing tried on a page, and how far it fits."""

from __future__ import annotations

from dataclasses import dataclass

from plexusdraw.layout import surround
from plexusdraw.layout.columns import compose
from plexusdraw.layout.columns.draft import Draft, Push
from plexusdraw.layout.labels import Form
from plexusdraw.layout.table import rows as table
from plexusdraw.layout.table import skin

FULL = 1 - 1e-9
"""What is as wide as the page fits it, whatever the last digit says."""


@dataclass(slots=True)
class Attempt:
    """One size tried: what came of it and the room that it had."""

    draft: Draft
    form: Form
    push: Push
    page: surround.Bands
    caution: list[str]
    sheet: table.Grid | None
    areas: skin.Block | None
    width: float
    """Width between the margins, mm."""

    @property
    def taken(self) -> float:
        """Width taken by drawing and table, mm."""
        scale = self.draft.frame.scale
        return self.draft.width + (self.sheet.width + scale.mm(compose.CHANNEL_EMS) if self.sheet else 0.0)

    @property
    def size(self) -> float:
        """Base type size, pt."""
        return self.draft.frame.scale.size

    @property
    def wide(self) -> float:
        """How many times wider the page is than what stands on it."""
        return self.width / self.taken

    @property
    def tall(self) -> float:
        """How many times higher the page is than what stands on it."""
        under = self.areas.height if self.areas else 0.0
        return self.page.room / max(self.draft.height + under, self.sheet.height() if self.sheet else 0.0)

    @property
    def fits(self) -> bool:
        """Whether drawing and table stay on the page."""
        return min(self.wide, self.tall) >= FULL and not self.draft.crowded
