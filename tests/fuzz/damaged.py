"""Damaged files of every kind through the commands: ``python tests/fuzz/damaged.py --count 1000 --seed 1``.

A model or course that passes ``check`` must go through every command; any other file is refused in one clear message,
or taken. Each file has a number, so that it can be repeated: ``--kind model --seed NUMBER --count 1 --keep FOLDER``. Of
every file: no traceback, at most 20 s of the processor and 1 GiB a command. Exit code 1 if any fails.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache, partial
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[2])]

from bent import bent, written  # noqa: E402
from every import commands, may_refuse  # noqa: E402
from forked import SHOWN, Say, amiss, each, run, warm  # noqa: E402
from mutations import READERS, mutated  # noqa: E402
from odd import odd  # noqa: E402
from randoms import MODELS  # noqa: E402

from plexusdraw import courses, fonts  # noqa: E402
from plexusdraw.yamlfile.document import parse  # noqa: E402

Dice = random.Random
HEAVY = 12
"""Every so many models that pass also go through lectures and the page, which take as long as all the rest."""


class Kind(NamedTuple):
    """A kind of file: how it is damaged, and the commands that take it, ``check`` among them or none."""

    made: Callable[[Dice], bytes]
    name: str
    commands: Callable[[str, Dice], Iterator[list[str]]]
    beside: tuple[str, ...] = ()
    """Files of tests/models that lie beside it."""


def _source(kind: str, dice: Dice) -> bytes:
    return dice.choice(READERS[kind].sources)


@cache
def _tree(text: bytes) -> Any:
    return parse(text.decode("utf-8"), "source").value


def _damaged(source: bytes, dice: Dice) -> bytes:
    """A file damaged as text, or in its values, or both."""
    if dice.random() < _AS_TEXT:
        return mutated(source, dice.randrange(10**9))
    text = written(bent(_tree(source), dice, dice.choice((1, 1, 2, 3)))).encode("utf-8", "surrogatepass")
    return mutated(text, dice.randrange(10**9)) if dice.random() < _AGAIN else text


_AS_TEXT, _AGAIN = 0.4, 0.1


def _model(dice: Dice) -> bytes:
    if dice.random() < 0.5:
        return _damaged(_source("model", dice), dice)
    rows = odd(dice.randrange(10**6))
    for _ in range(dice.choice((0, 1, 1, 2))):
        rows = bent(rows, dice)
    return written(rows).encode("utf-8", "surrogatepass")


def _from(kind: str) -> Callable[[Dice], bytes]:
    return lambda dice: _damaged(_source(kind, dice), dice)


def _file(path: Path) -> Callable[[Dice], bytes]:
    return lambda dice: _damaged(path.read_bytes(), dice)


_COURSE = b"""course: 1
name: First year
based-on: two-stages.yaml
keep: [main nerve]
minor: hidden
names: {main nerve: thick nerve}
worksheet: {kind: label, ask: [roots, nerves], level: 2, word-bank: true, paper: letter}
slides: {detail: nerves, theme: print}
"""
_LABELS = 'main nerve: "N. magnus"\nC5: fifth\nC6: [no, text]\n'.replace("[no, text]", "'sixth ü'").encode()
_OUTLINE = b"""outline: 1
title: "The {plexus}"
injuries: {two-stages: [main nerve, C5]}
steps:
  - {section: One, title: Roots, show: [roots, "side branches of roots"], notes: Look.}
  - {each: columns, title: "{Name}", show: ["{name}"], highlight: [C5]}
  - {title: Names, ask: true, hide: [labels, nerves]}
  - {each: injuries, title: "Injury: {name}", injure: ["{name}"], partial: true, ask: "What is {name}?"}
  - {title: All, show: [everything, supply of main nerve], on: both}
