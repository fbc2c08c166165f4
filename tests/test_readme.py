"""Every command, file and link of the README and of DEVELOPERS.md works as it stands."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import tomllib
from dataclasses import fields
from pathlib import Path

import pytest
from click.testing import CliRunner

import plexusdraw
from plexusdraw.cli.main import COMMANDS, cli
from plexusdraw.look.theme import Theme
from plexusdraw.model import schema
from plexusdraw.yamlfile import form

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
PAGES = {name: (ROOT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")}
SET_UP = ("python3 tests/", "python ", "source ", "git ", "pytest", "ruff ", "mypy")
"""Commands that prepare or develop; the test of the whole runs them."""


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.M | re.S)


def commands(text: str) -> list[str]:
    lines = [line for block in blocks(text, "sh") for line in block.splitlines()]
    return [line for line in lines if line and not line.startswith(SET_UP)]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A folder with the files that the page shows, each named by its first line."""
    monkeypatch.chdir(tmp_path)
    for block in [block for text in PAGES.values() for block in blocks(text, "yaml")]:
        name = re.match(r"# (\S+\.yaml)\n", block)
        if name:
            (tmp_path / name[1]).write_text(block, encoding="utf-8")
    return tmp_path


def timed(command: str):
    """A command, by night where it makes a page to click, as other tests do by day."""
    return pytest.param(command, marks=pytest.mark.nightly) if command.startswith("plexusdraw page") else command


@pytest.mark.parametrize("command", [timed(c) for c in (*commands(README), *commands(PAGES["DEVELOPERS.md"]))])
def test_command(command, folder):
    program, *words = shlex.split(command)
    assert program == "plexusdraw"
    result = CliRunner().invoke(cli, words, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    if "-o" in words:
        assert (folder / words[words.index("-o") + 1]).stat().st_size > 1000


@pytest.mark.parametrize("page", PAGES)
def test_python(page):
    for block in blocks(PAGES[page], "python"):
        subprocess.run([sys.executable, "-c", block], check=True)


def test_every_key_of_a_model_and_of_a_theme_is_explained():
    keys = {key for row in form.rows(schema.ModelFile) for key in form.keys(row)}
    keys |= {field.name for field in fields(Theme)} - {"note"}
    assert sorted(key for key in keys if f"`{key}`" not in PAGES["DEVELOPERS.md"]) == []


def test_the_tests_that_hold_a_rule_exist():
    for path in re.findall(r"`((?:tests|themes|gallery)/[\w/.-]+\.\w+)`", PAGES["DEVELOPERS.md"]):
        assert (ROOT / path).exists(), path


def test_two_lines_set_everything_up():
    first, second = (block.strip() for block in blocks(README, "sh")[:2])
    assert first == "python3 tests/ready.py draw -o plexus.svg"
    assert f"exec {second}\n" in (ROOT / ".ci" / "run").read_text("utf-8")
    for script in re.findall(r"python3 (\S+)", f"{first} {second}"):
        assert (ROOT / script).exists()


def test_the_job_comes_first_then_a_picture():
    title, job, picture = README.split("\n\n")[:3]
    assert title == "# plexusdraw"
    assert job.startswith("Draws a nerve plexus")
    assert picture.startswith("![")


@pytest.mark.parametrize("page", PAGES)
def test_links_lead_somewhere(page):
    for link in re.findall(r"\]\(([^)#]*)(?:#[^)]*)?\)", PAGES[page]):
        assert not link or link.startswith("https://") or (ROOT / link).exists(), link


@pytest.mark.parametrize("page", PAGES)
def test_sections_that_are_linked_exist(page):
    for target, section in re.findall(r"\]\(([^)#]*)#([^)]*)\)", PAGES[page]):
        headings = re.findall(r"^#+ (.*)$", PAGES[target or page], re.M)
        assert section in {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}


def test_every_command_is_shown():
    shown = {shlex.split(command)[1] for command in commands(README)}
    assert {"draw", "trace", "injure", "localise", "compare", "check", "list"} <= shown <= set(COMMANDS)


def test_version_is_that_of_the_changes():
    version = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    assert plexusdraw.__version__ == version
    assert f"## {version}" in PAGES["CHANGELOG.md"]
