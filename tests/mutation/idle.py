"""Tests that cannot fail: ``python tests/mutation/idle.py [FILES OR FOLDERS OF TESTS]``.

* read: an assertion that is always true (a constant, ``or True``, a thing compared with itself), a test without any
* run: an assertion that no test reaches (a loop over nothing), a table without a case

A test that calls helpers of tests/support asserts by them. What is skipped here (nightly, no program) is not told.
Exit code 1 if any is found.
"""

from __future__ import annotations

import ast
import os
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"

import coverage
import pytest

CHECKS = ("raises", "warns", "fail")
OPTIONS = ("-q", "--assert=plain", "--tb=line", "-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin")


class Tables:
    """A plugin that keeps the tests without a case, and those that were skipped."""

    def __init__(self) -> None:
        self.empty: list[str] = []
        self.skipped: set[tuple[str, str]] = set()

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        for item in items:
            for mark in item.iter_markers("skip"):
                if "empty parameter set" in mark.kwargs.get("reason", ""):
                    self.empty.append(item.nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.skipped:
            path, *_, name = report.nodeid.split("::")
            self.skipped.add((path, name.partition("[")[0]))


def read(path: Path) -> Iterator[tuple[int, str]]:
    """What can be told of a file without running it: line and words."""
    tree = ast.parse(path.read_text("utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Assert) and _always(node.test):
            yield node.lineno, f"always true: {ast.unparse(node)}"
    own = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    for name, node in own.items():
        if name.startswith("test_") and not _checks(node, own, set()):
            yield node.lineno, f"{name} asserts nothing"


def _always(test: ast.expr) -> bool:
    if isinstance(test, ast.Constant | ast.JoinedStr) or (isinstance(test, ast.Tuple) and test.elts):
        return bool(getattr(test, "value", True))
    if isinstance(test, ast.BoolOp):
        found = [_always(value) for value in test.values]
        return any(found) if isinstance(test.op, ast.Or) else all(found)
    if isinstance(test, ast.Compare) and isinstance(test.ops[0], ast.Eq | ast.Is | ast.LtE | ast.GtE):
        calls = any(isinstance(node, ast.Call) for node in ast.walk(test))
        return not calls and ast.dump(test.left) == ast.dump(test.comparators[0])
    return False


def _checks(node: ast.AST, own: dict[str, ast.FunctionDef], seen: set[str]) -> bool:
    """Whether a function asserts something, by itself or by what it calls that may do so."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Assert):
            return True
        if not isinstance(inner, ast.Call):
            continue
        name = inner.func.attr if isinstance(inner.func, ast.Attribute) else getattr(inner.func, "id", "")
        if name in CHECKS or name.startswith("assert") or any(word.arg == "check" for word in inner.keywords):
            return True
        if name in own and name not in seen and _checks(own[name], own, seen | {name}):
            return True
    return False


def unreached(path: Path, reached: set[int], skipped: set[str]) -> Iterator[tuple[int, str]]:
    """Assertions of tests that were run, and that none of them came to."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.FunctionDef) or node.name in skipped or node.body[-1].lineno < 0:
            continue
        if not any(line in reached for line in range(node.body[0].lineno, node.end_lineno + 1)):
            continue
        for inner in ast.walk(node):
            if isinstance(inner, ast.Assert) and not reached & set(range(inner.lineno, inner.end_lineno + 1)):
                yield inner.lineno, f"never reached: {ast.unparse(inner)[:90]}"


def main() -> int:
    """What was found on stdout, a line each."""
    asked = sys.argv[1:] or ["tests"]
    os.chdir(ROOT)
    tables = Tables()
    tracer = coverage.Coverage(data_file=None, source=[str(ROOT / "tests")], config_file=False, messages=False)
    tracer.start()
    pytest.main([*OPTIONS, f"--rootdir={ROOT}", *asked], plugins=[tables])
    tracer.stop()
    data, found = tracer.get_data(), [f"{id}: no case" for id in tables.empty]
    for file in sorted(
        {f for a in asked for f in ([a] if a.endswith(".py") else map(str, Path(a).rglob("test_*.py")))}
    ):
        path, skipped = ROOT / file, {name for at, name in tables.skipped if at == file}
        reached = set(data.lines(str(path)) or ())
        found += [f"{file}:{line}: {words}" for line, words in (*read(path), *unreached(path, reached, skipped))]
    print(*found, sep="\n")
    return bool(found)


if __name__ == "__main__":
    sys.exit(main())
