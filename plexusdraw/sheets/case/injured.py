"""An injury on one page: the plexus with the cut, the limb with its muscles and skin, what is lost in words.

Lists that do not fit under the figures stand on a second page, so that nothing is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.clinic.injury import Injury
from plexusdraw.layout import paper as papers
from plexusdraw.layout.fit import Limb
from plexusdraw.layout.limb import strip
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import Note, Part
from plexusdraw.scene.view import Page
from plexusdraw.sheets.case import taken
from plexusdraw.sheets.case.frame import GAP_MM, Frame, step
from plexusdraw.sheets.case.taken import Entry
from plexusdraw.views.limb import STATE, SWATCHES, harmed
from plexusdraw.views.request import Request, view_of

LIST_PTS = (8.0, 7.4, 6.8, 6.4, 6.0)
"""Type of the lists, the largest that fits."""
COLUMNS = 3


def pages(injury: Injury, side: Limb = "left", paper: str = "a4 portrait") -> tuple[Page, ...]:
    """The pages of the case: one, or two where the lists need their own.

    Raises:
        ModelError: the model has no chart. FitError: the paper is too small.
    """
    plexus = injury.plexus
    frame = Frame(plexus, title(injury), papers.paper(paper), side)
    drawn, y = frame.plexus_at(frame.top)
    limb, y = frame.limb_at(y + GAP_MM, frame.figures(("muscles", "skin")), strip.KEY)
    entries = tuple(taken.entries(injury))
    lists = _lists(frame, entries, y + 0.5 * GAP_MM, frame.bottom)
    bodies = [(*drawn, *limb, *(lists or ()))]
    if lists is None:
        more = _lists(frame, entries, frame.top, frame.bottom) or _lists(frame, entries, frame.top, 1e9)
        bodies.append(tuple(more or ()))
    whats = ("the plexus, the limb, and what it takes", "what it takes")
    request = Request(title=frame.title, injury=injury)
    shown = view_of(plexus, fibre_routes.of(plexus), frame.drawing, request)
    states = {id: STATE[state] for id, state in harmed(plexus, injury, [*plexus.muscles, *plexus.skin]).items()}
    view = replace(shown, entities={**shown.entities, **states, **SWATCHES}, notes={})
    return tuple(Page(frame.scene(body, what), view) for body, what in zip(bodies, whats, strict=False))


def title(injury: Injury) -> str:
    """The title of the page."""
    kind = "Partial injury" if injury.partial else "Injury"
    return f"{kind} of {', '.join(s.name for s in injury.sites)}"


def _lists(frame: Frame, entries: Sequence[Entry], top: float, bottom: float) -> list[Part] | None:
    """The entries in columns, in the largest type that fits; None where the smallest does not."""
    for size in LIST_PTS:
        made = _columns(frame, entries, top, bottom, size)
        if made is not None:
            return made
    return None


def _columns(frame: Frame, entries: Sequence[Entry], top: float, bottom: float, size: float) -> list[Part] | None:
    """The entries in columns of one type."""
    wide = (frame.width - GAP_MM * (COLUMNS - 1)) / COLUMNS
    down = step(size)
    rows: list[tuple[str, bool]] = []
    for entry in entries:
        rows += [(line, True) for line in fonts.wrap(entry.head, wide, size, bold=True)]
        rows += [(line, False) for text in entry.lines for line in fonts.wrap(text, wide, size)]
    each = max(1, min(int((bottom - top) / down), -(-len(rows) // COLUMNS) + 2))
    made: list[Part] = []
    column, line = 0, 0
    for i, (text, bold) in enumerate(rows):
        last = line >= each or (bold and line == each - 1)
        if last:
            column, line = column + 1, 0
        if column >= COLUMNS:
            return None
        x, y = frame.page.margin + column * (wide + GAP_MM), top + (line + 1) * down - fonts.descent(size)
        if y > bottom:
            return None
        place = fonts.text(text, x, y, size, bold=bold)
        made.append(Note("table-heading" if bold else "legend", f"list-{i}", place, wide))
        line += 1
    return made
