"""The gallery is up to date, small, and each of its commands makes what it shows."""

from __future__ import annotations

import shlex
import shutil
import sys
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from scripts import GALLERY, script

from plexusdraw.cli.main import cli

LARGEST = 6_000_000

builder = script("build")
catalogue = script("catalogue")
comparison = script("stale")


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """The folder of all that is made by Python."""
    folder = tmp_path_factory.mktemp("built")
    builder.build(folder)
    return folder


def test_nothing_is_stale(built):
    assert builder.stale(GALLERY, built) == []


def test_it_stays_small():
    assert sum(path.stat().st_size for path in GALLERY.rglob("*") if path.is_file()) < LARGEST


@pytest.mark.parametrize("picture", builder.PICTURES, ids=lambda picture: picture.file)
def test_command_and_python_make_the_same_bytes(picture, built, tmp_path, monkeypatch):
    shutil.copy(GALLERY / catalogue.EXAMPLE, tmp_path)
    monkeypatch.chdir(tmp_path)
    CliRunner().invoke(cli, shlex.split(picture.command)[1:], catch_exceptions=False)
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.name != catalogue.EXAMPLE}
    file = built / picture.file
    by_python = [path for path in (file, file.with_stem(f"{file.stem}-key")) if path.exists()]
    assert made == {path.name: path.read_bytes() for path in by_python}


@pytest.mark.parametrize("case", builder.CASES, ids=lambda case: case.file)
def test_the_command_of_a_case_makes_its_bytes(case, built, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    CliRunner().invoke(cli, shlex.split(case.command)[1:], catch_exceptions=False)
    assert (tmp_path / case.file).read_bytes() == (built / case.file).read_bytes()


def test_the_python_lines_of_the_page_run(tmp_path, monkeypatch):
    shutil.copy(GALLERY / catalogue.EXAMPLE, tmp_path)
    monkeypatch.chdir(tmp_path)
    for picture in builder.PICTURES[:2] + builder.PICTURES[-1:]:
        exec(f"import plexusdraw\n{picture.python}")
        assert (tmp_path / picture.file).exists()


def test_every_file_is_on_the_page():
    page = (GALLERY / "README.md").read_text("utf-8")
    assert [p.name for like in ("*.svg", "*.pdf") for p in GALLERY.glob(like) if p.name not in page] == []


def test_a_moved_part_is_named():
    old = b"strand C5 root C5 - 0 26.50,38.02 0.83 false\nstrand C6 root C6 - 0 1.00,2.00 0.83 false\n"
    assert comparison.differs("a.scene.txt", old, old.replace(b"38.02", b"38.04")) == ""
    assert "- strand C6 root" in comparison.differs("a.scene.txt", old, old.replace(b"1.00", b"1.04"))


def test_fonts_do_not_make_a_picture_stale():
    old = b'<svg>url(data:font/woff;base64,AAAA)<g data-state="plain"/></svg>'
    assert comparison.differs("a.svg", old, old.replace(b"AAAA", b"BBBB")) == ""
    assert comparison.differs("a.svg", old, old.replace(b"plain", b"lost"))


def test_check_writes_nothing_and_fails_when_stale(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(builder, "FOLDER", tmp_path)
    monkeypatch.setattr(builder, "PICTURES", builder.PICTURES[:1])
    monkeypatch.setattr(builder, "CASES", ())
    monkeypatch.setattr(sys, "argv", ["build.py", "--check"])
    assert builder.main() == 1
    assert "plexus.svg: missing" in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []


def test_build_writes_what_check_accepts(tmp_path, monkeypatch):
    monkeypatch.setattr(builder, "FOLDER", tmp_path)
    monkeypatch.setattr(builder, "PICTURES", builder.PICTURES[:1])
    monkeypatch.setattr(builder, "CASES", ())
    (tmp_path / "old.svg").write_text("left over", encoding="utf-8")
    monkeypatch.setattr(sys, "argv", ["build.py"])
    assert builder.main() == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["README.md", "plexus.scene.txt", "plexus.svg"]
    monkeypatch.setattr(sys, "argv", ["build.py", "--check"])
    assert builder.main() == 0


@pytest.mark.parametrize("path", sorted(GALLERY.glob("*.svg")), ids=lambda path: path.name)
def test_every_picture_is_well_formed(path):
    assert ElementTree.parse(path).getroot().get("lang") == "en"


def test_the_least_crossings_are_as_recorded():
    """A short search: it may find more than the long one that was recorded, and never fewer."""
    least = script("least")
    assert list(least.kept()) == list(least.MODELS)
    assert least.searched("cervical", seeds=2, steps=20_000) == least.kept()["cervical"]


@pytest.mark.nightly
@pytest.mark.parametrize("model", ["brachial", "lumbosacral", "cervical"])
def test_the_whole_search_finds_what_is_recorded(model):
    least = script("least")
    assert least.searched(model) == least.kept()[model]


@pytest.mark.skipif(not shutil.which("dot"), reason="no Graphviz to compare with")
def test_the_measures_are_not_stale():
    """Our rows alone: those of Graphviz change with its version."""

    def ours(page: str) -> list[str]:
        return [line for line in page.splitlines() if "| plexusdraw |" in line]

    kept = ours((GALLERY / "MEASURES.md").read_text("utf-8"))
    assert len(kept) == 3
    assert ours(script("measures").table()) == kept
