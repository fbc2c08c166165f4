"""Nothing is sent or asked for, nothing runs, and no file is read but those that were named and those of the program.

Python tells of each such act (PEP 578). What typst and the fonts do in compiled code it cannot tell.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
from pathlib import Path
from typing import NamedTuple

import hostile
import pytest
from randoms import MODELS

import plexusdraw

ROOT = Path(plexusdraw.__file__).parents[1]
WATCHED = """
import json, os, sys
from plexusdraw.cli.main import run

seen = {"read": [], "wrote": [], "acts": []}
ACTS = ("socket.", "subprocess.", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.fork", "os.startfile",
        "urllib.", "http.", "ftplib.", "smtplib.", "imaplib.", "poplib.", "webbrowser.", "pty.", "pickle.")

def hook(event, args):
    if event == "open" and not isinstance(args[0], int):
        writes = args[2] & (os.O_WRONLY | os.O_RDWR)
        seen["wrote" if writes else "read"].append(os.path.abspath(os.fsdecode(args[0])))
    elif event.startswith(ACTS):
        seen["acts"].append(f"{event} {args!r}"[:200])
    elif event == "compile" and "window.run" in str(args[0]):
        seen["acts"].append("a name is compiled")

sys.addaudithook(hook)
try:
    run()
finally:
    sys.stderr.write("\\n" + json.dumps(seen))
"""
NEEDED = (
    *sysconfig.get_paths().values(),
    sys.base_prefix,
    sys.prefix,
    ROOT / "plexusdraw",
    ROOT / "themes",
    "/dev/null",
)
"""Where a program in Python reads of its own: its installation, the packages, this package."""


class Seen(NamedTuple):
    """What a command did: files outside of the program that it read, files that it wrote, all else."""

    read: set[str]
    wrote: set[str]
    acts: list[str]


def seen(folder: Path, *words: str) -> Seen:
    """What a command does in a folder, where names of files are without a path."""
    done = subprocess.run(
        [sys.executable, "-B", "-c", WATCHED, *words], capture_output=True, text=True, cwd=folder, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    told = json.loads(done.stderr.splitlines()[-1])
    assert done.returncode == 0, done.stderr
    needed = tuple(str(Path(place).resolve()) for place in NEEDED) + tuple(map(str, NEEDED))
    read = {str(Path(p).relative_to(folder)) if Path(p).is_relative_to(folder) else p for p in told["read"]}
    return Seen({p for p in read if not p.startswith(needed)}, {Path(p).name for p in told["wrote"]}, told["acts"])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a file of each kind whose names point to other files, and such other files."""
    made = tmp_path_factory.mktemp("quiet").resolve()
    hostile.model(made, hostile.NAMES)
    hostile.theme(made)
    hostile.outline(made)
    hostile.labels(made)
    (made / "two.yaml").write_bytes((MODELS / "two-stages.yaml").read_bytes())
    (made / "course.yaml").write_text("course: 1\nname: model.yaml\nbased-on: two.yaml\nworksheet: {ask: nerves}\n")
    return made


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("draw model.yaml --paper fit --theme theme.yaml -o a.svg", {"model.yaml", "theme.yaml"}),
        ("draw model.yaml --paper fit --detail muscles -o a.pdf", {"model.yaml"}),
        ("draw model.yaml --paper fit -o a.png", {"model.yaml"}),
        ("draw model.yaml --paper fit -o a.dot", {"model.yaml"}),
        ("draw two.yaml --names labels.yaml --title model.yaml -o a.svg", {"two.yaml", "labels.yaml"}),
        ("slides two.yaml --outline outline.yaml -o a.pptx", {"two.yaml", "outline.yaml"}),
        ("slides two.yaml --outline outline.yaml --handout 2 -o a.pdf", {"two.yaml", "outline.yaml"}),
        ("page two.yaml -o a.html", {"two.yaml"}),
        ("worksheet course.yaml -o a.pdf --export a.csv", {"two.yaml", "course.yaml"}),
        ("injure model.yaml nerve-0 --why", {"model.yaml"}),
        ("trace model.yaml nerve-18", {"model.yaml"}),
        ("localise model.yaml --weak muscle-0 --json", {"model.yaml"}),
        ("compare model.yaml two.yaml", {"model.yaml", "two.yaml"}),
        ("check model.yaml", {"model.yaml"}),
        ("list model.yaml muscles", {"model.yaml"}),
    ],
)
def test_only_what_is_named_is_read_and_nothing_else_is_done(folder, words, named):
    did = seen(folder, *words.split())
    assert did.acts == []
    assert did.read - {"."} == named, "a folder is opened to bring the name of a new file to the disk"
    assert {name for name in did.wrote if not name.startswith(".plexusdraw-")} <= {"null"}


def test_the_watch_sees_what_it_looks_for(folder):
    """A theme that is based on another file in its folder names it, so that is read."""
    (folder / "own.yaml").write_text("theme: 1\nbased-on: theme.yaml\n")
    did = seen(folder, "draw", "two.yaml", "--theme", "own.yaml", "-o", "a.svg")
    assert did.read - {"."} == {"two.yaml", "own.yaml", "theme.yaml"}
    code = WATCHED.replace(
        "    run()\n", "    import socket; socket.socket(); os.system('true'); compile('window.run', 'x', 'eval')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert len(json.loads(done.stderr.splitlines()[-1])["acts"]) == 3
