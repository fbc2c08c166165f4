"""What takes long to make is made once a run, whichever process of it asks first."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # without the locks of POSIX, each process makes its own
    fcntl = None  # type: ignore[assignment]

Make = Callable[[Path], None]


def shared(base: Path) -> Path:
    """The folder that all processes of a run have in common; *base* is the one that pytest gave this process."""
    return base.parent if fcntl and "PYTEST_XDIST_WORKER" in os.environ else base


def once(folder: Path, name: str, make: Make) -> Path:
    """The file of a name in a folder; if it is not there yet, ``make(path)`` writes it while others wait."""
    path = folder / name
    with locked(folder / f".{name}.lock"):
        if not path.exists():
            part = folder / f".part-{name}"
            make(part)
            part.rename(path)
    return path


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Nobody else's while it lasts; a process that dies lets go."""
    with path.open("w") as handle:
        if fcntl:
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
