"""A slide that shows plexus and limb together, and of an injury the muscles that it takes in words.

The plexus stands over the limb, with as much detail as fits there; where it does not fit, or does not show the cut, the
limb has the slide to itself. Lists that do not fit in the least type are counted, the slightest first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from plexusdraw import charts, fonts
from plexusdraw.api import scenes
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import FitError
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.fit import Options
from plexusdraw.layout.limb import strip
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import MM_PER_PT, Box, Heading, Note, Panel, Part, Scene, Spot
from plexusdraw.scene.transform import Move, changed
from plexusdraw.sheets.case import taken

SHARES = (0.48, 0.52, 0.56, 0.6, 0.64)
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


@dataclass(frozen=True, slots=True)
class CaseSlide:
    """A slide; ``drawing``: the plexus on it, None where the limb stands alone."""

    scene: Scene
    drawing: Scene | None

    @property
    def lists(self) -> dict[str, None]:
        """Keys of what a question must not show."""
        return {p.key: None for p in self.scene.parts if isinstance(p, Note) and p.key.startswith(LISTED)}


def compose(plexus: Plexus, options: Options, injury: Injury | None) -> CaseSlide:
    """The slide of an injury, or of what is lit.

    Raises:
        ModelError: the model has no chart. FitError: not even the title fits.
    """
    best: tuple[CaseSlide, _Under] | None = None
    for drawing in _drawings(plexus, options, injury):
        made, under = _slide(plexus, options, injury, drawing)
        if best is None or (under.k > AS_LARGE * best[1].k and under.counted <= best[1].counted):
            best = (made, under)
    return best[0] if best else _slide(plexus, options, injury, None)[0]


def _slide(plexus: Plexus, options: Options, injury: Injury | None, drawing: Scene | None) -> tuple[CaseSlide, _Under]:
    page = options.page
    whole = drawing or scenes(plexus.drawn, options)[0]  # of which the title and the foot are taken
    foot = {p.key for p in whole.parts if isinstance(p, Note) and p.role in ("legend", "caution")}
    down = Move(0.0, page.height - whole.height)
    panels = [p.box for p in whole.parts if isinstance(p, Panel)]

    def moved(part: Part) -> Part | None:
        if isinstance(part, Note):
            return down.part(part) if part.key in foot else part
        return part if drawing else None

    base = changed(whole, moved)
    top = (max(b.bottom for b in panels) if drawing else min(b.y for b in panels)) + 0.5 * GAP_MM
    ends = [p.text.box.y for p in base.parts if isinstance(p, Note) and p.key in foot]
    bottom = min(ends, default=page.height - page.margin) - 0.5 * GAP_MM
    room = Box(page.margin, top, page.width - 2 * page.margin, bottom - top)
    under = _under(plexus, options, injury, room, beside=drawing is not None)
    last = len(base.parts)
    read = [last + i for i, part in enumerate(under.parts) if isinstance(part, Heading | Note)]
    words = f"{whole.description} The limb, front and back, with its muscles and skin."
    parts, reading = (*base.parts, *under.parts), (*base.reading, *read)
    return CaseSlide(replace(base, height=page.height, parts=parts, reading=reading, description=words), drawing), under


def _drawings(plexus: Plexus, options: Options, injury: Injury | None) -> Iterator[Scene]:
    """The plexus in ever larger parts of the slide, with as much detail as fits and every cut on it."""
    details = DETAILS[: DETAILS.index("nerves") + 1]
    for share in SHARES:
        page = replace(options.page, height=options.page.height * share)
        for detail in reversed(details):
            try:
                made = scenes(plexus.drawn, replace(options, detail=detail, page=page, supply=False))[0]
            except FitError:
                continue
            spots = {p.entity for p in made.parts if isinstance(p, Spot)}
            if injury is None or all(id in spots for id, _ in injury.cuts):
                yield made
                break


@dataclass(frozen=True, slots=True)
class _Under:
    """What stands under the plexus: the limb at *k* mm a unit, lists with losses up to *counted* as numbers."""

    parts: tuple[Part, ...]
    k: float
    counted: Loss


def _under(plexus: Plexus, options: Options, injury: Injury | None, room: Box, *, beside: bool) -> _Under:
    """The limb, and to its right what is lost."""
    size = options.page.smallest
    found = strip.figures(plexus, charts.of(plexus), ("muscles", "skin"), options.side)
    wide = room.w * (LIMB_SHARE if beside else ALONE_SHARE) if injury else room.w
    made = strip.strip(found, Box(room.x, room.y, wide, room.h), size, GAP_MM, packed=True)
    if not injury:
        return _Under(made.parts, made.k, Loss.NONE)
    x = made.box.right + 2 * GAP_MM
    lists, counted = _lists(injury, Box(x, room.y, room.x + room.w - x, room.h), size)
    return _Under((*made.parts, *lists), made.k, counted)


def _lists(injury: Injury, room: Box, least: float) -> tuple[list[Part], Loss]:
    """What is lost, in the largest type that fits; else the slightest losses as counts."""
    for counted in Loss:
        for larger in TYPES if counted is Loss.NONE else TYPES[-1:]:
            size = larger * least
            lines = [line for text in _told(injury, counted) for line in _wrapped(text, room.w, size)]
            step = size * MM_PER_PT * LEADING
            if len(lines) * step <= room.h or counted is Loss.WHOLE:
                rows = enumerate(lines, start=1)
                places = [
                    (i, fonts.text(t, room.x, room.y + i * step - fonts.descent(size), size, bold=b))
                    for i, (t, b) in rows
                ]
                return [Note("legend", f"{LISTED}{i}", place, room.w) for i, place in places], counted
    raise AssertionError("the last way always fits")


def _told(injury: Injury, counted: Loss) -> Iterator[tuple[str, str]]:
    """Heads with their lists; losses up to *counted* are numbers alone."""
    for loss, head in taken.HEADS.items():
        many = sum(o.loss is loss for o in injury.muscles.values())
        if many:
            yield f"{head}: {many}", "" if loss <= counted else "; ".join(taken.muscles(injury, loss))
    if not injury.broken:
        yield "Nothing is lost", ""


def _wrapped(text: tuple[str, str], width: float, size: float) -> list[tuple[str, bool]]:
    head, names = text
    heads = [(line, True) for line in fonts.wrap(head, width, size, bold=True)]
    return heads + [(line, False) for line in fonts.wrap(names, width, size)]
