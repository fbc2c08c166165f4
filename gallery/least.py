"""The fewest crossings of the built-in plexuses, as a search beside the layout finds them: ``python gallery/least.py``.

Writes gallery/least.yaml. The search is ``tests/support/annealing.py``, which shares nothing with the layout.
"""

from __future__ import annotations

import sys
from pathlib import Path

from ruamel.yaml import YAML

from plexusdraw import load

HERE = Path(__file__).parent
FILE = HERE / "least.yaml"
MODELS = ("brachial", "lumbosacral", "cervical")
SEEDS, STEPS = 4, 200_000
HEAD = f"""\
# The fewest crossings found by a search that shares nothing with the layout: tests/support/annealing.py, simulated
# annealing with the seeds 0 to {SEEDS - 1}, {STEPS:,} steps each. Side branches count at detail nerves, as drawn; the
# table of detail muscles adds no bundle. It proves no least. Made by python gallery/least.py.
"""


def searched(model: str, *, seeds: int = SEEDS, steps: int = STEPS) -> dict[str, int]:
    """Detail → fewest crossings found."""
    sys.path.insert(0, str(HERE.parent / "tests" / "support"))
    from annealing import fewest, layers  # noqa: PLC0415

    found: dict[str, int] = {}
    for detail in ("framework", "nerves"):
        counts = []
        for seed in range(seeds):
            made = layers(load(model))
            if detail == "framework":
                made.branches.clear()
            counts.append(fewest(made, seed, steps))
        found[detail] = min(counts)
    return found


def kept() -> dict[str, dict[str, int]]:
    """Model → detail → fewest crossings, as recorded."""
    read: dict[str, dict[str, int]] = YAML(typ="safe").load(FILE.read_text(encoding="utf-8"))
    return read


if __name__ == "__main__":
    rows = [f"{model}: {{{', '.join(f'{k}: {v}' for k, v in searched(model).items())}}}" for model in MODELS]
    FILE.write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
