"""What all tests share. What makes and reads for them, randoms and the like, is in support/, on the import path."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType

import pytest
from _pytest.assertion import util
from click.testing import CliRunner
from hypothesis import HealthCheck, settings
from once import once, shared

from plexusdraw.cli.main import cli

# By day the same examples in every run, however slow the machine is; by night others each time.
settings.register_profile("day", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("night", parent=settings.get_profile("day"), derandomize=False)
settings.load_profile("night" if os.environ.get("NIGHTLY") else "day")

LONG = 20_000
"""Bytes or letters."""


def pytest_collection_modifyitems(items):
    """What takes long, and what fetches programs of others, waits for the night: NIGHTLY=1 pytest -m nightly."""
    if os.environ.get("NIGHTLY"):
        return
    for item in items:
        if item.get_closest_marker("nightly"):
            item.add_marker(pytest.mark.skip(reason="nightly: NIGHTLY=1 pytest -m nightly"))


def pytest_configure():
    """Have nothing compared line by line of long contents: pytest asks all for their words, its own ways as well."""
    usual = util.assertrepr_compare

    def compared(**asked):
        return () if _is_long(asked["left"], asked["right"]) else usual(**asked)

    util.assertrepr_compare = compared


def pytest_assertrepr_compare(op, left, right):
    """Of long contents, where they begin to differ: what pytest says of them would take hours."""
    if op != "==" or not _is_long(left, right):
        return None
    if isinstance(left, dict):
        return [f"differ in {sorted(k for k in {*left, *right} if left.get(k) != right.get(k))}"]
    first = next((i for i, (a, b) in enumerate(zip(left, right, strict=False)) if a != b), min(len(left), len(right)))
    shown = (repr(some[first : first + 80]) for some in (left, right) if isinstance(some, bytes | str))
    return [f"{len(left)} and {len(right)} long, they differ from {first} on", *shown]


def _is_long(left, right):
    """Whether two of one type are, or hold, contents too long to be compared line by line."""
    if type(left) is not type(right) or not isinstance(left, bytes | str | list | tuple | dict):
        return False
    if isinstance(left, bytes | str):
        return max(len(left), len(right)) >= LONG
    held = (*left.values(), *right.values()) if isinstance(left, dict) else (*left, *right)
    return any(isinstance(one, bytes | str) and len(one) >= LONG for one in held)


@pytest.fixture(scope="session")
def commanded(tmp_path_factory) -> Callable[..., Path]:
    """Gives the file that a command of these words makes; it is run once, whichever process of the run asks first."""
    folder = shared(tmp_path_factory.getbasetemp())

    def made(name: str, *words: str) -> Path:
        def make(path: Path) -> None:
            done = CliRunner().invoke(cli, [*words, "-o", str(path)])
            assert done.exit_code == 0, (done.output, done.exception)

        return once(folder, name, make)

    return made


@pytest.fixture
def gift_parser(monkeypatch):
    """A reader of GIFT. The Markdown that it loads asks for pkg_resources, which newer Pythons lack, without need."""
    if find_spec("pkg_resources") is None:
        monkeypatch.setitem(sys.modules, "pkg_resources", ModuleType("pkg_resources"))
    return pytest.importorskip("pygiftparser.parser")
