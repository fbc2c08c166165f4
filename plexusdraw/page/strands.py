"""Strands as the page holds them: how those of one pen, share and width look is worked out once for all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plexusdraw.look import strokes
from plexusdraw.look.strokes import Stroke
from plexusdraw.look.theme import Dashes, Theme
from plexusdraw.page.marks import Element, Pools, curve_place, stroke, together
from plexusdraw.paint.svg import dashes
from plexusdraw.scene import Curve, Strand
from plexusdraw.scene.view import State

Written = tuple[str, str] | None


class Strands:
    """Makes the slots of the strands of one picture."""

    def __init__(self, themes: Sequence[Theme], roots: Sequence[str], states: Sequence[State], pools: Pools) -> None:
        self.pens = {root: [theme.pen(i) for theme in themes] for i, root in enumerate(roots)}
        self.themes = themes
        self.states = states
        self.pools = pools
        self._styles: dict[tuple[str, bool, float], _Style] = {}

    def slot(self, part: Strand) -> list[Any]:
        """A strand in each of its states: the index of its look, its places, its dashes."""
        key = (part.root, part.minor, part.width)
        if key not in self._styles:
            made = {state: together(list(self._rows(part, state))) for state in self.states}
            self._styles[key] = _Style(made, part.width)
        return self._styles[key].slot(part.curve, self.pools)

    def _rows(self, part: Strand, state: State) -> Iterator[list[tuple[bool, Mapping[str, str], Dashes | None]]]:
        for theme, pen in zip(self.themes, self.pens[part.root], strict=True):
            drawn = strokes.of_strand(pen, theme, state, minor=part.minor)
            yield [(one.longer, _paint(one, part.width), one.dash if any(one.dash) else None) for one in drawn]


class _Style:
    """Strands of one pen, share and width.

    *states*: what is drawn in each state; an element's place is whether it is longer than the strand, its dashes are in
    widths.
    """

    def __init__(self, states: Mapping[State, Sequence[Element]], width: float) -> None:
        self._states = states
        every = [element for elements in states.values() for element in elements]
        self._longer: list[bool] = list(dict.fromkeys(e.place for e in every))
        self._dashes = list(dict.fromkeys(e.dashes for e in every if any(e.dashes)))
        wanted = dict.fromkeys(dash for dashes in self._dashes for dash in dashes if dash)
        self._single = {dash: tuple(d * width for d in dash) for dash in wanted}
        self._looks: dict[tuple[int, ...], int] = {}

    def slot(self, curve: Curve, pools: Pools) -> list[Any]:
        """One of them in each of its states."""
        places = [curve_place(strokes.longer(curve) if more else curve) for more in self._longer]
        if not self._dashes:
            return [self._look((), pools), places, []]
        run = strokes.length(curve)
        fit: dict[Dashes | None, Written] = {
            dash: dashes(*strokes.fitted(unit, run)) for dash, unit in self._single.items()
        }
        fit[None] = None
        indices = [pools.dashes.add(tuple(map(fit.__getitem__, wanted))) for wanted in self._dashes]
        own = list(dict.fromkeys(indices))
        return [self._look(tuple(map(own.index, indices)), pools), places, own]

    def _look(self, at: tuple[int, ...], pools: Pools) -> int:
        """The index of a look, its dashes *at* these places among those of the strand: some may come out the same."""
        if at not in self._looks:
            number = {dash: 1 + i for dash, i in zip(self._dashes, at, strict=True)}

            def drawn(e: Element) -> tuple[int, int, int]:
                return self._longer.index(e.place), pools.paint(e.paints), number.get(e.dashes, 0)

            look = {state: [v for e in elements for v in drawn(e)] for state, elements in self._states.items()}
            self._looks[at] = pools.looks.add(look)
        return self._looks[at]


def _paint(one: Stroke, width: float) -> Mapping[str, str]:
    return stroke(one.colour, width * one.width)
