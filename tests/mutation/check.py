"""The tests of the rules, tested: ``python tests/mutation/check.py [MODULE ...] [--grep TEXT]``.

Each mutant of a module (mutants.py) must make a test fail. A mutant lives in the memory of one forked process alone: no
file is changed. Survivors that equivalent.yaml gives a reason for are counted apart. Exit code 1 if any others survive.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import signal
import sys
from collections import Counter
from collections.abc import Iterator
from importlib.abc import MetaPathFinder, SourceLoader
from importlib.util import spec_from_loader
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
sys.dont_write_bytecode = True
os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"

import hypothesis
import pytest
from mutants import Mutant, mutants
from randoms import brachial, small
from ruamel.yaml import YAML

TESTS = {
    "routes.fibres": ("routes/test_fibres", "clinic/test_injury", "clinic/test_published"),
    "clinic.injury": ("clinic/test_injury", "clinic/test_compare", "clinic/test_published"),
    "clinic.localise": ("clinic/test_localise", "clinic/test_published"),
    "clinic.deficits": ("clinic/test_injury", "clinic/test_published", "clinic/test_localise"),
    "names.sites": ("names/test_sites", "names/test_scenarios", "clinic/test_published", "cli/test_empty_and_twice"),
    "names.relations": ("names/test_sites", "clinic/test_published"),
    "names.site": ("names/test_sites", "clinic/test_findings", "clinic/test_published"),
    "clinic.compare": ("clinic/test_compare",),
    "clinic.findings": ("clinic/test_localise", "clinic/test_published"),
}
"""Module → the files of tests that must tell its mutants, the likeliest first."""
OPTIONS = (
    *("-x", "-q", "--assert=plain", "--capture=no", "-p", "no:cacheprovider", "-p", "no:unraisableexception"),
    *("-p", "_hypothesis_pytestplugin", "--hypothesis-profile=mutation"),
    *("-k", "not in_a_moment and not larger_plexus", f"--rootdir={ROOT}"),
)
SECONDS = 10
"""Of processor time for one test: none needs two. A mutant that runs longer is one that a test tells."""
MEMORY = 4 * 2**30


class Patience:
    """A plugin of pytest that ends the process when one test takes too long."""

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self) -> None:
        signal.setitimer(signal.ITIMER_PROF, SECONDS)


class Loader(MetaPathFinder, SourceLoader):
    """Gives one module another source."""

    def __init__(self, name: str, source: str) -> None:
        self.name, self.source = name, source

    def find_spec(self, fullname, path=None, target=None):
        return spec_from_loader(fullname, self) if fullname == self.name else None

    def get_filename(self, fullname: str) -> str:
        return str(ROOT / fullname.replace(".", "/")) + ".py"

    def get_data(self, path: str) -> bytes:
        return self.source.encode()


def killed(module: str, source: str) -> bool:
    """Whether a test fails with this source of the module; in a child process, which does not return."""
    sys.meta_path.insert(0, Loader(f"plexusdraw.{module}", source))
    hypothesis.settings.register_profile("mutation", derandomize=True, database=None, max_examples=30)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    signal.setitimer(signal.ITIMER_PROF, 6 * SECONDS)
    os.chdir(ROOT)
    return bool(pytest.main([*OPTIONS, *(f"tests/{name}.py" for name in TESTS[module])], plugins=[Patience()]))


def start(module: str, source: str) -> int:
    """Process id of a child that exits with 1 if a test fails."""
    pid = os.fork()
    if pid:
        return pid
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    os._exit(killed(module, source))


def survivors(module: str, found: Iterator[Mutant], jobs: int) -> Iterator[tuple[Mutant, bool]]:
    """Each mutant, and whether it survives."""
    running: dict[int, Mutant] = {}
    for mutant in found:
        if len(running) == jobs:
            yield reap(running)
        running[start(module, mutant.source)] = mutant
    while running:
        yield reap(running)


def reap(running: dict[int, Mutant]) -> tuple[Mutant, bool]:
    """The next mutant that is done."""
    pid, status = os.wait()
    return running.pop(pid), status == 0


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


def check(module: str, pattern: str, jobs: int) -> Counter[str]:
    """Tally of a module's mutants; the survivors are printed."""
    source = (ROOT / "plexusdraw" / f"{module.replace('.', '/')}.py").read_text("utf-8")
    if os.waitstatus_to_exitcode(os.waitpid(start(module, source), 0)[1]):
        sys.exit(f"{module}: the tests fail without any mutant")
    found = (mutant for mutant in mutants(source) if re.search(pattern, f"{mutant.function}\n{mutant.now}"))
    known, tally = reasons(), Counter[str]()
    for mutant, alive in survivors(module, found, jobs):
        equivalent = (module, mutant.was, mutant.now) in known
        tally["mutants"] += 1
        tally["equivalent" if equivalent and alive else "survived" if alive else "killed"] += 1
        if alive and not equivalent:
            print(f"{module}: {mutant.function}\n  - {mutant.was}\n  + {mutant.now}", flush=True)
    return tally


def main() -> int:
    """Survivors and a tally by module on stdout."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("module", nargs="*", help=f"of {', '.join(TESTS)}")
    parser.add_argument("--grep", default="", help="only mutants whose function or changed line this expression finds")
    parser.add_argument("--jobs", type=int, default=os.cpu_count(), help="processes at once")
    asked = parser.parse_args()
    for name in ("caudal", "one-root", "two-stages"):
        small(name)
    brachial()
    survived = 0
    for module in asked.module or TESTS:
        tally = check(module, asked.grep, asked.jobs)
        survived += tally["survived"]
        print(f"{module}: " + ", ".join(f"{n} {what}" for what, n in tally.items()), flush=True)
    return bool(survived)


if __name__ == "__main__":
    sys.exit(main())
