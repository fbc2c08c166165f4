"""What a reader asks to see, as a view of a scene: highlight, hide, key, injure, build up to a stage."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.plexus import Entity, Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import Strands, strands_of
from plexusdraw.scene import Label, Note, Panel, Part, Pill, Row, Scene, Spot, Strand
from plexusdraw.scene.view import LabelKey, State, StrandKey, View

WORD: Mapping[str, str] = {
    "paralysed": "paralysed",
    "weak": "weak",
    "slight": "slightly weak",
    "lost": "lost",
    "reduced": "reduced",
}
"""State of a muscle or skin area → the word in its row; spared has none."""
STATE: Mapping[str, State] = {
    "paralysed": "lost",
    "weak": "weak",
    "slight": "weak",
    "lost": "lost",
    "reduced": "weak",
}
LEGENDS: Mapping[str, str] = {
    "cut": "Bars: the cut. Grey and dashed: fibres cut off beyond it. All else survives.",
    "partial": "Bars: the cut, which spares some fibres. Dashed: fibres cut in part.",
    "cut table": "Dots: filled, principal; ring, minor; cross, lost.",
    "partial table": "Dots: filled, principal; ring, minor; cross, lost in part.",
    "light": "Not dimmed: the fibres asked for, from end to end.",
    "blank": "Write the names. All blanks of a kind have one width.",
}


@dataclass(frozen=True, slots=True)
class Request:
    """What to show. Entities are already found; ``hide`` holds kinds as the reader wrote them."""

    highlight: tuple[Entity, ...] = ()
    hide: tuple[str, ...] = ()
    key: bool = False
    injury: Injury | None = None
    upto: str = ""


def views(plexus: Plexus, fibres: Fibres, scenes: Sequence[Scene], request: Request) -> tuple[View, ...]:
    """The views of all pages; blanks are numbered through.

    Raises:
        UnknownNameError: a kind to hide, or a stage, that the model does not have.
    """
    numbers: dict[LabelKey, int] = {}
    for scene in scenes:
        for key in numbered(plexus, scene, request.hide):
            numbers.setdefault(key, len(numbers) + 1)
    return tuple(view(plexus, fibres, scene, request, numbers) for scene in scenes)


def view(
    plexus: Plexus, fibres: Fibres, scene: Scene, request: Request, numbers: Mapping[LabelKey, int] | None = None
) -> View:
    """The view of one page; *numbers* are those of its blanks, by default from 1 in reading order.

    Raises:
        UnknownNameError: a kind to hide, or a stage, that the model does not have.
    """
    entities: dict[str, State] = {}
    strands: dict[StrandKey, State] = {}
    words: dict[str, str] = {}
    cuts: tuple[tuple[str, int], ...] = ()
    notes = _notes(scene, request)
    if request.highlight:
        _lighten(plexus, scene, strands_of(plexus, request.highlight), entities, strands)
    if request.injury is not None:
        words = _harm(scene, request.injury, entities, strands)
        cuts = tuple(marks(scene, request.injury))
    if request.upto:
        _build_up(plexus, scene, request.upto, entities)
    blanks = numbered(plexus, scene, request.hide) if numbers is None else numbers
    return View(
        entities=entities,
        strands=strands,
        words=words,
        cuts=cuts,
        notes=notes,
        blanks={} if request.key else blanks,
        answers=blanks if request.key else {},
    )


def _notes(scene: Scene, request: Request) -> dict[str, str | None]:
    notes: dict[str, str | None] = {}
    if request.injury is None:
        notes |= {p.key: None for p in scene.parts if isinstance(p, Note) and p.role == "caution"}
    else:
        kind = "partial" if request.injury.partial else "cut"
        table = [LEGENDS[f"{kind} table"]] if any(isinstance(p, Row) for p in scene.parts) else []
        notes["legend"] = None if _one_line_foot(scene) else " ".join([LEGENDS[kind], *table])
    if request.highlight and request.injury is None:
        notes["legend"] = LEGENDS["light"]
    if request.hide and not request.key:
        notes["legend"] = LEGENDS["blank"]
    return notes


def _one_line_foot(scene: Scene) -> bool:
    """Whether the legend has its place where the caution stands: on a slide."""
    heights = [p.text.y for p in scene.parts if isinstance(p, Note) and p.key in ("legend", "caution-0")]
    return len(heights) == 2 and heights[0] == heights[1]


def _key(strand: Strand) -> StrandKey:
    return (strand.entity, strand.root, strand.source, strand.at)


def _lighten(
    plexus: Plexus, scene: Scene, lit: Strands, entities: dict[str, State], strands: dict[StrandKey, State]
) -> None:
    bright: set[str] = set()
    for part in scene.parts:
        if isinstance(part, Strand):
            on = _is_lit(part, lit)
            strands[_key(part)] = "highlit" if on else "dimmed"
            if on:
                bright.add(part.entity)
    bright |= {whole.id for whole in plexus.wholes.values() if bright.intersection(whole.parts)}
    reached = {target for target, _ in lit.targets}
    for part in scene.parts:
        if isinstance(part, Row):
            for dot in part.dots:
                on = (part.entity, dot.root) in lit.targets
                if part.via is not None:
                    on = (part.entity, dot.root, part.via) in lit.arrivals
                strands[part.entity, dot.root, part.via, 0] = "highlit" if on else "dimmed"
    for id in _entities(scene):
        entities[id] = "highlit" if id in bright or id in reached else "dimmed"


def _is_lit(strand: Strand, lit: Strands) -> bool:
    if strand.source is not None:
        return (strand.entity, strand.root, strand.source) in lit.arrivals
    to = lit.along.get((strand.entity, strand.root), -2)
    return strand.at <= to


def _entities(scene: Scene) -> list[str]:
    """Ids of all that can be lit or dimmed: not columns."""
    return list(dict.fromkeys(p.entity for p in scene.parts if isinstance(p, Strand | Pill | Label | Row)))


def _harm(scene: Scene, injury: Injury, entities: dict[str, State], strands: dict[StrandKey, State]) -> dict[str, str]:
    """Write the states of an injury; returns the words of the table's rows."""
    flows: dict[str, set[str]] = {}
    last = _last_positions(scene)
    for part in scene.parts:
        if isinstance(part, Strand):
            flow = _flow(part, injury, last)
            flows.setdefault(part.entity, set()).add(flow)
            if flow != "alive":
                strands[_key(part)] = "lost" if flow == "lost" else "weak"
    for whole in injury.plexus.wholes.values():
        flows[whole.id] = {flow for part in whole.parts for flow in flows.get(part, ())}
    for id, found in flows.items():
        ends = found - {"alive"}
        if ends:
            entities[id] = "lost" if "alive" not in found and "partly" not in found else "weak"
    words: dict[str, str] = {}
    for part in scene.parts:
        if isinstance(part, Row):
            outcome = injury.outcome(part.entity)
            if outcome.state in WORD:
                words[part.entity] = WORD[outcome.state]
                entities[part.entity] = STATE[outcome.state]
            gone = {r.root for r in outcome.broken if part.via in (None, r.path[-1])}
            for dot in part.dots:
                if dot.root in gone:
                    strands[part.entity, dot.root, part.via, 0] = "lost"
                elif part.entity in words:
                    strands[part.entity, dot.root, part.via, 0] = "plain"
    return words


