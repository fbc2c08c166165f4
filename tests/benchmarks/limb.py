"""Every muscle injured, on the limb and on the plexus: ``python tests/benchmarks/limb.py``.

Aim: a limb takes at most 1.5 times as long as its plexus. Processor time of whole commands, the least of some rounds
taken in turn, for each built-in model that has a chart.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from plexusdraw.model import load

MODELS = ("brachial", "lumbosacral", "cervical")
ROUNDS = 5
WAYS = (("plexus", ()), ("limb, a4", ("--limb", "muscles")), ("limb, a3", ("--limb", "muscles", "--paper", "a3")))
AIM = 1.5


def main() -> None:
    """Print the figures as a table."""
    print("\n".join(table()))


def table() -> Iterator[str]:
    """A line for each model."""
    yield f"| seconds, least of {ROUNDS} | {' | '.join(name for name, _ in WAYS)} | ratio of a3 |"
    yield "|---|" + "--:|" * (len(WAYS) + 1)
    with TemporaryDirectory() as folder:
        for model in MODELS:
            cuts = [word for root in load(model).roots for word in ("--injure", root)]
            rounds = [[spent(folder, (model, *words, *cuts)) for _, words in WAYS] for _ in range(ROUNDS)]
            least = [min(times) for times in zip(*rounds, strict=True)]
            ratio = least[-1] / least[0]
            mark = "" if ratio <= AIM else " !"
            yield f"| {model} | {' | '.join(f'{t:.2f}' for t in least)} | {ratio:.2f}{mark} |"


def spent(folder: str, words: Sequence[str]) -> float:
    """Seconds of processor time of one command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "plexusdraw", "draw", *words, "-o", str(Path(folder) / "x.svg")]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


if __name__ == "__main__":
    main()
