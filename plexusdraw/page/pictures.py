"""A scene as the page holds it: every part as the SVG painter draws it, in each state that it can have.

The page's script decides in which state a part is, picks its marks, and puts bundles that hold a highlit strand in
front. All else is as :mod:`plexusdraw.look.appearance` and :mod:`plexusdraw.paint.svg` say. ``web/canvas.js`` reads
what is made here; :mod:`plexusdraw.page.marks` tells how places and looks are packed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from plexusdraw.look import paint_order, strokes
from plexusdraw.look.appearance import Maker
from plexusdraw.look.marks import Mark, Words
from plexusdraw.look.theme import Theme
from plexusdraw.page import sides
from plexusdraw.page.answers import Asked
from plexusdraw.page.marks import NUMBER, TITLE, WORD, Drawn, Pools, hundredths
from plexusdraw.page.strands import Strands
from plexusdraw.scene import Box, Gap, Label, Leader, Note, Panel, Part, Pill, Row, Scene, Spot, Strand
from plexusdraw.scene.mirror import is_mirrored
from plexusdraw.scene.view import LabelKey, State, StrandKey, View, strand_key

Item = list[Any]
Draw = Callable[[Maker], Iterator[Mark]]
STATES: tuple[State, ...] = ("plain", "highlit", "dimmed", "lost", "weak")
_LIVE = "\u2063"
"""Stands for a string that the page writes; no name is of signs alone that show nothing."""
_NUMBER = {_LIVE: NUMBER}
_NEAR_MM = 4.0
"""Farther from the rule between two columns no text can break it."""


def picture(
    scene: Scene,
    other: Scene,
    title: str,
    themes: Mapping[str, Theme],
    keys: Sequence[StrandKey],
    ask: Callable[[Scene], Asked],
) -> dict[str, Any]:
    """The scene of a left limb for the page, and what is different on that of a right one.

    *title*: that of the page where nothing else is asked for. *keys*: the strands of all pictures of this detail; a
    strand is told by its place among them.
    """
    pools, looks = Pools(), tuple(themes.values())
    wide = hundredths(other.width)
    left, right = (_Picture(one, looks, keys, ask(one), pools) for one in (scene, other))
    runs = left.runs()
    twins = dict(zip(map(id, scene.parts), other.parts, strict=True))
    slots = [
        0 if is_mirrored(part) else sides.unlike(item, right.part(twins[id(part)]), wide) for part, item in left.made
    ]
    return {
        "width": hundredths(scene.width),
        "mirrored": wide,
        "height": hundredths(scene.height),
        "title": title,
        "roots": list(scene.roots),
        "entities": left.entities,
        "labels": [list(key) for key in left.labels],
        "hidden": {upto: sorted(ids) for upto, ids in left.asked.hidden.items()},
        "runs": runs,
        "left": left.own(),
        "right": {**right.own(), "slots": slots},
        "pages": {name: theme.page for name, theme in themes.items()},
        "paints": pools.paints.values,
        "dashes": pools.dashes.values,
        "looks": pools.looks.values,
    }


class _Picture:
    """Makes the parts of one side."""

    def __init__(
        self,
        scene: Scene,
        themes: Sequence[Theme],
        keys: Sequence[StrandKey],
        asked: Asked,
        pools: Pools,
    ) -> None:
        self.made: list[tuple[Part, Item]] = []
        """Each item with the part that it shows, or the first of several."""
        self.scene = scene
        self.themes = themes
        self.asked = asked
        self.pools = pools
        self.index = {key: i for i, key in enumerate(keys)}
        self.entities = list(dict.fromkeys(p.entity for p in scene.parts if not isinstance(p, Note)))
        self.rows = [p.entity for p in scene.parts if isinstance(p, Row)]
        self.labels: list[LabelKey] = list(dict.fromkeys(key for p in scene.parts if (key := label_key(p))))
        self.digits = len(str(len(self.labels)))
        self.strands = Strands(themes, scene.roots, STATES, pools)
        self._makers: dict[tuple[str, int], list[Maker]] = {}

    def own(self) -> dict[str, Any]:
        """What each side has of its own, beside places."""
        spots = [p for p in self.scene.parts if isinstance(p, Spot)]
        return {
            "numbers": {kind: [self.labels.index(k) for k in keys] for kind, keys in self.asked.numbers.items()},
            "items": items(self.scene),
            "spots": [[spot.entity, spot.at, hundredths(spot.x), hundredths(spot.y)] for spot in spots],
        }

    def runs(self) -> list[Item]:
        """All parts back to front: bundles, marked by 1, and single other parts; cuts last, over everything."""
        maker = Maker(self.scene, View(asks=False), self.themes[0])
        opening = {id(p) for i, p in enumerate(self.scene.parts) if isinstance(p, Gap) and maker.opens(i)}
        found: list[Item] = []
        for run in paint_order.runs(self.scene.parts):
            shown = [p for p in run if id(p) in opening or not isinstance(p, Gap | Spot)]
            found.append([int(isinstance(run[0], Gap | Strand)), list(self.run(shown))])
        spots = [part for part in self.scene.parts if isinstance(part, Spot)]
        cutting = View(asks=False, cuts=tuple((spot.entity, spot.at) for spot in spots))
        self.cutters = self.each_theme(cutting)
        found.append([0, [self.item(spot) for spot in spots]])
        return found

    # Every part as a list: its type, entity, kind, what the script needs to choose its state, and its slots. A slot
    # is something that is drawn in one of several states.

    def run(self, parts: Sequence[Part]) -> Iterator[Item]:
        """The parts of a bundle, pieces of a strand that may be drawn as one together; or a single part."""
        chain: list[Strand] = []
        for part in parts:
            if chain and not (isinstance(part, Strand) and strokes.continued(chain[-1], part)):
                yield from self.chain(chain)
                chain = []
            if isinstance(part, Strand):
                chain.append(part)
            else:
                yield self.item(part)
        if chain:
            yield from self.chain(chain)

    def item(self, part: Part) -> Item:
        """Anything but a strand, noted as made."""
        self.made.append((part, self.part(part)))
        return self.made[-1][1]

    def part(self, part: Part) -> Item:
        """Anything but a strand."""
        match part:
            case Row():
                return self.row(part)
            case Panel():
                return self.panel(part)
            case Note():
                return self.note(part)
            case Spot():
                drawn = [tuple(maker.draw(part)) for maker in self.cutters]
                return ["cut", part.entity, part.kind, part.at, [self.slot({"cut": drawn})]]
            case _:
                key = (part.entity, "name") if isinstance(part, Leader) else label_key(part)
                label = self.labels.index(key) if key in self.labels else -1
                states = self.states(part, blanks=label >= 0)
                return ["part", part.entity, part.kind, label, [self.slot(states, _NUMBER)]]

    def slot(self, states: Mapping[str, Drawn], live: Mapping[str, int] = {}) -> Item:
        """A part in its states."""
        return self.pools.slot(states, live)

    def chain(self, pieces: Sequence[Strand]) -> Iterator[Item]:
        """Pieces of a strand, and every stretch of neighbours, since neighbours in one state are one stroke."""
        whole = stretches(pieces)
        if not whole:
            for piece in pieces:
                yield from self.chain([piece])
            return
        slots = list(map(self.strands.slot, whole))
        item = ["strand", pieces[0].entity, pieces[0].kind, [self.index[strand_key(piece)] for piece in pieces], slots]
        self.made.append((pieces[0], item))
        yield item

    def states(self, part: Part, *, blanks: bool) -> dict[str, Drawn]:
        """A part in each state of its entity, and if *blanks* with names blank."""

        def draw(maker: Maker) -> Iterator[Mark]:
            return maker.draw(part)

        if isinstance(part, Gap):  # paper in every state
            paper = self.drawn(draw, "plain")
            return dict.fromkeys(STATES, paper)
        if blanks and isinstance(part, Leader):  # it begins beside the blank, however large the number
            return self.each_state(draw) | self.beside({state: self.drawn(draw, state, 1) for state in STATES})
        return self.each_state(draw) | (self.numbered(draw) if blanks else {})

    def each_state(self, draw: Draw) -> dict[str, Drawn]:
        """What *draw* makes in each state."""
        return {state: self.drawn(draw, state) for state in STATES}

    def numbered(self, draw: Draw) -> dict[str, Drawn]:
        """What *draw* makes of a blank in any state, as none shows: "dimmed#2", its number of up to two digits."""
        made = [self.drawn(draw, "plain", digits) for digits in range(1, self.digits + 1)]
        return {f"{state}#{digits}": drawn for digits, drawn in enumerate(made, 1) for state in STATES}

    def beside(self, drawn: Mapping[str, Drawn]) -> dict[str, Drawn]:
        """What stands beside blanks, whatever number they have."""
        return {f"{state}#{digits}": drawn[state] for digits in range(1, self.digits + 1) for state in STATES}

    def drawn(self, draw: Draw, state: State, digits: int = 0) -> Drawn:
        """What *draw* makes in one state, names blank if there are *digits* in their numbers."""
        made = [tuple(draw(maker)) for maker in self.makers(state, digits)]
        return [_unnumbered(marks, digits) for marks in made] if digits else made

    def row(self, row: Row) -> Item:
        """A row of the table: what is behind its dots, its name, the word for its state; each dot by its own state."""

        def start(maker: Maker) -> Iterator[Mark]:
            return maker.row_start(row)

        def name(maker: Maker) -> Iterator[Mark]:
            return maker.row_name(row)

        dots = [self.slot(self.each_state(partial(Maker.dot, row=row, dot=dot))) for dot in row.dots]
        blank = self.drawn(start, "plain", 1)
        starts = self.each_state(start) | self.beside(dict.fromkeys(STATES, blank))
        words = self.each_state(lambda maker: maker.row_word(row))
        texts = [
            self.slot(starts),
            self.slot(self.each_state(name) | self.numbered(name), _NUMBER),
            self.slot(words | self.beside(words), {_LIVE: WORD}),
        ]
        keys = [self.index[row.entity, dot.root, row.via, 0] for dot in row.dots]
        label = self.labels.index((row.entity, "name"))
        return ["row", row.entity, row.kind, label, keys, [*texts, *dots]]

    def panel(self, panel: Panel) -> Item:
        """A column, by the state of each name that may stand on its rule: seen "+", blank "#" or hidden "-"."""
        near = [
            part for part in self.scene.parts if isinstance(part, Pill | Label) and _on_rule(part, panel, self.scene)
        ]
        ways: dict[str, View] = {}
        for hidden in self.asked.hidden.values():
            for keys in ((), *self.asked.numbers.values(), *map(_names, self.asked.numbers.values())):
                way = "".join("-" if p.entity in hidden else "#" if label_key(p) in keys else "+" for p in near)
                gone: dict[str, State] = {part.entity: "hidden" for part in near if part.entity in hidden}
                blank = {key: 1 for part in near if (key := label_key(part)) and key in keys}
                ways.setdefault(way, View(asks=False, entities=gone, blanks=blank))
        alone = replace(self.scene, parts=(panel, *near), reading=())
        states = {
            way: [tuple(Maker(alone, view, theme).draw(panel)) for theme in self.themes] for way, view in ways.items()
        }
        labels = [self.labels.index(key) for part in near if (key := label_key(part))]
        return ["panel", panel.entity, panel.kind, labels, [self.slot(states)]]

    def note(self, note: Note) -> Item:
        """A text of the page; its state is what it says, where that changes."""
        label = -1
        states: dict[str, Drawn] = {"plain": [tuple(maker.draw(note)) for maker in self.makers("plain")]}
        if note.role == "title":
            states = {"plain": self._note(note, _LIVE)}
        elif note.role == "legend":
            states |= {way: self._note(note, text or None) for way, text in self.asked.legends.items()}
        elif note.role == "table-root":
            key = (note.key if note.key in self.scene.roots else note.text.string, "name")
            if key in self.labels:
                label = self.labels.index(key)
                states = self.states(note, blanks=True)
        slot = self.slot(states, {_LIVE: TITLE} if note.role == "title" else _NUMBER)
        room = [note.text.size, hundredths(note.room)] if note.role == "title" else [0, 0]
        return ["note", note.role, note.key, label, *room, [slot]]

    def _note(self, note: Note, text: str | None) -> Drawn:
        return [tuple(maker.draw(note)) for maker in self.each_theme(View(asks=False, notes={note.key: text}))]

    def makers(self, state: State, digits: int = 0) -> list[Maker]:
        """For each theme what draws all parts in one state, names blank if there are *digits* in their numbers."""
        key = (state, digits)
        if key not in self._makers:
            number = _largest(digits) if digits else 0
            view = View(
                asks=False,
                entities=dict.fromkeys(self.entities, state),
                strands=dict.fromkeys(self.index, state),
                words=dict.fromkeys(self.rows, _LIVE),
                blanks=dict.fromkeys(self.labels, number) if digits else {},
            )
            self._makers[key] = self.each_theme(view)
        return self._makers[key]

    def each_theme(self, view: View) -> list[Maker]:
        """What draws the parts in one view, for each theme."""
        return [Maker(self.scene, view, theme) for theme in self.themes]


def _largest(digits: int) -> int:
    return int("8" * digits)


def label_key(part: Part) -> LabelKey | None:
    """What a part that may be blank is numbered by."""
    if isinstance(part, Pill | Row):
        return (part.entity, "name")
    return (part.entity, part.role) if isinstance(part, Label) else None


def _names(keys: Iterable[LabelKey]) -> tuple[LabelKey, ...]:
    """Labels without what nerves supply."""
    return tuple(key for key in keys if key[1] == "name")


def _unnumbered(marks: tuple[Mark, ...], digits: int) -> tuple[Mark, ...]:
    """The marks, the number of a blank being any number."""
    number = str(_largest(digits))
    return tuple(replace(m, string=_LIVE) if isinstance(m, Words) and m.string == number else m for m in marks)


def stretches(pieces: Sequence[Strand]) -> list[Strand]:
    """Runs of neighbours, each as one strand, by their first and then their last; none if pieces do not join."""
    found = []
    for first, whole in enumerate(pieces):
        found.append(whole)
        for piece in pieces[first + 1 :]:
            joined = strokes.continued(whole, piece)
            if joined is None:
                return []
            found.append(whole := joined)
    return found


def _on_rule(part: Pill | Label, panel: Panel, scene: Scene) -> bool:
    """Whether a name or its blank may stand on the rule before a column."""
    x = panel.box.right if scene.side == "right" else panel.box.x
    boxes = [part.box] if isinstance(part, Pill) else [part.blank, *(line.box for line in part.lines)]
    return any(box.x - _NEAR_MM < x < box.right + _NEAR_MM for box in boxes)


def items(scene: Scene) -> list[Item]:
    """What can be pointed at by its name, in reading order: entity, what it is told to a listener beside its name,
    the boxes of its name and of its blank, and further boxes that stand for it, hundredths of a mm.
    """
    found: dict[str, Item] = {}
    for part in scene.read():
        if not isinstance(part, Pill | Label | Row):
            continue
        box = part.box if isinstance(part, Pill) else part.name.box if isinstance(part, Row) else _lines(part)
        if part.entity in found:
            found[part.entity][-1].append(_box(box))
        elif not isinstance(part, Label) or part.role == "name":
            blank = box if isinstance(part, Pill) else part.blank
            roots = [dot.root + (" small" if dot.minor else "") for dot in part.dots] if isinstance(part, Row) else []
            found[part.entity] = [part.entity, " ".join(roots), _box(box), _box(blank), []]
    return list(found.values())


def _lines(label: Label) -> Box:
    boxes = [line.box for line in label.lines] or [label.blank]
    x, y = min(b.x for b in boxes), min(b.y for b in boxes)
    return Box(x, y, max(b.right for b in boxes) - x, max(b.bottom for b in boxes) - y)


def _box(box: Box) -> list[int]:
    return [hundredths(v) for v in (box.x, box.y, box.w, box.h)]
