"""Labelled schematics of nerve plexuses: draw, trace, hide, injure.

>>> import plexusdraw
>>> plexus = plexusdraw.load("brachial")
>>> plexusdraw.figure(plexus, detail="framework").options.detail
'framework'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"
__all__ = ["Figure", "Plexus", "figure", "injure", "load", "models"]

if TYPE_CHECKING:
    from plexusdraw.api import Figure, figure
    from plexusdraw.clinic.injury import injure
    from plexusdraw.courses import load
    from plexusdraw.model import Plexus, models

_HOMES = {
    "Figure": "plexusdraw.api",
    "figure": "plexusdraw.api",
    "injure": "plexusdraw.clinic.injury",
    "Plexus": "plexusdraw.model",
    "load": "plexusdraw.courses",
    "models": "plexusdraw.model",
}


def __getattr__(name: str) -> object:
    """Import a public name when it is first used, so that the command line starts at once."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415

    found: object = getattr(import_module(_HOMES[name]), name)
    return found
