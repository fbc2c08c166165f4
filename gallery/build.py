"""Makes the pictures of this folder, and its README.

    python gallery/build.py            writes what has changed, also what is kept of YAML files and fonts
    python gallery/build.py --check    writes nothing; says what is stale or missing, exit code 1

Each picture stands below twice: as choices of the Python API, which makes the file, and as the command that makes the
same bytes (a test compares them). Beside each plain picture of a plexus its layout is kept as text, "NAME.scene.txt",
one line a part, so that a difference says what moved (a layout that two of them share once).

A stored font and what the typesetter adds to a PDF come from other projects and change with their versions. They, and
numbers that differ by less than 0.03, do not make a picture stale.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import plexusdraw
from plexusdraw import common_letters, fonts
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.localise import localise
from plexusdraw.layout.fit import Options
from plexusdraw.scene import Box, Note, Scene, Text
from plexusdraw.scene.view import Page
from plexusdraw.sheets.case import injured, localised
from plexusdraw.sheets.case import save as save_case
from plexusdraw.views.request import Request
from plexusdraw.yamlfile import kept

FOLDER = Path(__file__).parent
EXAMPLE = "example-plexus.yaml"
MEASURES = FOLDER / "MEASURES.md"
"""Measures of the pictures; the README links to them where there are any."""
MADE = ("*.svg", "*.pdf", "*.scene.txt")
NEAR = 0.03
STAGES = ("roots", "trunks", "divisions", "cords", "branches")


@dataclass(frozen=True)
class Picture:
    """One picture: its file, what it shows, the options of its command, the same choices in Python."""

    file: str
    caption: str
    options: str = ""
    choices: Mapping[str, Any] = field(default_factory=dict)

    @property
    def command(self) -> str:
        """The command that makes the file in this folder."""
        return f"plexusdraw draw {self.options} -o {self.file}".replace("  ", " ")

    @property
    def python(self) -> str:
        """The same in Python."""
        words = [f"{name}={value!r}".replace("'", '"') for name, value in self.choices.items()]
        return f'plexusdraw.figure({", ".join(words)}).save("{self.file}")'.replace('plexus="', '"')

    def figure(self) -> plexusdraw.Figure:
        """The figure."""
        given = dict(self.choices)
        if given.get("plexus") == EXAMPLE:
            given["plexus"] = FOLDER / EXAMPLE
        return plexusdraw.figure(**given)


@dataclass(frozen=True)
class Case:
    """A case on one page: its file, what it shows, its command, and what gives its pages."""

    file: str
    caption: str
    options: str
    pages: Callable[[], Sequence[Page]]

    @property
    def command(self) -> str:
        """The command that makes the file in this folder."""
        return f"plexusdraw {self.options} -o {self.file}"


def _injured() -> Sequence[Page]:
    return injured.pages(plexusdraw.injure(plexusdraw.load("brachial"), ["ulnar nerve at wrist"]))


def _localised() -> Sequence[Page]:
    plexus = plexusdraw.load("brachial")
    found = (
        finding(plexus, "weak", "deltoid"),
        finding(plexus, "spared", "triceps"),
        finding(plexus, "numb", "upper lateral arm"),
    )
    return localised.pages(localise(plexus, found))


CASES = (
    Case(
        "case.pdf",
        "An injury on one page: a cut far along a nerve stands on its course, and the hand is larger.",
        'injure "ulnar nerve at wrist"',
        _injured,
    ),
    Case(
        "findings.pdf",
        "Findings on one page: the places that explain them, the limb as found, what to examine next.",
        'localise --weak deltoid --spared triceps --numb "upper lateral arm"',
        _localised,
    ),
)
SMALL = "160x100"
PICTURES = (
    Picture("plexus.svg", "The brachial plexus with its nerves and what they supply."),
    Picture("framework.svg", "The five columns alone.", "--detail framework", {"detail": "framework"}),
    Picture(
        "muscles.svg",
        "With the supply table: every muscle in nerve order, a dot for each principal root, a ring for each minor one.",
        "--detail muscles",
        {"detail": "muscles"},
    ),
    Picture("root.svg", "One root, followed from end to end.", "--highlight C7", {"highlight": "C7"}),
    Picture(
        "muscle.svg",
        "One muscle, back to its roots.",
        '--detail muscles --highlight "biceps brachii"',
        {"detail": "muscles", "highlight": "biceps brachii"},
    ),
    Picture(
        "injury.svg",
        "The upper trunk cut: what is lost is grey and dashed, and the table names the muscles.",
        '--detail muscles --injure "upper trunk"',
        {"detail": "muscles", "injure": "upper trunk"},
    ),
    Picture(
        "spiral-groove.pdf",
        "A nerve cut along its course, on a page to print (PDF, tagged, with text to select).",
        '--detail muscles --injure "radial nerve at spiral groove"',
        {"detail": "muscles", "injure": "radial nerve at spiral groove"},
    ),
    Picture(
        "worksheet.svg",
        "All names blank and numbered; the answers are in `worksheet-key.svg`.",
        "--hide labels --key",
        {"hide": "labels", "key": True},
    ),
    Picture(
        "cords-worksheet.pdf",
        "Cords and nerves blank, the answers on a second page.",
        "--detail framework --hide cords,nerves --key",
        {"detail": "framework", "hide": ["cords", "nerves"], "key": True},
    ),
    *(
        Picture(
            f"build-{i}-{stage}.svg",
            f"Built up, step {i} of {len(STAGES)}: nothing moves from one step to the next.",
            f"--detail framework --paper {SMALL} --upto {stage}",
            {"detail": "framework", "paper": SMALL, "upto": stage},
        )
        for i, stage in enumerate(STAGES, start=1)
    ),
    Picture(
        "right.svg", "The right limb: the geometry is mirrored, the text is not.", "--side right", {"side": "right"}
    ),
    Picture(
        "lecture.svg",
        "For a projector: dark theme, 16:9.",
        "--theme lecture --paper 16:9",
        {"theme": "lecture", "paper": "16:9"},
    ),
    Picture(
        "grayscale.svg",
        "For a laser printer: roots told apart by tone and dash.",
        "--theme grayscale",
        {"theme": "grayscale"},
    ),
    Picture("latin.svg", "Latin names, on A3.", "--names latin --paper a3", {"naming": "latin", "paper": "a3"}),
    Picture("named-roots.svg", "The roots after the names of the nerves.", "--show-roots", {"with_roots": True}),
    Picture(
        "limb-skin.pdf",
        "The skin of the limb by nerve, front and back, hands at a larger scale; no area is told by colour alone.",
        "--limb skin",
        {"limb": "skin"},
    ),
    Picture(
        "limb-muscles.pdf",
        "Its deep muscles from origin to insertion, over the bones. Without --layer both stand on one page.",
        "--limb muscles --layer deep --theme grayscale",
        {"limb": "muscles", "layer": "deep", "theme": "grayscale"},
    ),
    Picture(
        "limb-dermatomes.pdf",
        "Dermatomes with the key points of examination.",
        "--limb dermatomes",
        {"limb": "dermatomes"},
    ),
    Picture(
        "limb-injury.svg",
        "What a cut of the upper trunk takes, on the limb: pattern, tone and words tell the states apart.",
        '--limb muscles --layer superficial --injure "upper trunk"',
        {"limb": "muscles", "layer": "superficial", "injure": "upper trunk"},
    ),
    Picture(
        "lower-limb-skin.svg",
        "The skin of the lower limb by nerve, the foot at a larger scale.",
        "lumbosacral --limb skin",
        {"plexus": "lumbosacral", "limb": "skin"},
    ),
    Picture(
        "lower-limb-injury.pdf",
        "A foot drop, on the limb: what the common fibular nerve takes.",
        'lumbosacral --limb muscles --injure "common fibular nerve"',
        {"plexus": "lumbosacral", "limb": "muscles", "injure": "common fibular nerve"},
    ),
    Picture(
        "neck-skin.svg",
        "The side of head and neck; the palest areas belong to other nerves.",
        "cervical --limb skin",
        {"plexus": "cervical", "limb": "skin"},
    ),
    Picture("lumbosacral.svg", "The lumbosacral plexus.", "lumbosacral", {"plexus": "lumbosacral"}),
    Picture(
        "lumbosacral-planes.svg",
        "Anterior and posterior divisions, and what comes of them.",
        "lumbosacral --by plane",
        {"plexus": "lumbosacral", "by": "plane"},
    ),
    Picture(
        "lumbar.svg",
        "One part of a plexus, with what feeds it.",
        "lumbosacral --part lumbar",
        {"plexus": "lumbosacral", "part": "lumbar"},
    ),
    Picture(
        "sciatic.svg",
        "A nerve of two parts, cut across both.",
        'lumbosacral --injure "sciatic nerve at gluteal region" --by plane',
        {"plexus": "lumbosacral", "injure": "sciatic nerve at gluteal region", "by": "plane"},
    ),
    Picture("cervical.svg", "The cervical plexus.", "cervical", {"plexus": "cervical"}),
    Picture("example.svg", f"A plexus of your own: [{EXAMPLE}]({EXAMPLE}).", EXAMPLE, {"plexus": EXAMPLE}),
    Picture(
        "example-injury.svg",
        "The same, injured. Nothing about the arm is built in.",
        f'{EXAMPLE} --detail muscles --injure "leading band"',
        {"plexus": EXAMPLE, "detail": "muscles", "injure": "leading band"},
    ),
)


def build(folder: Path) -> None:
    """Make all files of the gallery in *folder*."""
    written: set[tuple[Scene, ...]] = set()
    for picture in PICTURES:
        figure = picture.figure()
        figure.save(folder / picture.file)
        scenes = tuple(page.scene for page in figure.pages())
        plain = replace(figure.request, title="") == Request() and isinstance(figure.options, Options)
        if plain and scenes not in written:
            written.add(scenes)
            text = "\n".join(line for scene in scenes for line in scene_text(scene))
            (folder / picture.file).with_suffix(".scene.txt").write_text(f"{text}\n", encoding="utf-8")
    for case in CASES:
        save_case(case.pages(), str(folder / case.file))
    (folder / "README.md").write_text(readme(), encoding="utf-8")


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
