"""A slide that shows plexus and limb together, and in words the muscles that an injury takes, or that a nerve supplies.

The plexus stands over the limb, with side branches where the slide is about one; where it does not fit, the limb has
the slide to itself. Lists that do not fit in the least type are counted, the slightest first.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw import charts, fonts, names
from plexusdraw.api import fitting
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.layout import surround
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb import strip
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.scale import Scale
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.grouped import grouped
from plexusdraw.routes.reach import reach
from plexusdraw.scene import MM_PER_PT, Box, Heading, Label, Note, Panel, Part, Pill, Scene, Spot
from plexusdraw.scene.transform import Move, changed
from plexusdraw.sheets.case import taken
from plexusdraw.sheets.slides.room import WIDER, lines_of

SHARES = (0.5, 0.57, 0.6, 0.64)
"""Shares of the slide's height that are tried for the plexus."""
LIMB_SHARE, ALONE_SHARE = 0.62, 0.75
"""Most of the width that the limb takes beside a list, as a share; under the plexus, and alone."""
TYPES = (1.3, 1.15, 1.0)
"""Type of the lists, as multiples of the least on the slide."""
GAP_MM = 4.0
LEADING = 1.2
LISTED = "lost-"
"""Begins the keys of the notes that tell what is lost."""
AS_LARGE = 0.95
"""A taller plexus may make the limb so much smaller, as a factor."""
FOR_NAMES = 0.88
"""And one with larger names so much."""


@dataclass(frozen=True, slots=True)
class CaseSlide:
    """A slide; ``drawing``: the plexus on it, None where the limb stands alone."""

    scene: Scene
    drawing: Scene | None

    @property
    def names(self) -> float:
        """Smallest type of names in the drawing, pt; 0 where there is none."""
        parts = self.drawing.parts if self.drawing else ()
        return min((line.size for p in parts if isinstance(p, Label | Pill) for line in p.lines), default=0.0)

    @property
    def lists(self) -> dict[str, None]:
        """Keys of what a question must not show."""
        return {p.key: None for p in self.scene.parts if isinstance(p, Note) and p.key.startswith(LISTED)}


@dataclass(frozen=True, slots=True)
class About:
    """What a slide is about: an injury, or structures that are lit."""

    injury: Injury | None = None
    lit: tuple[Entity, ...] = ()

    @property
    def wanted(self) -> set[str]:
        """Ids of what the drawing must show."""
        cuts = {id for id, _ in self.injury.cuts} if self.injury else set()
        return cuts or {entity.id for entity in self.lit}

    def told(self, plexus: Plexus, wording: Wording) -> Iterator[list[tuple[str, str]]]:
        """Heads with their lists, in ever fewer words."""
        if self.injury:
            yield from (list(_lost(self.injury, counted, wording)) for counted in Loss)
        elif self.lit:
            yield from (list(_reached(plexus, self.lit, wording, named=named)) for named in (True, False))


def compose(plexus: Plexus, options: Options, about: About) -> CaseSlide:
    """The slide of an injury, or of what is lit; a plexus without a chart has its lists alone under it.

    Raises:
        ModelError: the model's chart is wrong. FitError: not even the title fits.
    """
    best: tuple[CaseSlide, _Under] | None = None
    for drawing in _drawings(plexus, options, about):
        made, under = _slide(plexus, options, about, drawing)
        if best is None or _better((made, under), best):
            best = (made, under)
    return best[0] if best else _slide(plexus, options, about, None)[0]


def _better(one: tuple[CaseSlide, _Under], best: tuple[CaseSlide, _Under]) -> bool:
    """Whether a slide with a taller plexus is better: fuller lists; larger names, or a limb that is hardly smaller."""
    (made, under), (before, under_before) = one, best
    if under.left != under_before.left:
        return under.left < under_before.left
    least = FOR_NAMES if made.names > before.names else AS_LARGE
    return under.k > least * under_before.k


