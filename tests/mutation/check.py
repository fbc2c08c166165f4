"""The tests of the rules, tested: ``python tests/mutation/check.py [MODULE ...] [--sample 40] [--grep TEXT]``.

Each mutant of a module (mutants.py) must make a test fail. A mutant lives in the memory of one forked process alone: no
file is changed. The tests are collected once and run once, to see which reach which line (measured.py). A mutant is
shown to those that reach its line, those of its room first and the quickest first, then to others that reach its
module, until one fails or *PATIENCE* is spent. Survivors that equivalent.yaml gives a reason for are counted apart.
Exit code 1 if any others survive.
"""

from __future__ import annotations

import argparse
import gc
import importlib
import os
import pkgutil
import random
import re
import resource
import signal
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
sys.dont_write_bytecode = True
os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"

import hypothesis
import pytest
from measured import Measured, Outcome, measured
from memory import PACKAGE, Caches, change
from mutants import Mutant, mutants
from ruamel.yaml import YAML

ROOMS = ("routes", "clinic", "names", "model", "courses", "sheets.worksheet.pool")
TESTS = (
    *("routes", "clinic", "names", "model", "courses", "views", "charts/test_chart_files.py", "sheets/test_pool.py"),
    *("sheets/test_pool_rules.py", "sheets/test_pool_movements.py"),
    *("sheets/test_worksheet_cases.py", "sheets/test_case_injured.py", "sheets/test_case_localised.py"),
    *("cli/test_commands.py", "cli/test_messages.py", "cli/test_odd_targets.py", "cli/test_empty_and_twice.py"),
    *("cli/test_course_command.py", "test_bad_input.py"),
)
OPTIONS = (
    *("-q", "--assert=plain", "--capture=no", "--tb=no", "-p", "no:cacheprovider", "-p", "no:unraisableexception"),
    *("-p", "no:threadexception", "-p", "_hypothesis_pytestplugin", f"--rootdir={ROOT}"),
)
PATIENCE = 4.0
"""Seconds of the processor for all tests of a mutant, by what they take without it, unless more are asked for."""
MEMORY = 4 * 2**30


class Wish(NamedTuple):
    """What is asked for on the command line."""

    modules: tuple[str, ...]
    grep: str
    sample: int | None
    seed: int
    again: frozenset[tuple[str, str, str]] | None
    map: Path | None
    patience: float


class Checking:
    """A plugin of pytest that runs the mutants in place of the tests."""

    def __init__(self, wish: Wish) -> None:
        self.wish, self.survived = wish, 0

    def pytest_configure(self, config: pytest.Config) -> None:
        """Examples of property tests are no others than by day, and what fails is not made smaller."""
        phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
        day = hypothesis.settings.get_profile("day")
        hypothesis.settings.register_profile("mutation", parent=day, phases=phases, database=None)
        hypothesis.settings.load_profile("mutation")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """The tests once as they are, then every mutant."""
        shown = os.fdopen(os.dup(1), "w", encoding="utf-8")
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        from randoms import brachial

        brachial()
        folders = sorted({str(file_of(module).parent) for module in all_modules()})
        known = measured(session.items, folders, self.wish.map)
        counted = f"{len(known.seconds)} tests of {len(session.items)}, {sum(known.seconds.values()):.0f} s"
        print(counted, file=shown, flush=True)
        items = {item.nodeid: item for item in session.items}
        self.caches = Caches()
        gc.collect()
        gc.freeze()  # what children share is not touched by their collector
        for module in self.wish.modules:
            tally = self._module(module, items, known, shown)
            print(f"{module}: " + ", ".join(f"{n} {what}" for what, n in tally.items()), file=shown, flush=True)
            self.survived += tally["left"]
        return True

    def _module(self, module: str, items: dict[str, pytest.Item], known: Measured, shown) -> Counter[str]:
        """Tally of a module's mutants; the survivors are printed."""
        tally, because = Counter[str](), reasons()
        for mutant in chosen(module, self.wish):
            tests = ordered(module, mutant, known, self.wish.patience)
            told = tests and told_by(module, mutant, [items[t] for t in tests if t in items], known, self.caches)
            tally["mutants"] += 1
            key = (module, mutant.was, mutant.now)
            tally["told" if told else "equivalent" if key in because else "left"] += 1
            if not told and key not in because:
                print(f"{module}: {mutant.function}\n  - {mutant.was}\n  + {mutant.now}", file=shown)
                print(f"    {len(tests)} tests", file=shown, flush=True)
        return tally


