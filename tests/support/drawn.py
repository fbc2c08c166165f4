"""``plexusdraw draw`` as the tests call it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result
from randoms import MODELS

from plexusdraw.cli.main import cli

SVG = "{http://www.w3.org/2000/svg}"
CAUDAL = str(MODELS / "caudal.yaml")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["draw", *words])


def spelt(value: object) -> str:
    """Options as the id of a test."""
    return " ".join(value) or "plain" if isinstance(value, tuple) else ""


def draw(*words: str, to: str = "x.svg") -> bytes:
    result = run(*words, "-o", to)
    assert result.exit_code == 0, result.output
    return Path(to).read_bytes()


def process(*words: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """The command as a user runs it."""
    code = "from plexusdraw.cli.main import run; run()"
    command = [sys.executable, "-c", code, "draw", *words]
    return subprocess.run(command, capture_output=True, env={**os.environ, **env}, check=False)


def need(tool: str) -> str:
    """Path of a program; without it the test is skipped, but never where all tests must run."""
    path = shutil.which(tool)
    if path is None:
        assert "CI" not in os.environ, f"{tool} must be installed"
        pytest.skip(f"{tool} is not installed")
    return path


def texts(svg: bytes) -> list[str]:
    return [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def states(svg: bytes, entity: str) -> set[str | None]:
    """States of all groups and strands of an entity."""
    groups = [g for g in ElementTree.fromstring(svg).iter(f"{SVG}g") if g.get("data-entity") == entity]
    return {e.get("data-state") for g in groups for e in g.iter() if e.get("data-state")}
