"""How time and memory grow with a model: random staged models, every step alone, with the fitted exponent.

Localising looks through all pairs of sites for what two random places do; a page is built as far as one holds the
model. Processor seconds in a process of its own for
each size, so that its peak of memory is its own. The exponent is the slope of the least-squares line through the
logarithms of the larger half of the sizes.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from math import log
from pathlib import Path
from random import Random
from statistics import fmean
from time import process_time
from typing import TypeVar

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests" / "support"), str(ROOT)]

import staged
from localise import examination

import plexusdraw
from plexusdraw.clinic.localise import localise, places
from plexusdraw.errors import FitError
from plexusdraw.layout.columns import plan
from plexusdraw.layout.fit import Options, layout
from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import load as load_theme
from plexusdraw.page import build
from plexusdraw.paint import paint
from plexusdraw.routes.fibres import of
from plexusdraw.scene.view import View

plan.MOST_SEGMENTS = plan.MOST_TARGETS = 10_000  # beyond what commands take
SIZES = (10, 20, 40, 80, 150, 300, 1000, 2000)
T = TypeVar("T")
STEPS = ("load", "routes", "framework", "nerves", "svg", "pdf", "places", "localise", "page")
UNIT = 1024 * 1024 if sys.platform == "darwin" else 1024


def model(folder: Path, size: int) -> Path:
    """A random model of about this many segments, in six stages."""
    width = max(1, size // 6)
    path = folder / f"{size}.yaml"
    path.write_text(staged.model(size, roots=max(2, width), stages=6, width=width, branches=size // 8), "utf-8")
    return path


def measured(path: str) -> dict[str, float]:
    """Seconds of every step for one model, its number of segments, and the peak of memory in MB."""
    times: dict[str, float] = {}

    def timed(step: str, work: Callable[[], T]) -> T:
        start = process_time()
        made = work()
        times[step] = process_time() - start
        return made

    plexusdraw.load(ROOT / "gallery" / "example-plexus.yaml")  # so that the reader is imported
    plexus = timed("load", lambda: plexusdraw.load(path))
    fibres = of(plexus)
    timed("routes", lambda: fibres.routes)
    page = paper("fit")
    timed("framework", lambda: layout(plexus, fibres, Options("framework", page)))
    (scene,) = timed("nerves", lambda: layout(plexus, fibres, Options("nerves", page)))
    theme = load_theme("print")
    for format in ("svg", "pdf"):
        timed(format, lambda format=format: paint(format, [(scene, View(asks=False))], theme))
    timed("places", lambda: places(plexus).all)
    findings = examination(plexus, Random(1))
    timed("localise", lambda: localise(plexus, findings))
    with suppress(FitError):
        timed("page", lambda: build(plexus))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / UNIT
    return {"segments": len(plexus.segments), **times, "MB": peak}


def table(sizes: Sequence[int] = SIZES) -> list[str]:
    """The table as lines: one row a size, then the exponents."""
    found: list[dict[str, float]] = []
    with tempfile.TemporaryDirectory() as name:
        for size in sizes:
            command = [sys.executable, __file__, str(model(Path(name), size))]
            made = subprocess.run(command, check=True, capture_output=True, text=True)
            found.append(json.loads(made.stdout))
    columns = (*STEPS, "MB")
    lines = [f"| segments | {' | '.join(columns)} |", "|--:" * (len(columns) + 1) + "|"]
    for row in found:
        numbers = [f"{row[step]:.2f}" if step in row else "" for step in STEPS] + [f"{row['MB']:.0f}"]
        lines.append(f"| {row['segments']:.0f} | {' | '.join(numbers)} |")
    powers = []
    for step in columns:
        points = [(row["segments"], row[step]) for row in found if step in row]
        powers.append(exponent(points[len(points) // 2 :]))
    return [*lines, f"| growth n^ | {' | '.join(f'{power:.1f}' for power in powers)} |"]


def exponent(points: Sequence[tuple[float, float]]) -> float:
    """Slope of the straight line through the logarithms."""
    xs, ys = [log(x) for x, _ in points], [log(max(y, 1e-4)) for _, y in points]
    x0, y0 = fmean(xs), fmean(ys)
    return sum((x - x0) * (y - y0) for x, y in zip(xs, ys, strict=True)) / sum((x - x0) ** 2 for x in xs)


if __name__ == "__main__":
    print(json.dumps(measured(sys.argv[1])))
