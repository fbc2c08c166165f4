"""The largest type that fits: from a plexus and a page to scenes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from plexusdraw import names
from plexusdraw.errors import FitError
from plexusdraw.layout import labels, surround
from plexusdraw.layout.attempt import FULL, Attempt
from plexusdraw.layout.columns import compose, leaders, order
from plexusdraw.layout.columns.draft import Draft, Push, Recipe, Spread, filled, spread
from plexusdraw.layout.columns.plan import Detail, Plan, plan, sides
from plexusdraw.layout.labels import Block, Form, Wording
from plexusdraw.layout.paper import Paper, paper
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import pages as supply
from plexusdraw.layout.table import rows as table
from plexusdraw.layout.table import skin
from plexusdraw.model.entities import Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import MM_PER_PT, Part, Scene, Table
from plexusdraw.scene.mirror import mirrored

Limb = Literal["left", "right"]

LARGEST_PT = 12.0
"""Largest base type on A4; grows with the page's diagonal."""
A4_DIAGONAL = 363.7
FIT_PT = 9.0
"""Base type of a page that grows."""
GROWN_STRETCH = 1.4
GROWN_TRIES = 8
MOST_STRETCH = 3.4
CLOSE = Push()
EARLY_EMS = (7.0, 9.0, 11.0, 13.0, 15.0)
"""Widths tried for labels in gaps, where a page has width to spare but no height."""
BALANCING = 4
PATIENCE = 16
"""Most drafts tried before a page is found too small."""
TABLE_PT = 10.0
"""Largest type of a table on its own page."""
COMFORTABLE_PT = 7.2
"""Below this base size, narrower labels and fewer lines of supply are tried before smaller type."""
POSTER = 1.05
"""Paper so many times larger than A4 has room for everything that a nerve supplies."""
COMPLETE_PT = 5.0
"""Least base type of a drawing with all of that, on A4; grows with the page."""
SAME = 1.02
"""Where rows cannot be stretched, a gain of type under this is not worth another draft."""
MUCH = 1.05
"""A gain of type over this is worth another draft."""
HOPE = 0.7
"""Share of its height that a page must have for more forms to be tried."""
NEARLY = 0.95
"""Share of the largest type that is given up for more lines of supply."""
NO_SUPPLY = "There is no room here for what each nerve supplies."


@dataclass(frozen=True, slots=True)
class Options:
    """What a picture shows; all that its layout depends on.

    ``supply``: what nerves supply, where it fits; ``remark``: where it does not, the legend says so.
    ``nerve``: the id of the one nerve whose course is drawn instead of the plexus; ``detail`` then says nothing.
    """

    detail: Detail = "nerves"
    page: Paper = field(default_factory=paper)
    side: Limb = "left"
    wording: Wording = field(default_factory=Wording)
    supply: bool = True
    nerve: str = ""
    remark: bool = True


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
    if options.detail == "muscles" and tall and _is_poster(options.page):
        made = _below(plexus, fibres, options, found[1].draft.frame.scale.row if found else 0.0)
        if made:
            return made
    if found is not None:
        return (_scene(*found, options),)
    return _on_more_pages(plexus, fibres, options) if options.detail == "muscles" else None


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
    if _is_poster(options.page):
        complete = (largest(recipe, options, form, max(low, COMPLETE_PT * larger)) for form in labels.COMPLETE)
        found = max(filter(None, complete), key=lambda tried: tried.size, default=None)
        if found:
            return found
    first = _smallest(recipe, options, labels.ROOMY[0], comfortable / low)
    if low * first.wide >= comfortable:  # the others are about as wide
        for form in labels.ROOMY:
            tried = largest(recipe, options, form, comfortable, first if form == first.form else None)
            if tried:
                return tried
    starts: list[Attempt] = []
    for form in reversed(labels.SLIM):  # the least that can be said first; what has no room has none for more lines
        tried = _smallest(recipe, options, form, high=bool(starts) and starts[-1].push.early > 0.0)
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


def _is_poster(page: Paper) -> bool:
    """Whether a page is larger than those that one holds in the hand."""
    return not page.grows and limits(page)[1] / page.text / LARGEST_PT > POSTER


def _hopeful(recipe: Recipe, options: Options) -> bool:
    """Whether the densest form comes near to fitting in the smallest type; if not, the others need not be tried.

    It is the narrowest; others may be less high, since wider gaps have more room for labels.
    """
    densest = _smallest(recipe, options, labels.NARROW[-1])
    return densest.wide >= 1.0 and densest.tall >= HOPE


def _on_more_pages(plexus: Plexus, fibres: Fibres, options: Options) -> tuple[Scene, ...] | None:
    """The drawing on one page, the supply table on those that follow."""
    drawn = fitted(plexus, fibres, replace(options, detail="nerves"))
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
    return (*drawn, *(finished(made, left, options.page, parts, "alone") for parts in sheets))


def limits(page: Paper) -> tuple[float, float]:
    """Smallest and largest base type of a page, pt."""
    if page.grows:
        return FIT_PT * page.text, FIT_PT * page.text
    diagonal = (page.width**2 + page.height**2) ** 0.5
    return page.smallest, max(page.smallest, LARGEST_PT * page.text * diagonal / A4_DIAGONAL)


