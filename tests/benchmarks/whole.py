"""How long whole commands take, beside what they rest on and what else would draw the graph.

All rows are whole processes, run in turn, so that a slow moment of the machine falls on all of them; long ones run
once. Seconds are medians of processor time, user and system, which other work on the machine lengthens less than the
clock's; the ratio is the median of those within each round, to the row that is named. The imports are a fixed
yardstick: what a program for drawing graphs rests on, whether or not ours still loads it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from shutil import which
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

import plexusdraw

ROUNDS = 7
PY = sys.executable
MAIN = "from plexusdraw.cli.main import run; run()"
IMPORTS = "import networkx, svgwrite, ruamel.yaml"
CLICK = "import click"
EMPTY = "an empty A4 page by the typesetter"
UNIT = 1024 * 1024 if sys.platform == "darwin" else 1024
"""What the system counts resident memory in, to MB."""
MATPLOTLIB = """
import json, sys
import matplotlib; matplotlib.use("Agg")
import matplotlib.pyplot as plt, networkx as nx
layers, edges = json.load(open(sys.argv[1]))
graph = nx.DiGraph(edges)
nx.set_node_attributes(graph, layers, "subset")
plt.figure(figsize=(11.7, 8.3))
nx.draw_networkx(graph, nx.multipartite_layout(graph), node_size=60, font_size=6)
plt.savefig(sys.argv[2])
"""


@dataclass
class Row:
    """One command, the row that it is compared with, and what it took each time."""

    label: str
    command: Sequence[str]
    floor: str = IMPORTS
    once: bool = False
    seconds: list[float] = field(default_factory=list)
    megabytes: float = 0.0

    def run(self) -> None:
        """Run it once more, as an installed program runs: with its bytecode stored."""
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        child = subprocess.Popen(self.command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=kept)
        _, status, usage = os.wait4(child.pid, 0)
        self.seconds.append(usage.ru_utime + usage.ru_stime)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            raise subprocess.CalledProcessError(child.returncode, self.command)
        self.megabytes = max(self.megabytes, usage.ru_maxrss / UNIT)


def graph_file(folder: Path) -> Path:
    """The graph of the built-in plexus as JSON: layer of each node, edges."""
    plexus = plexusdraw.load("brachial")
    layers = {stage.id: i for i, stage in enumerate(plexus.stages)}
    nodes = {s.id: layers.get(s.stage or "", len(layers)) for s in plexus.segments.values()}
    edges = [(parent, s.id) for s in plexus.segments.values() for parent in s.parents]
    path = folder / "graph.json"
    path.write_text(json.dumps([nodes, edges]), encoding="utf-8")
    return path


def rows(folder: Path) -> list[Row]:
    """Everything that is timed; floors first."""
    ours = [PY, "-c", MAIN]
    empty = "import typst; typst.compile(b'#set page(width: 297mm, height: 210mm)', format='pdf')"
    found = [
        Row(IMPORTS, [PY, "-c", "import networkx, svgwrite; from ruamel.yaml import YAML"]),
        Row(CLICK, [PY, "-c", CLICK], CLICK),
        Row(EMPTY, [PY, "-c", empty], EMPTY),
        Row("plexusdraw --help", [*ours, "--help"], CLICK),
        Row("plexusdraw --version", [*ours, "--version"], CLICK),
        Row("draw -o x.svg", [*ours, "draw", "-o", str(folder / "x.svg")]),
        Row("draw --detail muscles -o x.svg", [*ours, "draw", "--detail", "muscles", "-o", str(folder / "m.svg")]),
        Row("draw -o x.pdf", [*ours, "draw", "-o", str(folder / "x.pdf")]),
        Row("injure", [*ours, "injure", "radial nerve at spiral groove"]),
        Row("localise", [*ours, "localise", "--paralysed", "deltoid", "--spared", "rhomboids"]),
    ]
    dot = folder / "graph.dot"
    subprocess.run([*ours, "draw", "-o", str(dot)], check=True, capture_output=True)
    if which("dot"):
        found.append(Row("dot -Tsvg of the same graph", ["dot", "-Tsvg", str(dot), "-o", str(folder / "y.svg")]))
    if find_spec("matplotlib"):
        name = "networkx and matplotlib, the same graph"
        found.append(Row(name, [PY, "-c", MATPLOTLIB, str(graph_file(folder)), str(folder / "z.svg")]))
    forms = ["worksheet", "--forms", "200", "--key", "after", "-o", str(folder / "forms.pdf")]
    return [
        *found,
        Row("page -o x.html", [*ours, "page", "-o", str(folder / "x.html")], once=True),
        Row("slides -o x.pptx", [*ours, "slides", "-o", str(folder / "x.pptx")], once=True),
        Row("worksheet --forms 200 --key after -o x.pdf", [*ours, *forms], once=True),
    ]


def table() -> list[str]:
    """The table as lines; every floor has the ratio 1."""
    with tempfile.TemporaryDirectory() as name:
        found = rows(Path(name))
        by_label = {row.label: row for row in found}
        for row in found:
            if not row.once:
                row.run()  # warms the disk, stores bytecode
                row.seconds.clear()
        for _ in range(ROUNDS):
            for row in found:
                if not row.once or not row.seconds:
                    row.run()
    lines = ["| whole command | s | ratio | to | MB |", "|---|--:|--:|---|--:|"]
    for row in found:
        floor = by_label[row.floor].seconds
        ratio = median(a / b for a, b in zip(row.seconds, floor, strict=not row.once))
        lines.append(f"| {row.label} | {median(row.seconds):.2f} | {ratio:.2f} | {row.floor} | {row.megabytes:.0f} |")
    return lines
