"""The words of a picture of a limb: names, title, what the colours stand for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from plexusdraw import fonts, names
from plexusdraw.charts.chart import Chart
from plexusdraw.layout.labels import span as root_run
from plexusdraw.layout.limb import tones
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.layout.limb.pages import Fitted
from plexusdraw.model.entities import Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Area, Note, Part, curves

LEGENDS = {
    "skin": "Borders overlap in life. The palest areas belong to no nerve of the plexus.",
    "muscles": "A schematic: where each muscle lies, from origin to insertion.",
    "dermatomes": "Rings: key points for examination. Neighbours overlap; the palest belong to no root of the plexus.",
}
THIN = "Named is only what changes."
"""Where there is no room for the names of all else."""
STATES: dict[str, tuple[tuple[str, str], ...]] = {
    "muscle": (("lost", "paralysed"), ("weak", "weak"), ("slight", "slightly weak"), ("plain", "spared")),
    "skin": (("lost", "lost"), ("reduced", "reduced"), ("plain", "spared")),
}
"""State of a view → its word in the legend."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """One entry of the legend: a small area and its words."""

    area: Area
    words: str


def name(plexus: Plexus, chart: Chart, options: LimbOptions, id: str) -> str:
    """The words beside a figure for one area or muscle."""
    target = plexus.muscles.get(id) or plexus.skin.get(id)
    wording = options.wording
    if target is None:
        own = dict(wording.own).get(id)
        entity = plexus.outside.get(id)
        patch = _patch(chart, options, id)
        words = own or patch or (names.display(entity, wording.style) if entity else id.replace("-", " "))
        if entity and entity.nerve and options.picture == "skin":
            nerve = (entity.nerve_latin if wording.style == "latin" else "") or entity.nerve
            return f"{words} ({nerve.replace(' (', ', ').replace(')', '')})"  # one pair of brackets is enough
        return words
    if target_is_root(target) and not dict(wording.own).get(id):
        return root_run(target.dermatome, plexus.roots)
    return wording.of(target)


def items(plexus: Plexus, chart: Chart, options: LimbOptions, id: str) -> tuple[str, ...]:
    """The same in pieces that stay whole, with the roots where they are asked for."""
    found = name(plexus, chart, options, id).split()
    target = plexus.muscles.get(id) or plexus.skin.get(id)
    if target and not target_is_root(target) and (options.by == "root" or options.wording.with_roots):
        roots = target.roots or target.minor
        found.append(f"({root_run([r for r in plexus.roots if r in roots], plexus.roots)})")
    return tuple(found)


def target_is_root(target: Target) -> bool:
    """Whether the name is that of a root, or of several, already."""
    return target.kind == "skin" and bool(target.dermatome)


def _patch(chart: Chart, options: LimbOptions, id: str) -> str:
    sides = chart.tilings.get(options.picture, {}).values()
    patch = next((p for tiling in sides for p in tiling.patches if p.id == id and p.name), None)
    if patch is None:
        return ""
    return (patch.latin if options.wording.style == "latin" else "") or patch.name


def absent(plexus: Plexus, chart: Chart, options: LimbOptions) -> str:
    """The sentence on muscles of the model that the chart does not show; empty where there is none."""
    drawn = {muscle.id for muscle in chart.muscles}
    style = options.wording.style
    left = {m.id: names.listed(m, style) for m in plexus.muscles.values() if m.id not in drawn}
    for group in plexus.groups.values():  # one name for several
        if set(group.members) <= left.keys():
            left = {id: name for id, name in left.items() if id not in group.members}
            left[group.id] = names.listed(group, style)
    return f"Not drawn: {', '.join(left.values())}." if left and options.picture == "muscles" else ""


def description(plexus: Plexus, chart: Chart, options: LimbOptions, made: Fitted) -> str:
    """What a page shows, for a reader who cannot see it."""
    found = dict.fromkeys(n.entity for row in made.rows for stack in row for p, _ in stack for n in p.named)
    views = ", ".join(dict.fromkeys(p.heading.lower() for row in made.rows for stack in row for p, _ in stack))
    what = {"skin": "skin areas", "muscles": "muscles", "dermatomes": "dermatomes"}[options.picture]
    listed = "; ".join(name(plexus, chart, options, id) for id in found)
    return f"The {options.side} {chart.name}, {what}: {views}. {listed}."


def swatches(plexus: Plexus, chart: Chart, options: LimbOptions) -> tuple[Swatch, ...]:
    """What the colours and patterns stand for."""
    kind = "muscle" if options.picture == "muscles" else "skin"
    made: list[Swatch] = []
    if options.words:
        made += [Swatch(Area(f"legend-{state}", "legend", ()), words) for state, words in STATES[kind]]
    if options.picture == "dermatomes" and options.by != "state":
        return tuple(made)
    if options.by == "root":
        made += [
            Swatch(Area(f"legend-{root}", "legend", (), -1, (root,)), plexus.segments[root].name)
            for root in plexus.roots
        ]
    elif options.by == "nerve":
        shown = _shown(plexus, chart, options)
        for id, index in tones.fills(plexus).items():
            if id in shown:
                nerve = plexus.segments[id]
                made.append(Swatch(Area(f"legend-{id}", "legend", (), index), options.wording.of(nerve)))
    strange = (id for id in _ids(chart, options) if id not in plexus.skin and id not in plexus.muscles)
    if not all(plexus.leaves_out(id) for id in strange):
        what = "root" if options.picture == "dermatomes" else "nerve"
        made.append(Swatch(Area("legend-outside", "legend", (), outside=True), f"no {what} of the plexus"))
    return tuple(made)


def _ids(chart: Chart, options: LimbOptions) -> list[str]:
    if options.picture == "muscles":
        wanted = ("superficial", "deep") if options.layers == "both" else (options.layers,)
        return [m.id for m in chart.muscles if m.layer in wanted]
    return [p.id for tiling in chart.tilings.get(options.picture, {}).values() for p in tiling.patches]


def _shown(plexus: Plexus, chart: Chart, options: LimbOptions) -> set[str]:
    return {tones.family(plexus, id) for id in _ids(chart, options)}


def rows(entries: Sequence[Swatch], width: float, size: float) -> list[list[tuple[float, Swatch]]]:
    """Entries in rows, each with its distance from the left, mm."""
    made: list[list[tuple[float, Swatch]]] = []
    x = 0.0
    for entry in entries:
        taken = _box(size)[0] + 0.5 * size * MM_PER_PT + fonts.width(entry.words, size)
        if not made or x + taken > width:
            made.append([])
            x = 0.0
        made[-1].append((x, entry))
        x += taken + 1.6 * size * MM_PER_PT
    return made


def _box(size: float) -> tuple[float, float]:
    em = size * MM_PER_PT
    return 2.4 * em, 1.0 * em


def drawn(row: Sequence[tuple[float, Swatch]], x: float, y: float, size: float) -> Iterator[Part]:
    """A row of the legend on its baseline."""
    w, h = _box(size)
    top = y - 0.35 * size * MM_PER_PT - h / 2
    for dx, entry in row:
        a, b = x + dx, x + dx + w
        corners = [(a, top), (b, top), (b, top + h), (a, top + h), (a, top)]
        ring = curves.join([curves.line(p, q) for p, q in pairwise(corners)])
        area = entry.area
        yield Area(area.entity, area.kind, (ring,), area.tone, area.roots, area.outside, area.border)
        text = fonts.text(entry.words, b + 0.5 * size * MM_PER_PT, y, size)
        yield Note("legend", f"swatch-{area.entity}", text, text.box.w + 0.1)
