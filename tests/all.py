"""Passes all tests, from a fresh clone: makes .venv, installs the package with its tests and the programs that they
call, then lint, format, types, tests. What follows the name goes to pytest; --oldest takes the oldest libraries.

    python3 tests/all.py
"""

import os
import shutil
import subprocess
import sys

import ready
from ready import PYTHON, ROOT, install, works

PROGRAMS = {
    "dot": (["graphviz"], ["graphviz"]),
    "qpdf": (["qpdf"], ["qpdf"]),
    "pdftotext": (["poppler-utils"], ["poppler"]),
}
"""Program that a test calls → the packages that bring it."""
BROWSER = ("chromium", "chromedriver")


def places():
    """Whether Graphviz keeps nodes where they are told to stand."""
    return works("neato", "-Tplain", input=b"graph {}")


def fetch():
    """Install the programs that tests call, and name those that are still missing."""
    lacking = [name for name in PROGRAMS if not shutil.which(name)]
    if lacking:
        install(*([package for name in lacking for package in PROGRAMS[name][i]] for i in (0, 1)))
    if not places():  # newer than Debian 13: a package of its own
        install(["graphviz-tools"], ["graphviz"])
    if not all(map(shutil.which, BROWSER)):
        install(["chromium", "chromium-driver"], ["--cask", "chromium", "chromedriver"])
    gone = [name for name in (*PROGRAMS, *BROWSER) if not shutil.which(name)]
    if gone:
        print("Missing: {}. Tests that call them are skipped.".format(", ".join(gone)), file=sys.stderr)


def run(*command):
    """Run a module of .venv in the clone; ends the program if it finds anything."""
    env = dict(os.environ, PATH=str(ready.PROGRAMS) + os.pathsep + os.environ.get("PATH", ""))
    done = subprocess.run([str(PYTHON), "-m", *command], cwd=str(ROOT), env=env, check=False)
    if done.returncode:
        sys.exit(done.returncode)


def main():
    """The second command of the README."""
    rest = sys.argv[1:]
    oldest = "--oldest" in rest
    ready.make()
    fetch()
    ready.pip(*(["-c", "tests/constraints-oldest.txt"] if oldest else []), "-e", ".[test]")
    run("ruff", "check", "--quiet", ".")
    run("ruff", "format", "--check", "--quiet", ".")
    if not oldest:  # older libraries declare other types
        run("mypy", "--no-error-summary")
        run("mypy", "--no-error-summary", *(str(path) for path in sorted((ROOT / "gallery").glob("*.py"))))
    # One process more than two cores: many tests wait for a program. What the tests of a file share is made once.
    run("pytest", "-n", "3", "--dist", "loadfile", *(word for word in rest if word != "--oldest"))


if __name__ == "__main__":
    main()
