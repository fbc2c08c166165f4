"""A scene as the page holds it: every part as the SVG painter draws it, in each state that it can have.

The page's script decides in which state a part is, picks its marks, and puts bundles that hold a highlit strand in
front. All else is as :mod:`plexusdraw.look.appearance` and :mod:`plexusdraw.paint.svg` say. ``web/canvas.js`` reads
what is made here; :mod:`plexusdraw.page.marks` tells how places and looks are packed.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import Any

from plexusdraw.look import paint_order, strokes
from plexusdraw.look.appearance import Maker
from plexusdraw.look.marks import Mark, Words
from plexusdraw.look.theme import Theme
from plexusdraw.page import sides
from plexusdraw.page.alike import Alike, Draw, Way
from plexusdraw.page.answers import Asked
from plexusdraw.page.items import items
from plexusdraw.page.marks import NUMBER, TITLE, WORD, Drawn, Pools, hundredths
from plexusdraw.page.strands import Strands
from plexusdraw.scene import (
    Dot,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Row,
    Scene,
    Spot,
    Strand,
    Text,
)
from plexusdraw.scene.mirror import is_mirrored
from plexusdraw.scene.view import LabelKey, State, StrandKey, View, strand_key

Item = list[Any]
How = Callable[[Maker], Iterable[Mark]]
"""What draws one part."""
STATES: tuple[State, ...] = ("plain", "highlit", "dimmed", "lost", "weak")
EACH: Mapping[str, Way] = {state: (state, 0) for state in STATES}
_LIVE = "\u2063"
"""Stands for a string that the page writes; no name is of signs alone that show nothing."""
_NUMBER, _WORD = {_LIVE: NUMBER}, {_LIVE: WORD}
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
        "heads": {part.entity: list(part.says) for part in scene.parts if isinstance(part, Heading) and part.says},
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
        self.alike = Alike(pools, len(themes))
        self._makers: dict[Way, list[Maker]] = {}

    def own(self) -> dict[str, Any]:
        """What each side has of its own, beside places."""
        spots = [p for p in self.scene.parts if isinstance(p, Spot)]
        return {
            "numbers": {kind: [self.labels.index(k) for k in keys] for kind, keys in self.asked.numbers.items()},
            "items": items(self.scene),
            "spots": [[spot.entity, spot.at, hundredths(spot.x), hundredths(spot.y)] for spot in spots],
        } | self.words()

    def words(self) -> dict[str, Any]:
        """From where to where the words of rows reach."""
        room = [part.word.box for part in self.scene.parts if isinstance(part, Row)]
        if not room:
            return {}
        return {"words": [hundredths(min(box.x for box in room)), hundredths(max(box.right for box in room))]}

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
                ways: dict[str, Way] = {"cut": ("plain", 0)}
                slot = self.alike.slot("cut", ways, lambda _, theme: tuple(self.cutters[theme].draw(part)))
                return ["cut", part.entity, part.kind, part.at, [slot]]
            case Gap() | Heading() | Label() | Leader() | Pill():
                key = (part.entity, "name") if isinstance(part, Leader) else label_key(part)
                label = self.labels.index(key) if key in self.labels else -1
                return ["part", part.entity, part.kind, label, [self.named(part, blanks=label >= 0)]]
            case _:
                raise TypeError(f"a page holds no {type(part).__name__}")

    def named(self, part: Gap | Heading | Label | Leader | Pill, *, blanks: bool) -> Item:
        """A part in each state of its entity, and if *blanks* with names blank."""

        def how(maker: Maker) -> Iterator[Mark]:
            return maker.draw(part)

        match part:
            case Leader():  # dashed; it begins beside the blank, however large the number
                beside = self.beside({state: (state, 1) for state in STATES}) if blanks else {}
                return self.pools.slot(self.states({**EACH, **beside}, how))
            case Gap():  # paper in every state
                return self.slot(("gap", part.width), dict.fromkeys(STATES, ("plain", 0)), how)
            case _:
                look = (*_look(part), part.entity if part.entity in self.scene.roots else "", blanks)
                return self.slot(look, {**EACH, **self.numbered(blanks)}, how, _NUMBER)

    def slot(self, key: Hashable, ways: Mapping[str, Way], how: How, live: Mapping[str, int] = {}) -> Item:
        """A part in each of its states, *key* telling what its look rests on."""
        return self.alike.slot(key, ways, self.draw(how), live)

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

    def numbered(self, blanks: bool = True) -> dict[str, Way]:
        """The states of a blank, in which it looks as in none: "dimmed#2", its number of up to two digits."""
        digits = range(1, self.digits + 1) if blanks else ()
        return {f"{state}#{many}": ("plain", many) for many in digits for state in STATES}

    def beside(self, ways: Mapping[State, Way]) -> dict[str, Way]:
        """The states of what stands beside blanks, whatever number they have."""
        return {f"{state}#{many}": ways[state] for many in range(1, self.digits + 1) for state in STATES}

    def states(self, ways: Mapping[str, Way], how: How) -> dict[str, Drawn]:
        """A part in each of its states, drawn in all *ways*."""
        draw = self.draw(how)
        made = {way: [draw(way, theme) for theme in range(len(self.themes))] for way in dict.fromkeys(ways.values())}
        return {state: made[way] for state, way in ways.items()}

    def draw(self, how: How) -> Draw:
        """What draws a part in one way and theme, the number of a blank being any number."""

        def draw(way: Way, theme: int) -> tuple[Mark, ...]:
            marks = tuple(how(self.makers(way)[theme]))
            return _unnumbered(marks, way[1]) if way[1] else marks

        return draw

    def row(self, row: Row) -> Item:
        """A row of the table: what is behind its dots, its name, the word for its state; each dot by its own state."""
        dots = [self.dot(row, dot) for dot in row.dots]
        blank: dict[State, Way] = dict.fromkeys(STATES, ("plain", 1))
        seen: dict[State, Way] = {state: (state, 0) for state in STATES}
        name = (_font(row.name), _font(row.badge), row.blank.h, row.kind)
        texts = [
            self.slot(("start", len(row.empty)), {**EACH, **self.beside(blank)}, lambda m: m.row_start(row)),
            self.slot(("name", name), {**EACH, **self.numbered()}, lambda m: m.row_name(row), _NUMBER),
            self.slot(("word", _font(row.word)), {**EACH, **self.beside(seen)}, lambda m: m.row_word(row), _WORD),
        ]
        keys = [self.index[row.entity, dot.root, row.via, 0] for dot in row.dots]
        label = self.labels.index((row.entity, "name"))
        return ["row", row.entity, row.kind, label, keys, [*texts, *dots]]

    def dot(self, row: Row, dot: Dot) -> Item:
        """A root of a row in each of its states."""
        return self.slot(("dot", dot.root, dot.minor, dot.r), EACH, lambda maker: maker.dot(row, dot))

    def panel(self, panel: Panel) -> Item:
        """A column, by the state of each name that may stand on its rule: seen "+", blank "#" or hidden "-"."""
        near = [
            part for part in self.scene.parts if isinstance(part, Pill | Label) and _on_rule(part, panel, self.scene)
        ]
        named = [(part, label_key(part)) for part in near]
        asked = [*self.asked.numbers.values(), *map(_names, self.asked.numbers.values())]
        ways: dict[str, View] = {}
        for hidden, keys in product(self.asked.hidden.values(), map(frozenset, ((), *asked))):
            way = "".join("-" if p.entity in hidden else "#" if key in keys else "+" for p, key in named)
            if way not in ways:
                gone: dict[str, State] = {part.entity: "hidden" for part in near if part.entity in hidden}
                blank = {key: 1 for _, key in named if key in keys}
                ways[way] = View(asks=False, entities=gone, blanks=blank)
        alone = replace(self.scene, parts=(panel, *near), reading=())
        states = {
            way: [tuple(Maker(alone, view, theme).draw(panel)) for theme in self.themes] for way, view in ways.items()
        }
        labels = [self.labels.index(key) for _, key in named if key]
        return ["panel", panel.entity, panel.kind, labels, [self.pools.slot(states)]]

    def note(self, note: Note) -> Item:
        """A text of the page; its state is what it says, where that changes."""
        label = -1
        states: dict[str, Drawn] = {"plain": [tuple(maker.draw(note)) for maker in self.makers(("plain", 0))]}
        if note.role == "title":
            states = {"plain": self._note(note, _LIVE)}
        elif note.role == "legend":
            states |= {way: self._note(note, text or None) for way, text in self.asked.legends.items()}
        elif note.role == "table-root":
            key = (note.key if note.key in self.scene.roots else note.text.string, "name")
            if key in self.labels:
                label = self.labels.index(key)
                states = self.states({**EACH, **self.numbered()}, lambda maker: maker.draw(note))
        slot = self.pools.slot(states, {_LIVE: TITLE} if note.role == "title" else _NUMBER)
        room = [note.text.size, hundredths(note.room)] if note.role == "title" else [0, 0]
        return ["note", note.role, note.key, label, *room, [slot]]

    def _note(self, note: Note, text: str | None) -> Drawn:
        return [tuple(maker.draw(note)) for maker in self.each_theme(View(asks=False, notes={note.key: text}))]

    def makers(self, way: Way) -> list[Maker]:
        """For each theme what draws all parts in one state, names blank if there are digits in their numbers."""
        if way not in self._makers:
            state, digits = way
            number = _largest(digits) if digits else 0
            view = View(
                asks=False,
                entities=dict.fromkeys(self.entities, state),
                strands=dict.fromkeys(self.index, state),
                words=dict.fromkeys(self.rows, _LIVE),
                blanks=dict.fromkeys(self.labels, number) if digits else {},
            )
            self._makers[way] = self.each_theme(view)
        return self._makers[way]

    def each_theme(self, view: View) -> list[Maker]:
        """What draws the parts in one view, for each theme."""
        return [Maker(self.scene, view, theme) for theme in self.themes]


def _largest(digits: int) -> int:
    return int("8" * digits)


def _look(part: Part) -> tuple[Hashable, ...]:
    """What the look of a name rests on, beside the state and the root that it may name."""
    match part:
        case Pill():
            return ("pill", part.kind, part.box.h, *map(_font, part.lines))
        case Label():
            return (part.role, part.kind, part.blank.h, *map(_font, part.lines))
        case Heading():
            return ("heading", _font(part.text))
        case _:
            raise TypeError(f"{type(part).__name__} is no name")


def _font(text: Text) -> tuple[float, bool, str]:
    return (text.size, text.bold, text.anchor)


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
