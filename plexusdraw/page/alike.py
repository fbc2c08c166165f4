"""Parts that look alike, as the page holds them: how they look in each state is worked out with the first of them.

Parts of one *key* differ in where they are alone. So of all but the first only as much is drawn as tells the places:
a name in one state, and not in every state of every theme.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from itertools import groupby
from typing import Any

from plexusdraw.look.marks import Disc, Mark, Path, Plate, Words
from plexusdraw.page.marks import Place, Pools, Row, paint, place
from plexusdraw.scene.view import State

Way = tuple[State, int]
"""A state, and how many digits the numbers of blanks have: 0 where names are seen."""
Draw = Callable[[Way, int], Sequence[Mark]]
"""The marks of one part in one way and in the theme of that number."""


class Alike:
    """Makes the slots of the parts of one picture; none of them is dashed."""

    def __init__(self, pools: Pools, themes: int) -> None:
        self.pools = pools
        self.themes = range(themes)
        self.kinds: dict[Hashable, _Kind] = {}
        """Key → what its parts share."""

    def slot(self, key: Hashable, ways: Mapping[str, Way], draw: Draw, live: Mapping[str, int] = {}) -> list[Any]:
        """A part in each of its states, each drawn in one of the *ways*, as :meth:`Pools.slot` makes it.

        *key*: what its look rests on; parts of one key have the same ways, and places that coincide for one of them do
        so for all.
        """
        if key not in self.kinds:
            self.kinds[key] = _Kind(ways, draw, self.themes)
        return self.kinds[key].slot(draw, live, self.pools)


class _Kind:
    """Parts of one key."""

    def __init__(self, ways: Mapping[str, Way], draw: Draw, themes: Sequence[int]) -> None:
        self._ways = ways
        self._drawn: dict[Way, list[Row]] = {}
        """Way → for each theme its marks: the number of the place, how it is painted, no dashes."""
        self._looks: dict[tuple[int, ...], tuple[int, list[int]]] = {}
        numbers: dict[Hashable, int] = {}
        found: list[tuple[Way, int, int]] = []
        for way in dict.fromkeys(ways.values()):
            self._drawn[way] = rows = []
            for theme in themes:
                row = []
                for i, mark in enumerate(draw(way, theme)):
                    number = numbers.setdefault(_where(mark), len(numbers))
                    if number == len(found):
                        found.append((way, theme, i))
                    row.append((number, paint(mark), None))
                rows.append(row)
        self._first = [(*of, [i for *_, i in which]) for of, which in groupby(found, key=lambda one: one[:2])]
        """Where each place is found: way, theme, and the marks of these that are the first there."""

    def slot(self, draw: Draw, live: Mapping[str, int], pools: Pools) -> list[Any]:
        """One of the parts in each of its states."""
        places: list[Place] = []
        for way, theme, which in self._first:
            marks = draw(way, theme)
            places += [place(marks[i], live) for i in which]
        same = tuple(map(places.index, places))  # what is apart may be one place in hundredths
        if same not in self._looks:
            rows = {
                way: [[(same[number], *rest) for number, *rest in row] for row in rows]
                for way, rows in self._drawn.items()
            }
            look, order, _ = pools.looked({state: rows[way] for state, way in self._ways.items()})
            self._looks[same] = (look, order)
        look, order = self._looks[same]
        return [look, [places[number] for number in order], []]


def _where(mark: Mark) -> Hashable:
    """All that says where a mark is, unrounded."""
    match mark:
        case Path():
            assert not mark.dash, "dashes are fitted to a curve"
            return ("p", mark.curve)
        case Plate():
            return ("r", mark.box, mark.radius)
        case Disc():
            return ("c", mark.x, mark.y, mark.r)
        case Words():
            return ("t", mark.x, mark.y, mark.anchor, mark.string)
        case _:
            raise TypeError(f"a page has no place for {type(mark).__name__}")
