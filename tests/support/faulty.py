"""Commands run while something goes wrong, and what may be on the disk afterwards."""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
import time
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from xml.etree import ElementTree

from pypdf import PdfReader
from randoms import MODELS

ROOT = Path(__file__).parents[2]
MODEL = str(MODELS / "two-stages.yaml")
OLD = b"old"


def batch(many: int, to: str) -> list[str]:
    """The words that make so many forms, and a grid of their answers."""
    return ["worksheet", MODEL, "--kind", "table", "--same", "--forms", str(many), "--key", "grid", "-o", to]


JOBS: dict[str, tuple[list[str], list[str]]] = {
    "svg": (["draw", MODEL, "--detail", "framework", "-o", "x.svg"], ["x.svg"]),
    "pdf": (["draw", MODEL, "--detail", "framework", "-o", "x.pdf"], ["x.pdf"]),
    "png": (["draw", MODEL, "--detail", "framework", "-o", "x.png"], ["x.png"]),
    "key": (["draw", MODEL, "--hide", "labels", "--key", "-o", "x.svg"], ["x.svg", "x-key.svg"]),
    "pptx": (["slides", MODEL, "--detail", "framework", "-o", "x.pptx"], ["x.pptx"]),
    "handout": (["slides", MODEL, "--detail", "framework", "--handout", "3", "-o", "x.pdf"], ["x.pdf"]),
    "pictures": (["slides", MODEL, "--detail", "framework", "-o", "x"], ["x/02-roots.svg", "x/03-nerves.svg"]),
    "html": (["page", MODEL, "-o", "x.html"], ["x.html"]),
    "forms": (batch(4, "set"), ["set/grid.pdf"]),
    "grid": (batch(40, "x.pdf"), ["x.pdf", "x-grid.pdf"]),
    "csv": (["worksheet", MODEL, "--kind", "table", "-o", "../form.pdf", "--export", "x.csv"], ["x.csv"]),
}
"""What is made → the command, and some of the files that it writes."""
TALK: list[list[str]] = [
    *([name, "--help"] for name in ("draw", "worksheet", "slides", "page", "localise", "list")),
    *(["list"], ["list", "muscles"], ["list", "sources"], ["list", "themes"], ["list", "places", "--json"]),
    *(["check", MODEL], ["check", "--schema"], ["trace", "C7"], ["injure", "ulnar nerve at elbow", "--why"]),
    *(["localise", "--weak", "deltoid", "--weak", "biceps"], ["compare", "C5", "ulnar nerve"]),
]
"""Commands that write to standard output only."""
LOADING = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a job in the background ignores it
    "from plexusdraw.cli import stop; stop.at_once(); print('loading', flush=True)\n"
)
STOPPED = (
    "import os, sys\n"
    "left = {calls}\n"
    "def count(frame, event, argument):\n"
    "    global left\n"
    "    left -= 1\n"
    "    if not left: os.kill(os.getpid(), {number})\n"
    "sys.setprofile(count)\n"
)
PROGRAM = "from plexusdraw.__main__ import run; run()"
KILLED = (
    "import os, signal; from plexusdraw import output\n"
    "class Os:\n"
    "    left = {file}\n"
    "    def __getattr__(self, name): return getattr(os, name)\n"
    "    def fsync(self, handle):\n"
    "        self.left -= 1\n"
    "        if not self.left: os.kill(os.getpid(), signal.SIGKILL)\n"
    "        os.fsync(handle)\n"
    "output.os = Os()\n"
)


def environment(**changes: str) -> dict[str, str]:
    """That of this process, with the package, and buffers as on any machine."""
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    return kept | {"PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"} | changes


def run(words: list[str], cwd: Path, shell: str = 'exec "$@"', **env: str) -> subprocess.CompletedProcess[str]:
    """The command as a user runs it, by a line of the shell in which it is ``"$@"``."""
    command = ["sh", "-c", shell, "sh", sys.executable, "-m", "plexusdraw", *words]
    return subprocess.run(
        command, cwd=cwd, env=environment(**env), capture_output=True, text=True, errors="replace", check=False
    )


