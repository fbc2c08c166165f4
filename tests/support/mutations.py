"""Damaged files, the same each time for a number; and what every reader of files owes its user for one."""

from __future__ import annotations

import random
import re
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from randoms import MODELS, brachial, small

from plexusdraw import courses
from plexusdraw.api import figure
from plexusdraw.cli import defaults
from plexusdraw.clinic import deficits
from plexusdraw.errors import PlexusdrawError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme
from plexusdraw.model import load
from plexusdraw.names import own_labels
from plexusdraw.sheets.slides import outline
from plexusdraw.sheets.slides.lecture import Lecture

Dice = random.Random
ROOT = Path(theme.__file__).parents[2]

SCALARS = (
    "",
    "null",
    "~",
    "[]",
    "{}",
    "[1, [2, {a: b}]]",
    "{a: {b: c}}",
    "0",
    "-0",
    "-1",
    "1e999",
    "-.inf",
    ".nan",
    "!!float nan",
    "9" * 5000,
    "0x" + "f" * 5000,
    "0b2",
    "1:30:00",
    "2020-01-01",
    "2020-13-45 99:99",
    "true",
    "no",
    "'" + "long " * 5000 + "'",
    "x" * 70_000,
    "🙂",
    "العصب الكعبري",
    '"\\u202Eabc\\u202C"',
    '"\\0"',
    '"\\x07\\e[31m\\x9b"',
    '"\\ud800"',
    '"\\uFFFE"',
    '"\\r\\n\\t\\L\\P"',
    '" "',
    '"{plexus}{Name}{name}"',
    "!!python/object/apply:os.system [id]",
    "!!python/name:os.system",
    "!!binary aGk=",
    "!!set {a, b}",
    "!own x",
    "&x [*x]",
    "*nothing",
    "|\n  a\n  b",
    "../../etc/passwd.yaml",
    "/dev/zero",
    '"\\0.yaml"',
    "a" * 300 + ".yaml",
    "supply of " * 3000 + "C5",
    "column " + "9" * 5000,
    "radial nerve " + "at elbow, before " * 400,
    "<script>alert(1)</script>",
    "=1+1",
    "'#0072b2'",
    '"#GGGGGG"',
    "root",
    "none",
    "plexusdraw",
)
"""Values, as they are written in a file, that stand where another was meant."""
MILD = (
    "x",
    "[C5]",
    "[]",
    "main-nerve",
    "L3",
    "roots",
    "free",
    "posterior",
    "everything",
    "'a b c'",
    "'" + "many words of a name " * 90 + "'",
    "'" + "w" * 1900 + "'",
    "🙂 ק 正中 n\u0303",
    "'<script>alert(1)</script>'",
    "'#read(\"/etc/passwd\") *b* = h <l> @r $x$'",
    "'\\N\\G {a|b} %s ]]> --> `x`'",
    "'=1+1'",
    "1",
    "0.5",
    "99",
    "'#0072b2'",
    "[1, 1]",
    "[0, 0]",
    "[1e-9, 1e-9]",
    "2",
    "16:9",
    "both",
    "lecture",
)
"""Values that may well be right where they are put."""
BLOCKS = (
    "? {a: b}\n: c\n",
    "? [a]\n: [b]\n",
    "<<: {a: 1}\n",
    "<<: *x\n",
    "--- \n",
    "...\n---\na: 1\n",
    "%YAML 1.1\n---\n",
    "%TAG ! tag:x,2000:\n",
    "- a\n",
    "\t- a\n",
    "&a : b\n",
    "!!null : a\n",
    "[" * 10_000 + "\n",
    "{a: " * 10_000 + "\n",
    "- " * 10_000 + "\n",
    "? " * 10_000 + "\n",
    "[" * 10_000 + "]" * 10_000 + "\n",
    "x0: &x0 [1, 1, 1, 1, 1, 1, 1, 1, 1]\n"
    + "".join(f"x{i}: &x{i} [{', '.join([f'*x{i - 1}'] * 9)}]\n" for i in range(1, 9)),
    "".join(f"{' ' * i}a:\n" for i in range(300)),
)
"""Lines that do not belong where they are put."""
ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1", "cp1252", "utf-7", "utf-8-sig")
_VALUE = re.compile(r"(?<=[:\[,-] )([^\s,\]}{\[][^,\]}\n]*)")
_ENTRY = re.compile(r"\{(?:name|title|section|id): [^,}\n]+")
_MORE = (
    "label",
    "latin",
    "plane",
    "side",
    "drawn",
    "minor",
    "variable",
    "passes",
    "synonyms",
    "note",
    "notes",
    "course",
)
_KEY = re.compile(r"([\w-]+)(?=: )")


