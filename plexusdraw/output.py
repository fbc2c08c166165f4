"""Files are written whole or not at all: to a temporary neighbour, to the disk, then under their name."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from plexusdraw.errors import OutputError

STDOUT = "-"
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}


def write(path: str | Path, data: bytes) -> None:
    """Write *data* to the file *path*, or to standard output for "-".

    A file that is there keeps its permissions, and a link keeps pointing to it. If anything goes wrong, also
    an interruption by the user, the old file is untouched and nothing is left behind.

    Raises:
        OutputError: the file cannot be written; the message says what is wrong, where, and what to do.
    """
    with _told(str(path)):
        if str(path) == STDOUT:
            sys.stdout.buffer.write(data)
            sys.stdout.buffer.flush()
            return
        target = Path(os.path.realpath(path))
        _check(path, target)
        if target.exists() and not target.is_file():  # a device or a pipe cannot be replaced
            target.write_bytes(data)
        else:
            _replace(target, data)


def _check(path: str | Path, target: Path) -> None:
    """Say early and plainly what would fail."""
    folder = target.parent
    if target.is_dir() or str(path).endswith(("/", os.sep)):
        raise OutputError(f"{path}: this is a folder. Give the name of a file in it.")
    if not folder.exists():
        raise OutputError(f'{path}: there is no folder "{folder}". Make it first, or choose another place.')
    if not folder.is_dir():
        raise OutputError(f'{path}: "{folder}" is a file, not a folder. Choose another place.')
    if target.exists() and not os.access(target, os.W_OK):
        raise OutputError(f"{path}: the file is protected against writing. Choose another name, or unprotect it.")


def _replace(target: Path, data: bytes) -> None:
    temporary, handle = _neighbour(target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            temporary.chmod(stat.S_IMODE(target.stat().st_mode))
        temporary.replace(target)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    _sync(target.parent)


def _neighbour(folder: Path) -> tuple[Path, int]:
    """A new file in *folder*, open for writing, with the permissions that a new file has there."""
    for n in count():
        path = folder / f".plexusdraw-{os.getpid()}-{n}.part"
        with contextlib.suppress(FileExistsError):
            return path, os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
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
