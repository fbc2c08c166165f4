"""The two scripts that make a clone ready: which Python they take, what they install, what they say without."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest
import ready

SCRIPTS = [Path(__file__).parent / name for name in ("ready.py", "all.py")]
OLD = (3, 7)
"""A Python that is too old to run the package reads the scripts all the same, and says so."""


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_an_old_python_reads_it_and_it_needs_the_standard_library_alone(script):
    tree = ast.parse(script.read_text("utf-8"), feature_version=OLD)
    modules = {node.names[0].name for node in ast.walk(tree) if isinstance(node, ast.Import)}
    modules |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {module.split(".")[0] for module in modules} <= {*sys.stdlib_module_names, "ready"}


@pytest.fixture
def system(monkeypatch):
    """A system on which every command is written down, and those that *broken* names fail."""
    said, broken = [], set()

    def works(*command, **_):
        said.append([str(word) for word in command])
        return not any(word in broken for word in said[-1])

    monkeypatch.setattr(ready, "works", works)
    return said, broken


def test_the_first_python_that_is_new_enough_is_taken(system):
    _, broken = system
    assert ready.fitting() == [sys.executable]
    broken.update((sys.executable, "python3.14", "python3.13"))
    assert ready.fitting() == ["python3.12"]
    broken.update(command[0] for command in ready.pythons())
    assert ready.fitting() is None


def test_on_windows_the_launcher_is_asked(monkeypatch):
    monkeypatch.setattr(ready.os, "name", "nt")
    assert ["py", "-3.11"] in list(ready.pythons())


@pytest.mark.parametrize(("root", "first"), [(0, "apt-get"), (1000, "sudo")])
@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="this system has no root")
def test_packages_come_from_apt(system, monkeypatch, root, first):
    monkeypatch.setattr(ready.shutil, "which", lambda name: name if name == "apt-get" else None)
    monkeypatch.setattr(ready.os, "geteuid", lambda: root)
    assert ready.install(["qpdf"], ["qpdf"])
    said, _ = system
    assert said[0][0] == first
    assert said[-1][-1] == "qpdf"


def test_packages_come_from_brew(system, monkeypatch):
    monkeypatch.setattr(ready.shutil, "which", lambda name: name if name == "brew" else None)
    assert ready.install(["poppler-utils"], ["poppler"])
    assert system[0] == [["brew", "install", "--quiet", "poppler"]]


def test_without_a_package_manager_nothing_is_installed(system, monkeypatch):
    monkeypatch.setattr(ready.shutil, "which", lambda name: None)
    assert not ready.install(["qpdf"], ["qpdf"])
    assert system[0] == []


def test_without_a_python_it_says_what_to_install(system, monkeypatch):
    _, broken = system
    monkeypatch.setattr(ready.shutil, "which", lambda name: None)
    broken.update(("-c", "pip"))
    with pytest.raises(SystemExit, match=r"Python 3\.11 or later is needed"):
        ready.make()


def test_it_says_that_pip_failed(monkeypatch):
    monkeypatch.setattr(ready.subprocess, "run", lambda *_, **__: subprocess.CompletedProcess((), 1))
    with pytest.raises(SystemExit, match="could not be installed"):
        ready.pip(".")


HIDE = """
import importlib.abc, os, sys

class Hidden(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name in {"fcntl", "resource", "pwd", "grp", "termios", "posix_ipc"}:
            raise ImportError(name + " is not on this system")

for name in ("fcntl", "resource", "pwd", "grp", "termios"):
    sys.modules.pop(name, None)
sys.meta_path.insert(0, Hidden())
for name in ("fork", "geteuid", "getuid", "fchmod", "fchown", "chown", "register_at_fork", "mkfifo", "umask"):
    if hasattr(os, name):
        delattr(os, name)
import signal
for name in ("SIGHUP", "SIGALRM", "SIGPIPE", "SIGKILL"):
    if hasattr(signal, name):
        delattr(signal, name)
from plexusdraw.__main__ import run
run()
"""


@pytest.mark.parametrize(
    "words",
    [
        ("draw", "-o", "a.svg"),
        ("draw", "-o", "a.pdf"),
        ("worksheet", "-o", "a.pdf", "--forms", "2", "--key"),
        ("injure", "upper trunk", "-o", "a.pdf"),
    ],
    ids=" ".join,
)
def test_every_output_is_made_where_the_calls_of_posix_are_missing(words, tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", HIDE, *words], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / words[words.index("-o") + 1]).stat().st_size > 1000
