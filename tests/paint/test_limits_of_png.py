"""A picture that would ask for too much memory, and a process in which the typesetter would hang."""

from __future__ import annotations

import os
import re
import subprocess
import sys

import pytest
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.api import figure, save_together
from plexusdraw.cli.main import cli
from plexusdraw.errors import OutputError
from plexusdraw.paint import typeset

TWO = str(MODELS / "two-stages.yaml")
MM_PER_INCH = 25.4


@pytest.fixture
def least(monkeypatch):
    """Few pixels are the most, so that those which just fit are made at once."""
    monkeypatch.setattr(typeset, "MOST_PIXELS", 200_000)


def size(png: bytes) -> tuple[int, int]:
    """Width and height, pixels (PNG 1.2, chunk IHDR)."""
    return int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")


@pytest.mark.parametrize("paper", ["a4", "a0 portrait", "300x40"])
@pytest.mark.parametrize("most", [30_000_000, 100_000_000])
def test_the_message_names_the_ppi_that_fits_and_the_next_one_does_not(paper, most, monkeypatch):
    monkeypatch.setattr(typeset, "MOST_PIXELS", most)
    wide, high = {"a4": (297.0, 210.0), "a0 portrait": (841.0, 1189.0), "300x40": (300.0, 40.0)}[paper]
    with pytest.raises(OutputError) as caught:
        typeset._check_pixels(wide, high, 20_000)
    (fitting,) = map(int, re.findall(r"Take --ppi (\d+) or less", str(caught.value)))
    assert wide * high * (fitting / MM_PER_INCH) ** 2 <= most
    typeset._check_pixels(wide, high, fitting)
    with pytest.raises(OutputError):
        typeset._check_pixels(wide, high, fitting + 1)


def test_the_ppi_that_is_named_makes_the_picture(least):
    made = figure(TWO, paper="a5")
    with pytest.raises(OutputError, match=r"or a format that is sharp at any size, such as \.pdf") as caught:
        made.render("png", ppi=300)
    (fitting,) = map(int, re.findall(r"Take --ppi (\d+) or less", str(caught.value)))
    wide, high = size(made.render("png", ppi=fitting))
    assert 190_000 < wide * high < 205_000  # sides are whole pixels


def test_pictures_on_one_page_count_together(least, tmp_path, monkeypatch):
    one = figure(TWO, paper="a5")
    monkeypatch.setattr("plexusdraw.api.PNG_PPI", 60.0)
    assert one.save(tmp_path / "one.png", ppi=60.0)
    with pytest.raises(OutputError, match="210 x 444 mm at 60 ppi"):
        save_together([one, one, one], tmp_path / "three.png")
    assert not (tmp_path / "three.png").exists()


def test_the_command_says_so_and_writes_nothing(tmp_path):
    out = tmp_path / "x.png"
    done = CliRunner().invoke(cli, ["draw", TWO, "--paper", "a0", "--ppi", "1200", "-o", str(out)])
    assert done.exit_code == 1
    assert "would have 2232 million pixels; at most 100 million are made. Take --ppi 254 or less" in str(done.exception)
    assert not out.exists()


FORKED = """
import os, sys
from plexusdraw import figure
from plexusdraw.errors import OutputError
first, second = sys.argv[2:]
made = figure(sys.argv[1], detail="framework")
made.render(first)
child = os.fork()
if not child:
    try:
        made.render(second)
        print("made", flush=True)
    except OutputError as error:
        print(error, flush=True)
    os._exit(0)
os.waitpid(child, 0)
made.render(first)
print("parent goes on")
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system does not fork")
@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ("pdf", "pdf", "forked"),
        ("pdf", "png", "forked"),
        ("png", "pdf", "forked"),
        ("pdf", "svg", "made"),
        ("svg", "pdf", "made"),
    ],
)
def test_a_forked_process_is_told_instead_of_hanging(first, second, told):
    command = [sys.executable, "-c", FORKED, TWO, first, second]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    child, parent = done.stdout.splitlines()
    assert told in child
    assert told == "made" or 'multiprocessing.get_context("spawn")' in child
    assert parent == "parent goes on"