def file_of(module: str) -> Path:
    """The source of a module, as a path; *module* without the name of the package."""
    path = ROOT / PACKAGE / module.replace(".", "/")
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def chosen(module: str, wish: Wish) -> list[Mutant]:
    """The mutants of a module that are asked for, in the order of its lines."""
    every = mutants(file_of(module).read_text("utf-8"), wish.sample, random.Random(f"{wish.seed} {module}"))
    return [
        mutant
        for mutant in every
        if re.search(wish.grep, f"{mutant.function}\n{mutant.now}")
        and (wish.again is None or (module, mutant.was, mutant.now) in wish.again)
    ]


def ordered(module: str, mutant: Mutant, known: Measured, patience: float) -> list[str]:
    """The tests that may tell a mutant, the likeliest first, as many as there is patience for."""
    file = str(file_of(module))
    near, room = known.reaching(file, mutant.lines), module.split(".", maxsplit=1)[0]
    last = module.rsplit(".", maxsplit=1)[-1].rstrip("s")

    def rank(test: str) -> tuple[bool, bool, bool, float]:
        path = test.split("::", maxsplit=1)[0]
        return test not in near, f"tests/{room}/" not in path, last not in path, known.seconds[test]

    found, spent = list[str](), 0.0
    for test in sorted(near | known.of_file(file), key=rank):
        spent += known.seconds[test]
        if found and spent > patience:
            break
        found.append(test)
    return found


def told_by(module: str, mutant: Mutant, tests: list[pytest.Item], known: Measured, caches: Caches) -> bool:
    """Whether a test fails with the mutant, in a process of its own; one that does not end, or dies, is told."""
    pid = os.fork()
    if pid:
        return os.waitpid(pid, 0)[1] != 0
    code = 1
    try:
        code = _run(module, mutant, tests, known, caches)
    finally:
        os._exit(code)


def _run(module: str, mutant: Mutant, tests: list[pytest.Item], known: Measured, caches: Caches) -> int:
    name = f"{PACKAGE}.{module}"
    change(importlib.import_module(name), mutant.function, mutant.source)
    caches.forget(name)
    for test, after in zip(tests, [*tests[1:], None], strict=True):
        outcome = Outcome()
        test.config.pluginmanager.register(outcome)
        signal.setitimer(signal.ITIMER_PROF, 3 + 8 * known.seconds[test.nodeid])
        test.config.hook.pytest_runtest_protocol(item=test, nextitem=after)
        test.config.pluginmanager.unregister(outcome)
        if outcome.failed:
            return 1
    return 0


def reasons() -> dict[tuple[str, str, str], str]:
    """(Module, line, changed line) → why no test can tell the change."""
    rows = YAML(typ="safe").load(Path(__file__).with_name("equivalent.yaml")) or {}
    return {
        (module, row["was"], now): because
        for module, by_reason in rows.items()
        for because, found in by_reason.items()
        for row in found
        for now in row["now"]
    }


def earlier(path: Path) -> frozenset[tuple[str, str, str]]:
    """The mutants that an earlier run printed as survivors."""
    found = re.findall(r"^(\S+): \S+\n  - (.*)\n  \+ (.*)$", path.read_text("utf-8"), re.MULTILINE)
    return frozenset(found)


def all_modules() -> Iterator[str]:
    """The modules that compute, without the name of the package."""
    for room in ROOMS:
        folder = ROOT / PACKAGE / room.replace(".", "/")
        yield from (f"{room}.{found.name}" for found in pkgutil.iter_modules([str(folder)]))


def main() -> int:
    """Survivors and a tally by module on stdout."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("module", nargs="*", help="such as clinic.injury; all that compute, if none is named")
    parser.add_argument("--grep", default="", help="only mutants whose function or changed line this expression finds")
    parser.add_argument("--sample", type=int, help="at most so many of a module, chosen by chance")
    parser.add_argument("--seed", type=int, default=1, help="of the chance")
    parser.add_argument("--again", type=Path, help="only those that an earlier run, kept in this file, printed as left")
    parser.add_argument("--map", type=Path, help="keeps which tests reach what; taken as it is, if it is there")
    parser.add_argument("--patience", type=float, default=PATIENCE, help="seconds for the tests of one mutant")
    asked = parser.parse_args()
    again = earlier(asked.again) if asked.again else None
    modules = tuple(asked.module or all_modules())
    if again:
        modules = tuple(m for m in modules if any(m == module for module, _, _ in again))
    wish = Wish(modules, asked.grep, asked.sample, asked.seed, again, asked.map, asked.patience)
    checking = Checking(wish)
    os.chdir(ROOT)
    there = [f"tests/{name}" for name in TESTS if (ROOT / "tests" / name).exists()]
    code = pytest.main([*OPTIONS, *there], plugins=[checking])
    return int(code) or bool(checking.survived)


if __name__ == "__main__":
    sys.exit(main())
