"""The largest type that fits: from a plexus and a page to scenes."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from plexusdraw.errors import FitError
from plexusdraw.fonts import measuring
from plexusdraw.layout import finish, labels, surround
from plexusdraw.layout.attempt import Attempt, attempt
from plexusdraw.layout.columns import compose, leaders, order
from plexusdraw.layout.columns.draft import Draft, Recipe
from plexusdraw.layout.columns.plan import Detail, Plan, plan, sides
from plexusdraw.layout.finish import NO_SUPPLY, orientation
from plexusdraw.layout.largest import largest, smallest
from plexusdraw.layout.options import LARGEST_PT, Limb, Options, is_poster, limits
from plexusdraw.layout.paper import paper
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import pages as supply
from plexusdraw.layout.table import rows as table
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Scene
from plexusdraw.scene.mirror import mirrored

__all__ = [
    "NO_SUPPLY",
    "Limb",
    "Options",
    "drafted",
    "fitted",
    "kept",
    "layout",
    "least",
    "measuring",
    "orientation",
    "prepared",
]

TABLE_PT = 10.0
"""Largest type of a table on its own page."""
COMFORTABLE_PT = 7.2
"""Below this base size, narrower labels and fewer lines of supply are tried before smaller type."""
COMPLETE_PT = 5.0
"""Least base type of a drawing with all of that, on A4; grows with the page."""
HOPE = 0.7
"""Share of its height that a page must have for more forms to be tried."""
NEARLY = 0.95
"""Share of the largest type that is given up for more lines of supply."""


def layout(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...]:
    """The pages of a picture: one, or two where the supply table needs its own.

    Raises:
        FitError: no type size from the smallest up fits the page; says which paper would do.
    """
    made = fitted(plexus, fibres, options)
    if made is None:
        raise FitError(lambda: _instead(plexus, fibres, options))
    return made


def _instead(plexus: Plexus, fibres: Fibres, options: Options) -> str:
    from plexusdraw.layout import refusal  # noqa: PLC0415

    return refusal.instead(plexus, fibres, options)


def prepared(plexus: Plexus, fibres: Fibres, detail: Detail, corridors: bool) -> Plan:
    """The plan of a picture, ordered, its branches' sides chosen; *corridors* kept free for leaders."""
    made = _prepared(plexus, fibres, detail, corridors)
    return replace(made, ties=[replace(tie, shapes={}) for tie in made.ties])  # which are known of one picture alone


@lru_cache(maxsize=8)
def _prepared(plexus: Plexus, fibres: Fibres, detail: Detail, corridors: bool) -> Plan:
    """The same; it is the same on any page, whatever names are called."""
    made = plan(plexus, fibres, detail)
    order.arrange(made)
    sides(made)
    if corridors:
        leaders.reserve(made)
    return made


