"""The limb as the page holds it: each shape once, the figures that they make, and how each looks in each state.

Shapes are in chart units times ``FINE``, as they lie on a left limb seen from the front; a figure says whether it is
turned over. Patterns, which the painters cut to each shape, are told by name: the browser fills with them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plexusdraw import charts
from plexusdraw.layout.limb import strip
from plexusdraw.layout.limb.plates import FLIP
from plexusdraw.look import areas
from plexusdraw.look.marks import Fill, Lines, Mark, Path
from plexusdraw.look.theme import Theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.page.marks import Pool
from plexusdraw.scene import Area, Curve, Part, Shape, Sinew
from plexusdraw.scene.view import State

Json = dict[str, Any]
FINE = 10
"""Units of the page for one of the chart."""
MM = 0.8
"""Mm for one unit of the chart, in which patterns and lines have their usual size: a limb of 80 mm."""
STATES: tuple[State, ...] = ("plain", "highlit", "dimmed", "lost", "weak", "slight", "reduced")
_SQUARE: Curve = ((0.0, 0.0), (9.0, 0.0), (18.0, 0.0), (27.0, 0.0), (27.0, 9.0), (27.0, 18.0), (27.0, 27.0))


def limb(plexus: Plexus, themes: Mapping[str, Theme]) -> Json | None:
    """The figures of muscles and skin; None where the model names no chart."""
    if not plexus.chart:
        return None
    shapes = Pool()
    chart = charts.of(plexus)
    figures = strip.figures(plexus, chart, ("muscles", "skin"), "left")
    mirrored = {view.id for view in chart.views if view.mirrored}
    turned = [figure.plate.side in mirrored for figure in figures]
    wide = max(f.plate.box.w for f in figures)
    high = max(f.plate.box.h for f in figures)
    return {
        "wide": round(FINE * wide),
        "high": round(FINE * high),
        "figures": [
            {
                "title": figure.words,
                "latin": figure.latin,
                "turned": int(back),
                "x": round(FINE * (figure.plate.box.x + figure.plate.box.w / 2)),
                "y": round(FINE * figure.plate.box.bottom),
                "parts": list(_parts(figure.plate.parts, shapes, back)),
            }
            for figure, back in zip(figures, turned, strict=True)
        ],
        "shapes": shapes.values,
        "key": [list(entry) for entry in strip.KEY],
        "looks": {name: _looks(theme) for name, theme in themes.items()},
    }


def _parts(parts: Sequence[Part], shapes: Pool, back: bool) -> Iterator[list[Any]]:
    """What is drawn, back to front: the name of its look, its entity, its shapes."""
    for part in map(FLIP.part, parts) if back else parts:
        if isinstance(part, Area):
            look = "outside" if part.outside else part.kind
            yield [look, part.entity, [shapes.add(_steps(c)) for c in part.curves]]
        elif isinstance(part, Sinew):
            yield ["sinew", part.entity, [shapes.add(_steps(part.curve))]]
        elif isinstance(part, Shape) and part.role in ("body", "bone", "edge", "cut", "line"):
            yield [part.role, "", [shapes.add(_steps(part.curve))]]


def _steps(curve: Curve) -> tuple[int, ...]:
    """A chain as whole steps from point to point."""
    x = y = 0
    found: list[int] = []
    for a, b in curve:
        there = round(FINE * a), round(FINE * b)
        found += [there[0] - x, there[1] - y]
        x, y = there
    return tuple(found)


def _looks(theme: Theme) -> Json:
    """Look and state → what is painted, as :func:`plexusdraw.look.areas.area` and its like paint it."""
    made: Json = {"page": theme.page}
    kinds = {"muscle": (False, False), "skin": (True, False), "outside": (True, True)}
    for kind, (border, outside) in kinds.items():
        square = Area("", kind, (_SQUARE,), -1, (), outside, border)
        made[kind] = {state: _area(square, state, theme) for state in STATES}
    cord = Sinew("", "muscle", _SQUARE, 0.5 * MM)
    made["sinew"] = {state: [_paint(m) for m in areas.sinew(cord, state, theme, 1.0)] for state in STATES}
    for role in ("body", "bone", "edge", "cut", "line"):
        shape = Shape("", "limb", role, _SQUARE)
        made[role] = {"plain": [_paint(m) for m in areas.shape(shape, theme, 1.0, theme.ink)]}
    return made


def _area(part: Area, state: State, theme: Theme) -> list[Json]:
    """One paint: fill and edge, and the pattern over the fill."""
    found: Json = {}
    for mark in areas.area(part, state, theme, {}, 1.0):
        if isinstance(mark, Lines):
            gap = _fine(theme.areas.pattern_gap)
            pattern = theme.areas.states[state].pattern
            found["pattern"] = [pattern, gap, mark.stroke, _fine(mark.width)]
        else:
            found |= _paint(mark)
    return [found]


def _paint(mark: Mark) -> Json:
    """Attributes of SVG that say how a mark looks, lengths in units of the page."""
    found: Json = {}
    match mark:
        case Fill():
            found = {"fill": mark.fill, "stroke": mark.stroke, "stroke-width": _fine(mark.width)}
        case Path():
            dash = " ".join(str(_fine(d)) for d in mark.dash)
            found = {"stroke": mark.stroke, "stroke-width": _fine(mark.width), "stroke-dasharray": dash}
        case _:
            raise TypeError(f"no limb is painted with {type(mark).__name__}")
    if not found["stroke"]:
        found = {"fill": found["fill"]}
    return {name: value for name, value in found.items() if value}


def _fine(mm: float) -> float:
    return round(mm / MM * FINE, 1)