def _lines(change: Callable[[list[str], int, int], None]) -> Callable[[str, Dice], str]:
    """A change of the lines of a text, at two places of them."""

    def changed(text: str, dice: Dice) -> str:
        lines = text.splitlines(keepends=True) or [""]
        change(lines, dice.randrange(len(lines)), dice.randrange(len(lines)))
        return "".join(lines)

    return changed


def _swap(lines: list[str], a: int, b: int) -> None:
    lines[a], lines[b] = lines[b], lines[a]


def _indent(lines: list[str], a: int, b: int) -> None:
    lines[a] = " " * (b % 9) + lines[a].lstrip() if a % 3 else "\t" + lines[a]


def _repeat(lines: list[str], a: int, b: int) -> None:
    lines[a] *= 1 + b % 300


def _exchanged(text: str, dice: Dice) -> str:
    """Two values in each other's place."""
    found = [place[0] for place in _VALUE.finditer(text)] or [""]
    a, b = dice.choice(found), dice.choice(found)
    return text.replace(f" {a}", "\0", 1).replace(f" {b}", f" {a}", 1).replace("\0", f" {b}", 1)


def _put(pattern: re.Pattern[str], new: Callable[[str, Dice], str]) -> Callable[[str, Dice], str]:
    """Put something else for one place that a pattern finds."""

    def changed(text: str, dice: Dice) -> str:
        found = list(pattern.finditer(text))
        if not found:
            return text
        place = dice.choice(found)
        return text[: place.start()] + new(place[0], dice) + text[place.end() :]

    return changed


def _spliced(text: str, dice: Dice) -> str:
    a, b = sorted(dice.randrange(len(text) + 1) for _ in range(2))
    junk = "".join(chr(dice.choice((dice.randrange(256), dice.randrange(0x110000)))) for _ in range(dice.randrange(9)))
    return text[:a] + junk + text[min(b, a + dice.randrange(40)) :]


def _block(text: str, dice: Dice) -> str:
    lines = text.splitlines(keepends=True)
    lines.insert(dice.randrange(len(lines) + 1), dice.choice(BLOCKS))
    return "".join(lines)


_OF_TEXT: tuple[Callable[[str, Dice], str], ...] = (
    _lines(lambda lines, a, b: lines.__delitem__(a)),
    _lines(lambda lines, a, b: lines.insert(b, lines[a])),
    _lines(lambda lines, a, b: lines.__delitem__(slice(min(a, b), max(a, b)))),
    _lines(_swap),
    _lines(_indent),
    _lines(_repeat),
    _put(_VALUE, lambda old, dice: dice.choice(SCALARS)),
    _put(_VALUE, lambda old, dice: dice.choice(SCALARS)),
    _put(_VALUE, lambda old, dice: dice.choice(SCALARS)),
    _put(_VALUE, lambda old, dice: dice.choice(MILD)),
    _put(_VALUE, lambda old, dice: dice.choice(MILD)),
    _put(_VALUE, lambda old, dice: f"&v {old}"),
    _put(_VALUE, lambda old, dice: "*v"),
    _put(_VALUE, lambda old, dice: old + dice.choice("🙂ק\u202e\u0301'\"]}:#`@%&*!|>")),
    _put(_KEY, lambda old, dice: dice.choice((old[:-1], old.upper(), "x", "null", "1", '"\\0"', "🙂", "k" * 3000))),
    _exchanged,
    _exchanged,
    _put(_ENTRY, lambda old, dice: f"{old}, {dice.choice(_MORE)}: {dice.choice(MILD)}"),
    _put(_ENTRY, lambda old, dice: f"{old}, {dice.choice(_MORE)}: {dice.choice(MILD)}"),
    _put(_ENTRY, lambda old, dice: f"{old}, label: {dice.choice(MILD)}"),
    _spliced,
    _block,
    lambda text, dice: text[: dice.randrange(len(text) + 1)],
    lambda text, dice: text.replace("\n", dice.choice(("\r", "\r\n", "\u2028", "\x85"))),
    lambda text, dice: "",
)


def mutated(source: bytes, seed: int) -> bytes:
    """*source*, a file in UTF-8, with one to three faults chosen by *seed*."""
    dice = random.Random(seed)
    text = source.decode()
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        text = dice.choice(_OF_TEXT)(text, dice)
    if dice.random() < 0.05:
        return text.encode(dice.choice(ENCODINGS), "replace")
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data and dice.random() < 0.08:
        for _ in range(dice.randrange(1, 5)):
            data[dice.randrange(len(data))] = dice.randrange(256)
    return bytes(data)


