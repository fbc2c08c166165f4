"""The wheel holds all that the tool needs, away from the source tree."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import venv
import zipfile
from pathlib import Path

import pytest
from faulty import JOBS, TALK, environment, in_turn
from packaging.metadata import Metadata
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from plexusdraw.look import theme

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def run(*command: str | Path, cwd: Path) -> str:
    """Standard output of a command that works, run without the paths of this process."""
    env = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "VIRTUAL_ENV")}
    done = subprocess.run(list(map(str, command)), cwd=cwd, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def built(what: str, source: Path, into: Path) -> Path:
    """The package that a source tree gives, in a new folder."""
    run(sys.executable, "-m", "hatchling", "build", "-t", what, "-d", into, cwd=source)
    (package,) = into.iterdir()
    return package


@pytest.fixture(scope="module")
def wheels(tmp_path_factory):
    """The wheel from this tree, and the one from nothing but the package of sources."""
    folder = tmp_path_factory.mktemp("build")
    with tarfile.open(built("sdist", ROOT, folder / "sources")) as packed:
        packed.extractall(folder / "tree", filter="data")
    (tree,) = (folder / "tree").iterdir()
    return built("wheel", ROOT, folder / "here"), built("wheel", tree, folder / "there")


def held(wheel: Path) -> dict[str, bytes]:
    """File → bytes."""
    with zipfile.ZipFile(wheel) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


@pytest.fixture(scope="module")
def installed(wheels, tmp_path_factory):
    """Folder of the programs of a new environment: our wheel, and what this one has besides."""
    folder = tmp_path_factory.mktemp("wheel")
    venv.create(folder / "env", symlinks=os.name != "nt")
    bin = folder / "env" / ("Scripts" if os.name == "nt" else "bin")
    install = ("-m", "pip", "--python", bin / "python", "install", "--quiet", "--no-deps", "--no-index", wheels[1])
    run(sys.executable, *install, cwd=folder)
    purelib = Path(
        run(bin / "python", "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=folder).strip()
    )
    # Comes after the new environment's own packages; files of an editable install in there are not followed.
    (purelib / "others.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    return bin


@pytest.mark.slow
def test_the_package_of_sources_is_enough_to_build_from(wheels):
    here, there = map(held, wheels)
    assert here == there


@pytest.mark.slow
def test_the_wheel_holds_the_package_and_nothing_else(wheels):
    found = held(wheels[1])
    ours = {name for name in found if ".dist-info/" not in name}
    assert {name.split("/")[0] for name in ours} == {"plexusdraw"}
    kinds = {".py", ".yaml", ".json", ".typed", ".js", ".css", ".html", ".ttf", ".woff", ".txt"}
    assert {Path(name).suffix for name in ours} <= kinds
    code = {str(path.relative_to(ROOT)) for path in (ROOT / "plexusdraw").rglob("*.py")}
    assert code == {name for name in ours if name.endswith(".py")}
    assert {f"plexusdraw/themes/{path.name}" for path in (ROOT / "themes").glob("*.yaml")} <= ours
    assert {"plexusdraw/py.typed", "plexusdraw/anatomy/brachial.yaml", "plexusdraw/typeface/OFL.txt"} <= ours


def spelt(requirement: Requirement) -> tuple[str, str, str]:
    return canonicalize_name(requirement.name), str(requirement.specifier), str(requirement.marker)


@pytest.mark.slow
def test_the_wheel_says_what_it_is(wheels):
    found = held(wheels[1])
    folder = f"plexusdraw-{PROJECT['version']}.dist-info"
    said = Metadata.from_email(found[f"{folder}/METADATA"], validate=True)
    assert (said.name, str(said.version), said.license_expression) == (
        "plexusdraw",
        PROJECT["version"],
        "MIT AND OFL-1.1",
    )
    needed = [requirement for requirement in said.requires_dist or [] if "extra" not in str(requirement)]
    assert set(map(spelt, needed)) == {spelt(Requirement(text)) for text in PROJECT["dependencies"]}
    assert said.description == (ROOT / "README.md").read_text("utf-8")
    assert found[f"{folder}/licenses/LICENSE"] == (ROOT / "LICENSE").read_bytes()


@pytest.mark.slow
@pytest.mark.parametrize(
    "words", ["worksheet -o x.pdf", "slides cervical --detail framework -o x.pptx", "page cervical -o x.html", "list"]
)
def test_commands_run_in_an_empty_folder(installed, tmp_path, words):
    said = run(installed / "plexusdraw", *words.split(), cwd=tmp_path)
    assert said.startswith("brachial plexus") if words == "list" else len(list(tmp_path.iterdir())) == 1


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
def test_the_built_in_model_and_the_fonts_are_found(installed, tmp_path):
    assert run(installed / "plexusdraw", "list", "models", cwd=tmp_path).split() == [
        "brachial",
        "cervical",
        "lumbosacral",
    ]
    run(installed / "plexusdraw", "draw", "--detail", "framework", "-o", "x.pdf", cwd=tmp_path)


@pytest.mark.slow
def test_no_command_warns(tmp_path):
    made = [words for words, _ in JOBS.values()]
    whole = [["draw", "--detail", "muscles", "--injure", "C5", "-o", "x.pdf"], ["worksheet", "-o", "y.pdf"]]
    done = in_turn([*TALK, *made, *whole], tmp_path, "-W", "error", "-X", "dev")
    assert done.returncode == 0, done.stderr
    assert [line for line in done.stderr.decode().splitlines() if not line.startswith("wrote ")] == []


def test_runs_as_a_module(tmp_path):
    flags = ("-W", "error", "-X", "dev", "-m", "plexusdraw")
    done = subprocess.run(
        [sys.executable, *flags, "--version"],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        check=True,
    )
    assert (done.stdout, done.stderr) == (f"plexusdraw {PROJECT['version']}\n", "")


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
