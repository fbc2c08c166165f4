"""Commands in forked processes: each case has one of its own, with limits of memory and time, and nothing to import.

What a case says comes through a pipe, line by line, so that of one that is killed is known what it was doing.
"""

from __future__ import annotations

import contextlib
import gc
import json
import os
import resource
import signal
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from click.testing import CliRunner

from plexusdraw.cli.main import cli
from plexusdraw.errors import PlexusdrawError

SECONDS = 20.0
"""Of the processor, for one command."""
LONGEST = 1800
"""Seconds of the clock for a case: one that waits uses no processor."""
MEMORY = 2**30
"""Bytes for a case, what it shares with its parent included."""
SHOWN = 100
"""Every so many cases are told on stderr."""

Say = Callable[[str, str], None]
"""Tells what a case does: ("at", the command), ("wrong", what is wrong with it), or a word to count."""
Work = Callable[[int, Say], None]


class Told(NamedTuple):
    """What a case said."""

    counts: Counter[str]
    wrong: list[str]


class Done(NamedTuple):
    """What came of a command."""

    words: list[str]
    code: int
    said: str
    out: bytes
    error: BaseException | None

    @property
    def crash(self) -> str:
        """The end of the traceback that a user would see; empty where none is."""
        if self.error is None or isinstance(self.error, SystemExit | PlexusdrawError):
            return ""
        lines = traceback.format_exception(self.error)
        return f"{lines[-1].strip()[:300]} at {lines[-2].strip().splitlines()[0][:160] if len(lines) > 1 else ''}"


def each(numbers: Iterable[int], work: Work) -> Iterator[tuple[int, Told]]:
    """Every case, one after the other, in an empty folder."""
    for number in numbers:
        with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
            yield number, _told(number, work)


def _told(number: int, work: Work) -> Told:
    out, into = os.pipe()
    child = os.fork()
    if not child:
        os.close(out)
        _within(number, work, into)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as stream:
        lines = [tuple(json.loads(line)) for line in stream if line.endswith("\n")]
    _, status, used = os.wait4(child, 0)
    at = next((text for what, text in reversed(lines) if what == "at"), "")
    wrong = [text for what, text in lines if what == "wrong"]
    if status:
        end = os.waitstatus_to_exitcode(status)
        name = signal.Signals(-end).name if end < 0 else f"exit code {end}"
        wrong.append(f"{at}: ended by {name}{_WHY.get(name, '')}")
    if used.ru_maxrss * 1024 > MEMORY:
        wrong.append(f"{at}: {used.ru_maxrss // 1024} MB")
    return Told(Counter(what for what, _ in lines if what not in ("at", "wrong")), wrong)


_WHY = {"SIGPROF": f", after {SECONDS:g} s of the processor", "SIGALRM": f", after {LONGEST} s"}


def _within(number: int, work: Work, into: int) -> None:
    """The forked process: does the case and ends."""

    def say(what: str, text: str = "") -> None:
        os.write(into, json.dumps([what, text]).encode() + b"\n")

    code = 1
    try:
        resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
        signal.alarm(LONGEST)
        work(number, say)
        code = 0
    except BaseException:  # of the test itself
        say("wrong", traceback.format_exc())
    finally:
        os._exit(code)


def run(words: list[str], say: Say) -> Done:
    """A command; it ends the process if it takes too long."""
    say("at", " ".join(words))
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    done = CliRunner().invoke(cli, words, prog_name="plexusdraw")
    signal.setitimer(signal.ITIMER_PROF, 0)
    said = done.stderr
    if isinstance(done.exception, PlexusdrawError):
        said = str(done.exception)
    return Done(words, done.exit_code, said, done.stdout_bytes, done.exception)


def amiss(done: Done) -> Iterator[str]:
    """What may be of no command at all."""
    command = " ".join(done.words)
    if done.crash:
        yield f"{command}: {done.crash}"
    elif done.code not in (0, 1, 2):
        yield f"{command}: exit code {done.code}"
    elif done.code and len(done.said.strip()) < len("no"):
        yield f"{command}: refused without a word"
    elif done.code and len(done.said) > _LONGEST_MESSAGE:
        yield f"{command}: a message of {len(done.said)} characters"
    elif not done.code and ("rror:" in done.said or "Traceback" in done.said):
        yield f"{command}: exit code 0, but says {done.said[:300]}"


_LONGEST_MESSAGE = 20_000


def files(but: Iterable[Path] = ()) -> dict[str, bytes]:
    """What lies in the folder of the case."""
    left = {path.resolve() for path in but}
    return {
        str(path): path.read_bytes()
        for path in sorted(Path().rglob("*"))
        if path.is_file() and path.resolve() not in left
    }


def warm() -> None:
    """Imports what commands import late, before anything is forked. No PDF is made: its threads survive no fork."""
    import pikepdf  # noqa: F401
    import typst  # noqa: F401

    with tempfile.TemporaryDirectory() as name, contextlib.chdir(name):
        for words in _WARM:
            done = CliRunner().invoke(cli, words)
            assert done.exit_code == 0, (words, done.output, done.exception)
    gc.freeze()  # so that no child copies what it only looks at


_WARM = (
    ["check", "--schema"],
    ["list"],
    ["draw", "-o", "a.svg", "--detail", "muscles", "--highlight", "C7"],
    ["draw", "-o", "a.dot", "--injure", "C5"],
    ["draw", "--limb", "skin", "-o", "a.svg"],
    ["injure", "C5", "-o", "a.svg"],
    ["localise", "--weak", "deltoid", "--json"],
    ["trace", "C5"],
    ["compare", "C5", "C6"],
    ["course", "-o", "a.yaml"],
    ["slides", "cervical", "-o", "a.pptx"],
    ["page", "--models", "cervical", "-o", "a.html"],
)
