"""How fast and how large class sets are: ``python tests/benchmarks/worksheets.py [FORMS]``.

Runs the command as a user does, with keys: a quarter of the set and the whole set (memory must stay flat), and the
whole set with one form compiled at a time (a folder). Prints forms a second and the largest resident memory.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

COMMAND = "import sys; from plexusdraw.cli.worksheet import command; command(sys.argv[1:], standalone_mode=False)"
MEASURE = (
    "import resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True); "
    "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
)


def run(*words: str) -> tuple[float, float]:
    """Seconds and megabytes that one command takes."""
    start = time.perf_counter()
    made = subprocess.run(
        [sys.executable, "-c", MEASURE, sys.executable, "-c", COMMAND, *words],
        capture_output=True,
        text=True,
        check=True,
    )
    unit = 1024 * 1024 if sys.platform == "darwin" else 1024  # bytes there, kilobytes elsewhere
    return time.perf_counter() - start, int(made.stdout.split()[-1]) / unit


def main(forms: int) -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        for name, count, target in (
            ("a quarter of the set", forms // 4, "quarter.pdf"),
            ("the whole set", forms, "whole.pdf"),
            ("one form at a time", forms, "folder"),
        ):
            seconds, megabytes = run("-o", str(place / target), "--forms", str(count), "--key", "after")
            print(f"{name:22} {count:4} forms {seconds:7.1f} s {count / seconds:6.2f} forms/s {megabytes:6.0f} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
