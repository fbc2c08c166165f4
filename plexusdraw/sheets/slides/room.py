"""Room on a slide: pictures that may not fit, laid out once in a process; running text that fits in any typeface."""

from __future__ import annotations

from functools import lru_cache

from plexusdraw import fonts
from plexusdraw.layout.fit import Options, fitted
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.scene import Scene

WIDER = 1.2
"""How much wider text may be in a typeface that a program takes in place of ours (DejaVu Sans: 1.14 to 1.2)."""


def lines_of(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Running text in lines that are no wider than *width* mm in such a typeface either; *size* in pt."""
    return fonts.wrap(text, width / WIDER, size, bold)


@lru_cache(maxsize=128)
def fitting(plexus: Plexus, options: Options) -> tuple[Scene, ...] | None:
    """The pages of a picture; None where it cannot fit."""
    shown = plexus.laid_out
    return fitted(shown, fibres.of(shown), options)
