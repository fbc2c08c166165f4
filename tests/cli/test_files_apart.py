"""What a command reads it never writes, whatever way leads there; standard output by any of its names; older sets."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.cli.main import cli
from plexusdraw.errors import OutputError
from plexusdraw.sheets.worksheet import class_set

PARTS = MODELS / "two-part.yaml"
COURSE = "course: 1\nname: First year\nbased-on: model.yaml\nkeep: [nerves]\n"
THEME = 'theme: 1\nname: own\nbased-on: print\npage: "#fdf6ec"\n'
OUTLINE = "outline: 1\nsteps:\n  - {title: Roots, show: [roots]}\n"
READ = {"model.yaml": PARTS.read_text("utf-8"), "year.yaml": COURSE, "look.yaml": THEME, "talk.yaml": OUTLINE}
WRITES = {
    "draw": ["draw", "{model}", "-o", "{out}.svg", "--theme", "{theme}"],
    "draw, a key": ["draw", "{model}", "-o", "{front}.svg", "--hide", "labels", "--key", "--theme", "{theme}"],
    "injure": ["injure", "brachial", "C5", "-o", "{out}.pdf", "--theme", "{theme}"],
    "localise": ["localise", "brachial", "--weak", "deltoid", "-o", "{out}.pdf", "--theme", "{theme}"],
    "compare": ["compare", "{model}", "A1", "A2", "-o", "{out}.svg"],
    "worksheet": ["worksheet", "{model}", "-o", "{out}.pdf", "--theme", "{theme}"],
    "worksheet, an export": ["worksheet", "{model}", "-o", "w.pdf", "--export", "{out}.csv"],
    "slides": ["slides", "{model}", "-o", "{out}.pptx", "--outline", "{outline}"],
    "outline": ["slides", "{model}", "--outline-template", "--force", "-o", "{out}.yaml"],
    "page": ["page", "{model}", "-o", "{out}.html"],
    "course": ["course", "{model}", "--force", "-o", "{out}.yaml"],
}
"""Command → words; the name that is written leads to the file that is read."""


def run(words: list[str]) -> object:
    return CliRunner().invoke(cli, words)


@pytest.fixture
def files(folder: Path) -> Path:
    """A folder with a model, a course, a theme and an outline."""
    for name, text in READ.items():
        (folder / name).write_text(text, "utf-8")
    return folder


def leading(files: Path, words: list[str]) -> list[str]:
    """The words of a command whose output is a link to the file that it reads."""
    read = "look.yaml" if "{theme}" in words else "talk.yaml" if "{outline}" in words else "model.yaml"
    written = next(word for word in words if word.startswith(("{out}", "{front}")))
    link = "a-key.svg" if "{front}" in written else f"a{Path(written).suffix}"
    (files / link).symlink_to(read)
    names = {"model": "model.yaml", "theme": "look.yaml", "outline": "talk.yaml", "out": "a", "front": "a"}
    return [word.format(**names) for word in words]


@pytest.mark.skipif(os.name == "nt", reason="links want rights there")
@pytest.mark.parametrize("command", WRITES)
def test_a_link_to_what_is_read_is_not_written_over(files, command):
    done = run(leading(files, WRITES[command]))
    assert done.exit_code == 1, done.output
    assert "this file is read by the command, and would be lost. Give another name." in str(done.exception)
    assert {name: (files / name).read_text("utf-8") for name in READ} == READ
    assert {path.name for path in files.iterdir() if not path.is_symlink()} == set(READ)


@pytest.mark.parametrize(
    "words",
    [
        ["draw", "model.yaml", "--format", "svg", "-o", "model.yaml"],
        ["page", "model.yaml", "-o", "model.yaml"],
        ["worksheet", "model.yaml", "-o", "model.yaml"],
        ["compare", "model.yaml", "A1", "A2", "-o", "model.yaml"],
        ["slides", "model.yaml", "-o", "model.yaml"],
        ["slides", "model.yaml", "--outline-template", "-o", "model.yaml"],
        ["slides", "model.yaml", "--outline-template", "--force", "-o", "./model.yaml"],
        ["course", "model.yaml", "-o", "model.yaml"],
        ["course", "model.yaml", "--force", "-o", "../{here}/model.yaml"],
        ["worksheet", "year.yaml", "-o", "year.yaml"],
        ["course", "year.yaml", "--force", "-o", "year.yaml"],
        ["slides", "year.yaml", "--outline-template", "--force", "-o", "model.yaml"],
    ],
    ids=" ".join,
)
def test_no_command_takes_the_name_of_its_model(files, words):
    done = run([word.format(here=files.name) for word in words])
    assert done.exit_code in (1, 2)
    assert {path.name: path.read_text("utf-8") for path in files.iterdir()} == READ


@pytest.mark.skipif(not hasattr(os, "link"), reason="no hard links here")
def test_a_second_name_of_what_is_read_is_not_written_over(files):
    (files / "other.yaml").hardlink_to(files / "model.yaml")
    done = run(["slides", "model.yaml", "--outline-template", "--force", "-o", "other.yaml"])
    assert "this file is read by the command" in str(done.exception)
    assert Path("other.yaml").samefile("model.yaml")


@pytest.mark.parametrize("file", ["model.yaml", "year.yaml"])
def test_the_chart_of_a_model_is_not_written_over(file, files):
    for name in ("odd-targets.yaml", "odd-targets-chart.yml"):
        target = "model.yaml" if name == "odd-targets.yaml" else name
        (files / target).write_text((MODELS / name).read_text("utf-8"), "utf-8")
    (files / "year.yaml").write_text("course: 1\nname: First year\nbased-on: model.yaml\n", "utf-8")
    done = run(["slides", file, "--outline-template", "--force", "-o", "odd-targets-chart.yml"])
    assert "this file is read by the command" in str(done.exception)


def test_one_export_has_one_name(files):
    done = run(["worksheet", "model.yaml", "-o", "a.pdf", "--export", "q.csv", "--export", "./q.csv"])
    assert done.exit_code == 2
    assert "q.csv" in done.stderr
    assert {path.name for path in files.iterdir()} == set(READ)


def test_another_command_may_write_what_an_earlier_one_read(files):
    assert run(["check", "year.yaml"]).exit_code == 0
    assert run(["slides", "model.yaml", "--outline-template", "--force", "-o", "year.yaml"]).exit_code == 0
    assert (files / "year.yaml").read_text("utf-8").startswith("# ")


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="no such name here")
@pytest.mark.parametrize(
    ("words", "name", "start"),
    [
        (["draw", "model.yaml", "--format", "svg"], "/dev/fd/1", b"<?xml"),
        (["draw", "model.yaml", "--format", "svg"], "/proc/self/fd/1", b"<?xml"),
        (["page", "model.yaml"], "/dev/stdout", b"<!doctype html>"),
        (["course", "brachial"], "/dev/stdout", b"#"),
        (["slides", "model.yaml", "--outline-template"], "/dev/stdout", b"#"),
    ],
    ids=str,
)
def test_standard_output_by_any_name(files, words, name, start):
    command = [sys.executable, "-m", "plexusdraw", *words, "-o", name]
    done = subprocess.run(command, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.lower().startswith(start)


@pytest.mark.parametrize("name", ["-", "/dev/stdout"])
@pytest.mark.parametrize("words", [["worksheet", "model.yaml"], ["slides", "model.yaml"]], ids=" ".join)
def test_several_files_do_not_go_to_standard_output(files, words, name):
    done = run([*words, "-o", name])
    assert done.exit_code == 2
    assert "file, or a folder: give its name" in done.stderr
    assert {path.name for path in files.iterdir()} == set(READ)


@pytest.mark.parametrize("words", [["worksheet", "model.yaml", "-o", "a.svg"], ["course", "brachial", "-o", "a.txt"]])
def test_an_ending_that_does_not_fit_is_wrong_usage(files, words):
    done = run(words)
    assert done.exit_code == 2
    assert f'"{words[-1]}": a ' in done.stderr
    assert {path.name for path in files.iterdir()} == set(READ)


def test_a_folder_of_slides_replaces_the_earlier_lecture_alone(files):
    lecture = ["slides", "model.yaml", "-o", "talk", "--format", "svg"]
    assert run(lecture).exit_code == 0
    first = {path.name for path in (files / "talk").iterdir()}
    for name in ("notes.txt", "01-own.svg", "03-own.png"):
        (files / "talk" / name).write_text("mine", "utf-8")
    done = run([*lecture, "--outline", "talk.yaml"])
    assert done.exit_code == 0, done.output
    left = {path.name for path in (files / "talk").iterdir()}
    mine = {"notes.txt", "01-own.svg", "03-own.png"}
    assert mine < left
    assert not left & (first - {"01-roots.svg"})
    assert f"removed {len(first - left)} pictures of an earlier lecture" in done.stderr
    assert all(name in done.stderr for name in mine)


def test_a_folder_of_png_replaces_that_of_svg_and_the_other_way_round(files):
    lecture = ["slides", "model.yaml", "-o", "talk", "--outline", "talk.yaml"]
    for ending in ("svg", "png", "svg"):
        assert run([*lecture, "--format", ending]).exit_code == 0
        assert {path.suffix for path in (files / "talk").iterdir()} == {f".{ending}"}


def test_a_lecture_that_cannot_be_made_leaves_the_earlier_one(files):
    assert run(["slides", "model.yaml", "-o", "talk"]).exit_code == 0
    before = {path: path.read_bytes() for path in (files / "talk").iterdir()}
    (files / "talk.yaml").write_text(OUTLINE.replace("[roots]", "[nowhere]"), "utf-8")
    assert run(["slides", "model.yaml", "-o", "talk", "--outline", "talk.yaml"]).exit_code == 1
    assert {path: path.read_bytes() for path in (files / "talk").iterdir()} == before


def test_a_set_that_cannot_be_made_leaves_no_folder(files, monkeypatch):
    def full(*_):
        raise OutputError("no room left")

    monkeypatch.setattr(class_set.grid, "pages", full)
    done = run(["worksheet", "model.yaml", "-o", "forms", "--key", "grid"])
    assert "no room left" in str(done.exception)
    assert {path.name for path in files.iterdir()} == set(READ)


@pytest.mark.parametrize("length", [240, 252, 300, 5000])
@pytest.mark.parametrize(
    ("words", "ending"),
    [
        (("draw", "--hide", "labels", "--key"), ".svg"),
        (("worksheet", "--key"), ".pdf"),
        (("worksheet", "--key"), ""),
        (("slides",), ""),
        (("course",), ".yaml"),
        (("page",), ".html"),
    ],
    ids=str,
)
def test_a_name_that_is_too_long_is_told(folder, words, ending, length):
    """Its own, or that of the key beside it."""
    command, *options = words
    model = "cervical" if command == "course" else str(MODELS / "two-stages.yaml")  # which must lie beside a course
    done = run([command, model, *options, "-o", "x" * (length - len(ending)) + ending])
    assert isinstance(done.exception, OutputError | None)
    assert bool(done.exit_code) == (list(folder.iterdir()) == [])
