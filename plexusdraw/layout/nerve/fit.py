"""The picture of one long nerve: a line from proximal at the top to distal at the bottom, its branches in order.

What leaves goes to the right, each to a row of its own, so that the order of the rows is the order of the course. A
branch that carries several things runs beside the nerve to its own end before the nerve goes on; nothing crosses.
Places stand on the left of the nerve, between the branches where they lie; those of a branch on its right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plexusdraw.errors import UnknownNameError
from plexusdraw.layout import surround
from plexusdraw.layout.columns.compose import Head, left_limb
from plexusdraw.layout.columns.plan import check_targets
from plexusdraw.layout.labels import Form, Wording
from plexusdraw.layout.nerve import across, parts
from plexusdraw.layout.nerve.across import Across
from plexusdraw.layout.nerve.measure import Heights, Ruler, settle
from plexusdraw.layout.nerve.tree import Grower, Stem
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.scale import Scale
from plexusdraw.model.entities import Entity, Place
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import display
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Scene

FORMS = (Form(0, 60.0), Form(0, 15.0), Form(0, 9.0))
"""Names in one line; then broken into two or three, where that lets the type be larger by ``WORTH``."""
ON_SCREEN = tuple(replace(form, density=density) for density in (1.0, 0.75, 0.55, 0.42) for form in FORMS)
"""The same on a slide, where all that is not text gives way to it."""
WORTH = 1.06
SIZES = 28
"""Type sizes tried between the largest and the smallest."""
MOST_STRETCH = 2.3
LEAST_WIDTH = 150.0
"""Least width of a page that grows, mm: its notes need it."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A type size at which everything has its place on a page."""

    ruler: Ruler
    heights: Heights
    places: Across
    page: surround.Bands
    caution: list[str]


def paged(grower: Grower, nerve: str, paper: Paper, sizes: tuple[float, float], orientation: str) -> list[Scene]:
    """The pages of a nerve: one; on a slide that is too small for all, its longest branches on slides of their own.

    Empty if it does not fit even so. Other arguments as of :func:`fitted`.
    """
    apart: list[str] = []
    while True:
        on_page = replace(grower, seen=set(), apart=frozenset(apart))
        made = fitted(on_page, nerve, paper, sizes, orientation)
        if made is not None:
            pages = [paged(grower, branch, paper, sizes, orientation) for branch in apart]
            return [made, *(page for found in pages for page in found)] if all(pages) else []
        branches = list(replace(on_page, seen=set()).stem(grower.plexus.segments[nerve]).stems())[1:]
        if not paper.screen or not branches:
            return []
        longest = max(branches, key=lambda stem: sum(len(inner.stops) for inner in stem.stems()))
        apart.append(longest.segment.id)


def fitted(grower: Grower, nerve: str, paper: Paper, sizes: tuple[float, float], orientation: str) -> Scene | None:
    """The page of a nerve in the largest type between *sizes* (pt, smallest first) that fits; None if none does.

    It is a left limb's; ``mirror`` makes the other. *nerve* is as ``nerve_of`` gives it.
    """
    stem = grower.stem(grower.plexus.segments[nerve])
    found = _grown(grower, stem, paper, sizes[1]) if paper.grows else _largest(grower, stem, paper, sizes)
    if found is None:
        return None
    own = [display(segment) for id, segment in grower.plexus.segments.items() if id in grower.apart]
    where = "On a slide of its own" if len(own) == 1 else "On slides of their own"
    remark = f"{where}: {', '.join(own)}." if own else ""
    head = Head(orientation, found.caution, remark)
    made = parts.parts(found.ruler, found.heights, found.places, found.page, head)
    words = f"Schematic of one nerve of the {grower.plexus.name}, {orientation}: its branches and places in order from "
    words += "top to bottom, with a row for each muscle and skin area."
    sheet = found.page.paper
    return left_limb(sheet, made, words, grower.plexus.palette, "beside" if found.ruler.grid.rows else "none")


def _largest(grower: Grower, stem: Stem, paper: Paper, sizes: tuple[float, float]) -> Fit | None:
    if paper.screen:
        return _on_screen(grower, stem, paper, sizes[0])
    best: Fit | None = None
    for form in FORMS:
        least = best.ruler.scale.size * WORTH if best else 0.0
        for size in _down(sizes):
            if size < least:
                break
            found = _fit(grower, stem, paper, size, form)
            if found is not None:
                best = found
                break
    return best


