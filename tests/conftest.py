"""What all tests share. What makes and reads for them, randoms and the like, is in support/, on the import path."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType

import pytest
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


def pytest_assertrepr_compare(op, left, right):
    """Of long contents, where they begin to differ: what pytest says of them would take hours."""
    if op != "==" or type(left) is not type(right) or not isinstance(left, bytes | str):
        return None
    if max(len(left), len(right)) < LONG:
        return None
    first = next((i for i, (a, b) in enumerate(zip(left, right, strict=False)) if a != b), min(len(left), len(right)))
    shown = (repr(text[first : first + 80]) for text in (left, right))
    return [f"{len(left)} and {len(right)} long, they differ from {first} on", *shown]


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
