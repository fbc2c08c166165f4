"""Which tests reach which lines of the package, and how long each takes: worked out once, with coverage.py's tracer."""

from __future__ import annotations

import json
import os
import signal
import time
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import coverage
import pytest

SLOW = 2.0
"""Seconds of the processor; what takes longer, traced, is not asked."""


class TooSlowError(BaseException):
    """No test catches it."""


@dataclass(frozen=True)
class Measured:
    """Test → seconds of the processor, and file of the package → line → tests that reach it."""

    seconds: Mapping[str, float]
    lines: Mapping[str, Mapping[int, Sequence[str]]]

    def reaching(self, file: str, lines: range) -> set[str]:
        """Tests that reach one of these lines."""
        return {test for line in lines for test in self.lines.get(file, {}).get(line, ())}

    def of_file(self, file: str) -> set[str]:
        """Tests that reach a file at all."""
        return {test for tests in self.lines.get(file, {}).values() for test in tests}


def measured(items: Sequence[pytest.Item], folders: Sequence[str], kept: Path | None) -> Measured:
    """Run all tests once, those of a file in a process of their own, to see which lines of *folders* they reach.

    *kept*: a file for what was found; what it knows of a file of tests that is as it was is taken from there.
    """
    known = json.loads(kept.read_text("utf-8")) if kept is not None and kept.exists() else {}
    by_file: defaultdict[Path, list[pytest.Item]] = defaultdict(list)
    for item in items:
        by_file[item.path].append(item)
    seconds: dict[str, float] = {}
    lines: defaultdict[str, defaultdict[int, list[str]]] = defaultdict(lambda: defaultdict(list))
    for path, of_file in by_file.items():
        stamp = sha256(path.read_bytes()).hexdigest()
        if known.get(str(path), {}).get("stamp") != stamp:
            known[str(path)] = {"stamp": stamp, **json.loads(_in_a_child(of_file, folders))}
        found = known[str(path)]
        seconds |= found["seconds"]
        for file, reached in found["lines"].items():
            for line, tests in reached.items():
                lines[file][int(line)] += tests
    if kept is not None:
        kept.write_text(json.dumps(known), "utf-8")
    return Measured(seconds, lines)


def _in_a_child(items: list[pytest.Item], folders: Sequence[str]) -> bytes:
    reading, writing = os.pipe()
    pid = os.fork()
    if not pid:
        os.close(reading)
        with os.fdopen(writing, "w", encoding="utf-8") as pipe:
            json.dump(_run(items, folders), pipe)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        text = pipe.read()
    os.waitpid(pid, 0)
    return text or b'{"seconds": {}, "lines": {}}'


def _run(items: list[pytest.Item], folders: Sequence[str]) -> dict[str, object]:
    seconds: dict[str, float] = {}
    signal.signal(signal.SIGPROF, _too_slow)
    tracer = coverage.Coverage(data_file=None, source=list(folders), config_file=False, messages=False)
    tracer.start()
    for item, after in zip(items, [*items[1:], None], strict=True):
        outcome = Outcome()
        item.config.pluginmanager.register(outcome)
        tracer.switch_context(item.nodeid)
        before = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, SLOW)
        try:
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        except TooSlowError:
            outcome.failed = True
        signal.setitimer(signal.ITIMER_PROF, 0)
        item.config.pluginmanager.unregister(outcome)
        if not outcome.failed and outcome.called:
            seconds[item.nodeid] = round(time.process_time() - before, 4)
    tracer.stop()
    data = tracer.get_data()
    lines = {
        file: {line: [t for t in tests if t in seconds] for line, tests in data.contexts_by_lineno(file).items()}
        for file in data.measured_files()
    }
    return {"seconds": seconds, "lines": lines}


def _too_slow(*_: object) -> None:
    raise TooSlowError


class Outcome:
    """A plugin that sees whether a test was run, and whether it failed."""

    def __init__(self) -> None:
        self.failed = self.called = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed |= report.failed
        self.called |= report.when == "call" and report.passed