def largest(
    recipe: Recipe, options: Options, form: Form, least: float = 0.0, start: Attempt | None = None
) -> Attempt | None:
    """The drawing that fills the page: rows stretched until width and height bind alike, then the largest type.

    All lengths but the smallest type grow with the base size: one draft tells the size that would fill the page. None
    where its type would be under *least* pt. *start*: the drawing in the smallest type, if it is already there.
    """
    found = _balanced(recipe, options, form, least, start)
    return found if found and found.size >= least else None


def _balanced(recipe: Recipe, options: Options, form: Form, least: float, start: Attempt | None) -> Attempt | None:
    low, high = limits(options.page)
    if options.page.grows:
        pushes = (Push(GROWN_STRETCH * 1.25**i) for i in range(GROWN_TRIES))
        tries = (attempt(recipe, options, high, form, push) for push in pushes)
        return next((t for t in tries if not t.draft.crowded), None)
    tried = start or _smallest(recipe, options, form, least / low)
    if tried.wide < 1.0 or tried.tall < 1.0 or low * tried.wide < least:
        return None
    early = tried.push.early / low
    size, stretch, tight, loose = low, 1.0, 1.0, MOST_STRETCH
    for _ in range(BALANCING):
        before, size = size, min(max(size * min(tried.wide, tried.tall), low), high)
        if not tried.draft.crowded and tried.wide <= tried.tall < SAME * tried.wide:  # both bind already
            tight = stretch
            break
        if tried.wide < tried.tall or tried.draft.crowded:
            tight = stretch
        else:
            loose = stretch
        stretch = (tight + loose) / 2
        if loose == tight and size < before * SAME:
            break
        tried = attempt(recipe, options, size, form, Push(stretch, early * size))
    return _shrunk(recipe, options, form, size, Push(tight, early * size))


def _smallest(recipe: Recipe, options: Options, form: Form, width: float = 1.0, high: bool = False) -> Attempt:
    """The drawing in the smallest type; where it is too high but has width to spare, that width is spent first.

    Not where the page is not *width* times wider than it: it will then not be wanted. *high*: with less to say it is
    too high already.
    """
    low = limits(options.page)[0]
    em = low * MM_PER_PT
    most = Push(early=EARLY_EMS[-1] * em)
    widest = attempt(recipe, options, low, form, most) if high else None
    if widest and widest.wide >= 1.0:
        return widest
    room = options.page.width - 2 * options.page.margin
    found = attempt(recipe, options, low, form, most=room / max(1.0, width))
    if found.tall >= 1.0 or found.wide < max(1.0, width):
        return found
    widest = widest or attempt(recipe, options, low, form, most)
    if widest.wide >= 1.0 or widest.tall < 1.0:  # it fits, or the others are hardly less high
        return max(found, widest, key=lambda t: min(t.wide, t.tall, 1.0))
    tries = [found, widest]
    for ems in EARLY_EMS[:-1]:
        tries.append(attempt(recipe, options, low, form, Push(early=ems * em)))
        if tries[-1].wide >= 1.0 and tries[-1].tall >= 1.0:
            return tries[-1]
    return max(tries, key=lambda t: min(t.wide, t.tall, 1.0))


def _shrunk(recipe: Recipe, options: Options, form: Form, size: float, push: Push) -> Attempt | None:
    """Change size and stretch until everything fits; what width is left over goes to the gaps.

    A crowded drawing needs more stretch (its size does not matter); a large one smaller type, then less stretch.
    """
    low = limits(options.page)[0]
    least, early = 1.0, push.early / size
    stretch = push.stretch
    for _ in range(PATIENCE):
        tried = attempt(recipe, options, size, form, Push(stretch, early * size))
        if tried.fits:
            return _with_spare(recipe, options, form, _enlarged(recipe, options, form, tried))
        if tried.draft.crowded:
            least, stretch = stretch, stretch * 1.2
        elif size > low:
            size = max(low, size * min(0.99, max(0.7, 0.998 * min(tried.wide, tried.tall))))
        elif stretch > least * 1.05 and stretch > 1.0:
            stretch = max(1.0, least * 1.04, stretch * 0.88)
        else:
            break
    return None


