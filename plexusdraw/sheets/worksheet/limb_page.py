"""A page of a form with figures of the limb: their room, what colours stand for, and lines to answer on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from plexusdraw import charts, fonts
from plexusdraw.layout.limb import compose, legend
from plexusdraw.layout.limb.legend import Swatch
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.layout.paper import Paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Box, Label, Part, Scene, Shape
from plexusdraw.scene.transform import Move
from plexusdraw.scene.view import LabelKey
from plexusdraw.sheets.worksheet import form_page
from plexusdraw.sheets.worksheet.form_page import FOOT_PT, Frame
from plexusdraw.sheets.worksheet.space import APART_MM, Space, spaces
from plexusdraw.sheets.worksheet.spec import Question

Swatches = Sequence[Swatch]
LEAST_SHARE = 0.5
"""So much of the height that the limb would have alone is left to it beside lines to answer on."""
GAP_MM = 2.0
SWATCH_LEADING = 1.45


@dataclass(frozen=True, slots=True)
class LimbPage:
    """Figures in their places on the page; ``low``: where they end, mm from its top.

    ``keys``: the names on them, in reading order. ``space``: room for lines; None: these have pages of their own.
    """

    figures: tuple[Part, ...]
    keys: tuple[LabelKey, ...]
    low: float
    space: Space | None = None


@fonts.measuring(32)
def alone(plexus: Plexus, options: LimbOptions, page: Paper, frame: Frame) -> tuple[LimbPage, ...]:
    """Figures between head and foot of a page, or of several where one does not take them.

    Raises:
        FitError: they do not fit; says which paper would do. ModelError: the model has no chart of its limb.
    """
    room = _room(plexus, options, page, frame)
    made = compose.layout(plexus, charts.of(plexus), _within(options, page, room))
    return tuple(_placed(scene, room) for scene in made)


def lined(
    plexus: Plexus, options: LimbOptions, page: Paper, frame: Frame, questions: Sequence[Question]
) -> LimbPage | None:
    """Figures with lines for answers to *questions* on one page, as large as can be; None if that is too small."""
    room, chart = _room(plexus, options, page, frame), charts.of(plexus)
    whole = alone(plexus, options, page, frame)
    best, least = None, LEAST_SHARE * _tall(whole[0]) if len(whole) == 1 else float("inf")
    swatches = _high(legend_of(plexus, options), page)
    for space in spaces(room, questions):
        own = replace(room, w=space.left - room.x) if space.beside else replace(room, h=space.box.y - APART_MM - room.y)
        made = compose.fitted(plexus, chart, _within(options, page, own))
        if made is None or len(made) > 1:
            continue
        below = 0.0 if space.beside else swatches
        moved = replace(space, box=replace(space.box, y=space.box.y + below))
        placed = replace(_placed(made[0], own), space=moved)
        if _tall(placed) > least:
            best, least = placed, _tall(placed)
    return best


def composed(made: LimbPage, page: Paper, frame: Frame, swatches: Swatches, lines: Sequence[Part] = ()) -> Scene:
    """The page: head, figures, the *swatches* of the legend, *lines*, foot."""
    return form_page.blank_page(page, frame, [*made.figures, *_drawn(swatches, page, made.low), *lines])


@lru_cache(maxsize=32)
def legend_of(plexus: Plexus, options: LimbOptions) -> tuple[Swatch, ...]:
    """What the colours of a page stand for."""
    return legend.swatches(plexus, charts.of(plexus), options)


def _high(entries: Swatches, page: Paper) -> float:
    """Height of a legend with the gap over it, mm."""
    rows = legend.rows(entries, page.width - 2 * page.margin, FOOT_PT)
    return len(rows) * _step() + GAP_MM if rows else 0.0


def _drawn(entries: Swatches, page: Paper, top: float) -> list[Part]:
    made: list[Part] = []
    y = top + GAP_MM
    for row in legend.rows(entries, page.width - 2 * page.margin, FOOT_PT):
        y += _step()
        made += legend.drawn(row, page.margin, y - 0.3 * _step(), FOOT_PT)
    return made


def _step() -> float:
    return FOOT_PT * MM_PER_PT * SWATCH_LEADING


def _room(plexus: Plexus, options: LimbOptions, page: Paper, frame: Frame) -> Box:
    """What head, foot and legend leave to figures and lines."""
    top, bottom = form_page.room(page, frame)
    return Box(page.margin, top, page.width - 2 * page.margin, bottom - top - _high(legend_of(plexus, options), page))


def _within(options: LimbOptions, page: Paper, room: Box) -> LimbOptions:
    edge = 2 * page.margin
    name = f"{page.name}, less {page.height - room.h - edge:.1f} mm"
    return replace(options, page=replace(page, name=name, width=room.w + edge, height=room.h + edge), bare=True)


def _placed(made: Scene, room: Box) -> LimbPage:
    move = Move(room.x - made.margin, room.y - made.margin)
    labels = (part for part in made.read() if isinstance(part, Label))
    keys = tuple(dict.fromkeys((part.entity, "name") for part in labels))
    return LimbPage(tuple(move.part(part) for part in made.parts), keys, room.bottom)


def _tall(made: LimbPage) -> float:
    """Height of the tallest figure, mm."""
    bodies = (part.curve for part in made.figures if isinstance(part, Shape) and part.role == "body")
    return max(max(y for _, y in curve) - min(y for _, y in curve) for curve in bodies)
