"""``plexusdraw draw --limb``."""

from __future__ import annotations

from pathlib import Path

import pytest
from drawn import CAUDAL, draw, run, texts

import plexusdraw

pytestmark = pytest.mark.usefixtures("folder")


@pytest.mark.parametrize("limb", ["skin", "muscles", "dermatomes"])
@pytest.mark.parametrize("name", ["svg", "pdf", "png"])
def test_every_picture_in_every_format(limb, name):
    start = {"svg": b"<?xml", "pdf": b"%PDF", "png": b"\x89PNG"}[name]
    layer = ("--layer", "superficial") if limb == "muscles" else ()
    assert draw("--limb", limb, *layer, to=f"x.{name}").startswith(start)


def test_the_same_as_in_python():
    assert draw("--limb", "skin", "--injure", "C5", "--side", "right") == plexusdraw.figure(
        "brachial", limb="skin", injure="C5", side="right"
    ).render("svg")


def test_two_layers_take_two_files():
    draw("--limb", "muscles", "--paper", "a4 portrait")
    assert {p.name for p in Path().iterdir()} >= {"x.svg", "x-2.svg"}


def test_hidden_names_and_their_key():
    draw("--limb", "skin", "--hide", "labels", "--key", to="sheet.svg")
    assert "upper lateral arm" not in texts(Path("sheet.svg").read_bytes())
    assert "upper lateral arm" in texts(Path("sheet-key.svg").read_bytes())


def test_names_in_latin():
    assert "musculus deltoideus" in " ".join(
        texts(draw("--limb", "muscles", "--layer", "superficial", "--names", "latin"))
    )


def test_a_title_of_ones_own():
    assert "Arm day" in texts(draw("--limb", "skin", "--title", "Arm day"))


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--by", "state"), 2, "--limb"),
        (("--layer", "deep"), 2, "goes with --limb"),
        ((CAUDAL, "--limb", "skin"), 1, "has no chart of a limb"),
        (("--limb", "skin", "--hide", "trunks"), 1, "cannot hide"),
        (("--limb", "skin", "--upto", "trunks"), 2, "--upto"),
        (("--limb", "wings"), 2, "Invalid value for '--limb'"),
    ],
)
def test_what_cannot_be_drawn_is_said(words, code, said):
    result = run(*words, "-o", "x.svg")
    assert result.exit_code == code or said in str(result.exception)
    assert said in result.output + str(result.exception)
    assert not Path("x.svg").exists()
