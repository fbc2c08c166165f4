"""The YAML files that come with the tool, parsed beforehand: ``parsed/NAME.json``, which opens many times faster.

What is kept is taken only for the very text that it was made from; after an edit the YAML is parsed as any other, until
``python -m plexusdraw.yamlfile.kept`` keeps it anew (``gallery/build.py`` does so as well).
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zlib import crc32

from plexusdraw.yamlfile.document import Document, Path_, Value, node_lines, parse, read_text

FOLDER = Path(__file__).parent / "parsed"
_PACKAGE = Path(__file__).parent.parent


@dataclass(frozen=True)
class KeptDocument(Document):
    """A document whose lines are kept in place of its nodes."""

    lines: list[Any] | None = None
    """As ``node_lines`` gives them."""

    def line(self, path: Path_ = ()) -> int:
        """1-based line of the value at *path*; steps that are not there are passed over."""
        value, lines = self.value, self.lines
        line: int = lines[0] if lines else 0
        for step in path:
            at = _place(value, step)
            if at is None or not isinstance(lines, list):
                continue
            value, lines = value[step], lines[at + 1]
            line = lines[0] if isinstance(lines, list) else lines
        return line


def document(text: str, path: str) -> Document | None:
    """The document with this text, if it is kept."""
    try:
        data: dict[str, Any] = json.loads((FOLDER / f"{Path(path).stem}.json").read_text("utf-8"))
    except OSError:
        return None
    return KeptDocument(data["value"], None, lines=data["lines"]) if data["of"] == _sum(text) else None


def encoded(path: Path) -> str:
    """What is to be kept of a file."""
    text = read_text(path)
    made = parse(text, str(path))
    assert made.node is not None
    data = {"of": _sum(text), "value": made.value, "lines": node_lines(made.node)}
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")) + "\n"


def files() -> list[Path]:
    """The files that come with the tool."""
    themes = [folder / "themes" for folder in (_PACKAGE, _PACKAGE.parent)]
    return sorted([*_PACKAGE.rglob("*.yaml"), *(path for folder in themes for path in folder.glob("*.yaml"))])


def keep() -> None:
    """Keep all of them."""
    FOLDER.mkdir(exist_ok=True)
    wanted = {FOLDER / f"{path.stem}.json": encoded(path) for path in files()}
    for path in set(FOLDER.glob("*.json")) - set(wanted):
        path.unlink()
    for path, text in wanted.items():
        path.write_text(text, "utf-8", newline="\n")


def _sum(text: str) -> list[int]:
    return [len(text), crc32(text.encode())]


def _place(value: Value, step: str | int) -> int | None:
    """Where a key or an index stands among what a value holds."""
    if isinstance(step, int):
        return step if isinstance(value, list) and 0 <= step < len(value) else None
    return next((i for i, key in enumerate(value) if key == step), None) if isinstance(value, dict) else None


if __name__ == "__main__":
    keep()
