"""What a picture shows and on what, and how large its type may be there."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import Paper, paper

Limb = Literal["left", "right"]

LARGEST_PT = 12.0
"""Largest base type on A4; grows with the page's diagonal."""
A4_DIAGONAL = 363.7
FIT_PT = 9.0
"""Base type of a page that grows."""
POSTER = 1.05
"""Paper so many times larger than A4 has room for everything that a nerve supplies."""


@dataclass(frozen=True, slots=True)
class Options:
    """What a picture shows; all that its layout depends on.

    ``supply``: what nerves supply, where it fits; ``remark``: where it does not, the legend says so.
    ``nerve``: the id of the one nerve whose course is drawn instead of the plexus; ``detail`` then says nothing.
    """

    detail: Detail = "nerves"
    page: Paper = field(default_factory=paper)
    side: Limb = "left"
    wording: Wording = field(default_factory=Wording)
    supply: bool = True
    nerve: str = ""
    remark: bool = True


def limits(page: Paper) -> tuple[float, float]:
    """Smallest and largest base type of a page, pt."""
    if page.grows:
        return FIT_PT * page.text, FIT_PT * page.text
    diagonal = (page.width**2 + page.height**2) ** 0.5
    return page.smallest, max(page.smallest, LARGEST_PT * page.text * diagonal / A4_DIAGONAL)


def is_poster(page: Paper) -> bool:
    """Whether a page is larger than those that one holds in the hand."""
    return not page.grows and limits(page)[1] / page.text / LARGEST_PT > POSTER
