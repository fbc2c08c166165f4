"""One size of a drawing tried on a page, and how far it fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from plexusdraw.layout import labels, surround
from plexusdraw.layout.columns import compose
from plexusdraw.layout.columns.draft import Draft, Push, Recipe, Spread, draft, filled
from plexusdraw.layout.columns.most import Most
from plexusdraw.layout.labels import Block, Form
from plexusdraw.layout.options import Options
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import rows as table
from plexusdraw.layout.table import skin
from plexusdraw.model.entities import Segment

FULL = 1 - 1e-9
"""What is as wide as the page fits it, whatever the last digit says."""
CLOSE = Push()


@dataclass(slots=True)
class Attempt:
    """One size tried: what came of it and the room that it had."""

    draft: Draft
    form: Form
    push: Push
    page: surround.Bands
    caution: list[str]
    sheet: table.Grid | None
    areas: skin.Block | None
    width: float
    """Width between the margins, mm."""

    @property
    def taken(self) -> float:
        """Width taken by drawing and table, mm."""
        scale = self.draft.frame.scale
        return self.draft.width + (self.sheet.width + scale.mm(compose.CHANNEL_EMS) if self.sheet else 0.0)

    @property
    def size(self) -> float:
        """Base type size, pt."""
        return self.draft.frame.scale.size

    @property
    def wide(self) -> float:
        """How many times wider the page is than what stands on it."""
        return self.width / self.taken

    @property
    def tall(self) -> float:
        """How many times higher the page is than what stands on it."""
        under = self.areas.height if self.areas else 0.0
        return self.page.room / max(self.draft.height + under, self.sheet.height() if self.sheet else 0.0)

    @property
    def fits(self) -> bool:
        """Whether drawing and table stay on the page."""
        return min(self.wide, self.tall) >= FULL and not self.draft.crowded


def attempt(
    recipe: Recipe,
    options: Options,
    size: float,
    form: Form,
    push: Push = CLOSE,
    start: Spread | None = None,
    most: float = float("inf"),
    spare: float = 0.0,
) -> Attempt:
    """One draft; *start*: the same with nothing to spare, if it is already there.

    It is not wanted, and may be given up, where it is wider than *most* mm, or where ``wide`` times ``tall`` comes to
    less than *spare*.
    """
    scale = scale_of(options, size, form)
    caution = surround.caution_lines(recipe.plan.plexus.caution, options.page, scale)
    page = surround.bands(options.page, scale, caution, recipe.plan.plexus)
    width = options.page.width - 2 * options.page.margin
    if start is not None:
        made = filled(start, push.spare)
    else:
        area = width * page.room / spare if spare else float("inf")
        made = draft(recipe, scale, blocks(recipe, scale, form), push, Most(most, area))
    sheet, areas = _sheets(recipe, made) if recipe.with_leaders else (None, None)
    return Attempt(made, form, push, page, caution, sheet, areas, width)


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
