"""The drawing on a slide: names that are read from the back row, whatever gives way to them."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.layout import fit, labels
from plexusdraw.layout.attempt import Attempt
from plexusdraw.layout.columns.draft import Recipe
from plexusdraw.layout.fit import Options
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

SHAPES = ((8.5, 14.0), (8.5, 7.0), (4.0, 7.0), (4.0, 10.0))
"""Widths tried at which names of nerves, and those on plates, are broken, ems."""
DENSITIES = (1.0, 0.8, 0.6, 0.45, 0.32, 0.22)
"""Densities tried: what is not text gives way to it."""
SPARE = 0.55
"""Share of the page that a drawing must find free at first, for it to be spread and tried."""
Shape = tuple[float, float]


def chosen(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Recipe, Attempt] | None:
    """The drawing with names as large as they should be, in smaller steps where they do not fit so.

    There is no room for what nerves supply. At last the plates of columns whose order is free say no more than their
    column leaves open.
    """
    recipe = Recipe(fit.prepared(plexus, fibres, options.detail, False), options.wording, False)
    least = options.page.smallest
    for names in dict.fromkeys((options.page.names, (options.page.names + least) / 2, least)):
        found = _of_names(recipe, replace(options, page=replace(options.page, names=names)))
        if found:
            return recipe, found
    free = [s for stage in plexus.stages[1:-1] if stage.order == "free" for s in plexus.staged(stage.id)]
    own = (*((s.id, s.label) for s in free if s.label), *options.wording.own)
    brief = replace(recipe, wording=replace(options.wording, own=own))
    found = _of_names(brief, replace(options, page=replace(options.page, names=least), wording=brief.wording))
    return (brief, found) if found else None


def _of_names(recipe: Recipe, options: Options) -> Attempt | None:
    """The drawing with the names of a page's size, all that is not text as large as there is room for it."""
    for shape in _promising(recipe, options):
        found = fit.largest(recipe, options, labels.on_screen(shape, DENSITIES[-1]))
        if found:
            return _loosest(recipe, options, shape, found)
    return None


def _promising(recipe: Recipe, options: Options) -> list[Shape]:
    """The shapes that may fit where all is densest, the one with most room to spare first; none twice."""
    room: dict[tuple[object, ...], tuple[float, Shape]] = {}
    for shape in SHAPES:
        tried = fit.attempt(recipe, options, options.page.smallest, labels.on_screen(shape, DENSITIES[-1]))
        broken = (tried.draft.frame.xs.lines, *(block.name for block in tried.draft.blocks.values()))
        spare = tried.wide * tried.tall  # width is spent on height where that is wanted
        if tried.wide >= 1.0 and spare >= SPARE:
            room.setdefault(broken, (spare, shape))
    return [shape for _, shape in sorted(room.values(), key=lambda pair: -pair[0])]


def _loosest(recipe: Recipe, options: Options, shape: Shape, found: Attempt) -> Attempt:
    """The same names with the least density that still fits, found by halving; *found* is the densest."""
    fits, fails = len(DENSITIES) - 1, -1
    while fits - fails > 1:
        middle = (fits + fails) // 2
        tried = fit.largest(recipe, options, labels.on_screen(shape, DENSITIES[middle]))
        if tried:
            found, fits = tried, middle
        else:
            fails = middle
    return found
