"""Every command works for every built-in model."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import cache

import pytest

from plexusdraw.model import load
from plexusdraw.model.loader import models

MOST_BYTES = 760_000
"""Of a page."""


@cache
def words(name: str) -> tuple[str, str, str]:
    """A root, a nerve of the last column with a muscle on its course, and that muscle."""
    plexus = load(name)
    for segment in plexus.staged(plexus.stages[-1].id):
        for item in segment.course:
            muscle = plexus.muscles.get(getattr(item, "to", ""))
            if muscle is not None and muscle.roots:
                return muscle.roots[0], segment.name, muscle.name
    raise AssertionError(name)


def run(*args: str, cwd) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "plexusdraw", *args], capture_output=True, text=True, cwd=cwd, check=False
    )
    assert done.returncode == 0, (args, done.stderr)
    return done.stdout


@pytest.mark.parametrize("name", models())
def test_commands_that_answer(name, tmp_path):
    root, nerve, muscle = words(name)
    assert name in run("list", "models", cwd=tmp_path)
    assert load(name).name in run("list", name, cwd=tmp_path)
    assert "no fault" in run("check", name, cwd=tmp_path)
    assert muscle in run("trace", name, nerve, cwd=tmp_path)
    assert muscle in run("injure", name, nerve, "--why", cwd=tmp_path)
    assert json.loads(run("injure", name, root, "--json", cwd=tmp_path))["caution"]
    assert json.loads(run("localise", name, "--weak", muscle, "--json", cwd=tmp_path))["sites"]
    plexus = load(name)
    groups = {g.name: [plexus.entity(id).name for id in g.members] for g in plexus.groups.values()}
    alike = [group for group, members in groups.items() if muscle in members]
    compared = run("compare", name, nerve, root, cwd=tmp_path)
    assert any(word in compared for word in (muscle, *alike))  # a group stands for members that are alike


@pytest.mark.parametrize("name", models())
def test_pictures(name, tmp_path):
    root, nerve, _ = words(name)
    for choices in (
        ["--by", "plane"],
        ["--detail", "muscles", "--injure", nerve],
        ["--detail", "framework", "--highlight", root, "--theme", "grayscale", "--by", "nerve"],
        ["--nerve", nerve, "--side", "right"],
        ["--limb", "skin", "--names", "latin"],
        ["--limb", "muscles", "--injure", nerve, "--side", "right", "--theme", "grayscale"],
        ["--limb", "dermatomes", "--highlight", root, "--paper", "16:9"],
        ["--limb", "skin", "--hide", "labels", "--key"],
        ["--hide", "labels", "--key", "--paper", "a3", "--names", "latin"],
        *(["--part", region.name] for region in load(name).regions.values()),
    ):
        run("draw", name, *choices, "-o", "x.pdf", cwd=tmp_path)
        assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("name", models())
@pytest.mark.parametrize(
    ("command", "file"),
    [
        ("worksheet", "w.pdf"),
        ("slides", "s.pptx"),
        pytest.param("slides", "s.pdf", marks=pytest.mark.nightly),
        ("page", "p.html"),
    ],
)
def test_files(name, command, file, tmp_path):
    run(command, name, "-o", file, cwd=tmp_path)
    assert 1000 < (tmp_path / file).stat().st_size < (MOST_BYTES if command == "page" else 20 * MOST_BYTES)
