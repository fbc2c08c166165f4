"""What of a gallery is stale: two folders of pictures compared, whatever their fonts and the typesetter's version.

A stored font and what the typesetter adds to a PDF come from other projects and change with their versions. They, and
numbers that differ by less than 0.03, do not make a picture stale.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields
from io import BytesIO
from pathlib import Path

from plexusdraw.scene import Box, Note, Scene, Text

MADE = ("*.svg", "*.pdf", "*.scene.txt")
NEAR = 0.03


def scene_text(scene: Scene) -> Iterator[str]:
    """A scene as text: a line for the page, then one for each part, mm to 0.01."""
    size = _shown((float(scene.width), float(scene.height)))
    yield f"page {size} {scene.side} {' '.join(scene.roots)}"
    yield f"is {scene.medium}, margin {_shown(float(scene.margin))}, table {scene.table}"
    yield f"says {_shown(scene.description)}"
    yield f"read {' '.join(part.key if isinstance(part, Note) else part.entity for part in scene.read())}"
    for part in scene.parts:
        yield " ".join([type(part).__name__.lower(), *(_shown(getattr(part, f.name)) for f in fields(part))])


def _shown(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case float():
            return f"{round(value, 2) + 0.0:.2f}"  # adding 0.0 makes -0.0 plain
        case Box():
            return f"[{_shown((value.x, value.y, value.w, value.h))}]"
        case Text():
            said = _shown((value.x, value.y, value.size, value.anchor, "bold" if value.bold else "plain"))
            return f'"{value.string}" {said} {_shown(value.box)}'
        case (float(), float()):
            return f"{_shown(value[0])},{_shown(value[1])}"
        case tuple():
            return " ".join(map(_shown, value)) or "-"
        case str() if not value or " " in value:
            return f'"{value}"'
        case None | str() | int():
            return "-" if value is None else str(value)
        case _:
            return "(" + " ".join(_shown(getattr(value, f.name)) for f in fields(value)) + ")"  # type: ignore[arg-type]


def stale(folder: Path, made: Path) -> list[str]:
    """What differs between the gallery in *folder* and one just *made*, a line each."""
    names = sorted(
        {path.name for place in (folder, made) for like in (*MADE, "README.md") for path in place.glob(like)}
    )
    found = []
    for name in names:
        if not (made / name).exists():
            found.append(f"{name}: no longer made")
        elif not (folder / name).exists():
            found.append(f"{name}: missing")
        else:
            difference = differs(name, (folder / name).read_bytes(), (made / name).read_bytes())
            found += [f"{name}: {difference}"] if difference else []
    return found


def differs(name: str, old: bytes, new: bytes) -> str:
    """The first line in which two versions of a file differ beyond the last digit; empty if none does."""
    read = _READ.get(Path(name).suffix, _text)
    before, after = read(old).splitlines(), read(new).splitlines()
    for i, (a, b) in enumerate(zip(before, after, strict=False), start=1):
        if not _alike(a, b):
            return f"line {i}\n    - {a[:200]}\n    + {b[:200]}"
    return "" if len(before) == len(after) else f"{len(before)} lines, now {len(after)}"


_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def _alike(a: str, b: str) -> bool:
    if a == b:
        return True
    if _NUMBER.sub("0", a) != _NUMBER.sub("0", b):
        return False
    pairs = zip(_NUMBER.findall(a), _NUMBER.findall(b), strict=True)
    return all(x == y or ("." in x + y and abs(float(x) - float(y)) < NEAR) for x, y in pairs)


def _text(data: bytes) -> str:
    return data.decode()


def _svg(data: bytes) -> str:
    """One element a line, the fonts' data left out."""
    return re.sub(r"base64,[^)]*", "base64,", data.decode()).replace("><", ">\n<")


def _pdf(data: bytes) -> str:
    """Size and words of each page: the rest is the typesetter's way of writing."""
    from pypdf import PdfReader  # noqa: PLC0415

    pages = PdfReader(BytesIO(data)).pages
    return "\n".join(f"{page.mediabox.width} {page.mediabox.height}\n{page.extract_text()}" for page in pages)


_READ: dict[str, Callable[[bytes], str]] = {".svg": _svg, ".pdf": _pdf}
