"""What passes ``check`` goes through every command, or is refused in one clear message, never with a trace."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from every import commands, may_refuse
from night import by_day
from odd import odd
from randoms import write

from plexusdraw.cli.main import cli
from plexusdraw.errors import PlexusdrawError
from plexusdraw.model import load

SEEDS = range(1, 13)
BY_DAY = {1, 3, 8, 12}
"""The quickest of them."""


def run(words: list[str]):
    return CliRunner().invoke(cli, words)


@pytest.mark.parametrize("seed", by_day(SEEDS, BY_DAY))
def test_what_passes_check_goes_through_every_command(seed, folder):
    write(folder, odd(seed))
    checked = run(["check", "model.yaml"])
    if checked.exit_code:
        assert isinstance(checked.exception, PlexusdrawError), checked.exception
        return
    for words in commands(load("model.yaml"), "model.yaml", seed):
        done = run(words)
        if done.exit_code and not isinstance(done.exception, may_refuse(words[0])):
            raise AssertionError((words, done.output[-300:])) from done.exception


def test_most_of_these_models_pass(folder):
    passed = [run(["check", str(write(folder, odd(seed)))]).exit_code == 0 for seed in SEEDS]
    assert sum(passed) > len(passed) / 2
