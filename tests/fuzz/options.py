"""Random options of every command: ``python tests/fuzz/options.py --count 500 --seed 1``.

Each combination has a number, so that it can be repeated: ``--seed NUMBER --count 1``. What must hold of each: no
traceback; a refusal says something and writes nothing; a success writes what it says; without any one of its options
it would have written something else, or that option is refused. Exit code 1 if any combination fails.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from time import process_time
from typing import NamedTuple

import click

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[2])]

from click.testing import CliRunner  # noqa: E402
from randoms import MODELS  # noqa: E402

from plexusdraw.cli.main import COMMANDS, cli  # noqa: E402
from plexusdraw.errors import PlexusdrawError  # noqa: E402

SECONDS = 20.0
"""Of the processor, for one command."""
SMALL = tuple(str(MODELS / name) for name in ("two-part.yaml", "two-stages.yaml", "caudal.yaml", "one-root.yaml"))
WEIGHTS = {"draw": 40, "worksheet": 14, "injure": 10, "localise": 10, "compare": 7, "list": 6, "trace": 5, "slides": 4}
"""Command → how often; of the others 1."""
ENDINGS = {
    "draw": (".svg", ".svg", ".png", ".pdf", ".dot"),
    "injure": (".svg", ".pdf"),
    "localise": (".svg", ".pdf"),
    "compare": (".svg", ".pdf"),
    "worksheet": (".pdf", ".pdf", ""),
    "slides": (".pptx", ".pdf", ""),
    "page": (".html",),
    "course": (".yaml",),
}
OPTIONAL = ("injure", "localise", "compare", "slides")
"""Commands that write a file only where they are told to."""
FILES = {"--theme": "own-look.yaml", "--names": "own-words.yaml", "--outline": "own-talk.yaml"}
LOOK = 'theme: 1\nname: own\nbased-on: print\npage: "#fdf6ec"\n'
TALK = "outline: 1\nsteps:\n  - {title: Roots, show: [roots]}\n  - {title: All, show: [everything]}\n"
POOLS = {
    "--paper": ("a3", "fit", "letter portrait", "16:9", "4:3", "a0", "250x180", "nonsense"),
    "--handout-paper": ("a5", "letter", "a4 portrait"),
    "--theme": ("grayscale", "lecture", "dark", "light", "own-look.yaml", "nowhere"),
    "--title": ("My own", "x" * 300, "α+β"),
    "--instructions": ("Fill in.",),
    "--names": ("english", "latin", "own-words.yaml", "none"),
    "--ppi": ("61", "150", "2000", "many"),
    "--count": ("1", "3", "0", "500"),
    "--seed": ("2", "99"),
    "--forms": ("2", "3"),
    "--top": ("1", "3"),
    "--form": ("ABCDE", "8KW2M-07-M"),
    "--ask": ("roots", "nerves,muscles", "nothing", "supply"),
    "--upto": ("roots", "nerves", "cords", "nowhere"),
    "--part": ("lumbar plexus", "nowhere"),
    "--models": ("cervical", "brachial,cervical"),
    "--hide": ("labels", "nerves", "roots", "muscles", "nonsense"),
    "--export": ("out.csv", "out.gift", "out.zip", "out.txt"),
    "--font": ("own-look.yaml", "nowhere.ttf"),
    "--outline": ("own-talk.yaml", "own-look.yaml"),
    "--variant": ("prefixed", "axillary-from-radial", "no such"),
}
"""Option → values, good ones and bad."""
SAY_NOTHING = {"--force", "--top", "--count", "--help", "--seed", "--all", "--same"}
"""May say what holds in any case: as many answers as there are, all that can be asked, a file that is not there yet."""


class Case(NamedTuple):
    """A command, and options with their values."""

    words: tuple[str, ...]
    options: tuple[tuple[str, ...], ...]

    def line(self, without: int = -1) -> list[str]:
        """The whole as it is typed, without one of the options."""
        return [*self.words, *(word for i, group in enumerate(self.options) if i != without for word in group)]


def names(model: str) -> tuple[list[str], list[str]]:
    """Segments, and what they supply."""
    from plexusdraw.courses import load

    plexus = load(model)
    return list(plexus.segments), [*plexus.muscles, *plexus.skin]


def case(seed: int) -> Case:
    """A combination, the same each time for a number."""
    dice = random.Random(f"options {seed}")
    name = dice.choices(list(COMMANDS), [WEIGHTS.get(command, 1) for command in COMMANDS])[0]
    model = (
        dice.choice(SMALL)
        if dice.random() < 0.8 or name in ("slides", "page")
        else dice.choice(("brachial", "cervical"))
    )
    segments, targets = names(model)
    options: list[tuple[str, ...]] = []
    words = [name, model]
    if name == "injure":
        words += dice.sample(segments, dice.randint(1, 2)) if len(segments) > 1 else segments
    elif name == "trace":
        words.append(dice.choice([*segments, *targets]))
    elif name == "compare":
        words += [dice.choice(segments), dice.choice(segments)]
    elif name == "list" and dice.random() < 0.8:
        words.append(dice.choice(("sites", "muscles", "nerves", "roots", "models", "themes", "skin")))
    if name in ENDINGS and (name not in OPTIONAL or dice.random() < 0.5):
        words += ["-o", f"out{dice.choice(ENDINGS[name])}"]
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    known = [p for p in command.params if isinstance(p, click.Option) and "--output" not in p.opts]
    for option in dice.sample(known, min(len(known), dice.choice((0, 1, 1, 2, 2, 3, 4)))):
        options += [typed(option, dice, segments, targets)]
    return Case(tuple(words), tuple(options))


def typed(option: click.Option, dice: random.Random, segments: list[str], targets: list[str]) -> tuple[str, ...]:
    """An option with a value."""
    name = max(option.opts, key=len)
    if option.is_flag:
        return (name,)
    if isinstance(option.type, click.Choice):
        return (name, dice.choice([*option.type.choices, *option.type.choices, "neither"]))
    if name in POOLS:
        return (name, dice.choice(POOLS[name]))
    if name == "--model":
        return (name, dice.choice((*SMALL, "brachial")))
    if name == "--grade":
        return (name, f"{dice.choice(targets)}={dice.choice('0359')}")
    of = segments if name in ("--injure", "--nerve", "--only") else [*segments, *targets]
    return (name, dice.choice([*of, "no such thing"]))


class Done(NamedTuple):
    """What came of a command."""

    code: int
    said: str
    made: dict[str, bytes]
    crash: BaseException | None
    seconds: float


def run(words: list[str]) -> Done:
    """A command in an empty folder of its own that holds the files that options name."""
    start = process_time()
    with tempfile.TemporaryDirectory() as name, contextlib.chdir(name):
        given = {"own-look.yaml": LOOK, "own-words.yaml": "main nerve: one\nroots: two\n", "own-talk.yaml": TALK}
        for file, text in given.items():
            Path(file).write_text(text, "utf-8")
        done = CliRunner().invoke(cli, words)
        made = {str(p): p.read_bytes() for p in sorted(Path().rglob("*")) if p.is_file() and p.name not in given}
        made |= {"": done.stdout_bytes} if not done.exit_code else {}
    crash = done.exception if not isinstance(done.exception, SystemExit | PlexusdrawError) else None
    said = done.stderr or str(done.exception or "")
    return Done(done.exit_code, said, made, crash, process_time() - start)


def wrong(one: Case, done: Done) -> Iterator[str]:
    """What is wrong with a combination of which this came."""
    if done.crash is not None:
        yield f"{type(done.crash).__name__}: {done.crash}"
        return
    if done.seconds > SECONDS:
        yield f"took {done.seconds:.0f} s"
    if done.code not in (0, 1, 2):
        yield f"exit code {done.code}"
    if done.code:
        if len(done.said.strip()) < len("no"):
            yield "refused without a word"
        if done.made:
            yield f"refused, but wrote {', '.join(done.made)}"
        return
    if "rror:" in done.said or "Traceback" in done.said:
        yield f"exit code 0, but says {done.said}"
    if "-o" in one.words and len(done.made) < 2:
        yield "nothing was written"
    for i, group in enumerate(one.options):
        if group[0] in SAY_NOTHING or is_default(one.words[0], group) or holds(one, group):
            continue
        other = run(one.line(without=i))
        if other.code == 0 and other.made == done.made:
            yield f"{' '.join(group)} is ignored"


def holds(one: Case, group: tuple[str, ...]) -> bool:
    """Whether an option says what holds in any case: the ending, the last stage, a variant of what is not shown."""
    if group[0] == "--format":
        return any(word.endswith(f".{group[1]}") for word in one.words)
    if group[0] == "--upto":
        from plexusdraw.courses import load

        last = load(one.words[1]).stages[-1]
        return group[1] in (last.id, last.name)
    return group[0] == "--variant" or (group[0] == "--paper" and ("--outline-template",) in one.options)


def is_default(command: str, group: tuple[str, ...]) -> bool:
    """Whether an option says what holds without it."""
    found = cli.get_command(click.Context(cli), command)
    option = next(p for p in found.params if group[0] in p.opts)  # type: ignore[union-attr]
    default = option.default if isinstance(option.default, list | tuple) else [option.default]
    return len(group) == 2 and group[1] in map(str, default)


def main() -> int:
    """Tally on stdout; failures as they come."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=500, help="combinations")
    parser.add_argument("--seed", type=int, default=1, help="number of the first")
    given = parser.parse_args()
    tally: Counter[str] = Counter()
    for seed in range(given.seed, given.seed + given.count):
        one = case(seed)
        done = run(one.line())
        found = list(wrong(one, done))
        tally["FAILED" if found else "refused" if done.code else "done"] += 1
        if found:
            print(f"{seed}: {' '.join(one.line())}", *found, sep="\n  ", flush=True)
    print(*(f"{what} {many}" for what, many in sorted(tally.items())), sep="\t")
    return 1 if tally["FAILED"] else 0


if __name__ == "__main__":
    os.environ.setdefault("COLUMNS", "200")
    sys.exit(main())
