"""A dermatome of two roots, nerves to a joint alone and a nerve that a variant alone has go through every command."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from plexusdraw.cli.main import cli
from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.sheets.worksheet.registry import REGISTRY

MODEL = Path(__file__).parent.parent / "models" / "odd-targets.yaml"
WITH = ("--variant", "accessory wagging")
ADDED = "accessory wagging nerve"
BOTH = pytest.mark.parametrize("variant", [(), WITH], ids=["plain", "variant"])
"""Without and with the variant."""
TOO_FEW = ("match", "choice")
"""Kinds of worksheets that ask for more structures than a model of two muscles has."""


def made(command: str, *words: str):
    return CliRunner().invoke(cli, [command, str(MODEL), *words])


def run(command: str, *words: str) -> str:
    done = made(command, *words)
    assert done.exit_code == 0, (command, words, done.output, done.exception)
    return done.stdout


@BOTH
def test_answers(variant):
    assert "no fault" in run("check")
    assert "F2, F3" in run("list", "skin", *variant)
    assert "nerve to joint" in run("list", "nerves", *variant)
    assert "F3 → lower cord → wagging nerve → tip skin" in run("trace", "F2-F3 dermatome", *variant)
    for nerve in ("nerve to joint", "twig to joint", "side branch to joint"):
        assert "Note: to the fin joint" in run("trace", nerve, *variant)
        assert "0 paralysed, 0 weak" in run("injure", nerve, *variant)
    found = run("localise", "--numb", "F2-F3 dermatome", *variant)
    assert "explained: numb F2–F3 dermatome" in found
    assert "F2–F3 dermatome" in run("compare", "lower cord", "F1", *variant)


def test_the_nerve_of_a_variant():
    assert ADDED in run("list", "nerves", *WITH)
    assert ADDED in run("trace", "wagger", *WITH)
    assert "Roots left" in run("injure", ADDED, *WITH)
    assert "F3" in run("injure", ADDED, "--why", *WITH)
    assert ADDED in run("localise", "--weak", "wagger", "--feels", "tip skin", *WITH)


@pytest.mark.parametrize(
    "words", [("injure", ADDED), ("trace", "Accessory Wagging Nerve"), ("draw", "--nerve", ADDED, "-o", "x.svg")]
)
def test_without_the_variant_one_is_told_that_it_has_the_nerve(words, folder):
    done = made(*words)
    assert isinstance(done.exception, UnknownNameError)
    assert "--variant accessory-wagging" in str(done.exception)
    assert not list(folder.iterdir())


@BOTH
@pytest.mark.parametrize("detail", ["framework", "nerves", "muscles"])
def test_drawings(variant, detail, folder):
    run("draw", "--detail", detail, "--injure", "F2", *variant, "-o", "x.svg")
    drawn = Path("x.svg").read_text("utf-8")
    assert "n. to joint" in drawn
    assert ("side branch to joint" in drawn) == (detail != "framework")
    assert (">accessory wagging n.<" in drawn) == bool(variant)


@BOTH
@pytest.mark.parametrize("picture", ["skin", "muscles", "dermatomes"])
def test_limbs(variant, picture, folder):
    run("draw", "--limb", picture, "--injure", "F2", *variant, "-o", "x.svg")
    drawn = Path("x.svg").read_text("utf-8")
    told = {"skin": "tip skin", "muscles": "wagger", "dermatomes": "F2, F3"}[picture]
    assert f">{told}<" in drawn
    assert "reduced" in drawn or "weak" in drawn


@BOTH
def test_courses_and_cases(variant, folder):
    nerve = ADDED if variant else "nerve to joint"
    if variant:
        run("draw", "--nerve", nerve, *variant, "-o", "course.svg")
    else:
        assert "nothing leaves it" in str(made("draw", "--nerve", nerve, "-o", "course.svg").exception)
    run("draw", "--nerve", "wagging nerve", *variant, "-o", "twig.svg")
    assert "twig to joint" in Path("twig.svg").read_text("utf-8")
    run("injure", nerve, *variant, "-o", "case.pdf")
    run("localise", "--numb", "F2-F3 dermatome", *variant, "-o", "found.pdf")
    assert "F2–F3 dermatome" in PdfReader("found.pdf").pages[0].extract_text()


@pytest.mark.parametrize("kind", list(REGISTRY))
def test_worksheets(kind, folder):
    done = made("worksheet", "--kind", kind, *WITH, "-o", "x.pdf")
    if kind in TOO_FEW:
        assert isinstance(done.exception, SheetError)
        assert "too few" in str(done.exception)
        return
    assert done.exit_code == 0, done.exception
    assert len(PdfReader("x.pdf").pages) >= 1


def test_a_dermatome_of_two_roots_is_asked_by_both(folder):
    run("worksheet", "--kind", "limb", "--ask", "dermatomes", "--key", "-o", "x.pdf")
    assert "F2, F3" in PdfReader("x-key.pdf" if Path("x-key.pdf").exists() else "x.pdf").pages[-1].extract_text()


def test_lecture_and_page(folder):
    run("slides", *WITH, "-o", "x.pptx")
    run("page", *WITH, "-o", "x.html")
    assert Path("x.html").stat().st_size > 100_000
