"""What the command line says of a fault: file and line of every kind of file, and nothing at length."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.cli.main import cli, shortened

TWO = str(MODELS / "two-stages.yaml")
FAULTS = {
    "theme": (
        "theme: 1\nname: own\nbased-on: print\npage: blue\nroots: []\n",
        ["draw", TWO, "--theme", "own.yaml", "-o", "x.svg"],
        ("own.yaml:4: page", "own.yaml:5: roots"),
    ),
    "theme of a lecture": (
        "theme: 1\nname: own\ninkk: '#000000'\n",
        ["slides", TWO, "--theme", "own.yaml", "-o", "x.pptx"],
        ('own.yaml:3: unknown key "inkk"',),
    ),
    "theme of forms": (
        "theme: 1\nname: own\nbased-on: nowhere\n",
        ["worksheet", TWO, "--theme", "own.yaml", "-o", "x.pdf"],
        ("own.yaml:3:",),
    ),
    "outline": (
        "outline: 1\nsteps:\n  - {title: A, show: [roots]}\n  - {title: B, show: [no such nerve]}\n",
        ["slides", TWO, "--outline", "own.yaml", "-o", "x.pptx"],
        ("own.yaml:4: nothing in the",),
    ),
    "outline of a handout": (
        "outline: 2\nsteps: []\n",
        ["slides", TWO, "--outline", "own.yaml", "--handout", "3", "-o", "x.pdf"],
        ("own.yaml:1: outline",),
    ),
    "labels": (
        "main nerve: one\nno such nerve: two\nL3: [three]\n",
        ["draw", TWO, "--names", "own.yaml", "-o", "x.svg"],
        ("own.yaml:2: ", "own.yaml:3: "),
    ),
    "labels of forms": (
        "main nerve: one\nMain nerve: two\n",
        ["worksheet", TWO, "--names", "own.yaml", "-o", "x.pdf"],
        ('own.yaml:2: "Main nerve" has a text already',),
    ),
    "course": (
        "course: 1\nname: own\nbased-on: model.yaml\nkeep: [nerves]\nworksheet: {kind: lable}\n",
        ["worksheet", "own.yaml", "-o", "x.pdf"],
        ("own.yaml:5: ",),
    ),
    "names of a course": (
        "course: 1\nname: own\nbased-on: model.yaml\nkeep: [nerves]\nnames:\n  no such nerve: x\n",
        ["draw", "own.yaml", "-o", "x.svg"],
        ("own.yaml:6: ",),
    ),
    "model": (
        "plexusdraw: 1\nid: own\nname: own\nstages: 3\n",
        ["page", "own.yaml", "-o", "x.html"],
        ("own.yaml:4: stages",),
    ),
}


@pytest.mark.parametrize("kind", FAULTS)
def test_a_fault_of_any_file_is_told_with_its_line(kind, folder):
    text, words, told = FAULTS[kind]
    (folder / "own.yaml").write_text(text, "utf-8")
    (folder / "model.yaml").write_text(Path(TWO).read_text("utf-8"), "utf-8")
    done = CliRunner().invoke(cli, words)
    assert done.exit_code == 1, done.output
    lines = str(done.exception).splitlines()
    for start in told:
        assert any(line.startswith(start) for line in lines), lines
    assert {path.name for path in folder.iterdir()} == {"own.yaml", "model.yaml"}


@pytest.mark.parametrize(
    "words",
    [
        ["draw", "LONG.yaml", "-o", "x.svg"],
        ["draw", TWO, "--names", "LONG", "-o", "x.svg"],
        ["draw", TWO, "--highlight", "LONG", "-o", "x.svg"],
        ["draw", TWO, "--paper", "LONG", "-o", "x.svg"],
        ["draw", TWO, "--theme", "LONG", "-o", "x.svg"],
        ["draw", TWO, "-o", "x.LONG"],
        ["draw", TWO, "--side", "LONG", "-o", "x.svg"],
        ["draw", TWO, "--LONG", "-o", "x.svg"],
        ["injure", TWO, "LONG"],
        ["trace", TWO, "LONG"],
        ["localise", TWO, "--weak", "LONG"],
        ["localise", TWO, "--grade", "LONG"],
        ["localise", TWO, "--top", "LONG", "--weak", "x"],
        ["list", TWO, "LONG"],
        ["worksheet", TWO, "--ask", "LONG", "-o", "x.pdf"],
        ["worksheet", TWO, "--form", "LONG", "-o", "x.pdf"],
        ["page", "--models", "LONG", "-o", "x.html"],
        ["compare", TWO, "LONG", "LONG"],
        ["check", "LONG"],
        ["LONG"],
    ],
    ids=" ".join,
)
def test_what_is_typed_is_not_echoed_at_length(words, folder):
    typed = [word.replace("LONG", "n" * 5000) for word in words]
    done = subprocess.run([sys.executable, "-m", "plexusdraw", *typed], capture_output=True, text=True, check=False)
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr
    assert len(done.stderr) < 1500
    assert "nnn" in done.stderr.lower()
    assert list(folder.iterdir()) == []


def test_what_is_shortened_keeps_its_quotes_and_the_rest():
    long = "x" * 200
    assert shortened(f'no "{long}" here, but "short"') == f'no "{"x" * 80}…" here, but "short"'
    assert shortened("the plexus' own word isn't quoted " * 10) == "the plexus' own word isn't quoted " * 10
    assert shortened(f'"{"x" * 120}"') == f'"{"x" * 120}"'


@pytest.mark.parametrize("title", ["x" * 600, "word " * 300], ids=["one word", "many"])
@pytest.mark.parametrize("limb", [(), ("--limb", "skin")], ids=str)
def test_a_title_wider_than_its_line_is_told(title, limb, folder):
    done = CliRunner().invoke(cli, ["draw", "--title", title, "-o", "x.svg", *limb])
    assert done.exit_code == 2
    assert "--title is wider than its line of" in done.stderr
    assert list(folder.iterdir()) == []
    short = CliRunner().invoke(cli, ["draw", "--title", "Nerves of the arm, a  first look", "-o", "x.svg", *limb])
    assert short.exit_code == 0