def _last_positions(scene: Scene) -> dict[tuple[str, int], int]:
    """(entity, position at which a piece begins) → last position that the piece stands for."""
    stops: dict[str, set[int]] = {}
    for part in scene.parts:
        if isinstance(part, Spot):
            stops.setdefault(part.entity, set()).add(part.at)
    found: dict[tuple[str, int], int] = {}
    for entity, places in stops.items():
        order = sorted(places)
        for here, following in zip(order, [*order[1:], None], strict=True):
            found[entity, here] = here if following is None else following - 1
    return found


def _flow(strand: Strand, injury: Injury, last: Mapping[tuple[str, int], int]) -> str:
    if strand.source is not None:
        return injury.strand(strand.entity, strand.root, source=strand.source)
    if strand.at < 0:
        return "alive"
    return injury.strand(strand.entity, strand.root, last.get((strand.entity, strand.at), strand.at))


def marks(scene: Scene, injury: Injury) -> list[tuple[str, int]]:
    """(entity, position) of the spot that marks each cut: the last one at or before it."""
    found: list[tuple[str, int]] = []
    for entity, at in injury.cuts:
        here = [p.at for p in scene.parts if isinstance(p, Spot) and p.entity == entity and p.at <= at]
        if here:
            found.append((entity, max(here)))
    return found


