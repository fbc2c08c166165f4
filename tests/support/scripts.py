"""Scripts of gallery/ as modules."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

GALLERY = Path(__file__).parents[2] / "gallery"


def script(name: str) -> ModuleType:
    """The module of one script; each is run once."""
    key = f"gallery_{name}"
    if key not in sys.modules:
        spec = importlib.util.spec_from_file_location(key, GALLERY / f"{name}.py")
        assert spec
        assert spec.loader
        sys.modules[key] = importlib.util.module_from_spec(spec)  # dataclasses look their module up
        spec.loader.exec_module(sys.modules[key])
    return sys.modules[key]
