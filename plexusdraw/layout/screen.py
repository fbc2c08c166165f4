"""The drawing on a slide: names that are read from the back row, whatever gives way to them."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.layout import fit, labels
from plexusdraw.layout.attempt import Attempt
from plexusdraw.layout.columns.across import label_start
from plexusdraw.layout.columns.draft import Recipe
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Form
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

SHAPES = ((8.5, 14.0), (8.5, 7.0), (4.0, 7.0), (4.0, 10.0), (4.0, 6.0))
"""Widths tried at which names of nerves, and those on plates, are broken, ems."""
DENSITIES = (1.0, 0.8, 0.6, 0.45, 0.32, 0.22)
"""Densities tried: what is not text gives way to it."""
SPARE = 0.55
"""Share of the page that a drawing must find free at first, for it to be spread and tried."""
SHARES = (1.0, 0.75, 0.55)
"""Of the room beside a branch: widths tried for its name."""
Widths = tuple[tuple[str, float], ...]
"""Nerves, each with the width at which its name is broken, ems."""


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
    for form in _promising(recipe, options):
        found = fit.largest(recipe, options, form)
        if found:
            return _loosest(recipe, options, form, found)
    return None


def _promising(recipe: Recipe, options: Options) -> list[Form]:
    """The forms that may fit where all is densest, the one with most room to spare first; none twice."""
    room: dict[tuple[object, ...], tuple[float, Form]] = {}
    for shape in SHAPES:
        tried = fit.attempt(recipe, options, options.page.smallest, labels.on_screen(shape, DENSITIES[-1]))
        if tried.wide * tried.tall < SPARE:
            continue
        tried = _eased(recipe, options, tried)
        broken = (tried.draft.frame.xs.lines, *(block.name for block in tried.draft.blocks.values()))
        spare = tried.wide * tried.tall  # width is spent on height where that is wanted
        if tried.wide >= 1.0:
            room.setdefault(broken, (spare, tried.form))
    return [form for _, form in sorted(room.values(), key=lambda pair: -pair[0])]


def _eased(recipe: Recipe, options: Options, tried: Attempt) -> Attempt:
    """The same with names in fewer lines where that makes room: those of the last column, then one branch at a time.

    A wide name of a branch may meet strands and take more height than one in several lines.
    """
    last, inner = _wider(recipe, tried)
    best = _with(recipe, options, tried, last) if last else tried
    for branch, width in inner:
        if best.fits:
            break
        for share in SHARES:
            wider = _with(recipe, options, best, ((branch, width * share),))
            if _spare(wider) > _spare(best):
                best = wider
                break
    return best


def _with(recipe: Recipe, options: Options, tried: Attempt, more: Widths) -> Attempt:
    form = replace(tried.form, wider=(*tried.form.wider, *more))
    return fit.attempt(recipe, options, options.page.smallest, form)


def _spare(tried: Attempt) -> tuple[float, float]:
    return min(tried.wide, tried.tall, 1.0), tried.wide * tried.tall


def _wider(recipe: Recipe, tried: Attempt) -> tuple[Widths, Widths]:
    """Widths for names in several lines, ems: that of the widest of the last column; up to the next column."""
    frame, blocks = tried.draft.frame, tried.draft.blocks
    scale, xs = frame.scale, frame.xs
    em = scale.text_mm(1.0)
    last = [id for id in recipe.plan.columns[-1] if id in blocks]
    widest = max((blocks[id].name_width for id in last), default=0.0) / em + 0.001
    room: dict[str, float] = {}
    for branch in recipe.plan.branches:
        if not branch.outer and branch.column < len(xs.gaps):
            start = label_start(xs.columns[branch.column].risers[branch.id], branch, scale)
            room[branch.id] = (xs.columns[branch.column + 1].x0 - start - scale.beside(0.6)) / em
    return (
        tuple((id, widest) for id in last if len(blocks[id].name) > 1),
        tuple((id, wide) for id, wide in room.items() if len(blocks[id].name) > 1),
    )


def _loosest(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    """The same names with the least density that still fits, found by halving; *found* is the densest."""
    fits, fails = len(DENSITIES) - 1, -1
    while fits - fails > 1:
        middle = (fits + fails) // 2
        tried = fit.largest(recipe, options, replace(form, density=DENSITIES[middle]))
        if tried:
            found, fits = tried, middle
        else:
            fails = middle
    return found
