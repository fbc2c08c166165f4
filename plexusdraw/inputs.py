"""The files that a command reads: none of them is ever written by it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path

_READ: ContextVar[set[str] | None] = ContextVar("read", default=None)


@contextmanager
def kept_apart() -> Iterator[None]:
    """While this lasts, as long as one command runs, every file that is read is remembered."""
    token = _READ.set(set())
    try:
        yield
    finally:
        _READ.reset(token)


def read(path: str | Path) -> None:
    """Remember a file that is read, whatever way leads to it."""
    known = _READ.get()
    if known is not None:
        with suppress(ValueError):  # a NUL in the name: whoever opens it says so
            known.add(os.path.realpath(path))


def is_input(path: str | Path) -> bool:
    """Whether the running command has read this file."""
    known = _READ.get() or set()
    return bool(known) and (os.path.realpath(path) in known or any(_same(path, file) for file in known))


def _same(path: str | Path, file: str) -> bool:
    """Whether two names are of one file: hard links, or capitals where the disk takes them for small letters."""
    with suppress(OSError, ValueError):
        return Path(path).samefile(file)
    return False
