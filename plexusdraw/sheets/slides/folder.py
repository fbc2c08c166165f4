"""A folder with a picture of each slide: what an earlier lecture left in it goes, all else is named and left."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from struct import pack
from zlib import crc32

from plexusdraw.fonts import FAMILY
from plexusdraw.output import make_folder, write_all

_NUMBERED = re.compile(r"\d{2,}-[a-z0-9-]+\.(svg|png)")
_HEAD = 33
"""Bytes of a PNG up to the end of its first chunk."""
_SIGN = b"Software\0plexusdraw"


def save(folder: Path, pictures: Iterable[tuple[str, bytes]]) -> tuple[list[Path], list[Path], list[Path]]:
    """Write the pictures; the folder is made where there is none. Returns what was written, removed, and left.

    Raises:
        OutputError: the folder or a file cannot be written; then none is.
    """
    made = [(name, signed(data) if name.endswith(".png") else data) for name, data in pictures]
    make_folder(folder)
    before = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    written = write_all((folder / name, data) for name, data in made)
    removed, left = [], []
    for path in before:
        if path in written:
            continue
        if is_ours(path):
            with suppress(OSError):
                path.unlink()
                removed.append(path)
                continue
        left.append(path)
    return written, removed, left


def signed(png: bytes) -> bytes:
    """The picture, saying what made it (PNG 1.2, chunk tEXt), so that a later lecture may replace it."""
    chunk = b"tEXt" + _SIGN
    return png[:_HEAD] + pack(">I", len(_SIGN)) + chunk + pack(">I", crc32(chunk)) + png[_HEAD:]


def is_ours(path: Path) -> bool:
    """Whether a file is a picture of a slide: by its name, and by what it says of itself."""
    if not _NUMBERED.fullmatch(path.name) or not path.is_file():
        return False
    try:
        data = path.read_bytes()
    except OSError:
        return False
    if path.suffix == ".png":
        return data[_HEAD + 8 :].startswith(_SIGN)
    return data.startswith(b"<?xml") and FAMILY.encode() in data and b"data-kind=" in data