def least(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[float, float]:
    """About the least width and height that the drawing takes at the smallest type, mm."""
    recipe = Recipe(prepared(plexus, fibres, options.detail, False), options.wording, False)
    found = attempt(recipe, replace(options, page=paper("fit")), options.page.smallest, labels.TERSE[0])
    return found.taken, found.draft.height


def drafted(plexus: Plexus, fibres: Fibres, options: Options) -> Draft | None:
    """The draft behind the first page of a picture, for those who measure; None if nothing fits."""
    found = _chosen(plexus, fibres, options)
    return found[1].draft if found else None


def fitted(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...] | None:
    """The pages of a picture, or None where no type size fits."""
    if options.nerve:
        return _course(plexus, fibres, options)
    found = _chosen(plexus, fibres, options)
    tall = not options.page.screen and options.page.height > options.page.width
    if options.detail == "muscles" and tall and is_poster(options.page):
        made = _below(plexus, fibres, options, found[1].draft.frame.scale.row if found else 0.0)
        if made:
            return made
    if found is not None:
        return (finish.scene(*found, options),)
    return _on_more_pages(plexus, fibres, options) if options.detail == "muscles" else None


@measuring(128)
def kept(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...] | None:
    """The same, worked out once in a process: pages, slides and worksheets ask again for what another has tried."""
    return fitted(plexus, fibres, options)


def _below(plexus: Plexus, fibres: Fibres, options: Options, beside: float) -> tuple[Scene, ...] | None:
    """The page with its table below the drawing, where its type is then no smaller than *beside* it, pt."""
    from plexusdraw.layout import below  # noqa: PLC0415

    made = below.fitted(plexus, fibres, options)
    return (made,) if made and below.smallest(made) >= beside else None


def _course(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...] | None:
    """The course of a nerve; of a whole, a page for each part."""
    from plexusdraw.layout.nerve import fit as one_nerve  # noqa: PLC0415

    pages: list[Scene] = []
    for part in plexus.members(options.nerve):
        grower = one_nerve.grower(plexus, fibres, options.wording)
        made = one_nerve.paged(grower, part, options.page, limits(options.page), orientation(plexus, options))
        if not made:
            return None
        pages += (mirrored(page) if options.side == "right" else page for page in made)
    return tuple(pages)


def _chosen(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Recipe, Attempt] | None:
    """The drawing that fits best: with supply, as many lines of it as leave its type comfortable."""
    with_table = options.detail == "muscles"
    if options.page.screen:
        from plexusdraw.layout import screen  # noqa: PLC0415

        return None if with_table else screen.chosen(plexus, fibres, options)
    recipe = Recipe(prepared(plexus, fibres, options.detail, with_table), options.wording, with_table)
    found = _supplied(recipe, options) if options.detail == "nerves" and options.supply else None
    found = found or largest(recipe, options, labels.TERSE[0])
    if found is None and options.detail == "nerves" and _hopeful(recipe, options):
        found = next((t for form in labels.NARROW if (t := largest(recipe, options, form))), None)
    return None if found is None else (recipe, found)


def _supplied(recipe: Recipe, options: Options) -> Attempt | None:
    """The drawing with what the nerves supply: in comfortable type, else the fullest of those in the largest type."""
    low, high = limits(options.page)
    comfortable = min(max(COMFORTABLE_PT, low), high)
    larger = high / options.page.text / LARGEST_PT  # than on A4
    if is_poster(options.page):
        complete = (largest(recipe, options, form, max(low, COMPLETE_PT * larger)) for form in labels.COMPLETE)
        found = max(filter(None, complete), key=lambda tried: tried.size, default=None)
        if found:
            return found
    first = smallest(recipe, options, labels.ROOMY[0], comfortable / low)
    if low * first.wide >= comfortable:  # the others are about as wide
        for form in labels.ROOMY:
            tried = largest(recipe, options, form, comfortable, first if form == first.form else None)
            if tried:
                return tried
    starts: list[Attempt] = []
    for form in reversed(labels.SLIM):  # the least that can be said first; what has no room has none for more lines
        tried = smallest(recipe, options, form, high=bool(starts) and starts[-1].push.early > 0.0)
        if tried.wide < 1.0 or tried.tall < 1.0:
            break
        starts.append(tried)
    if not starts:
        return next((t for form in labels.ROOMY if (t := largest(recipe, options, form))), None)
    about = [low * min(start.wide, start.tall) for start in starts]
    for start, size in zip(reversed(starts), reversed(about), strict=True):
        if size >= NEARLY * about[0]:
            found = largest(recipe, options, start.form, 0.0, start)
            if found and (found.size >= NEARLY * about[0] or start is starts[0]):
                return found
    return None


def _hopeful(recipe: Recipe, options: Options) -> bool:
    """Whether the densest form comes near to fitting in the smallest type; if not, the others need not be tried.

    It is the narrowest; others may be less high, since wider gaps have more room for labels.
    """
    densest = smallest(recipe, options, labels.NARROW[-1])
    return densest.wide >= 1.0 and densest.tall >= HOPE


def _on_more_pages(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...] | None:
    """The drawing on one page, the supply table on those that follow."""
    drawn = kept(plexus, fibres, replace(options, detail="nerves"))
    if drawn is None:
        return None
    made = prepared(plexus, fibres, "nerves", False)
    rows = table.entries(plexus, fibres, made.ends(), options.wording)
    low, high = limits(options.page)
    scale = Scale(max(low, min(high, TABLE_PT)), low)
    caution = surround.caution_lines(plexus.caution, options.page, scale)
    head = compose.Head(orientation(plexus, options), caution)
    sheets = supply.pages(made, rows, options.page, scale, head)
    if not sheets:
        return None
    left = replace(options, side="left")
    return (*drawn, *(finish.finished(made, left, options.page, parts, "alone") for parts in sheets))
