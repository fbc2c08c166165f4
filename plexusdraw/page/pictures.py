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
from plexusdraw.scene import Box, Dot, Gap, Label, Leader, Note, Panel, Part, Pill, Row, Scene, Spot, Strand
from plexusdraw.scene.view import LabelKey, State, StrandKey, View, strand_key

Item = list[Any]
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
    left = _Picture(scene, looks, keys, ask(scene), pools)
    runs = left.runs()
    right = _Picture(other, looks, keys, ask(other), pools, [sides.flipped_course(c, wide) for c in left.courses])
    pairs = zip(_parts(runs), _parts(right.runs()), strict=True)
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
        "right": {**right.own(), "slots": [sides.unlike(*pair, wide) for pair in pairs]},
        "pages": {name: theme.page for name, theme in themes.items()},
        "paints": pools.paints.values,
        "dashes": pools.dashes.values,
        "looks": pools.looks.values,
    }


def _parts(runs: Sequence[Item]) -> list[Item]:
    return [part for _, parts in runs for part in parts]


class _Picture:
    """Makes the parts of one side."""

    def __init__(
        self,
        scene: Scene,
        themes: Sequence[Theme],
        keys: Sequence[StrandKey],
        asked: Asked,
        pools: Pools,
        mirrored: Iterable[sides.Course] = (),
    ) -> None:
        self.courses: list[sides.Course] = []  # of strands; *mirrored*: those of the other side, mirrored
        self.mirrored = iter(mirrored)
        self.scene = scene
        self.themes = themes
        self.asked = asked
        self.pools = pools
        self.index = {key: i for i, key in enumerate(keys)}
        self.entities = list(dict.fromkeys(p.entity for p in scene.parts if not isinstance(p, Note)))
        self.rows = [p.entity for p in scene.parts if isinstance(p, Row)]
        self.labels: list[LabelKey] = list(dict.fromkeys(key for p in scene.parts if (key := label_key(p))))
        self.digits = len(str(len(self.labels)))
        looks = [theme.look(state).dash for theme in themes for state in STATES]
        cores = [theme.pen(i).core_dash for theme in themes for i in range(len(scene.roots))]
        self.dashes = [dash for dash in dict.fromkeys((*looks, *cores)) if any(dash)]
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
        cutters = self.each_theme(cutting)
        found.append([0, [self.spot(spot, cutters) for spot in spots]])
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
                yield self.part(part)
        if chain:
            yield from self.chain(chain)

    def part(self, part: Part) -> Item:
        """Anything but a strand or a cut."""
        match part:
            case Row():
                return self.row(part)
            case Panel():
                return self.panel(part)
            case Note():
                return self.note(part)
            case _:
                key = (part.entity, "name") if isinstance(part, Leader) else label_key(part)
                label = self.labels.index(key) if key in self.labels else -1
                return [
                    "part",
                    part.entity,
                    part.kind,
                    label,
                    [self.slot(self.states(part, blanks=label >= 0), _NUMBER)],
                ]

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
        slots = [self.strand(part) for part in whole]
        yield ["strand", pieces[0].entity, pieces[0].kind, [self.index[strand_key(piece)] for piece in pieces], slots]

    def strand(self, part: Strand) -> Item:
        """A strand in its states; nothing where it is the mirror image of the other side's, since all of it follows."""
        self.courses.append(sides.course(part, self.dashes))
        if self.courses[-1] == next(self.mirrored, None):
            return []
        return self.slot(self.each_state(partial(_drawn, part)))

    def each_state(self, draw: Callable[[Maker], tuple[Mark, ...]]) -> dict[str, Drawn]:
        """What *draw* makes in each state."""
        return {state: [draw(maker) for maker in self.makers(state)] for state in STATES}

    def states(self, part: Part, *, blanks: bool) -> dict[str, Drawn]:
        """A part in each state of its entity; "dimmed#2": the same with names blank and numbers up to two digits."""
        found: dict[str, Drawn] = {}
        for state, digits in self.ways(blanks=blanks):
            found[_way(state, digits)] = [_numbered(maker.draw(part), digits) for maker in self.makers(state, digits)]
        return found

    def ways(self, *, blanks: bool) -> Iterator[tuple[State, int]]:
        """States, plain and with names blank."""
        return ((state, digits) for digits in range(self.digits + 1 if blanks else 1) for state in STATES)

    def row(self, row: Row) -> Item:
        """A row of the table: what is behind its dots, its name, the word for its state; each dot by its own state."""
        pieces: tuple[dict[str, Drawn], ...] = ({}, {}, {})
        for state, digits in self.ways(blanks=True):
            split = [_split(maker, row, digits) for maker in self.makers(state, digits)]
            for i, piece in enumerate(pieces):
                piece[_way(state, digits)] = [marks[i] for marks in split]
        dots = [self.slot(self.each_state(partial(_dot, row, dot))) for dot in row.dots]
        keys = [self.index[row.entity, dot.root, row.via, 0] for dot in row.dots]
        label = self.labels.index((row.entity, "name"))
        head, name, word = pieces
        texts = [self.slot(head), self.slot(name, _NUMBER), self.slot(word, {_LIVE: WORD})]
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
        states = {way: [tuple(maker.draw(panel)) for maker in self.each_theme(view)] for way, view in ways.items()}
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
                label, states = self.labels.index(key), self.states(note, blanks=True)
        slot = self.slot(states, {_LIVE: TITLE} if note.role == "title" else _NUMBER)
        room = [note.text.size, hundredths(note.room)] if note.role == "title" else [0, 0]
        return ["note", note.role, note.key, label, *room, [slot]]

    def _note(self, note: Note, text: str | None) -> Drawn:
        return [tuple(maker.draw(note)) for maker in self.each_theme(View(asks=False, notes={note.key: text}))]

    def spot(self, spot: Spot, makers: Sequence[Maker]) -> Item:
        """The mark of a cut."""
        return ["cut", spot.entity, spot.kind, spot.at, [self.slot({"cut": [tuple(m.draw(spot)) for m in makers]})]]

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


def _drawn(part: Part, maker: Maker) -> tuple[Mark, ...]:
    return tuple(maker.draw(part))


def _dot(row: Row, dot: Dot, maker: Maker) -> tuple[Mark, ...]:
    return tuple(maker.dot(row, dot))


def label_key(part: Part) -> LabelKey | None:
    """What a part that may be blank is numbered by."""
    if isinstance(part, Pill | Row):
        return (part.entity, "name")
    return (part.entity, part.role) if isinstance(part, Label) else None


def _names(keys: Iterable[LabelKey]) -> tuple[LabelKey, ...]:
    """Labels without what nerves supply."""
    return tuple(key for key in keys if key[1] == "name")


def _way(state: State, digits: int) -> str:
    return f"{state}#{digits}" if digits else state


def _numbered(marks: Iterable[Mark], digits: int) -> tuple[Mark, ...]:
    """The marks, the number of a blank being any number."""
    if not digits:
        return tuple(marks)
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


def _split(maker: Maker, row: Row, digits: int) -> tuple[tuple[Mark, ...], ...]:
    """Marks of a row before its dots, its name, and the word for its state."""
    return tuple(_numbered(made, digits) for made in (maker.row_start(row), maker.row_name(row), maker.row_word(row)))


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
