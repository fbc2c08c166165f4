"""Who may import whom, and what a command must not load."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "plexusdraw"
FILES = sorted(PACKAGE.rglob("*.py"))
MAY: dict[str, set[str]] = {
    "errors": set(),
    "inputs": set(),
    "output": {"errors", "inputs"},
    "yamlfile": {"errors", "inputs"},
    "scene": set(),
    "borrowed": {"errors"},
    "common_letters": set(),
    "fonts": {"borrowed", "common_letters", "scene"},
    "typeface": set(),
    "model": {"errors", "yamlfile"},
    "names": {"errors", "model", "yamlfile"},
    "routes": {"errors", "model", "names"},
    "clinic": {"errors", "model", "names", "routes"},
    "charts": {"errors", "model", "scene", "yamlfile"},
    "layout": {"charts", "errors", "fonts", "model", "names", "routes", "scene"},
    "views": {"clinic", "errors", "model", "names", "routes", "scene"},
    "look": {"borrowed", "errors", "fonts", "scene", "yamlfile"},
    "paint": {"borrowed", "errors", "fonts", "look", "scene"},
    "courses": {"errors", "inputs", "model", "names", "routes", "yamlfile"},
    "api": {
        "charts",
        "clinic",
        "courses",
        "errors",
        "layout",
        "look",
        "model",
        "names",
        "output",
        "paint",
        "routes",
        "scene",
        "views",
    },
    "sheets": {
        "api",
        "charts",
        "clinic",
        "errors",
        "fonts",
        "layout",
        "look",
        "model",
        "names",
        "output",
        "paint",
        "routes",
    }
    | {"scene", "views", "yamlfile"},
    "page": {
        "api",
        "charts",
        "clinic",
        "errors",
        "fonts",
        "layout",
        "look",
        "model",
        "names",
        "paint",
        "routes",
        "scene",
    }
    | {"sheets", "views"},
}
"""Room → what of the package it may import, besides itself. The command line may import all."""
ROOMS = {file.relative_to(PACKAGE).with_suffix("").parts[0] for file in FILES} - {"__init__", "__main__", "cli"}
CHANCE = re.compile(
    r"random\.(?!Random\b)|(random\.)?Random\(\)|(secrets|uuid|time)\.|os\.urandom|date(time)?\.\w*(now|today)\("
)
"""Calls that give another answer each time; a generator with a seed does not."""


def imported(path: Path) -> Iterator[str]:
    """Full names of all that a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def within(name: str, allowed: set[str]) -> bool:
    return any(name == f"plexusdraw.{room}" or name.startswith(f"plexusdraw.{room}.") for room in allowed)


def test_every_room_is_on_the_map():
    assert set(MAY) == ROOMS


@pytest.mark.parametrize("room", sorted(MAY))
def test_direction(room):
    files = [f for f in FILES if f.relative_to(PACKAGE).with_suffix("").parts[0] == room]
    assert files
    ours = [(f.name, name) for f in files for name in imported(f) if name.startswith("plexusdraw.")]
    assert [(file, name) for file, name in ours if not within(name, MAY[room] | {room})] == []


def test_only_the_command_line_imports_the_command_line():
    outside = [f for f in FILES if "cli" not in f.relative_to(PACKAGE).parts and f.name != "__main__.py"]
    assert [f.name for f in outside for name in imported(f) if within(name, {"cli"}) or name == "click"] == []


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_the_library_does_not_print_exit_or_leave_anything_to_chance(path):
    calls = [ast.unparse(n) for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)]
    assert [call for call in calls if CHANCE.match(call)] == []
    if "cli" not in path.relative_to(PACKAGE).parts:
        assert [call for call in calls if re.match(r"(print|exit|quit|sys\.exit|os\._exit)\(", call)] == []


def loaded(*words: str, cwd: Path) -> set[str]:
    """Names of the modules that a command has loaded when it ends."""
    code = (
        "import sys; from plexusdraw.cli.main import run\n"
        "try: run()\nexcept SystemExit as end: assert not end.code\n"
        "sys.stderr.write('\\n' + ' '.join(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, cwd=cwd)
    return set(done.stderr.splitlines()[-1].split())


HEAVY = {"networkx", "pptx", "pydantic", "rich", "ruamel", "svgwrite", "typst"}


@pytest.mark.parametrize(
    ("words", "spared"),
    [
        (["--help"], HEAVY | {"plexusdraw.model", "plexusdraw.layout", "plexusdraw.api"}),
        (["--version"], HEAVY),
        (["draw", "-o", "x.svg"], (HEAVY | {"fontTools", "svgwrite.validator2", "urllib.request"}) - {"svgwrite"}),
        (["draw", "-o", "x.pdf"], (HEAVY | {"fontTools"}) - {"typst"}),
        (["slides", "cervical", "--detail", "framework", "-o", "x.pptx"], {"pydantic", "rich", "typst"}),
        (["list", "themes"], {"networkx", "pptx", "pydantic", "svgwrite", "typst"}),
        (["trace", "C5", "--json"], {"pptx", "rich", "svgwrite", "typst"}),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_a_command_loads_only_what_it_needs(words, spared, tmp_path):
    assert loaded(*words, cwd=tmp_path) & spared == set()
