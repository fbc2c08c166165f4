"""Room on a slide: running text that fits in any typeface."""

from __future__ import annotations

from plexusdraw import fonts

WIDER = 1.2
"""How much wider text may be in a typeface that a program takes in place of ours (DejaVu Sans: 1.14 to 1.2)."""


def lines_of(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Running text in lines that are no wider than *width* mm in such a typeface either; *size* in pt."""
    return fonts.wrap(text, width / WIDER, size, bold)
