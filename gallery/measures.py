"""Measures of the built-in pictures, beside the same graph drawn by plain ``dot``: ``python gallery/measures.py``.

Writes gallery/MEASURES.md. Both drawings are measured alike, on A4 landscape (dot's is scaled to the page):

* crossings: bundles (edges) that cross, joins apart; least: the fewest that a search beside the
  layout found (least.yaml)
* overlaps: texts that meet another text or a line that is not theirs
* far: greatest distance of a name from its own nerve, mm
* text: smallest type, pt
* bends: turns of more than 10 degrees along all bundles (edges)
* ink: share of the page that the lines cover, %
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, hypot
from pathlib import Path

import graphviz
from ruamel.yaml import YAML

import plexusdraw
from plexusdraw.layout.checks import dense, faults, texts
from plexusdraw.layout.columns import bundles
from plexusdraw.layout.columns.gaps import crossing_count
from plexusdraw.layout.columns.plan import DETAILS, Detail
from plexusdraw.layout.fit import Options, drafted, prepared
from plexusdraw.layout.paper import paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import of
from plexusdraw.scene import MM_PER_PT, Box, Label, Point, Scene, Strand

HERE = Path(__file__).parent
A4 = (297.0, 210.0)
MARGIN = 10.0


@dataclass(frozen=True)
class Measures:
    """One row of the table."""

    crossings: int
    least: int | None
    overlaps: int
    far: float
    text: float
    bends: int
    ink: float


def _least() -> dict[str, dict[str, int]]:
    """Model → detail → fewest crossings found, as ``least.py`` recorded them."""
    read: dict[str, dict[str, int]] = YAML(typ="safe").load((HERE / "least.yaml").read_text(encoding="utf-8"))
    return read


def ours(plexus: Plexus, detail: Detail) -> Measures:
    """Measures of our picture."""
    options = Options(detail=detail, page=paper("a4"))
    figure = plexusdraw.figure(plexus, detail=detail, paper="a4")
    scene = figure.pages()[0].scene
    draft = drafted(plexus, of(plexus), options)
    assert draft, "the built-in plexus fits A4"
    lines = [b for b in draft.bundles if b.layer != bundles.SLOT]
    return Measures(
        crossing_count(draft.bundles),
        _least()[plexus.id]["nerves" if detail == "muscles" else detail],
        len(faults(scene)),
        farthest(scene),
        min(t.size for t in texts(scene)),
        sum(turns(b.trace) for b in lines),
        ink(p for p in scene.parts if isinstance(p, Strand)),
    )


def farthest(scene: Scene) -> float:
    """Greatest distance from a name to the nearest of its own strands."""
    own: dict[str, list[Point]] = {}
    for part in scene.parts:
        if isinstance(part, Strand):
            own.setdefault(part.entity, []).extend(dense(part.curve, 1.0))
    names = [p for p in scene.parts if isinstance(p, Label) and p.role == "name"]
    return max(min(near(line.box, p) for line in n.lines for p in own[n.entity]) for n in names)


def near(box: Box, p: Point) -> float:
    """Distance of a point from a box."""
    return hypot(max(box.x - p[0], 0.0, p[0] - box.right), max(box.y - p[1], 0.0, p[1] - box.bottom))


def turns(trace: Sequence[Point]) -> int:
    """Runs of bending one way that come to more than 10 degrees."""
    headings = [degrees(atan2(b[1] - a[1], b[0] - a[0])) for a, b in pairwise(trace) if a != b]
    found, run = 0, 0.0
    for a, b in pairwise(headings):
        change = (b - a + 180) % 360 - 180
        if run and change * run < 0:
            found += abs(run) > 10
            run = 0.0
        run += change
    return found + (abs(run) > 10)


def ink(strands: Iterable[Strand]) -> float:
    """Share of the page under strands, %."""
    area = sum(length(dense(s.curve, 1.0)) * s.width for s in strands)
    return 100 * area / (A4[0] * A4[1])


def length(points: Sequence[Point]) -> float:
    """Length of a line of points."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def by_dot(plexus: Plexus, detail: Detail) -> Measures:
    """Measures of the same graph drawn by ``dot`` with its defaults, columns as ranks."""
    data = json.loads(
        subprocess.run(
            ["dot", "-Tjson"], input=source(plexus, detail), capture_output=True, text=True, check=True
        ).stdout
    )
    width, height = (float(v) for v in data["bb"].split(",")[2:])
    scale = min((A4[0] - 2 * MARGIN) / width, (A4[1] - 2 * MARGIN) / height)
    boxes = {n["_gvid"]: node_box(n, scale) for n in data["objects"] if "pos" in n}
    edges = [(e["tail"], e["head"], spline(e["pos"], scale)) for e in data["edges"]]
    crossed = sum(
        crosses(a[2], b[2]) for i, a in enumerate(edges) for b in edges[i + 1 :] if not {a[0], a[1]} & {b[0], b[1]}
    )
    overlaps = sum(
        1
        for t, h, line in edges
        for i, box in boxes.items()
        if i not in (t, h) and any(near(box, p) == 0 for p in line)
    )
    thin = 1.0 * scale  # dot's pen is 1 pt wide
    area = 100 * sum(length(line) for *_, line in edges) * thin / (A4[0] * A4[1])
    smallest = 14.0 * scale / MM_PER_PT
    return Measures(crossed, None, overlaps, 0.0, smallest, sum(turns(line) for *_, line in edges), area)


