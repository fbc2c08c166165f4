"""Strands as the page holds them: how those of one pen, share and width look is worked out once for all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plexusdraw.look import strokes
from plexusdraw.look.strokes import Stroke
from plexusdraw.look.theme import Dashes, Theme
from plexusdraw.page.marks import Element, Pools, curve_place, stroke, together
from plexusdraw.paint.svg import dashes
from plexusdraw.scene import Strand
from plexusdraw.scene.view import State

Style = Mapping[State, Sequence[Element]]
"""What is drawn in each state: an element's place is whether it is longer than the strand, its dashes are in widths."""
Written = tuple[tuple[str, str] | None, ...]


class Strands:
    """Makes the slots of the strands of one picture."""

    def __init__(self, themes: Sequence[Theme], roots: Sequence[str], states: Sequence[State], pools: Pools) -> None:
        self.pens = {root: [theme.pen(i) for theme in themes] for i, root in enumerate(roots)}
        self.themes = themes
        self.states = states
        self.pools = pools
        self._styles: dict[tuple[str, bool, float], Style] = {}
        self._looks: dict[tuple[int, tuple[int, ...]], int] = {}

    def slot(self, part: Strand) -> list[Any]:
        """A strand in each of its states: the index of its look, its places, its dashes."""
        style = self._style(part)
        wanted = dict.fromkeys(e.dashes for elements in style.values() for e in elements if any(e.dashes))
        fit = {dash: self.pools.dashes.add(_written(dash, part)) for dash in wanted}
        own = list(dict.fromkeys(fit.values()))
        at = {dash: 1 + own.index(index) for dash, index in fit.items()}
        longer = list(dict.fromkeys(e.place for elements in style.values() for e in elements))
        places = [curve_place(strokes.longer(part.curve) if more else part.curve) for more in longer]
        key = (id(style), tuple(at.values()))  # alike but for dashes that have come out the same
        if key not in self._looks:

            def drawn(e: Element) -> tuple[int, int, int]:
                return longer.index(e.place), self.pools.paint(e.paints), at.get(e.dashes, 0)

            look = {state: [v for e in elements for v in drawn(e)] for state, elements in style.items()}
            self._looks[key] = self.pools.looks.add(look)
        return [self._looks[key], places, own]

    def _style(self, part: Strand) -> Style:
        key = (part.root, part.minor, part.width)
        if key not in self._styles:
            self._styles[key] = {state: together(list(self._rows(part, state))) for state in self.states}
        return self._styles[key]

    def _rows(self, part: Strand, state: State) -> Iterator[list[tuple[bool, Mapping[str, str], Dashes | None]]]:
        for theme, pen in zip(self.themes, self.pens[part.root], strict=True):
            drawn = strokes.of_strand(pen, theme, state, minor=part.minor)
            yield [(one.longer, _paint(one, part.width), one.dash if any(one.dash) else None) for one in drawn]


def _paint(one: Stroke, width: float) -> Mapping[str, str]:
    return stroke(one.colour, width * one.width)


def _written(wanted: Sequence[Dashes | None], part: Strand) -> Written:
    """The dashes of all themes as fitted to a strand."""
    return tuple(dashes(*strokes.dashed(dash, part.width, part.curve)) if dash else None for dash in wanted)
