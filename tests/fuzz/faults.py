"""Commands stopped at random moments, and rivals for one file: ``python tests/fuzz/faults.py --rounds 300 --seed 1``.

Each round has a number, so that a failure can be repeated: ``--seed NUMBER --rounds 1``. Half of the moments are chosen
from all of a run, half from its last part, in which the files are written. Exit code 1 if any round fails.
"""

from __future__ import annotations

import argparse
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random
from time import perf_counter

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[2])]

from faulty import JOBS, environment, faults, laid, run, stopped  # noqa: E402

SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL)
RIVALS = 8
EVERY = 25
"""Every so many rounds are of rivals."""


@cache
def seconds(job: str) -> float:
    """How long a run takes that nothing stops."""
    with tempfile.TemporaryDirectory() as name:
        start = perf_counter()
        assert run(JOBS[job][0], laid(within(name), job)).returncode == 0
        return perf_counter() - start


def within(name: str) -> Path:
    """A folder in that folder, since a job may write beside its own."""
    (Path(name) / "in").mkdir()
    return Path(name) / "in"


def stop(chance: Random) -> tuple[str, list[str]]:
    """What was done, and what is wrong afterwards."""
    job, number = chance.choice(list(JOBS)), chance.choice(SIGNALS)
    delay = seconds(job) * chance.uniform(*chance.choice(((0.0, 1.0), (0.6, 1.0))))
    with tempfile.TemporaryDirectory() as name:
        folder = laid(within(name), job)
        code, said = stopped(JOBS[job][0], folder, number, delay)
        wrong = faults(folder)
        if number == signal.SIGKILL:  # nothing can be cleaned up then
            wrong = [path for path in wrong if not path.endswith(".part")]
        if code not in (0, -number):
            wrong.append(f"exit code {code}")
        if said and not said.startswith("wrote "):
            wrong.append(said)
    return f"{job} {number.name} after {delay:.3f} s: exit code {code}", wrong


def rival(chance: Random) -> tuple[str, list[str]]:
    """The same for many runs that write the same files at once."""
    job = chance.choice(list(JOBS))
    with tempfile.TemporaryDirectory() as name:
        folder = laid(within(name), job)
        command = [sys.executable, "-m", "plexusdraw", *JOBS[job][0]]
        pipe = subprocess.PIPE
        runs = [subprocess.Popen(command, cwd=folder, env=environment(), stderr=pipe) for _ in range(RIVALS)]
        said = [process.communicate()[1].decode() for process in runs]
        wrong = faults(folder) + [text for text in said if "Traceback" in text]
        wrong += [f"exit code {process.returncode}" for process in runs if process.returncode]
    return f"{job} by {RIVALS} at once", wrong


def main() -> int:
    """Tally of exit codes on stdout; failures as they come."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1, help="number of the first round")
    given = parser.parse_args()
    tally: Counter[str] = Counter()
    failed = 0
    for number in range(given.seed, given.seed + given.rounds):
        what, wrong = (stop if number % EVERY else rival)(Random(number))
        tally[what.partition(": ")[2] or "rivals"] += 1
        if wrong:
            failed += 1
            print(f"round {number}, {what}:", *wrong, sep="\n  ", flush=True)
    print(*(f"{what}: {many}" for what, many in sorted(tally.items())), f"failed: {failed}", sep="\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
