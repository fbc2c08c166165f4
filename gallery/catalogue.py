"""What the gallery shows: each picture as choices of the Python API and as the command that makes the same bytes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import plexusdraw
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.localise import localise
from plexusdraw.scene.view import Page
from plexusdraw.sheets.case import injured, localised

FOLDER = Path(__file__).parent
EXAMPLE = "example-plexus.yaml"
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