def in_turn(commands: Iterable[list[str]], cwd: Path, *flags: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Many commands in one process, which ends at the first that fails; *flags* are for Python."""
    code = (
        "import sys; from plexusdraw.__main__ import run\n"
        "for line in sys.argv[1:]:\n"
        "    sys.argv[1:] = line.split('|')\n"
        "    try: run()\n"
        "    except SystemExit as end: assert not end.code, line"
    )
    command = [sys.executable, *flags, "-c", code, *map("|".join, commands)]
    return subprocess.run(command, cwd=cwd, env=environment(**env), capture_output=True, check=False)


def laid(folder: Path, job: str) -> Path:
    """The folder with an old file wherever the job will write."""
    for name in JOBS[job][1]:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(OLD)
    return folder


def is_whole(path: Path) -> bool:
    """Whether a file can be read to its end; an old one is as it was."""
    data = path.read_bytes()
    if data == OLD:
        return True
    match path.suffix:
        case ".svg":
            return len(ElementTree.fromstring(data)) > 2
        case ".pdf":
            return len(PdfReader(path).pages) > 0 and data.rstrip().endswith(b"%%EOF")
        case ".png":
            return data.startswith(b"\x89PNG") and data.endswith(b"IEND\xaeB`\x82")
        case ".pptx":
            return zipfile.ZipFile(path).testzip() is None
        case ".html":
            return data.rstrip().endswith(b"</html>")
        case ".csv":
            return len({len(row) for row in csv.reader(data.decode().splitlines())}) == 1
    return False


def faults(folder: Path) -> list[str]:
    """Files that are neither old nor whole, and what should not be there at all."""
    found = [path for path in sorted(folder.rglob("*")) if path.is_file() and path.name != "ballast.txt"]
    return [str(path) for path in found if not is_whole(path)]


@contextmanager
def full(folder: Path, job: str, room: int) -> Iterator[str]:
    """While this lasts, *room* bytes are left beside the old files; yields the line of the shell to run a command by.

    That is a small disk of its own, where one may be mounted; elsewhere a process that may not write to any file.
    """
    disk = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)]
    if os.geteuid() or not shutil.which("mount") or subprocess.run(disk, capture_output=True, check=False).returncode:
        laid(folder, job)
        yield 'ulimit -f 0; exec "$@"'
        return
    try:
        laid(folder, job)
        free = os.statvfs(folder).f_bavail * os.statvfs(folder).f_frsize
        (folder / "ballast.txt").write_bytes(bytes(free - room))
        yield 'exec "$@"'
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def stopped(words: list[str], cwd: Path, number: int, delay: float) -> tuple[int, str]:
    """Exit code and messages of a command that gets a signal *delay* seconds after it begins to load."""
    command = [sys.executable, "-c", LOADING + PROGRAM, *words]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=cwd, env=environment(), stdout=pipe, stderr=pipe, text=True) as process:
        assert process.stdout
        process.stdout.readline()
        time.sleep(delay)
        process.send_signal(number)
        _, said = process.communicate(timeout=120)
        return process.returncode, said


def stopped_at(words: list[str], cwd: Path, number: int, calls: int) -> tuple[int, str]:
    """Exit code and messages of a command that gets a signal at so many calls and returns of functions."""
    code = LOADING + STOPPED.format(calls=calls, number=int(number)) + PROGRAM
    command = [sys.executable, "-c", code, *words]
    done = subprocess.run(command, cwd=cwd, env=environment(), capture_output=True, text=True, check=False)
    return done.returncode, done.stderr


def killed(words: list[str], cwd: Path, file: int) -> int:
    """Exit code of a command that is killed when it has written the file of this number, before that is laid down."""
    command = [sys.executable, "-c", KILLED.format(file=file) + PROGRAM, *words]
    return subprocess.run(command, cwd=cwd, env=environment(), capture_output=True, check=False).returncode
