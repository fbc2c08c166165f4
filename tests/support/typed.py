"""Random command lines: options from click's own description, with values that fit, that hardly do, and others."""

from __future__ import annotations

import random
from functools import cache
from typing import NamedTuple

import click
from randoms import MODELS

from plexusdraw.cli.main import COMMANDS, cli
from plexusdraw.courses import load

Dice = random.Random
SMALL = ("two-part.yaml", "two-stages.yaml", "caudal.yaml", "one-root.yaml", "odd-targets.yaml")
BUILT_IN = ("brachial", "cervical", "lumbosacral")
COURSE = (
    "course: 1\nname: Own\nbased-on: two-stages.yaml\nminor: hidden\nworksheet: {level: 1}\nslides: {theme: print}\n"
)
TALK = "outline: 1\nsteps:\n  - {title: Roots, show: [roots]}\n  - {title: All, show: [everything]}\n"
LAID = {
    **{path.name: path.read_bytes() for path in sorted(MODELS.iterdir())},
    "own-course.yaml": COURSE.encode(),
    "own-look.yaml": b'theme: 1\nname: own\nbased-on: print\npage: "#fdf6ec"\n',
    "own-words.yaml": b"main nerve: one\nroots: two\n",
    "own-talk.yaml": TALK.encode(),
}
"""Files that lie in the folder in which a command is run."""
WEIGHTS = {"draw": 40, "worksheet": 14, "injure": 10, "localise": 10, "compare": 7, "list": 6, "trace": 5, "slides": 4}
"""Command → how often; of the others 1."""
ENDINGS = {
    "draw": (".svg", ".svg", ".svg", ".png", ".pdf", ".dot"),
    "injure": (".svg", ".pdf"),
    "localise": (".svg", ".pdf"),
    "compare": (".svg", ".pdf"),
    "worksheet": (".pdf", ".pdf", ""),
    "slides": (".pptx", ".pdf", ""),
    "page": (".html",),
    "course": (".yaml",),
}
NOT_MADE = (".txt", ".jpeg", ".SVG", ".html", ".", "/", "/none/x.svg")
"""Endings that are none, or not of every command."""
OPTIONAL = ("injure", "localise", "compare", "slides")
"""Commands that write a file only where they are told to."""
PAPERS = ("a3", "fit", "letter portrait", "16:9", "4:3", "a0", "250x180", "nonsense", "1x1", "90000x3", "a4 portrait")
POOLS = {
    "--paper": PAPERS,
    "--handout-paper": ("a5", "letter", "a4 portrait", "fit"),
    "--theme": ("grayscale", "lecture", "print", "own-look.yaml", "nowhere", "own-words.yaml"),
    "--title": ("My own", "x" * 300, "α+β", "a\u0301", "\u202eabc", "<b>&", "a\tb", " a ", "{plexus}"),
    "--instructions": ("Fill in.", "many words " * 60),
    "--names": ("english", "latin", "own-words.yaml", "none", "own-look.yaml"),
    "--form": ("ABCDE", "8KW2M-07-M", "-"),
    "--ask": ("roots", "nerves,muscles", "nothing", "supply", "roots,roots", "NERVES"),
    "--upto": ("roots", "nerves", "cords", "divisions", "nowhere", "root"),
    "--part": ("lumbar plexus", "nowhere", "lumbar"),
    "--models": ("cervical", "brachial,cervical", "own-course.yaml", "cervical,cervical"),
    "--hide": ("labels", "nerves", "roots", "muscles", "nonsense", "roots,nerves", "places", "labels,roots", "skin"),
    "--export": ("out.csv", "out.gift", "out.zip", "out.txt"),
    "--font": ("own-look.yaml", "nowhere.ttf"),
    "--outline": ("own-talk.yaml", "own-look.yaml", "own-words.yaml"),
    "--variant": ("prefixed", "postfixed", "axillary-from-radial", "no such", "accessory wagging", "martin-gruber"),
    "--from": ("roots", "nerves,places", "cords", "nothing"),
    "--nerve": ("injured",),
    "--injure": ("injured", "all", "C5 + C6", "C5-C6", "C5:partial", "upper trunk", "Klumpke palsy"),
}
"""Option → values beside names of the model."""
NAMES = ("--injure", "--nerve", "--only", "--highlight")
"""Options that take names of the model as well."""


class Case(NamedTuple):
    """A command, and options with their values."""

    words: tuple[str, ...]
    options: tuple[tuple[str, ...], ...]

    def line(self, without: int = -1) -> list[str]:
        """The whole as it is typed, without one of the options."""
        return [*self.words, *(word for i, group in enumerate(self.options) if i != without for word in group)]


@cache
def command_of(name: str) -> click.Command:
    """A command as click describes it."""
    found = cli.get_command(click.Context(cli), name)
    assert found is not None
    return found


