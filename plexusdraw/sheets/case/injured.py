"""An injury on one page: the plexus with the cut, the limb with its muscles and skin, what is lost in words.

A cut beyond what the plexus shows stands on the course of its nerve, in place of the plexus; where there are others
elsewhere, on a page of its own. Lists that do not fit under the figures have one too, so that nothing is left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import FitError
from plexusdraw.layout import paper as papers
from plexusdraw.layout.fit import Limb
from plexusdraw.layout.limb import strip
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.scene import Note, Part
from plexusdraw.scene.view import Page, State, View
from plexusdraw.sheets.case import bands, course, taken
from plexusdraw.sheets.case.frame import COURSE_TALLER, GAP_MM, PLEXUS_MM, Frame, step
from plexusdraw.sheets.case.taken import Entry
from plexusdraw.views.limb import STATE, SWATCHES, harmed
from plexusdraw.views.request import Request, view_of

COLUMNS = 3


def pages(injury: Injury, side: Limb = "left", paper: str = "a4 portrait") -> tuple[Page, ...]:
    """The pages of the case: one; more where lists need their own, or one of several cuts needs a nerve's course.

    Raises:
        ModelError: the model has no chart. FitError: the paper is too small.
    """
    plexus = injury.plexus
    frame = Frame(plexus, title(injury), papers.paper(paper), side)
    beyond = course.nerves(injury, frame.drawing)
    if beyond == (course.alone(injury),):
        frame, beyond = _on_course(frame, beyond[0]), ()
    states = {id: STATE[state] for id, state in harmed(plexus, injury, [*plexus.muscles, *plexus.skin]).items()}
    lists = Lists(frame, tuple(taken.entries(injury)))
    first, left = _first(frame, states, lists)
    pictures = [(frame, first), *((own, own.plexus_at(own.top)[0]) for own in (_course(frame, n) for n in beyond))]
    found = [_page(own, body, injury, states) for own, body in pictures]
    if left:
        found.append(Page(frame.scene(lists.alone(), "what it takes"), View(asks=False, title=frame.title)))
    return tuple(found)


def title(injury: Injury) -> str:
    """The title of the page."""
    kind = "Partial injury" if injury.partial else "Injury"
    return f"{kind} of {', '.join(s.name if injury.partial else s.text for s in injury.sites)}"


def _on_course(frame: Frame, nerve: str) -> Frame:
    """The frame with a nerve's course in place of the plexus; as it was where that does not fit."""
    own = replace(frame, nerve=nerve)
    try:
        return own if own.drawing else frame
    except FitError:
        return frame


def _course(frame: Frame, nerve: str) -> Frame:
    """A page of its own for the course of a nerve."""
    return replace(frame, nerve=nerve, share=(frame.page.height - 2 * frame.page.margin) / PLEXUS_MM / COURSE_TALLER[1])


def _first(frame: Frame, states: Mapping[str, State], lists: Lists) -> tuple[list[Part], bool]:
    """The body of the first page; and whether the lists have no room on it."""
    drawn, y = frame.plexus_at(frame.top)
    ends = bands.changed(frame.figures(("muscles", "skin"), ends=True), states)
    limb = bands.joined(frame, bands.Set(frame.figures(("muscles", "skin")), ends, strip.KEY))
    room = bands.shared(frame, limb, y, lists.height)
    figures, y = bands.drawn(frame, limb, y, room)
    told = lists.drawn(y, room.size) if room.size else []
    return [*drawn, *figures, *told], room.size is None


def _page(frame: Frame, body: Sequence[Part], injury: Injury, states: Mapping[str, State]) -> Page:
    plexus = frame.plexus
    request = Request(title=frame.title, injury=injury)
    shown = view_of(plexus, fibre_routes.of(plexus), frame.drawing, request)
    view = replace(shown, entities={**shown.entities, **states, **SWATCHES}, notes={})
    what = f"the {'course of the nerve' if frame.nerve else 'plexus'}, the limb, and what it takes"
    return Page(frame.scene(body, what), view)


@dataclass(frozen=True)
class Lists:
    """What is lost, in columns."""

    frame: Frame
    entries: Sequence[Entry]

    @property
    def wide(self) -> float:
        """Width of a column, mm."""
        return (self.frame.width - GAP_MM * (COLUMNS - 1)) / COLUMNS

    def height(self, size: float) -> float:
        """Height in a type of *size* pt, mm."""
        return max((len(column) for column in self.columns(size)), default=0) * step(size)

    def columns(self, size: float) -> list[list[tuple[str, bool]]]:
        """Lines, True for a heading, in the shortest columns that hold them; no heading ends one."""
        rows: list[tuple[str, bool]] = []
        for entry in self.entries:
            rows += [(line, True) for line in fonts.wrap(entry.head, self.wide, size, bold=True)]
            rows += [(line, False) for text in entry.lines for line in fonts.wrap(text, self.wide, size)]
        each = max(2, -(-len(rows) // COLUMNS))
        while len(made := _split(rows, each)) > COLUMNS:
            each += 1
        return made

    def drawn(self, top: float, size: float) -> list[Part]:
        """The lists from *top* mm on."""
        made: list[Part] = []
        for i, column in enumerate(self.columns(size)):
            x = self.frame.page.margin + i * (self.wide + GAP_MM)
            for k, (text, bold) in enumerate(column):
                place = fonts.text(text, x, top + (k + 1) * step(size) - fonts.descent(size), size, bold=bold)
                made.append(Note("table-heading" if bold else "legend", f"list-{i}-{k}", place, self.wide))
        return made

    def alone(self) -> list[Part]:
        """The lists on a page of their own, in the largest type that fits."""
        room = self.frame.bottom - self.frame.top
        size = next((s for s in bands.SIZES_PT if self.height(s) <= room), bands.SIZES_PT[-1])
        return self.drawn(self.frame.top, size)


def _split(rows: Sequence[tuple[str, bool]], each: int) -> list[list[tuple[str, bool]]]:
    """Rows in columns of at most *each*."""
    made: list[list[tuple[str, bool]]] = [[]]
    for i, row in enumerate(rows):
        heads = row[1] and len(made[-1]) == each - 1 and i + 1 < len(rows)
        if made[-1] and (len(made[-1]) >= each or heads):
            made.append([])
        made[-1].append(row)
    return made
