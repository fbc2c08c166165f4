"""Makes the pictures of this folder, and its README.

    python gallery/build.py            writes what has changed, also what is kept of YAML files and fonts
    python gallery/build.py --check    writes nothing; says what is stale or missing, exit code 1

What it shows stands in `catalogue.py`; a test compares each picture with what its command makes. Beside each plain
picture of a plexus its layout is kept as text, "NAME.scene.txt", one line a part, so that a difference says what moved
(a layout that two of them share once).
"""

from __future__ import annotations

import argparse
import re
import sys
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from catalogue import CASES, FOLDER, PICTURES
from stale import MADE, scene_text, stale

from plexusdraw import common_letters, fonts
from plexusdraw.layout.fit import Options
from plexusdraw.scene import Scene
from plexusdraw.sheets.case import save as save_case
from plexusdraw.views.request import Request
from plexusdraw.yamlfile import kept

MEASURES = FOLDER / "MEASURES.md"
"""Measures of the pictures; the README links to them where there are any."""


def build(folder: Path) -> None:
    """Make all files of the gallery in *folder*."""
    written: set[tuple[Scene, ...]] = set()
    for picture in PICTURES:
        figure = picture.figure()
        figure.save(folder / picture.file)
        scenes = tuple(page.scene for page in figure.pages())
        request = figure.request
        plain = replace(request, title="") == Request(naming=request.naming) and isinstance(figure.options, Options)
        if plain and scenes not in written:
            written.add(scenes)
            text = "\n".join(line for scene in scenes for line in scene_text(scene))
            (folder / picture.file).with_suffix(".scene.txt").write_text(f"{text}\n", encoding="utf-8")
    for case in CASES:
        save_case(case.pages(), str(folder / case.file))
    (folder / "README.md").write_text(readme(), encoding="utf-8")


def readme() -> str:
    """The README of this folder."""
    parts = [
        "# Gallery",
        "Each picture, the command that makes it in this folder, and the same in Python (after `import plexusdraw`).",
        "`python gallery/build.py` makes them all, and this page; with `--check` it says what is stale.\n"
        "Each `.scene.txt` is the layout of a plain picture as text: one line a part, in mm.",
    ]
    for picture in PICTURES:
        shown = "" if picture.file.endswith(".pdf") else f"\n![{_bare(picture.caption)}]({picture.file})\n"
        link = f"[{picture.file}]({picture.file})"
        parts.append(f"## {Path(picture.file).stem}")
        parts.append(f"{picture.caption} {link}\n{shown}")
        parts.append(f"```sh\n{picture.command}\n```\n\n```python\n{picture.python}\n```")
    for case in CASES:
        parts.append(f"## {Path(case.file).stem}")
        parts.append(f"{case.caption} [{case.file}]({case.file})\n")
        parts.append(f"```sh\n{case.command}\n```")
    if MEASURES.exists():
        parts.append(
            f"## Measures\n\nCrossings, overlaps, type and ink of the pictures: [{MEASURES.name}]({MEASURES.name})."
        )
    return "\n\n".join(part.strip("\n") for part in parts) + "\n"


def _bare(caption: str) -> str:
    """A caption without markup, for readers who cannot see the picture."""
    return re.sub(r"\[([^]]*)\]\([^)]*\)|`", lambda m: m[1] or "", caption)


def main() -> int:
    """Build or check; returns the exit code."""
    parser = argparse.ArgumentParser(description="Makes the pictures of the gallery.")
    parser.add_argument("--check", action="store_true", help="write nothing, exit 1 if a file is stale")
    check = parser.parse_args().check
    if not check:
        kept.keep()
        common_letters.keep(fonts.files())
    with TemporaryDirectory() as made:
        build(Path(made))
        found = stale(FOLDER, Path(made))
        if not check:
            _replace(Path(made))
    for line in found:
        sys.stdout.write(f"{'stale' if check else 'wrote'} {line if check else line.split(':')[0]}\n")
    if check and found:
        sys.stdout.write("Run: python gallery/build.py\n")
    return 1 if check and found else 0


def _replace(made: Path) -> None:
    for like in MADE:
        for path in FOLDER.glob(like):
            path.unlink()
    for path in made.iterdir():
        (FOLDER / path.name).write_bytes(path.read_bytes())


if __name__ == "__main__":
    sys.exit(main())
