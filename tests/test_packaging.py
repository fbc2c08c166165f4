"""The wheel holds all that the tool needs, away from the source tree."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import tomllib
import venv
from pathlib import Path

import pytest

from plexusdraw import theme

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def run(*command: str | Path, cwd: Path) -> str:
    """Standard output of a command that works, run without the paths of this process."""
    env = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "VIRTUAL_ENV")}
    done = subprocess.run(list(map(str, command)), cwd=cwd, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """Folder of the programs of a new environment: our wheel, and what this one has besides."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    (wheel,) = folder.glob("*.whl")
    venv.create(folder / "env", symlinks=os.name != "nt")
    bin = folder / "env" / ("Scripts" if os.name == "nt" else "bin")
    install = ("-m", "pip", "--python", bin / "python", "install", "--quiet", "--no-deps", "--no-index", wheel)
    run(sys.executable, *install, cwd=folder)
    purelib = Path(
        run(bin / "python", "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=folder).strip()
    )
    # Comes after the new environment's own packages; files of an editable install in there are not followed.
    (purelib / "others.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    return bin


@pytest.mark.slow
@pytest.mark.parametrize("name", theme.names())
def test_draws_with_every_theme(installed, tmp_path, name):
    run(installed / "plexusdraw", "draw", "--theme", name, "-o", "x.svg", cwd=tmp_path)
    assert (tmp_path / "x.svg").stat().st_size > 50_000


@pytest.mark.slow
def test_it_is_the_wheel_that_runs(installed, tmp_path):
    place = run(installed / "python", "-c", "import plexusdraw; print(plexusdraw.__file__)", cwd=tmp_path)
    assert Path(place).is_relative_to(installed.parent)
    assert run(installed / "plexusdraw", "--version", cwd=tmp_path).strip() == f"plexusdraw {PROJECT['version']}"


@pytest.mark.slow
def test_models_fonts_types_and_licence_are_in_it(installed, tmp_path):
    assert run(installed / "plexusdraw", "list", "models", cwd=tmp_path).split() == ["brachial"]
    run(installed / "plexusdraw", "draw", "--detail", "framework", "-o", "x.pdf", cwd=tmp_path)
    files = [
        str(path) for path in installed.parent.rglob("*") if "plexusdraw" in str(path.relative_to(installed.parent))
    ]
    for name in ("py.typed", "LICENSE", "brachial.yaml", "print.yaml"):
        assert any(file.endswith(name) for file in files), name


def bounds(lines: list[str], sign: str) -> dict[str, str]:
    """Library → version; what follows a semicolon says only where it is needed."""
    return dict(re.split(sign, line.split(";")[0], maxsplit=1) for line in lines if not line.startswith("#"))


def test_oldest_libraries_are_those_of_the_project():
    oldest = (ROOT / "tests" / "constraints-oldest.txt").read_text("utf-8").splitlines()
    assert bounds(oldest, "==") == bounds(PROJECT["dependencies"], ">=")


def test_the_sources_to_build_from_hold_what_the_tests_read():
    included = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["hatch"]["build"]["targets"]["sdist"]
    assert {"/plexusdraw", "/themes", "/tests", "/gallery", "/README.md", "/DEVELOPERS.md", "/CHANGELOG.md"} <= set(
        included["include"]
    )
