"""Random options of every command: ``python tests/fuzz/options.py --count 500 --seed 1``.

Each combination has a number, so that it can be repeated: ``--seed NUMBER --count 1``. What must hold of each: no
traceback, at most 20 s of the processor and 1 GiB; a refusal says something and writes nothing; a success writes what
it says; without any one of its options it would have written or said something else, or that option is refused. Exit
code 1 if any combination fails.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[2])]

from forked import SHOWN, Done, Say, amiss, each, run, warm  # noqa: E402
from typed import LAID, Case, case, command_of  # noqa: E402

from plexusdraw.courses import load  # noqa: E402

SAY_NOTHING = {"--force", "--top", "--count", "--help", "--seed", "--all", "--same"}
"""May say what holds in any case: as many answers as there are, all that can be asked, a file that is not there yet."""
Made = dict[str, bytes]


def made(one: Case, say: Say, without: int = -1) -> tuple[Done, Made]:
    """What comes of a command line in a folder that holds the files that options name, and nothing else."""
    for path in sorted(Path().rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    for name, data in LAID.items():
        Path(name).write_bytes(data)
    done = run(one.line(without), say)
    found = {str(p): p.read_bytes() for p in sorted(Path().rglob("*")) if p.is_file() and p.name not in LAID}
    changed = {name: data for name in LAID if (data := Path(name).read_bytes()) != LAID[name]}
    return done, found | changed


def wrong(one: Case, done: Done, files: Made, say: Say) -> Iterator[str]:
    """What is wrong with a combination of which this came."""
    line = " ".join(one.line())
    found = list(amiss(done))
    yield from found
    if files.keys() & LAID.keys():
        yield f"{line}: changed {', '.join(files.keys() & LAID.keys())}"
    if done.code and (files or done.out):
        yield f"{line}: refused, but wrote {', '.join(files) or 'to standard output'}"
    if done.code or found:
        return
    if "-o" in one.words and not files and not done.out:
        yield f"{line}: nothing was written"
    for i, group in enumerate(one.options):
        if group[0] in SAY_NOTHING or is_default(one.words[0], group) or holds(one, group):
            continue
        other, others = made(one, say, without=i)
        yield from amiss(other)
        if not other.code and (others, other.out, other.said) == (files, done.out, done.said):
            yield f"{line}: {' '.join(group)} is ignored"


def holds(one: Case, group: tuple[str, ...]) -> bool:
    """Whether an option says what holds in any case: the ending, the last stage, what fits anyhow."""
    if group[0] == "--format":
        return any(word.endswith(f".{group[1]}") for word in one.words)
    if group[0] == "--by":
        of_limb = any(other[0] == "--limb" for other in one.options)
        return group[1] == ("nerve" if of_limb else "root")
    if group[0] == "--upto":
        last = load(one.words[1]).stages[-1]
        return group[1] in (last.id, last.name, last.singular)
    return group[0] == "--paper" and ("--outline-template",) in one.options


def is_default(command: str, group: tuple[str, ...]) -> bool:
    """Whether an option says what holds without it."""
    option = next(p for p in command_of(command).params if group[0] in p.opts)
    default = option.default if isinstance(option.default, list | tuple) else [option.default]
    return len(group) == 2 and (group[1] in map(str, default) or _number(group[1]) in map(_number, map(str, default)))


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def work(number: int, say: Say) -> None:
    """One combination, and it again without each of its options."""
    one = case(number)
    done, files = made(one, say)
    for text in wrong(one, done, files, say):
        say("wrong", text)
    say("refused" if done.code else "done", "")


def main() -> int:
    """Tally on stdout; failures as they come."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=500, help="combinations")
    parser.add_argument("--seed", type=int, default=1, help="number of the first")
    given = parser.parse_args()
    warm()
    tally: Counter[str] = Counter()
    failed = 0
    for number, told in each(range(given.seed, given.seed + given.count), work):
        tally += told.counts
        failed += bool(told.wrong)
        if told.wrong:
            print(f"{number}:", *told.wrong, sep="\n  ", flush=True)
        if number % SHOWN == 0:
            print(f"at {number}, {failed} failed", file=sys.stderr, flush=True)
    print(*(f"{what} {many}" for what, many in sorted(tally.items())), f"FAILED {failed}", sep="\t")
    return 1 if failed else 0


if __name__ == "__main__":
    os.environ.setdefault("COLUMNS", "200")
    sys.exit(main())