class Reader(NamedTuple):
    """A kind of file: valid ones, how it is read, and what is done with what was read."""

    sources: tuple[bytes, ...]
    read: Callable[[Path], object]
    use: Callable[[Path], object]


_LABELS = "\n".join(
    ['radial nerve: "N. radialis"', "upper trunk: 'truncus superior'", "C5: fifth", "deltoid: [no, text]", "ulnar: ü"]
).replace("[no, text]", "Delta 🙂")
_COURSE = """course: 1
name: First year
based-on: brachial
variants: [axillary-from-radial]
keep:
  - terminal branches
  - rotator cuff
  - "upper lateral arm"
minor: hidden
names: {long thoracic nerve: nerve of Bell, deltoid: 'Delta'}
worksheet:
  kind: label
  ask: [roots, nerves]
  level: 2
  word-bank: true
slides: {detail: nerves, theme: print}
"""
_OUTLINE = """outline: 1
title: "The {plexus}"
injuries: {two-stages: [main nerve at bend, C5], caudal: [hip nerve]}
steps:
  - {section: One, title: Roots, show: [roots, "side branches of roots"], notes: Look.}
  - {each: columns, title: "{Name}", show: ["{name}"], highlight: [C5], on: both}
  - title: Names
    ask: true
    hide: [labels, nerves]
  - {each: injuries, title: "Injury: {name}", injure: ["{name}"], partial: true, ask: "What is {name}?"}
  - {title: All, show: [everything, supply of main nerve]}
"""


def _picture(path: Path) -> None:
    plexus = load(path)
    deficits.of(plexus).broken([(root, 0) for root in plexus.roots])
    figure(plexus, detail="muscles", paper="fit", title="x").render("svg")


def _slides(path: Path) -> None:
    options = Options("nerves", paper("16:9"))
    assert Lecture(small("two-stages"), options, theme.load("lecture"), path).slides


def _course(path: Path) -> None:
    plexus = courses.load(path)
    defaults.check(plexus)
    figure(plexus, detail="framework", paper="fit").render("svg")


READERS = {
    "model": Reader(tuple((MODELS / f"{name}.yaml").read_bytes() for name in ("caudal", "two-stages")), load, _picture),
    "theme": Reader(
        (
            (ROOT / "themes" / "print.yaml").read_bytes(),
            b'theme: 1\nname: own\nbased-on: lecture\nink: "#ffffff"\n',
        ),
        theme.load,
        lambda path: figure(small("one-root"), theme=str(path)).render("svg"),
    ),
    "outline": Reader(
        (outline.DEFAULT.read_bytes(), _OUTLINE.encode()), lambda path: outline.read(small("two-stages"), path), _slides
    ),
    "labels": Reader(
        (_LABELS.encode(),),
        lambda path: own_labels.read(brachial(), path),
        lambda path: figure(labels=own_labels.read(brachial(), path)).render("svg"),
    ),
    "course": Reader((_COURSE.encode(),), courses.load, _course),
}
SECONDS = 10.0
_TOLD = re.compile(r":\d+: \S|: (cannot be read|larger than|and (at least )?\d+ more|more than \d+ ways)")


class TooSlowError(AssertionError):
    """A file that keeps its reader busy."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Fail what takes longer, of the processor's time, since machines are busy."""

    def late(number: int, frame: object) -> None:
        raise TooSlowError(f"more than {seconds:g} s")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def outcome(reader: Reader, path: Path, *, on: bool = False) -> str:
    """What becomes of a file, "read", "refused" or, where it is used (*on*), "used" or "not used"; else it fails.

    A message names the file in each of its lines, and the place where there is one; it is short and harmless to print.
    """
    with within(SECONDS):
        try:
            reader.read(path)
        except PlexusdrawError as error:
            told = str(error).splitlines()
            assert told
            for line in told:
                assert line.startswith(str(path)), line[:300]
                assert _TOLD.match(line, len(str(path))), line[:300]
                assert len(line) < 2000, line[:300]
                assert line.isprintable(), line[:300]
            return "refused"
        if not on:
            return "read"
        try:
            reader.use(path)
        except PlexusdrawError as error:
            assert len(str(error)) < 20_000, str(error)[:300]
            return "not used"
        return "used"


def case(kind: str, seed: int, folder: Path) -> Path:
    """The damaged file of a number, written."""
    reader = READERS[kind]
    path = folder / f"{kind}-{seed}.yaml"
    source = random.Random(f"source {seed}").choice(reader.sources)
    path.write_bytes(mutated(source, seed))
    return path
