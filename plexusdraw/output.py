"""Files are written whole or not at all: to a temporary neighbour, to the disk, then under their name."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
from collections.abc import Iterable, Iterator
from itertools import count
from pathlib import Path, PurePath, PureWindowsPath
from typing import TypeVar

from plexusdraw import inputs
from plexusdraw.errors import OutputError

STDOUT = "-"
_DEVICES = ("/dev/stdout", "/dev/fd/1", "/proc/self/fd/1")
WINDOWS = os.name == "nt"
_KEPT_BY_WINDOWS = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(1, 10))}
"""Names of devices there, whatever ending follows."""
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}

P = TypeVar("P", bound=PurePath)
Parts = dict[Path, tuple[Path, Path]]
"""File that is laid down → the name that the user gave for it, and the file that it will be."""

_unfinished: dict[int, Parts] = {}


def write(path: str | Path, data: bytes) -> None:
    """Write *data* to the file *path*, or to standard output for "-".

    A file that is there keeps its permissions, and a link keeps pointing to it. If anything goes wrong, also
    an interruption by the user, the old file is untouched and nothing is left behind.

    Raises:
        OutputError: the file cannot be written; the message says what is wrong, where, and what to do.
    """
    write_all([(path, data)])


def make_folder(folder: Path) -> None:
    """Make a folder, and those in which it lies, where they are not there.

    Raises:
        OutputError: it cannot be made; says so too where a file has its name.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise OutputError(f"{folder}: this is a file. Name a folder, or a file with an ending.") from error
    except OSError as error:
        raise OutputError(f"{folder}: cannot be made: {error.strerror or error}.") from error


def is_stdout(path: str | Path) -> bool:
    """Whether a name means standard output."""
    return str(path) in (STDOUT, *_DEVICES)


def is_there(path: str | Path, *, file: bool = False) -> bool:
    """Whether something, or a *file*, has this name; nothing has one that the system refuses, as too long."""
    return os.path.isfile(path) if file else os.path.exists(path)  # noqa: PTH110, PTH113 - pathlib raises then


def beside(path: P, what: str) -> P:
    """The name of a file that belongs to another: quiz.pdf and "-key" make quiz-key.pdf."""
    return path.with_name(f"{path.stem}{what}{path.suffix}")


def refused_by_windows(path: str | Path) -> bool:
    """Whether Windows would write this file elsewhere than its name says: to a device, or into a hidden stream."""
    found = PureWindowsPath(path)
    last = found.name.partition(".")[0].rstrip().upper()
    return last in _KEPT_BY_WINDOWS or any(":" in part for part in found.parts[bool(found.anchor) :])


def write_all(files: Iterable[tuple[str | Path, bytes]]) -> list[Path]:
    """Write files that belong together, as ``write`` does each; return their names.

    All lie on the disk before the first takes its name, so that one for which there is no room changes none.

    Raises:
        OutputError: a file cannot be written. Whatever making the files raises leaves nothing behind either.
    """
    parts: Parts = {}
    written = []
    _unfinished[id(parts)] = parts
    try:
        for path, data in files:
            with _told(str(path)):
                _stage(path, data, parts)
            written.append(Path(path))
        for part, (place, target) in parts.items():
            with _told(str(place)):
                part.replace(target)
    except BaseException:
        _remove(parts)
        raise
    finally:
        del _unfinished[id(parts)]
    for folder in {target.parent: None for _, target in parts.values()}:
        _sync(folder)
    return written


def abandon() -> None:
    """Remove all that is half written: for a program that is about to end, wherever it stands."""
    for parts in list(_unfinished.values()):
        _remove(parts)


def _remove(parts: Parts) -> None:
    for part in list(parts):
        with contextlib.suppress(OSError):  # the folder itself may be gone
            part.unlink(missing_ok=True)


def _stage(path: str | Path, data: bytes, parts: Parts) -> None:
    """Lay *data* down beside its place, in a file that *parts* then lists with its name and target."""
    if is_stdout(path):
        _print(data)
        return
    target = Path(os.path.realpath(path))
    _check(path, target)
    if target.exists() and not target.is_file():  # a device or a pipe cannot be replaced
        target.write_bytes(data)
        return
    part, handle = _neighbour(Path(path), target, parts)
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    if target.exists():
        part.chmod(stat.S_IMODE(target.stat().st_mode))


def _print(data: bytes) -> None:
    if sys.stdout is None:  # so Python says that it was closed from the start
        raise OutputError("standard output cannot be written to: it is closed.")
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


def _check(path: str | Path, target: Path) -> None:
    """Say early and plainly what would fail."""
    folder = target.parent
    if WINDOWS and refused_by_windows(path):
        raise OutputError(f"{path}: on Windows this cannot be the name of a file. Choose another name.")
    if inputs.is_input(path):
        raise OutputError(f"{path}: this file is read by the command, and would be lost. Give another name.")
    if target.is_dir() or str(path).endswith(("/", os.sep)):
        raise OutputError(f"{path}: this is a folder. Give the name of a file in it.")
    if not folder.exists():
        raise OutputError(f'{path}: there is no folder "{folder}". Make it first, or choose another place.')
    if not folder.is_dir():
        raise OutputError(f'{path}: "{folder}" is a file, not a folder. Choose another place.')
    if target.exists() and not os.access(target, os.W_OK):
        raise OutputError(f"{path}: the file is protected against writing. Choose another name, or unprotect it.")


def _neighbour(place: Path, target: Path, parts: Parts) -> tuple[Path, int]:
    """A new file beside *target*, open for writing, with the permissions that a new file has there."""
    for n in count(len(parts)):
        part = target.parent / f".plexusdraw-{os.getpid()}-{n}.part"
        if part in parts:
            continue
        parts[part] = place, target  # before it is there: an interruption in between must not leave it behind
        try:
            return part, os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        except FileExistsError:
            del parts[part]
    raise AssertionError("count() ends")


def _sync(folder: Path) -> None:
    """Have the new name on the disk as well, where the system lets us."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextlib.contextmanager
def _told(path: str) -> Iterator[None]:
    """Turn what the system says into an OutputError."""
    folder = Path(path).parent
    try:
        yield
    except OSError as error:
        if path == STDOUT:
            what = f"standard output cannot be written to: {error.strerror or error}"
        elif error.errno in _FULL:
            what = f'{path}: no room left in "{folder}". Free some, or choose another place'
        elif error.errno in _FORBIDDEN:
            what = f'{path}: no permission to write in "{folder}". Choose another place'
        elif error.errno == errno.ENAMETOOLONG:
            what = f"{path}: the name is too long. Choose a shorter one"
        else:
            what = f"{path}: cannot be written: {error.strerror or error}"
        raise OutputError(f"{what}.") from error
    except ValueError as error:  # a NUL in the name
        raise OutputError(f"{path!r}: cannot be the name of a file: {error}.") from error