def _on_screen(grower: Grower, stem: Stem, paper: Paper, size: float) -> Fit | None:
    """On a slide: names as large as they should be, in smaller steps where they do not fit so."""
    for names in dict.fromkeys((paper.names, (paper.names + size) / 2, size)):
        for form in ON_SCREEN:
            found = _fit(grower, stem, replace(paper, names=names), size, form)
            if found is not None:
                return found
    return None


def _down(sizes: tuple[float, float]) -> Iterator[float]:
    low, high = sizes
    for i in range(SIZES + 1):
        yield high * (low / high) ** (i / SIZES)


def _fit(grower: Grower, stem: Stem, paper: Paper, size: float, form: Form) -> Fit | None:
    scale = Scale(size, paper.smallest, form.density, names=paper.names)
    caution = surround.caution_lines(grower.plexus.caution, paper, scale)
    page = surround.bands(paper, scale, caution, grower.plexus)
    ruler = Ruler(grower, stem, scale, form)
    width = paper.width - 2 * paper.margin
    places = across.across(ruler)
    close = settle(ruler)
    if places.width > width or close.total > page.room:
        return None
    places = across.across(ruler, width - places.width)
    stretch = 1.0 + (page.room - close.total) / max(close.total - close.start, 1e-9)
    return Fit(ruler, settle(ruler, min(MOST_STRETCH, stretch)), places, page, caution)


def _grown(grower: Grower, stem: Stem, paper: Paper, size: float) -> Fit:
    """A page as large as the nerve needs."""
    scale = Scale(size, paper.smallest)
    ruler = Ruler(grower, stem, scale, FORMS[0])
    places, heights = across.across(ruler), settle(ruler, 1.15)
    wide = replace(paper, width=max(places.width + 2 * paper.margin, LEAST_WIDTH))
    caution = surround.caution_lines(grower.plexus.caution, wide, scale)
    page = surround.bands(wide, scale, caution, grower.plexus)
    room = heights.total + scale.mm(0.5)
    grown = replace(wide, height=page.content + room + wide.height - page.bottom)
    return Fit(ruler, heights, places, replace(page, paper=grown, bottom=page.content + room), caution)


def nerve_at(plexus: Plexus, injured: Sequence[str]) -> str:
    """The long nerve on which injured segments lie: for a branch, the nerve that it is a branch of.

    Raises:
        UnknownNameError: they lie on none, or on several, or nothing is known of its course.
    """
    last = plexus.stages[-1].id
    found = []
    for id in injured:
        segment = plexus.segments[id]
        while segment.stage is None and len(segment.parents) == 1:
            above = plexus.segments[segment.parents[0]]
            if above.stage not in (None, last):
                break
            segment = above
        if segment.stage in (None, last):
            found.append(segment.id)
    names = list(dict.fromkeys(found)) or list(dict.fromkeys(plexus.segments[id].whole for id in injured))
    if len(names) == 1 and names[0]:
        return nerve_of(plexus, plexus.segment(names[0]))
    many = f": {', '.join(display(plexus.segments[id]) for id in names if id)}" if names else ""
    raise UnknownNameError(f"say which nerve's course to draw{many}")


def nerve_of(plexus: Plexus, entity: Entity) -> str:
    """The nerve that a name means: a segment or whole, or that of a place.

    Raises:
        UnknownNameError: it is a muscle or the like, or nothing is known of its course.
    """
    id = plexus.places[entity.id][1].id if isinstance(entity, Place) else entity.id
    if id in plexus.wholes:
        return id
    if id not in plexus.segments:
        raise UnknownNameError(f"{entity.name} is a {entity.kind}; a course is drawn of a nerve")
    if not (plexus.segments[id].course or plexus.children[id]):
        raise UnknownNameError(f"{entity.name} has no course in the {plexus.name}: nothing leaves it")
    return id


def grower(plexus: Plexus, fibres: Fibres, wording: Wording) -> Grower:
    """Follows nerves of a plexus, with names in this wording; FitError where it is too large to be drawn."""
    check_targets(plexus)
    return Grower(plexus, fibres, wording)