def _build_up(plexus: Plexus, scene: Scene, upto: str, entities: dict[str, State]) -> None:
    """Hide what belongs to later stages."""
    stage = _stage(plexus, upto)
    panels = [p for p in scene.parts if isinstance(p, Panel)]
    limit = next(p.index for p in panels if p.entity == stage)
    places = column_of(plexus)
    final = limit == len(plexus.stages) - 1
    for part in scene.parts:
        if isinstance(part, Panel):
            continue
        if isinstance(part, Row):
            if not final:
                entities[part.entity] = "hidden"
        elif not isinstance(part, Note) and places.get(part.entity, 0) > limit:
            entities[part.entity] = "hidden"


def column_of(plexus: Plexus) -> dict[str, int]:
    """Segment → index of the column in which it is drawn: its stage's, a branch's parents', a link's child's."""
    index = {stage.id: i for i, stage in enumerate(plexus.stages)}
    found = {s.id: index[s.stage] for s in plexus.segments.values() if s.stage is not None}
    for segment in plexus.segments.values():
        if segment.stage is None:
            children = [s.id for s in plexus.segments.values() if segment.id in s.parents and s.stage is not None]
            near = [found[id] for id in (children or segment.parents) if id in found]
            if near:
                found[segment.id] = max(near)
    return found | {whole.id: found[whole.parts[0]] for whole in plexus.wholes.values()}


def _stage(plexus: Plexus, text: str) -> str:
    for stage in plexus.stages:
        if text.lower() in (stage.id.lower(), stage.name.lower(), stage.singular.lower()):
            return stage.id
    names = ", ".join(s.id for s in plexus.stages)
    raise UnknownNameError(f'no stage "{text}" in the {plexus.name}; its stages are {names}')


def numbered(plexus: Plexus, scene: Scene, hide: Sequence[str]) -> dict[LabelKey, int]:
    """A number for each label that is hidden, in reading order: column by column, from the top."""
    if not hide:
        return {}
    wanted = _wanted(plexus, hide)
    found: list[tuple[tuple[float, float, float], LabelKey]] = []
    columns = [p.box for p in scene.parts if isinstance(p, Panel)]
    for part in scene.parts:
        key = _label_key(part, wanted)
        if key is not None and isinstance(part, Pill | Label | Row):
            x, y = _place(part)
            column = sum(1 for box in columns if (x > box.x if scene.side == "left" else x < box.right))
            if columns and y > columns[0].bottom:  # a table under the columns is read after them
                column = len(columns) + 1
            found.append(((column, y, x), key))
    keys = dict.fromkeys(key for _, key in sorted(found))
    return {key: i for i, key in enumerate(keys, start=1)}


def _place(part: Pill | Label | Row) -> tuple[float, float]:
    if isinstance(part, Row):
        return part.name.x, part.name.y
    return part.badge


def _label_key(part: Part, wanted: Iterable[str]) -> LabelKey | None:
    if isinstance(part, Pill) and part.kind in wanted:
        return (part.entity, "name")
    if isinstance(part, Label):
        kind = part.kind if part.role == "name" else "muscle"
        return (part.entity, part.role) if kind in wanted else None
    if isinstance(part, Row) and "muscle" in wanted:
        return (part.entity, "name")
    return None


def _wanted(plexus: Plexus, hide: Sequence[str]) -> set[str]:
    """Kinds meant by words such as "labels", "trunks", "nerves"."""
    stages = {stage.singular: stage for stage in plexus.stages}
    found: set[str] = set()
    for word in hide:
        plain = word.strip().lower()
        match = [
            kind for kind, stage in stages.items() if plain in (kind, stage.id.lower(), stage.name.lower(), f"{kind}s")
        ]
        if plain in ("labels", "all"):
            found |= {*stages, "nerve", "muscle", "level"}
        elif plain in ("nerves", "nerve"):  # as anyone means it: those of the last column too
            found |= {"nerve", plexus.stages[-1].singular}
        elif plain in ("side branches", "side branch"):
            found.add("nerve")
        elif match:
            found.add(match[0])
        elif plain in ("muscles", "muscle", "levels", "level"):
            found.add(plain.rstrip("s"))
        else:
            names = ", ".join(
                ["labels", *(s.id for s in plexus.stages), "nerves", "side branches", "muscles", "levels"]
            )
            raise UnknownNameError(f'cannot hide "{word}"; choose from {names}')
    return found
