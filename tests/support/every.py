"""Every command that takes a model, with choices of that model; and what they may refuse once ``check`` has passed."""

from __future__ import annotations

import random
from collections.abc import Iterator

from plexusdraw.errors import FitError, FontError, PlexusdrawError, SheetError
from plexusdraw.model import Plexus
from plexusdraw.sheets.worksheet.registry import REGISTRY

MAY_REFUSE = {"slides": (FitError, SheetError, FontError), "worksheet": (FitError, SheetError, FontError)}
"""Command → errors: a slide has one size, a title on it one line, and a form needs something to ask."""
DRAWINGS = (".svg", ".svg", ".svg", ".pdf", ".dot", ".png")
SHEETS = (".svg", ".svg", ".pdf")


def may_refuse(command: str) -> tuple[type[PlexusdrawError], ...]:
    """Errors that may still come once ``check`` has passed; which letters there are fonts for hangs on the computer."""
    return MAY_REFUSE.get(command, (FontError,))


def commands(plexus: Plexus, file: str, seed: int, *, whole: bool = True, heavy: bool = True) -> Iterator[list[str]]:
    """Every command with choices of a plexus, the same for a number.

    *whole*: with every kind of picture and form, not some of them. *heavy*: with lectures and the page.
    """
    dice = random.Random(f"every {seed}")
    sites, targets = [*plexus.segments, *plexus.wholes], [target.id for target in plexus.targets]
    one, other, stage = dice.choice(sites), dice.choice(sites), dice.choice(plexus.stages)
    target = dice.choice(targets or sites)
    words = ("sites", "muscles", "nerves", "skin", stage.id, stage.name)
    yield ["list", file, *dice.choice(([], [dice.choice(words)]))]
    yield ["trace", file, *dice.choice(([target], [one], [one, "--json"]))]
    yield ["injure", file, other, *dice.choice((["--why"], ["--partial", "--json"]))]
    yield ["compare", file, one, other, *_picture(dice, "both")]
    if not plexus.taught:
        yield ["course", file, "-o", "course.yaml"]
        yield ["check", "course.yaml"]
    if target in plexus.muscles or target in plexus.skin:
        found = ("--weak", "--spared") if target in plexus.muscles else ("--numb", "--feels")
        yield ["localise", file, dice.choice(found), target]
        yield from [["localise", file, found[0], target, "-o", f"found{dice.choice(SHEETS)}"]] if plexus.chart else []
    yield from [["injure", file, other, "-o", f"case{dice.choice(SHEETS)}"]] if plexus.chart else []
    drawings, forms = list(_drawings(plexus, file, dice)), list(_forms(file))
    yield from drawings if whole else dice.sample(drawings, _FEW)
    yield from forms if whole else dice.sample(forms, 1)
    if heavy:
        yield ["slides", file, "--outline-template"]
        yield ["slides", file, "-o", f"lecture{dice.choice(('.pptx', '.pptx', '.pdf', ''))}"]
        yield ["page", file, "-o", "page.html"]


def _picture(dice: random.Random, name: str) -> list[str]:
    return ["-o", f"{name}{dice.choice(SHEETS)}"] if dice.random() < _SOMETIMES else []


_SOMETIMES, _FEW = 0.25, 2
"""Of what takes longest."""


def _drawings(plexus: Plexus, file: str, dice: random.Random) -> Iterator[list[str]]:
    sites, stage = [*plexus.segments, *plexus.wholes], dice.choice(plexus.stages)
    end = dice.choice(DRAWINGS)
    draw = ["draw", file, "-o", f"picture{end}", "--paper", "fit"]
    yield [*draw, "--detail", dice.choice(("framework", "nerves", "muscles")), "--side", dice.choice(("left", "right"))]
    yield [*draw, "--injure", dice.choice(sites), "--names", dice.choice(("english", "latin"))]
    by = ["--by", dice.choice(("plane", "nerve"))] if end != ".dot" else []
    yield [*draw, "--highlight", dice.choice([*sites, *plexus.muscles, *plexus.skin]), *by]
    yield [*draw, "--upto", stage.id, "--theme", dice.choice(("lecture", "grayscale"))]
    yield [*draw, "--hide", "labels", "--key"]
    if any(segment.drawn for segment in plexus.drawn.staged(stage.id)):
        yield [*draw, "--hide", stage.singular]
    nerves = [segment for segment in plexus.staged(plexus.stages[-1].id) if segment.drawn and segment.course]
    if nerves:
        yield [*draw, "--nerve", dice.choice(nerves).id, "--show-roots"]
    if plexus.chart:
        for limb in ("skin", "muscles"):
            if plexus.skin if limb == "skin" else plexus.muscles:
                yield ["draw", file, "-o", f"limb{dice.choice(SHEETS)}", "--limb", limb, "--injure", dice.choice(sites)]


def _forms(file: str) -> Iterator[list[str]]:
    for kind in REGISTRY.values():
        if kind.name not in ("shade", "limb"):  # for which few of these models have a chart
            key = ["--key"] if "key" in kind.takes else []
            yield ["worksheet", file, "--kind", kind.name, "-o", "sheet.pdf", *key, "--paper", "a0"]