"""


SCRIPTS = ("α", "ש", "正中", "ب", "क")
"""Titles that the typeface lacks."""


def _font(dice: Dice) -> bytes:
    """The typeface with bytes changed, cut off or put in."""
    data = bytearray(_of_scripts())
    head = dice.random() < 0.5
    for _ in range(dice.choice((0, 1, 3, 30))):
        data[dice.randrange(400 if head else len(data))] = dice.choice((0, 255, dice.randrange(256)))
    if dice.random() < 0.3:
        del data[dice.randrange(len(data)) :]
    if dice.random() < 0.1:
        return dice.choice(
            (b"", b"\0" * 50, b"OTTO", b"ttcf\0\1\0\0\xff\xff\xff\xff", b"wOFF" + bytes(data[4:]), b"PK\3\4")
        )
    return bytes(data)


@cache
def _of_scripts() -> bytes:
    """The typeface under another name, which draws letters of other scripts like its own first ones."""
    from fontTools.ttLib import TTFont

    with TTFont(fonts.files()[0]) as font, BytesIO() as out:
        for table in font["cmap"].tables:
            table.cmap |= {ord(letter): "a" for letter in "".join(SCRIPTS)}
        for record in font["name"].names:
            record.string = "Of All Scripts"
        font.save(out)
        return out.getvalue()


SMALL = "two-stages.yaml"


def _of_labels(file: str, dice: Dice) -> Iterator[list[str]]:
    of = ["draw", SMALL, "--names", file, "--paper", "fit"]
    yield [*of, "-o", f"a{dice.choice(ENDINGS)}"]
    yield dice.choice(
        (
            [*of, "-o", "a.svg", "--hide", "labels", "--key"],
            ["worksheet", SMALL, "--names", file, "-o", "a.pdf", "--paper", "a0", "--key"],
            ["slides", SMALL, "--names", file, "-o", dice.choice(("a.pptx", "a.pdf"))],
        )
    )


ENDINGS = (".svg", ".svg", ".pdf", ".dot", ".png")


def _of_theme(file: str, dice: Dice) -> Iterator[list[str]]:
    of = ["draw", SMALL, "--theme", file, "-o"]
    yield dice.choice(([*of, f"a{dice.choice(ENDINGS)}"], [*of, "a.svg", "--injure", "C5", "--by", "plane"]))
    yield dice.choice(
        (
            ["draw", "odd-targets.yaml", "--theme", file, "-o", "a.svg", "--limb", "muscles", "--highlight", "F1"],
            ["injure", "odd-targets.yaml", "F1", "--theme", file, "-o", dice.choice(("a.svg", "a.pdf"))],
            ["worksheet", SMALL, "--theme", file, "-o", "a.pdf"],
            ["slides", SMALL, "--theme", file, "-o", dice.choice(("a.pptx", "a.pdf"))],
        )
    )


def _of_outline(file: str, dice: Dice) -> Iterator[list[str]]:
    ends = (["-o", "a.pptx"], ["-o", "a.pptx", "--animate"], ["-o", "a.pdf"], ["-o", "folder"], ["--outline-template"])
    handout = ["-o", "b.pdf", "--handout", dice.choice(("2", "3", "6", "summary"))]
    yield ["slides", SMALL, "--outline", file, *dice.choice((*ends, handout))]


def _of_font(file: str, dice: Dice) -> Iterator[list[str]]:
    title = dice.choice(SCRIPTS)
    yield ["draw", SMALL, "--font", file, "--title", title, "-o", f"a{dice.choice(ENDINGS)}"]
    if dice.random() < 1 / HEAVY:
        yield ["slides", SMALL, "--font", file, "--title", title, "-o", "a.pptx"]


def _of_chart(file: str, dice: Dice) -> Iterator[list[str]]:
    yield ["check", "odd-targets.yaml"]
    limb = dice.choice(("skin", "muscles", "dermatomes"))
    yield ["draw", "odd-targets.yaml", "--limb", limb, "-o", f"a{dice.choice(('.svg', '.svg', '.pdf', '.png'))}"]
    yield dice.choice(
        (
            ["injure", "odd-targets.yaml", "F1", "-o", "a.svg"],
            ["localise", "odd-targets.yaml", "--weak", "curler", "-o", "a.svg"],
            ["worksheet", "odd-targets.yaml", "--kind", dice.choice(("limb", "shade")), "-o", "a.pdf"],
        )
    )
    if dice.random() < 1 / HEAVY:
        yield dice.choice(
            (["slides", "odd-targets.yaml", "-o", "a.pptx"], ["page", "odd-targets.yaml", "-o", "a.html"])
        )


def _of_model(file: str, dice: Dice) -> Iterator[list[str]]:
    """``check`` first; what comes after is asked for when it has passed."""
    yield ["check", file]
    seed = dice.randrange(10**9)
    yield from commands(courses.load(file), file, seed, whole=False, heavy=seed % HEAVY == 0)


def _earlier(dice: Dice) -> bytes:
    """What lies where a command is to write: nothing of it counts."""
    return dice.choice((b"", b"%PDF-1.7 Typst", b"\x89PNG\r\n\x1a\n", b"<?xml", b"PK\3\4")) + dice.randbytes(
        dice.randrange(99)
    )


def _over(file: str, dice: Dice) -> Iterator[list[str]]:
    for name in ("sheet.pdf", "sheet-key.pdf", "sheet-grid.pdf", "a.svg", "a.pptx", "page.html"):
        Path(name).write_bytes(Path(file).read_bytes())
    for folder in ("forms", "lecture"):
        Path(folder).mkdir()
        for name in ("form-8KW2M-07-M.pdf", "grid.pdf", "01-roots.svg", "02-x.png", "key-.pdf"):
            Path(folder, name).write_bytes(Path(file).read_bytes())
    yield ["draw", SMALL, "-o", "a.svg"]
    yield ["slides", SMALL, "-o", dice.choice(("a.pptx", "lecture"))]
    yield [
        "worksheet",
        SMALL,
        "-o",
        dice.choice(("sheet.pdf", "forms")),
        *dice.choice(([], ["--key"], ["--key", "grid"])),
    ]


KINDS = {
    "model": Kind(_model, "own.yaml", _of_model),
    "course": Kind(lambda dice: _damaged(_COURSE, dice), "own.yaml", _of_model, (SMALL,)),
    "chart": Kind(_file(MODELS / "odd-targets-chart.yml"), "odd-targets-chart.yml", _of_chart, ("odd-targets.yaml",)),
    "theme": Kind(_from("theme"), "own.yaml", _of_theme, (SMALL, "odd-targets.yaml", "odd-targets-chart.yml")),
    "outline": Kind(lambda dice: _damaged(_OUTLINE, dice), "own.yaml", _of_outline, (SMALL,)),
    "labels": Kind(lambda dice: _damaged(_LABELS, dice), "own.yaml", _of_labels, (SMALL,)),
    "font": Kind(_font, "own.ttf", _of_font, (SMALL,)),
    "earlier": Kind(_earlier, "own.bin", _over, (SMALL,)),
}
SHARES = {"model": 8, "course": 4, "chart": 3, "theme": 2, "outline": 3, "labels": 2, "font": 2, "earlier": 1}


def case(number: int, say: Say, only: str = "", keep: str = "") -> None:
    """One damaged file through the commands that take it."""
    dice = random.Random(f"damaged {number}")
    name = only or dice.choices(list(SHARES), list(SHARES.values()))[0]
    kind = KINDS[name]
    dice = random.Random(f"damaged {name} {number}")
    Path(kind.name).write_bytes(kind.made(dice))
    if keep:
        Path(keep, f"{name}-{number}{Path(kind.name).suffix}").write_bytes(Path(kind.name).read_bytes())
    for file in kind.beside:
        Path(file).write_bytes((MODELS / file).read_bytes())
    checked = False
    outcome = "taken"
    for words in kind.commands(kind.name, dice):
        done = run(words, say)
        wrong = list(amiss(done))
        if words[0] == "check" and words[1] == kind.name and done.code:
            outcome = "refused"
        elif done.code and not wrong and checked and not isinstance(done.error, may_refuse(words[0])):
            wrong.append(f"{' '.join(words)}: passed check, then: {done.said[:400]}")
        elif done.code:
            outcome = "refused" if not checked else outcome
        for text in wrong:
            say("wrong", f"{name}: {text}")
        if outcome == "refused" and (checked or words[0] == "check"):
            break
        checked = checked or words[0] == "check"
    say(f"{name} {outcome}", "")


def main() -> int:
    """Tally by kind and outcome on stdout; failures as they come."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000, help="files")
    parser.add_argument("--seed", type=int, default=1, help="number of the first")
    parser.add_argument("--kind", choices=KINDS, default="", help="only this kind")
    parser.add_argument("--keep", default="", metavar="FOLDER", help="keep the damaged files there")
    given = parser.parse_args()
    keep = str(Path(given.keep).resolve()) if given.keep else ""
    warm()
    tally: Counter[str] = Counter()
    failed = 0
    numbers = range(given.seed, given.seed + given.count)
    for number, told in each(numbers, partial(case, only=given.kind, keep=keep)):
        tally += told.counts
        failed += bool(told.wrong)
        if told.wrong:
            print(f"{number}:", *told.wrong, sep="\n  ", flush=True)
        if number % SHOWN == 0:
            print(f"at {number}, {failed} failed", file=sys.stderr, flush=True)
    print(*(f"{what} {many}" for what, many in sorted(tally.items())), f"FAILED {failed}", sep="\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