def _slide(plexus: Plexus, options: Options, about: About, drawing: Scene | None) -> tuple[CaseSlide, _Under]:
    page = options.page
    whole = drawing or _empty(plexus, options)
    foot = {p.key for p in whole.parts if isinstance(p, Note) and p.role in ("legend", "caution")}
    down = Move(0.0, page.height - whole.height)
    panels = [p.box for p in whole.parts if isinstance(p, Panel)]
    base = changed(whole, lambda part: down.part(part) if isinstance(part, Note) and part.key in foot else part)
    head = max(p.text.box.bottom for p in whole.parts if isinstance(p, Note) and p.role == "title")
    top = max((b.bottom for b in panels), default=head) + 0.5 * GAP_MM
    ends = [p.text.box.y for p in base.parts if isinstance(p, Note) and p.key in foot]
    bottom = min(ends, default=page.height - page.margin) - 0.5 * GAP_MM
    room = Box(page.margin, top, page.width - 2 * page.margin, bottom - top)
    under = _under(plexus, options, about, room, beside=drawing is not None)
    last = len(base.parts)
    read = [last + i for i, part in enumerate(under.parts) if isinstance(part, Heading | Note)]
    words = f"{whole.description} The limb, front and back, with its muscles and skin." if plexus.chart else ""
    parts, reading = (*base.parts, *under.parts), (*base.reading, *read)
    described = words or whole.description
    return CaseSlide(
        replace(base, height=page.height, parts=parts, reading=reading, description=described), drawing
    ), under


def _empty(plexus: Plexus, options: Options) -> Scene:
    """A slide with nothing but room for its title and what stands at its foot."""
    page = options.page
    scale = Scale(page.smallest, page.smallest)
    caution = surround.caution_lines(plexus.caution, page, scale)
    limb = names.of_limb(plexus, options.wording.style, options.side)  # seen from front and back
    notes = surround.notes(surround.bands(page, scale, caution, plexus), scale, limb, caution)
    return blank(page, notes, options.side, plexus)


def blank(page: Paper, parts: Sequence[Part], side: str, plexus: Plexus, description: str = "") -> Scene:
    """A slide without a drawing."""
    return Scene(
        width=page.width,
        height=page.height,
        margin=page.margin,
        medium="slide",
        table="none",
        parts=tuple(parts),
        reading=tuple(i for i, part in enumerate(parts) if isinstance(part, Heading | Note)),
        description=description,
        side=side,  # type: ignore[arg-type]
        roots=plexus.palette,
    )


def _drawings(plexus: Plexus, options: Options, about: About) -> Iterator[Scene]:
    """The plexus in ever larger parts of the slide: columns alone where they show what it is about."""
    for share, detail in [*((share, "framework") for share in SHARES), (SHARES[-1], "nerves"), (0.75, "nerves")]:
        page = replace(options.page, height=options.page.height * share)
        small = replace(options, detail=detail, page=page, supply=False, remark=False)  # type: ignore[arg-type]
        made = fitting(plexus.drawn, small)
        if made and about.wanted <= _drawn(plexus, made[0]):
            yield made[0]
            if detail == "nerves":
                return
        elif made and detail == "framework":
            continue


def _drawn(plexus: Plexus, scene: Scene) -> set[str]:
    """What a drawing shows: its segments, their places and the wholes of their parts, and what no drawing shows."""
    spots: set[str] = {p.entity for p in scene.parts if isinstance(p, Spot)}
    others: Collection[str] = plexus.muscles.keys() | plexus.skin.keys()
    return spots | {plexus.segments[id].whole for id in spots if id in plexus.segments} | {*others}


@dataclass(frozen=True, slots=True)
class _Under:
    """What stands under the plexus: the limb at *k* mm a unit, and lists; *left*: how often they were shortened."""

    parts: tuple[Part, ...]
    k: float
    left: int


