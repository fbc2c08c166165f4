"""Pictures that may not fit a slide: laid out once in a process, and without advice where there is no room."""

from __future__ import annotations

from functools import lru_cache

from plexusdraw.layout.fit import Options, fitted
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.scene import Scene


@lru_cache(maxsize=128)
def fitting(plexus: Plexus, options: Options) -> tuple[Scene, ...] | None:
    """The pages of a picture; None where it cannot fit."""
    shown = plexus.laid_out
    return fitted(shown, fibres.of(shown), options)
