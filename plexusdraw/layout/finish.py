"""From the drawing that fits to the scene of its page."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw import names
from plexusdraw.layout import surround
from plexusdraw.layout.attempt import Attempt
from plexusdraw.layout.columns import compose
from plexusdraw.layout.columns.draft import Recipe
from plexusdraw.layout.columns.plan import Plan
from plexusdraw.layout.options import Options
from plexusdraw.layout.paper import Paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Part, Scene, Table
from plexusdraw.scene.mirror import mirrored

NO_SUPPLY = "There is no room here for what each nerve supplies."


def scene(recipe: Recipe, found: Attempt, options: Options) -> Scene:
    """The page of a drawing that fits it."""
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
    made = compose.left_limb(sheet, parts, _description(plan, options), plan.plexus.palette, table)
    return mirrored(made) if options.side == "right" else made


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
