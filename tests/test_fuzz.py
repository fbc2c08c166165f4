"""Some hundred damaged files and combinations of options; ``tests/fuzz/`` runs them by the thousand."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

FUZZ = Path(__file__).parent / "fuzz"


@pytest.mark.nightly
@pytest.mark.parametrize("runner", ["damaged.py", "options.py"])
def test_nothing_breaks_and_nothing_is_ignored(runner):
    command = [sys.executable, str(FUZZ / runner), "--count", "200", "--seed", "1"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
