"""What passes ``check`` goes through every command, or is refused in one clear message, never with a trace."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from night import by_day
from odd import commands, odd
from randoms import write

from plexusdraw.cli.main import cli
from plexusdraw.errors import FitError, PlexusdrawError, SheetError

FITS = {"slides": FitError, "worksheet": (FitError, SheetError)}
"""A slide has one size, and a form needs something to ask: there a model may be too large or too small."""
SEEDS = range(1, 13)
BY_DAY = {1, 3, 8, 12}
"""The quickest of them."""


def run(words: list[str], folder: Path):
    return CliRunner().invoke(cli, [word.replace("OUT", str(folder / "out")) for word in words])


@pytest.mark.parametrize("seed", by_day(SEEDS, BY_DAY))
def test_what_passes_check_goes_through_every_command(seed, tmp_path):
    model = odd(seed)
    file = write(tmp_path, model)
    checked = run(["check", str(file)], tmp_path)
    if checked.exit_code:
        assert isinstance(checked.exception, PlexusdrawError), checked.exception
        return
    for words in commands(model, str(file), seed):
        done = run(words, tmp_path)
        if done.exit_code and not isinstance(done.exception, FITS.get(words[0], ())):
            raise AssertionError((words, done.output[-300:])) from done.exception


def test_most_of_these_models_pass(tmp_path):
    passed = [run(["check", str(write(tmp_path, odd(seed)))], tmp_path).exit_code == 0 for seed in SEEDS]
    assert sum(passed) > len(passed) / 2
