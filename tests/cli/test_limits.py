"""A model that is too large is refused at once, in one message, by what would take minutes; all else takes it."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from time import process_time

import pytest
import staged
from click.testing import CliRunner
from randoms import brachial, small, write

from plexusdraw.cli import progress
from plexusdraw.cli.main import cli
from plexusdraw.errors import FitError
from plexusdraw.layout.columns import plan
from plexusdraw.model import load, models
from plexusdraw.routes import fibres

page_build = import_module("plexusdraw.page.build")  # the package has a function of that name
SOON = 8.0
"""Seconds of the processor, on a machine that has other work as well."""


@pytest.fixture(scope="module")
def large(tmp_path_factory) -> str:
    """A model of a third more segments than a picture holds."""
    path = tmp_path_factory.mktemp("large") / "large.yaml"
    wide = plan.MOST_SEGMENTS // 6
    path.write_text(staged.model(1, roots=wide, stages=6, width=wide, branches=plan.MOST_SEGMENTS // 4), "utf-8")
    assert len(load(path).segments) > plan.MOST_SEGMENTS
    return str(path)


@pytest.fixture(scope="module")
def many_muscles(tmp_path_factory) -> str:
    """A model of one nerve with more muscles than a picture holds."""
    names = [f"muscle {i}" for i in range(plan.MOST_TARGETS + 1)]
    model = {
        "plexusdraw": 1,
        "id": "many",
        "name": "plexus of many muscles",
        "stages": [{"id": id, "name": id, "singular": id[:-1]} for id in ("roots", "nerves")],
        "segments": [
            {"name": "C5", "stage": "roots"},
            {"name": "great nerve", "stage": "nerves", "from": ["C5"], "course": [n.replace(" ", "-") for n in names]},
        ],
        "muscles": [{"name": name, "roots": ["C5"]} for name in names],
    }
    return str(write(tmp_path_factory.mktemp("many"), model))


@pytest.mark.parametrize(
    "words",
    [
        ["draw", "-o", "x.svg"],
        ["draw", "-o", "x.pdf", "--paper", "fit", "--detail", "muscles"],
        ["slides", "-o", "x.pptx"],
        ["worksheet", "-o", "x.pdf", "--paper", "a0"],
        ["compare", "R1", "R2", "-o", "x.svg"],
        ["page", "-o", "x.html"],
    ],
    ids=" ".join,
)
def test_what_draws_it_refuses_it_soon(words, large, folder):
    start = process_time()
    done = CliRunner().invoke(cli, [words[0], large, *words[1:]])
    assert isinstance(done.exception, FitError), done.output
    assert "holds at most" in str(done.exception)
    assert process_time() - start < SOON
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "words", [["list"], ["list", "sites"], ["injure", "R1"], ["trace", "R1"], ["compare", "R1", "R2"]], ids=" ".join
)
def test_what_computes_takes_it(words, large):
    start = process_time()
    assert CliRunner().invoke(cli, [words[0], large, *words[1:]]).exit_code == 0
    assert process_time() - start < SOON


@pytest.mark.parametrize(
    "words",
    [
        ["draw", "-o", "x.svg"],
        ["draw", "--nerve", "great nerve", "-o", "x.svg"],
        ["worksheet", "--kind", "cards", "-o", "x.pdf"],
        ["worksheet", "--ask", "muscles", "-o", "x.pdf"],
        ["slides", "-o", "x.pptx"],
        ["check"],
    ],
    ids=" ".join,
)
def test_so_are_muscles_that_no_picture_holds(words, many_muscles, folder):
    start = process_time()
    done = CliRunner().invoke(cli, [words[0], many_muscles, *words[1:]])
    assert isinstance(done.exception, FitError), done.output
    assert "muscles and skin areas, and a picture or form holds at most" in str(done.exception)
    assert process_time() - start < SOON
    assert list(folder.iterdir()) == []


def test_the_course_of_one_of_its_nerves_is_drawn(large, folder):
    plexus = load(large)
    nerve = next(s for s in plexus.segments.values() if s.stage == plexus.stages[-1].id)
    done = CliRunner().invoke(cli, ["draw", large, "--nerve", nerve.id, "-o", "x.svg", "--paper", "fit"])
    assert done.exit_code == 0, done.exception
    assert Path("x.svg").stat().st_size > 1000


def test_a_page_counts_strands(monkeypatch):
    strands = sum(map(len, fibres.of(brachial()).carried.values()))
    monkeypatch.setattr(page_build, "MOST_STRANDS", strands - 1)
    with pytest.raises(FitError, match=f"holds at most {strands - 1} strands .* has {strands} and "):
        page_build.build(brachial())


@pytest.mark.parametrize("name", models())
def test_the_plexuses_that_come_along_have_room_to_grow(name):
    plexus = load(name)
    assert len(plexus.segments) < plan.MOST_SEGMENTS / 2
    assert sum(map(len, fibres.of(plexus).carried.values())) < page_build.MOST_STRANDS * 2 / 3


@pytest.mark.nightly
def test_a_page_tells_how_far_it_is():
    told: list[tuple[int, int]] = []
    page_build.build(small("two-stages"), others=(brachial(),), step=lambda made, of: told.append((made, of)))
    assert [made for made, _ in told] == list(range(1, len(told) + 1))
    assert {of for _, of in told} == {len(told)}
    assert len(told) > 6


def test_a_bar_moves_on_a_terminal_alone(monkeypatch, capsys):
    with progress.bar("page", 3) as step:
        step(1)
    assert capsys.readouterr() == ("", "")
    monkeypatch.setattr(progress.sys.stderr, "isatty", lambda: True)
    with progress.bar("page", 3) as step:
        step(3)
    assert "3/3" in capsys.readouterr().err
