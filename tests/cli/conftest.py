"""Where the tests of the commands work."""

from __future__ import annotations

import pytest


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """The test works in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    return tmp_path
