"""Every command works for every built-in model."""

from __future__ import annotations

import json
from functools import cache

import pytest
from click.testing import CliRunner
from night import by_day
from pptx import Presentation

from plexusdraw.cli.main import cli
from plexusdraw.model import load
from plexusdraw.model.loader import models

MOST_BYTES = 760_000
"""Of a page."""
BY_DAY = ("brachial", "cervical")
"""Of the lumbosacral plexus a page and a lecture take twice as long."""
P14 = "{http://schemas.microsoft.com/office/powerpoint/2010/main}"


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


def run(*args: str) -> str:
    done = CliRunner().invoke(cli, args)
    assert done.exit_code == 0, (args, done.output, done.exception)
    return done.stdout


@pytest.mark.parametrize("name", models())
def test_commands_that_answer(name):
    root, nerve, muscle = words(name)
    assert name in run("list", "models")
    assert load(name).name in run("list", name)
    assert "no fault" in run("check", name)
    assert muscle in run("trace", name, nerve)
    assert muscle in run("injure", name, nerve, "--why")
    assert json.loads(run("injure", name, root, "--json"))["caution"]
    assert json.loads(run("localise", name, "--weak", muscle, "--json"))["sites"]
    plexus = load(name)
    groups = {g.name: [plexus.entity(id).name for id in g.members] for g in plexus.groups.values()}
    alike = [group for group, members in groups.items() if muscle in members]
    compared = run("compare", name, nerve, root)
    assert any(word in compared for word in (muscle, *alike))  # a group stands for members that are alike


@pytest.mark.parametrize("name", by_day(models(), BY_DAY))
def test_pictures(name, folder):
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
        run("draw", name, *choices, "-o", "x.pdf")
        assert (folder / "x.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("name", models())
@pytest.mark.parametrize(
    ("command", "file"), [("worksheet", "w.pdf"), pytest.param("slides", "s.pdf", marks=pytest.mark.nightly)]
)
def test_files(name, command, file, folder):
    run(command, name, "-o", file)
    assert 1000 < (folder / file).stat().st_size < 20 * MOST_BYTES


@pytest.mark.parametrize("name", by_day(models(), BY_DAY))
def test_page(name, commanded):
    assert 100_000 < commanded(f"{name}.html", "page", name).stat().st_size < MOST_BYTES


@pytest.mark.parametrize("name", by_day(models(), BY_DAY))
def test_lecture_has_at_most_thirty_slides(name, folder):
    run("slides", name, "-o", "s.pptx")
    made = Presentation("s.pptx")
    titles = [slide.shapes.title.text_frame.text for slide in made.slides]
    assert 20 <= len(titles) <= 30
    sections = [s.get("name") for s in made.part._element.iter(f"{P14}section")]
    assert (sections[0], sections[-1]) == ("Opening", "Sources")
    assert sum(title.startswith("Injury") and "?" in title for title in titles) == 3