def _under(plexus: Plexus, options: Options, about: About, room: Box, *, beside: bool) -> _Under:
    """The limb, and to its right what is lost or supplied."""
    size = options.page.smallest
    if not plexus.chart:
        lists, left = _lists(about, plexus, options.wording, room, size)
        return _Under(tuple(lists), 1.0, left)
    listed = bool(about.injury or about.lit)
    wide = room.w * (LIMB_SHARE if beside else ALONE_SHARE) if listed else room.w
    made = _limb(plexus, options.side, options.wording.style, Box(room.x, room.y, wide, room.h), size)
    if not listed:
        return _Under(made.parts, made.k, 0)
    x = made.box.right + 2 * GAP_MM
    lists, left = _lists(about, plexus, options.wording, Box(x, room.y, room.x + room.w - x, room.h), size)
    return _Under((*made.parts, *lists), made.k, left)


@fonts.measuring(64)
def _limb(plexus: Plexus, side: str, style: names.Style, room: Box, size: float) -> strip.Strip:
    """The limb's figures in a room: slides about several things have the same."""
    found = strip.figures(plexus, charts.of(plexus), ("muscles", "skin"), side, style=style)
    return strip.strip(found, room, size, GAP_MM, packed=True, wider=WIDER)


def _lists(about: About, plexus: Plexus, wording: Wording, room: Box, least: float) -> tuple[list[Part], int]:
    """What is told, in the largest type that fits; else in fewer words. Also how often words were left out."""
    ways = list(about.told(plexus, wording))
    for left, told in enumerate(ways):
        for larger in TYPES if not left else TYPES[-1:]:
            size = larger * least
            lines = [line for text in told for line in _wrapped(text, room.w, size)]
            step = size * MM_PER_PT * LEADING
            if len(lines) * step <= room.h or (told is ways[-1] and larger == TYPES[-1]):
                rows = enumerate(lines, start=1)
                places = [
                    (i, fonts.text(t, room.x, room.y + i * step - fonts.descent(size), size, bold=b))
                    for i, (t, b) in rows
                ]
                return [Note("legend", f"{LISTED}{i}", place, room.w) for i, place in places], left
    return [], 0


def _lost(injury: Injury, counted: Loss, wording: Wording) -> Iterator[tuple[str, str]]:
    """Heads with their lists; losses up to *counted* are numbers alone."""
    for loss, head in taken.HEADS.items():
        many = sum(o.loss is loss for o in injury.muscles.values())
        if many:
            yield f"{head}: {many}", "" if loss <= counted else _joined(taken.muscles(injury, loss, wording))
    if not injury.broken:
        yield "Nothing is lost", ""


def _reached(plexus: Plexus, lit: Sequence[Entity], wording: Wording, *, named: bool) -> Iterator[tuple[str, str]]:
    """Muscles and skin that structures reach; *named* or counted."""
    found = [reach(plexus, entity) for entity in lit]
    muscles = list(dict.fromkeys(id for one in found for id in one.muscles))
    skin = list(dict.fromkeys(id for one in found for id in one.skin if not plexus.skin[id].dermatome))
    for head, ids in (("Muscles", muscles), ("Skin", skin)):
        if ids:
            whole = grouped(plexus, ids) if head == "Muscles" else ids
            words = [wording.of(plexus.groups[id] if id in plexus.groups else plexus.target(id)) for id in whole]
            yield f"{head}: {len(ids)}", _joined(words) if named else ""
    if not muscles and not skin:
        yield "No muscle or skin area", ""


def _joined(words: Sequence[str]) -> str:
    """Names as a list; a Latin muscle begins with "m.", as the trade writes it where room is short."""
    return "; ".join(re.sub("^musculus ", "m. ", re.sub("^musculi ", "mm. ", word)) for word in words)


def _wrapped(text: tuple[str, str], width: float, size: float) -> list[tuple[str, bool]]:
    head, listed = text
    heads = [(line, True) for line in lines_of(head, width, size, bold=True)]
    return heads + [(line, False) for line in lines_of(listed, width, size)]