def _enlarged(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    """The same in larger type, where the page has much room to spare in height and width and it then still fits."""
    gain = min(found.wide, found.tall, limits(options.page)[1] / found.size)
    if gain < MUCH:
        return found
    push = replace(found.push, early=found.push.early * gain)
    larger = attempt(recipe, options, found.size * gain, form, push)
    return larger if larger.fits else found


def _with_spare(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    spare = min(found.width - found.taken, 0.8 * sum(found.draft.frame.xs.gaps))
    if spare <= 1.0:
        return found
    wider = attempt(recipe, options, found.size, form, replace(found.push, spare=spare), found.draft.spread)
    return wider if wider.fits else found


def attempt(
    recipe: Recipe,
    options: Options,
    size: float,
    form: Form,
    push: Push = CLOSE,
    start: Spread | None = None,
    most: float = float("inf"),
) -> Attempt:
    """One draft; *start*: the same with nothing to spare, if it is already there; *most*: as in ``spread``, mm."""
    scale = scale_of(options, size, form)
    made = filled(start or spread(recipe, scale, blocks(recipe, scale, form), push, most), push.spare)
    caution = surround.caution_lines(recipe.plan.plexus.caution, options.page, scale)
    sheet, areas = _sheets(recipe, made) if recipe.with_leaders else (None, None)
    page = surround.bands(options.page, scale, caution, recipe.plan.plexus)
    return Attempt(made, form, push, page, caution, sheet, areas, options.page.width - 2 * options.page.margin)


def scale_of(options: Options, size: float, form: Form) -> Scale:
    """The lengths of a drawing of base type *size*, pt."""
    return Scale(size, options.page.smallest, form.density, form.care, options.page.names, form.plate_ems)


def blocks(recipe: Recipe, scale: Scale, form: Form) -> Mapping[str, Block]:
    """The labels of what ends in the drawing."""
    plan, plexus = recipe.plan, recipe.plan.plexus
    free = {b.id for b in plan.branches if b.outer}  # outside the drawing a name may be as long as it is
    wide = replace(form, name_ems=max(form.name_ems, labels.TERSE[0].name_ems))
    own = {id: replace(form, name_ems=ems) for id, ems in form.wider}

    def block(segment: Segment, other: Form) -> Block:
        roots = tuple(plan.fibres.carried[segment.id])
        return labels.block(plexus, segment, scale, recipe.wording, roots, other, form.name_ems)

    made = {s.id: block(s, wide if s.id in free else own.get(s.id, form)) for s in plan.ends()}
    if form.plate_ems:  # on a slide a name of the last column is broken only where it is wider than any other line
        last = [segment for segment in plan.ends() if segment.id in plan.columns[-1]]
        widest = max((made[segment.id].width for segment in last), default=0.0) / scale.text_mm(1.0)
        made |= {segment.id: block(segment, replace(form, name_ems=widest / FULL)) for segment in last}
    return made


def _sheets(recipe: Recipe, drawn: Draft) -> tuple[table.Grid, skin.Block | None]:
    """The table of muscles, and the skin under the drawing; where there are no muscles, skin is the table."""
    plan, scale = recipe.plan, drawn.frame.scale
    rows = table.entries(plan.plexus, plan.fibres, compose.top_down(drawn.frame), recipe.wording)
    blank = max((block.blank[0] for block in drawn.blocks.values()), default=0.0)
    muscles, areas = table.of_kind(rows, "muscle"), table.of_kind(rows, "skin")
    under = skin.block(areas, plan.plexus.roots, scale, recipe.wording, drawn.width, blank) if muscles else None
    return table.grid(muscles if under else rows, plan.plexus.roots, scale), under


def _scene(recipe: Recipe, found: Attempt, options: Options) -> Scene:
    page, caution = _grown(recipe, found, options.page) if options.page.grows else (found.page, found.caution)
    silent = options.remark and options.detail == "nerves" and options.supply and not found.form.supply_lines
    head = compose.Head(orientation(recipe.plan.plexus, options), caution, NO_SUPPLY if silent else "", options.remark)
    parts: list[Part] = compose.parts(found.draft, page, head, recipe.wording, found.sheet, found.areas)
    return finished(recipe.plan, options, page.paper, parts, "beside" if found.sheet else "none")


def orientation(plexus: Plexus, options: Options) -> str:
    """Which limb is seen from where."""
    return names.from_front(plexus, options.wording.style, options.side)


def finished(plan: Plan, options: Options, sheet: Paper, parts: list[Part], table: Table) -> Scene:
    """The scene of a page, mirrored for the right limb."""
    scene = compose.left_limb(sheet, parts, _description(plan, options), plan.plexus.palette, table)
    return mirrored(scene) if options.side == "right" else scene


def _grown(recipe: Recipe, found: Attempt, sheet: Paper) -> tuple[surround.Bands, list[str]]:
    """A page just large enough, and the caution in lines as wide as it."""
    scale = found.draft.frame.scale
    tall = found.sheet.height(1.35) if found.sheet else 0.0
    room = max(found.draft.height + (found.areas.height if found.areas else 0.0), tall)
    wide = replace(sheet, width=max(found.taken + 2 * sheet.margin, 120.0))
    caution = surround.caution_lines(recipe.plan.plexus.caution, wide, scale)
    page = surround.bands(wide, scale, caution, recipe.plan.plexus)
    foot = wide.height - page.bottom
    grown = replace(wide, height=page.content + room + foot)
    return replace(page, paper=grown, bottom=page.content + room), caution


def _description(plan: Plan, options: Options) -> str:
    columns = ", ".join(stage.name for stage in plan.plexus.stages)
    seen = names.from_front(plan.plexus, side=options.side)  # a sentence, so English
    text = f"Schematic of the {plan.plexus.name}, {seen}, in columns: {columns}."
    return text + (" A table beside it lists what each nerve supplies." if options.detail == "muscles" else "")