def source(plexus: Plexus, detail: Detail) -> str:
    """The plexus as a DOT graph: a node a structure, an edge a tie."""
    graph = graphviz.Digraph(graph_attr={"rankdir": "LR"})
    made = prepared(plexus, of(plexus), detail, corridors=False)
    names = {s.id: s.segment.name for s in made.slots.values() if s.segment}
    names |= {b.id: b.segment.name for b in made.branches}
    for column in made.columns:
        with graph.subgraph() as rank:
            rank.attr(rank="same")
            for id in column:
                if id in names:
                    rank.node(id, graphviz.escape(names[id]))
    for tie in made.ties:
        if tie.last:
            graph.edge(tie.source, tie.entity)
    for branch in made.branches:
        graph.node(branch.id, graphviz.escape(branch.segment.name))
        for rootlet in branch.rootlets:
            graph.edge(rootlet.slot, branch.id)
        if detail == "muscles":
            for target in plexus.graph.successors(branch.id):
                graph.edge(branch.id, target)
    return str(graph.source)


def node_box(node: dict[str, str], scale: float) -> Box:
    """A node's label box, mm, y down from the bottom edge."""
    x, y = (float(v) * scale for v in node["pos"].split(","))
    w, h = float(node["width"]) * 72 * scale, float(node["height"]) * 72 * scale
    return Box(x - w / 2, -y - h / 2, w, h)


def spline(pos: str, scale: float) -> list[Point]:
    """Points along an edge."""
    numbers = [tuple(float(v) * scale for v in p.split(",")) for p in pos.split() if p[0] not in "es"]
    return dense(tuple((x, -y) for x, y in numbers), 1.0)


def crosses(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Whether two lines of points cross."""
    return any(meet(p, q, u, v) for p, q in pairwise(a) for u, v in pairwise(b))


def meet(p: Point, q: Point, u: Point, v: Point) -> bool:
    """Whether two segments cross."""

    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return side(p, q, u) * side(p, q, v) < 0 and side(u, v, p) * side(u, v, q) < 0


def table() -> str:
    """The table as Markdown."""
    plexus = plexusdraw.load("brachial")
    head = "| picture | drawn by | crossings | least | overlaps | far, mm | text, pt | bends | ink, % |"
    rows = [head, "|---|---|--:|--:|--:|--:|--:|--:|--:|"]
    for detail in DETAILS:
        rows.append(row(detail, "plexusdraw", ours(plexus, detail)))
        if detail != "muscles":
            rows.append(row(detail, "dot", by_dot(plexus, detail)))
    intro = (__doc__ or "").split("\n\n", 1)[1]
    return f"# Measures\n\nMade by `python gallery/measures.py`.\n\n{intro}\n" + "\n".join(rows) + "\n"


def row(detail: str, drawn_by: str, m: Measures) -> str:
    """One line of the table."""
    least_ = "" if m.least is None else str(m.least)
    return (
        f"| {detail} | {drawn_by} | {m.crossings} | {least_} | {m.overlaps} | {m.far:.1f} | {m.text:.1f} "
        f"| {m.bends} | {m.ink:.1f} |"
    )


if __name__ == "__main__":
    if shutil.which("dot") is None:
        sys.exit("measures: dot is not installed (package graphviz)")
    (HERE / "MEASURES.md").write_text(table(), encoding="utf-8")
