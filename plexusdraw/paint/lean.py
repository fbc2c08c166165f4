"""Imports svgwrite without what it needs only to check elements and to fetch fonts, most of the time that it takes.

Neither is done when a picture is written: the checks are for tests (``debug``), fonts come with this package. Both are
still there: they are imported at their first call.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import Any


def _get_validator(profile: str, debug: bool = True) -> Any:  # noqa: ANN401  # as svgwrite has it
    return import_module("svgwrite.validator2").get_validator(profile, debug) if debug else None


def _urlopen(*args: Any, **options: Any) -> Any:  # noqa: ANN401
    return import_module("urllib.request").urlopen(*args, **options)


_LATER = {"svgwrite.validator2": {"get_validator": _get_validator}, "urllib.request": {"urlopen": _urlopen}}
"""Module → what svgwrite takes from it."""


@contextmanager
def svgwrite_alone() -> Iterator[None]:
    """While svgwrite is imported: modules that are not loaded yet have stand-ins that load them when called."""
    stand_ins = {}
    for name, functions in _LATER.items():
        if name not in sys.modules:
            sys.modules[name] = stand_ins[name] = ModuleType(name)
            vars(stand_ins[name]).update(functions)
    try:
        yield
    finally:
        for name, module in stand_ins.items():
            if sys.modules.get(name) is module:
                del sys.modules[name]
