"""How long a picture takes, beside what anyone would use today: ``python tests/benchmarks/draw.py``.

All rows of a table are timed in one run, in turn, as whole processes (median of five); ratios are to the floor. The
second table is the layout alone for random staged models, in this process, with the exponent of its growth.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from math import log
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

import staged

import plexusdraw
from plexusdraw.fibres import of
from plexusdraw.layout.fit import Options, layout
from plexusdraw.layout.paper import paper
from plexusdraw.layout.plan import Detail
from plexusdraw.model import Plexus

RUNS = 5
SIZES = (10, 30, 100, 300, 1000)
PY = sys.executable
MAIN = "from plexusdraw.cli.main import run; run()"


def seconds(command: list[str]) -> float:
    """Wall time of one whole process."""
    start = perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return perf_counter() - start


def commands(folder: Path) -> dict[str, list[str]]:
    """What is compared; the first is the floor of all that draw."""
    graph = folder / "plexus.dot"
    subprocess.run([PY, "-c", MAIN, "draw", "-o", str(graph)], check=True, capture_output=True)
    empty = "import typst; typst.compile(b'#set page(width: 297mm, height: 210mm)', format='pdf')"
    draw = [PY, "-c", MAIN, "draw", "-o"]
    return {
        "import networkx, svgwrite, ruamel.yaml": [PY, "-c", "import networkx, svgwrite; from ruamel.yaml import YAML"],
        "draw -o x.svg": [*draw, str(folder / "x.svg")],
        "draw --detail muscles -o x.svg": [*draw, str(folder / "x.svg"), "--detail", "muscles"],
        "draw -o x.pdf": [*draw, str(folder / "x.pdf")],
        "an empty page of that size by the typesetter": [PY, "-c", empty],
        "dot -Tsvg of the same graph": ["dot", "-Tsvg", str(graph), "-o", str(folder / "y.svg")],
        "import click": [PY, "-c", "import click"],
        "plexusdraw --help": [PY, "-c", MAIN, "--help"],
    }


def whole_commands() -> list[str]:
    """The first table, as lines."""
    with tempfile.TemporaryDirectory() as name:
        chosen = commands(Path(name))
        times: dict[str, list[float]] = {label: [] for label in chosen}
        for _ in range(RUNS):
            for label, command in chosen.items():
                times[label].append(seconds(command))
    floor = median(next(iter(times.values())))
    rows = ["| command | s | × floor |", "|---|--:|--:|"]
    return rows + [f"| {label} | {median(t):.2f} | {median(t) / floor:.2f} |" for label, t in times.items()]


def growth() -> list[str]:
    """The second table, as lines."""
    rows = ["| segments | framework, s | nerves, s |", "|--:|--:|--:|"]
    found: list[tuple[int, float, float]] = []
    with tempfile.TemporaryDirectory() as name:
        for size in SIZES:
            path = Path(name) / f"{size}.yaml"
            width = max(1, size // 6)
            path.write_text(staged.model(size, roots=max(2, width), stages=6, width=width, branches=size // 8))
            plexus = plexusdraw.load(path)
            taken = [layout_time(plexus, detail) for detail in ("framework", "nerves")]
            found.append((len(plexus.segments), *taken))
            rows.append(f"| {found[-1][0]} | {taken[0]:.2f} | {taken[1]:.2f} |")
    (n0, a0, b0), (n1, a1, b1) = found[2], found[-1]
    exponents = [log(a1 / a0) / log(n1 / n0), log(b1 / b0) / log(n1 / n0)]
    return [*rows, f"\nExponent from {n0} segments up: framework {exponents[0]:.2f}, nerves {exponents[1]:.2f}"]


def layout_time(plexus: Plexus, detail: Detail) -> float:
    """Processor time of one layout."""
    start = process_time()
    layout(plexus, of(plexus), Options(detail, paper("fit")))
    return process_time() - start


if __name__ == "__main__":
    print("\n".join(whole_commands()), "\n", "\n".join(growth()), sep="\n")
