"""Makes the environment .venv and installs plexusdraw into it; what follows the name is then given to plexusdraw.

    python3 tests/ready.py draw -o plexus.svg

Takes the first Python from 3.11 on that there is. On Debian and Ubuntu it installs what a bare system lacks for it,
with apt-get, as root or with sudo; on macOS a missing Python, with brew; elsewhere it says what is missing. Needs the
standard library alone, and an old Python reads it too, to look for a newer one.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PROGRAMS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = PROGRAMS / ("python.exe" if os.name == "nt" else "python")
LEAST = (3, 11)
NEWEST = 14
QUIET = ["--quiet", "--disable-pip-version-check"]


def works(*command, **how):
    """Whether a command is there and ends well; what it says goes nowhere."""
    try:
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        return subprocess.run([str(word) for word in command], check=False, **quiet, **how).returncode == 0
    except OSError:
        return False


def install(apt, brew):
    """Ask the system's package manager for packages, by the names that it has for them; whether they came."""
    if shutil.which("apt-get"):
        print("Installing {} ...".format(" ".join(apt)), file=sys.stderr)
        root = [] if os.geteuid() == 0 else ["sudo"]
        fetch = [*root, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "install", "-y", "-qq"]
        return works(*root, "apt-get", "update", "-qq", stdin=subprocess.DEVNULL) and works(
            *fetch, "--no-install-recommends", *apt, stdin=subprocess.DEVNULL
        )
    if shutil.which("brew") and brew:
        print("Installing {} ...".format(" ".join(brew)), file=sys.stderr)
        return works("brew", "install", "--quiet", *brew, stdin=subprocess.DEVNULL)
    return False


def pythons():
    """Commands that may be a Python, likeliest first: this one, then those that the system has by their names."""
    yield [sys.executable]
    for minor in range(NEWEST, LEAST[1] - 1, -1):
        yield ["py", f"-3.{minor}"] if os.name == "nt" else [f"python3.{minor}"]
    yield ["python3"]


def fitting():
    """The first Python that is new enough; none if there is none."""
    check = f"import sys; sys.exit(sys.version_info < {LEAST!r})"
    return next((command for command in pythons() if works(*command, "-c", check)), None)


def make():
    """Make .venv where there is none that works.

    Ends the program if no Python is new enough, or if its part for environments cannot be had.
    """
    if works(PYTHON, "-m", "pip", "--version"):
        return
    python = fitting()
    if python is None:
        install(["python3", "python3-venv"], ["python@3.13"])
        python = fitting()
    if python is None:
        sys.exit("Python {}.{} or later is needed. Install it, then try again.".format(*LEAST))
    if works(*python, "-m", "venv", VENV):
        return
    shutil.rmtree(str(VENV), ignore_errors=True)
    # Debian and Ubuntu keep this part of Python in a package of its own.
    ask = "import sys; print('python%d.%d' % sys.version_info[:2])"
    name = subprocess.run([*python, "-c", ask], stdout=subprocess.PIPE, check=True).stdout.decode().strip()
    install([name + "-venv"], [])
    if not works(*python, "-m", "venv", VENV):
        sys.exit(f"{name} cannot make an environment: its module venv is missing. Install it, then try again.")


def pip(*what):
    """Install into .venv; ends the program with pip's words if that fails."""
    done = subprocess.run([str(PYTHON), "-m", "pip", "install", *QUIET, *what], cwd=str(ROOT), check=False)
    if done.returncode:
        sys.exit("What plexusdraw needs could not be installed; pip says why above.")


def main():
    """The first command of the README."""
    make()
    pip(".")
    if sys.argv[1:]:
        sys.exit(subprocess.run([str(PYTHON), "-m", "plexusdraw", *sys.argv[1:]], check=False).returncode)


if __name__ == "__main__":
    main()
