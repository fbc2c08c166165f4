"""What an earlier class set left where a new one was written: its files go, all others are named and left.

A file of ours is told by its name: that of the set with "-key" or "-grid", or in a folder the code of a form, whose
check character no other name has by chance.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from plexusdraw.output import beside, is_there
from plexusdraw.sheets.worksheet import codes

_PDF = b"%PDF-"
_MADE = b"Typst"


@dataclass(frozen=True, slots=True)
class Left:
    """``removed``: files of an earlier set. ``others``: what else lies in the folder of the set."""

    removed: tuple[Path, ...] = ()
    others: tuple[Path, ...] = ()


def found(path: Path) -> tuple[Path, ...]:
    """What lies beside the file *path* under the names of a set, or in the folder *path*."""
    return tuple(sorted(_beside(path) if path.suffix else _within(path)))


def cleared(path: Path, before: Iterable[Path], written: Iterable[Path]) -> Left:
    """Remove what is of an earlier set of what was there *before*; not what was just *written*.

    What another process writes meanwhile is left alone.
    """
    new = {file.resolve() for file in written}
    stale, others = [], []
    for file in before:
        if file.resolve() in new or not is_there(file):
            continue
        if (path.suffix or _is_of_a_set(file)) and _is_ours(file):
            with suppress(OSError):
                file.unlink()
                stale.append(file)
                continue
        others.append(file)
    return Left(tuple(stale), tuple(others))


def _beside(path: Path) -> Iterator[Path]:
    """Keys and grid of the set whose forms are in the file *path*."""
    names = (beside(path, what) for what in ("-key", "-grid"))
    yield from (name for name in names if is_there(name, file=True))


def _within(folder: Path) -> Iterator[Path]:
    with suppress(OSError):
        yield from (file for file in folder.iterdir() if file.is_file() and not file.name.startswith("."))


def _is_of_a_set(file: Path) -> bool:
    """Whether a file in a folder has the name of a form, of its key, or of a grid."""
    what, dash, code = file.stem.partition("-")
    return file.name == "grid.pdf" or bool(dash and what in ("form", "key") and codes.is_code(code))


def _is_ours(file: Path) -> bool:
    """Whether a file is a PDF that the typesetter made: another of the same name is left alone."""
    try:
        data = file.read_bytes()
    except OSError:
        return False
    return data.startswith(_PDF) and _MADE in data
