"""The drawing on a slide: names that are read from the back row, whatever gives way to them."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.layout import fit, labels
from plexusdraw.layout.attempt import Attempt, attempt
from plexusdraw.layout.columns.across import label_start
from plexusdraw.layout.columns.draft import Recipe
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.labels import Form, Wording
from plexusdraw.layout.largest import largest
from plexusdraw.layout.options import Options
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

SHAPES = ((8.5, 14.0), (8.5, 7.0), (4.0, 7.0), (4.0, 10.0), (4.0, 6.0))
"""Widths tried at which names of nerves, and those on plates, are broken, ems."""
DENSITIES = (1.0, 0.8, 0.6, 0.45, 0.32, 0.22)
"""Densities tried: what is not text gives way to it."""
SPARE = 0.55
"""Share of the page that a drawing must find free at first, for it to be spread and tried."""
EASED = 2
"""As many shapes are tried with other widths for single names, where none has room as it is."""
SHARES = (1.0, 0.75, 0.55)
"""Of the room beside a branch: widths tried for its name."""
Widths = tuple[tuple[str, float], ...]
"""Nerves, each with the width at which its name is broken, ems."""


def chosen(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Recipe, Attempt] | None:
    """The drawing with names as large as they should be, in smaller steps where they do not fit so.

    There is no room for what nerves supply. Where no name fits, the plates of columns whose order is free say no more
    than their column leaves open; at last single names are set wider.
    """
    recipe = _recipe(plexus, fibres, options.detail, options.wording)
    least = options.page.smallest
    for names in dict.fromkeys((options.page.names, (options.page.names + least) / 2, least)):
        found = _of_names(recipe, replace(options, page=replace(options.page, names=names)))
        if found:
            return recipe, found
    free = [s for stage in plexus.stages[1:-1] if stage.order == "free" for s in plexus.staged(stage.id)]
    own = (*((s.id, s.label) for s in free if s.label and s.label != options.wording.of(s)), *options.wording.own)
    brief = _recipe(plexus, fibres, options.detail, replace(options.wording, own=own))
    small = replace(options, page=replace(options.page, names=least))
    briefer = brief.wording != recipe.wording
    for words, eased in ((brief, False), (recipe, True), (brief, True)) if briefer else ((recipe, True),):
        found = _of_names(words, replace(small, wording=words.wording), eased=eased)
        if found:
            return words, found
    return None


def _of_names(recipe: Recipe, options: Options, *, eased: bool = False) -> Attempt | None:
    """The drawing with the names of a page's size, all that is not text as large as there is room for it."""
    for tried in _promising(recipe, options, eased=eased):
        start = tried if tried.tall >= 1.0 else None  # else there may be a better one that is wider
        found = largest(recipe, options, tried.form, start=start)
        if found:
            return _loosest(recipe, options, tried.form, found)
    return None


def _promising(recipe: Recipe, options: Options, *, eased: bool) -> list[Attempt]:
    """The forms that may fit where all is densest, the one with most room to spare first; none twice."""
    found: dict[tuple[object, ...], Attempt] = {}
    page = options.page
    may_be_eased = page.names <= page.smallest  # only then is one of use that is too wide
    most = float("inf") if may_be_eased else page.width - 2 * page.margin
    for shape in SHAPES:
        form = labels.on_screen(shape, DENSITIES[-1])
        tried = attempt(recipe, options, page.smallest, form, most=most, spare=SPARE)
        if tried.wide * tried.tall >= SPARE:
            broken = (tried.draft.frame.xs.lines, *(block.name for block in tried.draft.blocks.values()))
            found.setdefault(broken, tried)
    tries = sorted(found.values(), key=_room, reverse=True)
    if eased:
        tries = sorted((_eased(recipe, options, tried) for tried in tries[:EASED]), key=_room, reverse=True)
    return [tried for tried in tries if tried.wide >= 1.0]


def _room(tried: Attempt) -> float:
    """How much larger the page is than what stands on it: width is spent on height where that is wanted."""
    return tried.wide * tried.tall if tried.wide >= 1.0 else 0.0


def _eased(recipe: Recipe, options: Options, tried: Attempt) -> Attempt:
    """The same with names of branches in fewer lines, one after the other, where that makes room.

    A wide name may meet strands and take more height than one in several lines.
    """
    best = tried
    for branch, width in _inner(recipe, tried):
        if _room(best) >= 1.0:
            break
        for share in SHARES:
            wider = _with(recipe, options, best, ((branch, width * share),))
            if _room(wider) > _room(best):
                best = wider
                break
    return best


def _with(recipe: Recipe, options: Options, tried: Attempt, more: Widths) -> Attempt:
    form = replace(tried.form, wider=(*tried.form.wider, *more))
    return attempt(recipe, options, options.page.smallest, form, most=tried.width, spare=_room(tried))


def _inner(recipe: Recipe, tried: Attempt) -> Widths:
    """Width for names of branches that stand in several lines: up to the next column."""
    frame, blocks = tried.draft.frame, tried.draft.blocks
    scale, xs = frame.scale, frame.xs
    found: list[tuple[str, float]] = []
    for branch in recipe.plan.branches:
        if not branch.outer and branch.column < len(xs.gaps) and len(blocks[branch.id].name) > 1:
            start = label_start(xs.columns[branch.column].risers[branch.id], branch, scale)
            room = xs.columns[branch.column + 1].x0 - start - scale.beside(0.6)
            found.append((branch.id, room / scale.text_mm(1.0)))
    return tuple(found)


@fonts.measuring(12)
def _recipe(plexus: Plexus, fibres: Fibres, detail: Detail, wording: Wording) -> Recipe:
    """The recipe, with the drafts that it knows: a lecture draws one plexus on pages of several heights."""
    return Recipe(fit.prepared(plexus, fibres, detail, False), wording, False)


def _loosest(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    """The same names with the least density that still fits, found by halving; *found* is the densest."""
    fits, fails = len(DENSITIES) - 1, -1
    while fits - fails > 1:
        middle = (fits + fails) // 2
        tried = largest(recipe, options, replace(form, density=DENSITIES[middle]))
        if tried:
            found, fits = tried, middle
        else:
            fails = middle
    return found
