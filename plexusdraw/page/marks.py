"""Marks as the page holds them: where something is drawn apart from how, so that states and themes share places.

A place is numbers in hundredths of a millimetre, a paint is the attributes that the SVG painter writes; a dash is
fitted to the length of its curve, so that most strands have dashes of their own.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import zip_longest
from operator import itemgetter, sub
from typing import Any, NamedTuple

from plexusdraw.look.marks import Disc, Mark, Path, Plate, Words
from plexusdraw.look.theme import Colour
from plexusdraw.paint.svg import attributes, dashes
from plexusdraw.scene import Box, Curve

Place = tuple[Any, ...]
"""A letter for the element (path, rect, circle, text), then numbers; a text ends with where
it is anchored and its string (or NUMBER, WORD, TITLE)."""
Drawn = Sequence[Sequence[Mark]]
"""The marks of one part in one state, a list for each theme."""
Row = Sequence[tuple[Any, Mapping[str, str], Any]]
"""Place, attributes and dashes of each mark of a part in one theme."""
NUMBER, WORD, TITLE = 0, 1, 2
"""In place of a string: the number of a blank, the state of a row, the title of the page."""
_NONE = ((), None, None)
"""Instead of a mark that one theme draws and another does not."""
_WHERE = {"d", "x", "y", "width", "height", "rx", "ry", "cx", "cy", "r"}
_OTHER = {"start": "end", "end": "start"}
_NOWHERE: Mapping[type[Mark], Mapping[str, Any]] = {
    Path: {"curve": ((0.0, 0.0),) * 4},
    Plate: {"box": Box(0, 0, 0, 0)},
    Disc: {"x": 0.0, "y": 0.0, "r": 0.0},
    Words: {"string": "", "x": 0.0, "y": 0.0, "anchor": "start"},
}


class Element(NamedTuple):
    """One mark in all themes: its place; its attributes and its dashes by theme, None where a theme draws none."""

    place: Any
    paints: tuple[Mapping[str, str] | None, ...]
    dashes: tuple[Any, ...]


class Pool:
    """Values, each once; *add* gives the index of one."""

    def __init__(self) -> None:
        self.values: list[object] = []
        self._index: dict[Hashable, int] = {}

    def add(self, value: object) -> int:
        """Index of a value."""
        key = value if isinstance(value, tuple) else repr(value)
        found = self._index.setdefault(key, len(self.values))
        if found == len(self.values):
            self.values.append(value)
        return found


@dataclass
class Pools:
    """What the parts of a picture share."""

    paints: Pool = field(default_factory=Pool)
    dashes: Pool = field(default_factory=Pool)
    looks: Pool = field(default_factory=Pool)
    _painted: dict[tuple[int, ...], tuple[object, int]] = field(default_factory=dict)

    def paint(self, paints: tuple[Mapping[str, str] | None, ...]) -> int:
        """Index of what a mark looks like in all themes; the same few objects come again and again."""
        key = tuple(map(id, paints))
        if key not in self._painted:  # which holds them, so that no other object takes their id
            self._painted[key] = (paints, self.paints.add(list(paints)))
        return self._painted[key][1]

    def slot(self, states: Mapping[str, Drawn], live: Mapping[str, int] = {}) -> list[Any]:
        """A part in each of its states: the index of its look, its places, its dashes.

        The look says by state which of the places are painted how: place, paint, one more than the dash. *live*:
        strings in place of which the page writes what it knows.
        """
        rows = {
            id(drawn): [[(place(mark, live), paint(mark), _dashes(mark)) for mark in marks] for marks in drawn]
            for drawn in states.values()
        }
        return self.looked({state: rows[id(drawn)] for state, drawn in states.items()})

    def looked(self, states: Mapping[str, Sequence[Row]]) -> list[Any]:
        """The same of the rows of all themes in each state; what several states share is one object."""
        places, dashes, look = Pool(), Pool(), {}
        known: dict[int, list[int]] = {}
        for state, rows in states.items():
            if id(rows) not in known:
                found = known[id(rows)] = []
                for element in together(rows):
                    dash = 1 + dashes.add(self.dashes.add(element.dashes)) if any(element.dashes) else 0
                    found += [places.add(element.place), self.paint(element.paints), dash]
            look[state] = known[id(rows)]
        return [self.looks.add(look), places.values, dashes.values]


def together(rows: Sequence[Row]) -> list[Element]:
    """The marks of several themes as one list; what some themes leave out stands where the others have it."""
    if all(len(set(map(itemgetter(0), cells))) == 1 for cells in zip_longest(*rows, fillvalue=_NONE)):
        columns = zip(*rows, strict=True)
        return [Element(cells[0][0], *zip(*(cell[1:] for cell in cells), strict=True)) for cells in columns]
    spine = [where for where, *_ in max(rows, key=len)]
    laid = [_along(spine, row) for row in rows]
    if None in laid:
        laid = [[cell if row is own else None for row in rows for cell in row] for own in rows]
        spine = [where for row in rows for where, *_ in row]
    found = []
    for i, where in enumerate(spine):
        here = [row[i] if row else None for row in laid]
        found.append(Element(where, tuple(r[1] if r else None for r in here), tuple(r[2] if r else None for r in here)))
    return found


def _along(spine: Sequence[Any], row: Row) -> list[Any] | None:
    """The row with gaps, so that its places are those of the spine; None where they are not among them."""
    rest = list(row)
    found = [rest.pop(0) if rest and rest[0][0] == where else None for where in spine]
    return None if rest else found


def place(mark: Mark, live: Mapping[str, int] = {}) -> Place:
    """Where a mark is drawn. Points of a curve are told by their distance from the one before, which packs best.

    *live*: strings in place of which the page writes what it knows.
    """
    match mark:
        case Path():
            return curve_place(mark.curve)
        case Plate():
            box = mark.box
            return ("r", *map(hundredths, (box.x, box.y, box.w, box.h, mark.radius)))
        case Disc():
            return ("c", *map(hundredths, (mark.x, mark.y, mark.r)))
        case Words():
            string = live.get(mark.string, mark.string)
            return ("t", hundredths(mark.x), hundredths(mark.y), mark.anchor, string)
        case _:  # fills and hatching are those of a limb, which no page holds
            raise TypeError(f"a page has no place for {type(mark).__name__}")


def curve_place(curve: Curve) -> Place:
    """Where a curve is drawn."""
    whole = [round(100 * round(v, 2)) for point in curve for v in point]
    return ("p", whole[0], whole[1], *map(sub, whole[2:], whole))


def flipped(place: Place, wide: int) -> Place:
    """The place mirrored on a page of that width, hundredths of a mm."""
    letter, x, y, *rest = place
    match letter:
        case "p":
            return ("p", wide - x, y, *(-v if i % 2 == 0 else v for i, v in enumerate(rest)))
        case "r":
            return ("r", wide - x - rest[0], y, *rest)
        case "t":
            return ("t", wide - x, y, _OTHER.get(rest[0], rest[0]), rest[1])
        case _:
            return (letter, wide - x, y, *rest)


def hundredths(value: float) -> int:
    """A length in whole hundredths, rounded as the painter writes it."""
    return round(100 * round(float(value), 2))


def turned(place: Place) -> Place:
    """A curve drawn from its other end; anything else as it is."""
    letter, *steps = place
    if letter != "p":
        return place
    pairs = list(zip(steps[::2], steps[1::2], strict=True))
    end = (sum(x for x, _ in pairs), sum(y for _, y in pairs))
    return ("p", *end, *(-v for pair in reversed(pairs[1:]) for v in pair))


def paint(mark: Mark) -> Mapping[str, str]:
    """The attributes that say how a mark looks, but for dashes: the same for all that differ in their place alone."""
    match mark:
        case Path():
            return stroke(mark.stroke, mark.width)
        case Plate():
            return _painted(Plate, fill=mark.fill, stroke=mark.stroke, width=mark.width)
        case Disc():
            return _painted(Disc, fill=mark.fill, stroke=mark.stroke, width=mark.width)
        case Words():
            return _painted(Words, size=mark.size, bold=mark.bold, fill=mark.fill)
        case _:
            raise TypeError(f"a page has no paint for {type(mark).__name__}")


def _dashes(mark: Mark) -> tuple[str, str] | None:
    """The dashes of a mark as the painter writes them."""
    return dashes(mark.dash, mark.offset) if isinstance(mark, Path) and mark.dash else None


def stroke(colour: Colour, width: float) -> Mapping[str, str]:
    """The attributes of a path, its width in mm, without its dashes."""
    return _painted(Path, stroke=colour, width=width)


@lru_cache(maxsize=4096)
def _painted(kind: type[Mark], **looks: Hashable) -> Mapping[str, str]:
    made: Callable[..., Mark] = kind
    written = attributes(made(**_NOWHERE[kind], **looks))
    return {k: v for k, v in written.items() if k not in _WHERE}
