"""What all tests share. Its place puts this folder on the import path, with randoms, staged and the like."""

from __future__ import annotations

import sys
from importlib.util import find_spec
from types import ModuleType

import pytest


@pytest.fixture
def gift_parser(monkeypatch):
    """A reader of GIFT. The Markdown that it loads asks for pkg_resources, which newer Pythons lack, without need."""
    if find_spec("pkg_resources") is None:
        monkeypatch.setitem(sys.modules, "pkg_resources", ModuleType("pkg_resources"))
    return pytest.importorskip("pygiftparser.parser")
