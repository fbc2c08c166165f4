"""Painters: Scene × View × Theme → bytes. ``marks`` decides every look; painters write marks down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from plexusdraw.look.theme import Theme
from plexusdraw.scene import Scene
from plexusdraw.scene.view import View

Pages = Sequence[tuple[Scene, View]]
Painter = Callable[..., bytes]
Option = Any
"""What a keyword of a painter takes."""


def _svg(pages: Pages, theme: Theme, **options: Option) -> bytes:
    from plexusdraw.paint import svg  # noqa: PLC0415

    return svg.paint(pages, theme, **options)


def _pdf(pages: Pages, theme: Theme, **options: Option) -> bytes:
    from plexusdraw.paint import typeset  # noqa: PLC0415

    return typeset.pdf(pages, theme, **options)


def _png(pages: Pages, theme: Theme, **options: Option) -> bytes:
    from plexusdraw.paint import typeset  # noqa: PLC0415

    return typeset.png(pages, theme, **options)


def _dot(pages: Pages, theme: Theme, **options: Option) -> bytes:
    from plexusdraw.paint import dot  # noqa: PLC0415

    return dot.paint(pages, theme, **options)


FORMATS: dict[str, Painter] = {"svg": _svg, "pdf": _pdf, "png": _png, "dot": _dot}
"""Format → painter. Each imports what it needs when it is called."""
MANY_PAGES = frozenset({"pdf"})
"""Formats that hold more than one page."""


def paint(format: str, pages: Pages, theme: Theme, **options: Option) -> bytes:
    """The *pages* in *format*; options are those of the painter (svg: embed_fonts, debug; png: ppi).

    Raises:
        KeyError: no painter for *format*.
        ValueError: no page, or more than one in a format that holds one.
    """
    if not pages or (len(pages) > 1 and format not in MANY_PAGES):
        raise ValueError(f"{format} holds one page, not {len(pages)}" if pages else "no page to paint")
    return FORMATS[format](pages, theme, **options)