@cache
def _named(model: str) -> tuple[list[str], list[str]]:
    """Segments and places of a model, and what they supply."""
    path = MODELS / model
    plexus = load(path if path.is_file() else model)
    places = [place.id for place, _, _ in plexus.places.values()]
    return [*plexus.segments, *plexus.segments, *plexus.wholes, *places], [*plexus.muscles, *plexus.skin]


@cache
def _variants(model: str) -> tuple[str, ...]:
    path = MODELS / model
    return tuple(load(path if path.is_file() else model).variants) if model in BUILT_IN or path.is_file() else ()


def case(number: int) -> Case:
    """A command line, the same each time for a number."""
    dice = random.Random(f"typed {number}")
    name = dice.choices(list(COMMANDS), [WEIGHTS.get(command, 1) for command in COMMANDS])[0]
    small = dice.random() < _SMALL or name in ("slides", "page", "check")
    model = dice.choice(SMALL if small else BUILT_IN)
    sites, targets = _named(model)
    if model == "two-stages.yaml" and dice.random() < _TAUGHT:
        model = "own-course.yaml"
    words = [name, model, *_arguments(name, dice, sites, targets)]
    if name in ENDINGS and (name not in OPTIONAL or dice.random() < 0.5):
        odd = dice.random() < _ODD_PLACE
        words += ["-o", dice.choice(("-", model, "/dev/stdout", f"out{dice.choice(NOT_MADE)}"))] if odd else []
        words += [] if odd else ["-o", f"out{dice.choice(ENDINGS[name])}"]
    options: list[tuple[str, ...]] = []
    if name == "localise":  # which wants a finding
        options.append(("--weak", dice.choice(targets)))
    left = ("--output", "--model") if dice.random() < _FITS else ("--output",)
    known = [p for p in command_of(name).params if isinstance(p, click.Option) and not {*left} & {*p.opts}]
    for option in dice.sample(known, min(len(known), dice.choice((0, 1, 1, 2, 2, 3, 4, 5)))):
        options.append(_typed(option, dice, model, sites, targets))
        if option.multiple and dice.random() < _AGAIN:
            options.append(_typed(option, dice, model, sites, targets))
    return Case(tuple(words), tuple(options))


_SMALL, _TAUGHT, _ODD_PLACE, _AGAIN = 0.92, 0.3, 0.08, 0.3


def _arguments(name: str, dice: Dice, sites: list[str], targets: list[str]) -> list[str]:
    if name == "injure":
        return dice.sample(sites, min(len(sites), dice.randint(1, 2)))
    if name == "trace":
        return [dice.choice([*sites, *targets])]
    if name == "compare":
        return dice.choice(([dice.choice(sites), dice.choice(sites)],) * 4 + ([], ["two-part.yaml"]))
    if name == "list" and dice.random() < 0.8:
        return [dice.choice(("sites", "muscles", "nerves", "roots", "models", "themes", "skin", "variants", "nothing"))]
    return []


def _typed(option: click.Option, dice: Dice, model: str, sites: list[str], targets: list[str]) -> tuple[str, ...]:
    """An option with a value."""
    name = max(option.opts, key=len)
    if option.is_flag:
        return (name,)
    if isinstance(option.type, click.Choice):
        return (name, dice.choice(option.type.choices) if dice.random() < _FITS else "neither")
    if isinstance(option.type, click.IntRange | click.FloatRange):
        return (name, _number(option.type, dice))
    if name == "--grade":
        return (name, f"{dice.choice(targets)}={dice.choice(('0', '3', '5', '9', '4-', 'x'))}")
    if name == "--model":
        return (name, dice.choice((*SMALL, "brachial", "nowhere")))
    if name == "--variant" and dice.random() < _FITS and _variants(model):
        return (name, dice.choice(_variants(model)))
    if name in POOLS and (name not in NAMES or dice.random() < _OF_POOL):
        good = POOLS[name][: _GOOD.get(name, 2)]
        return (name, dice.choice(good if dice.random() < _FITS else POOLS[name]))
    own = sites if name in NAMES else targets
    return (name, dice.choice(own) if dice.random() < _FITS else dice.choice([*sites, *targets, "no such thing"]))


def _number(kind: click.IntRange | click.FloatRange, dice: Dice) -> str:
    """A number within a range, at its ends, beyond them, or none."""
    low = kind.min if kind.min is not None else 0
    high = min(kind.max if kind.max is not None else 9, _MOST)
    step = 1 if isinstance(kind, click.IntRange) else 0.01
    within = (low, low + step, dice.randint(int(low), int(max(low, min(high, low + 6)))))
    beyond = (low - step, "nan", "inf", "1e400", "x", "9" * 30, *([kind.max, kind.max + step] if kind.max else []))
    return str(dice.choice(within) if dice.random() < _FITS else dice.choice(beyond))


_FITS, _OF_POOL = 0.85, 0.2
_GOOD = {"--paper": 6, "--theme": 4, "--hide": 4, "--names": 3, "--export": 3, "--upto": 2, "--title": 2}
"""Option → how many of its pool do in most contexts, where these are not two."""
_MOST = 40
"""Of forms, answers and so on, where more only take longer."""
