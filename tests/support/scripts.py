"""Scripts of gallery/ as modules."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from types import ModuleType

GALLERY = Path(__file__).parents[2] / "gallery"


def script(name: str) -> ModuleType:
    """The module of one script, which finds those beside it as when it is run; each is run once."""
    if str(GALLERY) not in sys.path:
        sys.path.insert(0, str(GALLERY))
    return import_module(name)
