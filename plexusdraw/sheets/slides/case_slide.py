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
LIMB_SHARE = 0.62
"""Most of the width that the limb takes beside a list, as a share."""
TYPES = (1.3, 1.15, 1.0)
"""Type of the lists, as multiples of the least on the slide."""
GAP_MM = 4.0
LEADING = 1.2
LISTED = "lost-"
"""Begins the keys of the notes that tell what is lost."""
_COUNTED = (Loss.NONE, Loss.SLIGHT, Loss.PART, Loss.WHOLE)


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
    drawing = _drawing(plexus, options, injury)
    page = options.page
    whole = drawing or _head(plexus, options)
    foot = [p for p in whole.parts if isinstance(p, Note) and p.role in ("legend", "caution")]
    down = Move(0.0, page.height - whole.height)
    panels = [p.box for p in whole.parts if isinstance(p, Panel)]

    def moved(part: Part) -> Part | None:
        if any(part is note for note in foot):
            return down.part(part)
        return part if drawing or isinstance(part, Note) else None

    base = changed(whole, moved)
    top = (max(b.bottom for b in panels) if drawing else min(b.y for b in panels)) + 0.5 * GAP_MM
    bottom = min((p.text.box.y for p in foot), default=whole.height - page.margin) + down.dy - 0.5 * GAP_MM
    more = list(_under(plexus, options, injury, Box(page.margin, top, page.width - 2 * page.margin, bottom - top)))
    last = len(base.parts)
    read = [last + i for i, part in enumerate(more) if isinstance(part, Heading | Note)]
    words = f"{whole.description} The limb, front and back, with its muscles and skin."
    scene = replace(
        base, height=page.height, parts=(*base.parts, *more), reading=(*base.reading, *read), description=words
    )
    return CaseSlide(scene, drawing)


def _drawing(plexus: Plexus, options: Options, injury: Injury | None) -> Scene | None:
    """The plexus in the smallest part of the slide that it fits, with every cut on it; None if there is none."""
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
                return made
    return None


def _head(plexus: Plexus, options: Options) -> Scene:
    """The slide's own drawing, of which the title, the foot and the top of the columns are taken."""
    return scenes(plexus.drawn, options)[0]


def _under(plexus: Plexus, options: Options, injury: Injury | None, room: Box) -> Iterator[Part]:
    """The limb, and to its right what is lost."""
    size = options.page.smallest
    found = strip.figures(plexus, charts.of(plexus), ("muscles", "skin"), options.side)
    wide = room.w * LIMB_SHARE if injury else room.w
    made = strip.strip(found, Box(room.x, room.y, wide, room.h), size, GAP_MM, packed=True)
    yield from made.parts
    if injury:
        x = made.box.right + 2 * GAP_MM
        yield from _lists(injury, Box(x, room.y, room.x + room.w - x, room.h), size)


def _lists(injury: Injury, room: Box, least: float) -> Iterator[Part]:
    """What is lost, in the largest type that fits; else the slightest losses as counts."""
    for counted in _COUNTED:
        for larger in TYPES if counted is Loss.NONE else TYPES[-1:]:
            size = larger * least
            lines = [line for text in _told(injury, counted) for line in _wrapped(text, room.w, size)]
            step = size * MM_PER_PT * LEADING
            if len(lines) * step <= room.h or (counted, larger) == (_COUNTED[-1], TYPES[-1]):
                for i, (line, bold) in enumerate(lines):
                    y = room.y + (i + 1) * step - fonts.descent(size)
                    yield Note("legend", f"{LISTED}{i}", fonts.text(line, room.x, y, size, bold=bold), room.w)
                return


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
