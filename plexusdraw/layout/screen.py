"""The drawing on a slide: names that are read from the back row, whatever gives way to them."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from plexusdraw.layout import fit, labels
from plexusdraw.layout.attempt import Attempt
from plexusdraw.layout.columns.draft import Recipe, Spread, spread
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Form, Wording
from plexusdraw.layout.scale import Scale
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
    recipe = _recipe(plexus, fibres, options.detail, options.wording)
    least = options.page.smallest
    for names in dict.fromkeys((options.page.names, (options.page.names + least) / 2, least)):
        found = _of_names(recipe, replace(options, page=replace(options.page, names=names)))
        if found:
            return recipe, found
    free = [s for stage in plexus.stages[1:-1] if stage.order == "free" for s in plexus.staged(stage.id)]
    own = (*((s.id, s.label) for s in free if s.label), *options.wording.own)
    brief = _recipe(plexus, fibres, options.detail, replace(options.wording, own=own))
    found = _of_names(brief, replace(options, page=replace(options.page, names=least), wording=brief.wording))
    return (brief, found) if found else None


def _of_names(recipe: Recipe, options: Options) -> Attempt | None:
    """The drawing with the names of a page's size, all that is not text as large as there is room for it."""
    for shape, tried in _promising(recipe, options):
        start = tried if tried.tall >= 1.0 else None  # else there may be a better one that is wider
        found = fit.largest(recipe, options, tried.form, start=start)
        if found:
            return _loosest(recipe, options, shape, found)
    return None


def _promising(recipe: Recipe, options: Options) -> list[tuple[Shape, Attempt]]:
    """The shapes that may fit where all is densest, the one with most room to spare first; none twice."""
    room: dict[tuple[object, ...], tuple[float, Shape, Attempt]] = {}
    for shape in SHAPES:
        form, size = labels.on_screen(shape, DENSITIES[-1]), options.page.smallest
        start = _spread(
            recipe.plan.plexus,
            recipe.plan.fibres,
            recipe.plan.detail,
            recipe.wording,
            form,
            fit.scale_of(options, size, form),
        )
        tried = fit.attempt(recipe, options, size, form, start=start)
        broken = (tried.draft.frame.xs.lines, *(block.name for block in tried.draft.blocks.values()))
        spare = tried.wide * tried.tall  # width is spent on height where that is wanted
        if tried.wide >= 1.0 and spare >= SPARE:
            room.setdefault(broken, (spare, shape, tried))
    return [(shape, tried) for _, shape, tried in sorted(room.values(), key=lambda found: -found[0])]


# A lecture draws one plexus on pages of several heights: what depends on no height is kept.


@lru_cache(maxsize=32)
def _recipe(plexus: Plexus, fibres: Fibres, detail: Detail, wording: Wording) -> Recipe:
    return Recipe(fit.prepared(plexus, fibres, detail, False), wording, False)


@lru_cache(maxsize=128)
def _spread(plexus: Plexus, fibres: Fibres, detail: Detail, wording: Wording, form: Form, scale: Scale) -> Spread:
    """The drawing as close as can be, its labels placed."""
    recipe = _recipe(plexus, fibres, detail, wording)
    return spread(recipe, scale, fit.blocks(recipe, scale, form), fit.CLOSE)


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
