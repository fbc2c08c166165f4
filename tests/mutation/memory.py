"""One function of an imported module is given other code, in the memory of this process alone."""

from __future__ import annotations

import gc
import inspect
from functools import _lru_cache_wrapper, cached_property
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

PACKAGE = "plexusdraw"
LOADED = f"{PACKAGE}.model.loader"
"""What it keeps is what stands in files: right, unless the making of models itself is changed."""


def change(module: ModuleType, name: str, source: str) -> None:
    """The function of a dotted *name*, or that in which it stands, becomes what it is in *source*.

    Whoever has imported the function, or keeps it in a cache or a property, has it changed: it stays the same object.
    """
    fresh = ModuleType(module.__name__)
    fresh.__dict__.update(__file__=module.__file__, __package__=module.__package__)
    exec(compile(source, str(module.__file__), "exec", dont_inherit=True), fresh.__dict__)
    old, new = _function(module, name), _function(fresh, name)
    old.__code__ = new.__code__
    if repr(new.__defaults__) != repr(old.__defaults__):
        old.__defaults__ = new.__defaults__
    if repr(new.__kwdefaults__) != repr(old.__kwdefaults__):
        old.__kwdefaults__ = new.__kwdefaults__


def _function(module: ModuleType, name: str) -> FunctionType:
    found: Any = module
    for part in name.split("."):
        found = inspect.getattr_static(found, part)
        while not isinstance(found, FunctionType | type):
            found = _wrapped(found)
        if isinstance(found, FunctionType):
            found = inspect.unwrap(found)
            break
    return found


def _wrapped(found: Any) -> Any:
    for key in ("__wrapped__", "__func__", "fget", "func", "wrapped"):
        if (inner := getattr(found, key, None)) is not None:
            return inner
    raise TypeError(f"no function: {found!r}")


class Caches:
    """All that this process keeps of what it worked out, looked for once."""

    def __init__(self) -> None:
        every = gc.get_objects()
        self._called = [found for found in every if isinstance(found, _lru_cache_wrapper) and _is_ours(found)]
        self._objects = [found for found in every if type(found).__module__.startswith(f"{PACKAGE}.model")]

    def forget(self, module: str) -> None:
        """What was worked out before *module* changed: all but the models, unless it has a part in making them."""
        kept = not module.startswith((f"{PACKAGE}.model", f"{PACKAGE}.yamlfile", f"{PACKAGE}.courses"))
        for found in self._called:
            if not (kept and getattr(found, "__module__", "") in (LOADED, "randoms")):
                found.cache_clear()
        for found in () if kept else self._objects:
            for key in [k for k in getattr(found, "__dict__", ()) if isinstance(_of(found, k), cached_property)]:
                del found.__dict__[key]


def _of(found: Any, key: str) -> Any:
    return inspect.getattr_static(type(found), key, None)


def _is_ours(found: Any) -> bool:
    return str(getattr(found, "__module__", "")).startswith(PACKAGE) or _of_tests(found)


def _of_tests(found: Any) -> bool:
    code = getattr(inspect.unwrap(found), "__code__", None)
    return code is not None and "tests" in Path(code.co_filename).parts
