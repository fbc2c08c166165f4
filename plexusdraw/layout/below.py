"""On a large page that is higher than wide: the supply table in columns below the drawing, where both are larger so."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.layout import fit, surround
from plexusdraw.layout.columns import compose
from plexusdraw.layout.finish import orientation
from plexusdraw.layout.options import Options, limits
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.reading import reading_order
from plexusdraw.layout.scale import Scale
from plexusdraw.layout.table import pages as supply
from plexusdraw.layout.table import rows as table
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Label, Note, Panel, Part, Row, Scene
from plexusdraw.scene.transform import Move

SHARES = (0.46, 0.56)
"""Shares of the page's height for the drawing: the first that does."""
STEPS = 24
"""Type sizes of the table that are tried."""
GAP_EMS = 1.2
"""Between drawing and table, ems of the table's type."""


def fitted(plexus: Plexus, fibres: Fibres, options: Options) -> Scene | None:
    """The page with drawing and table as large as they go; None where one of them has no room."""
    return next((page for share in SHARES if (page := _page(plexus, fibres, options, share))), None)


def smallest(scene: Scene) -> float:
    """The smallest type of names and rows, pt."""
    names = (text.size for p in scene.parts if isinstance(p, Label) and p.role == "name" for text in p.lines)
    return min([*names, *(p.name.size for p in scene.parts if isinstance(p, Row))])


def _page(plexus: Plexus, fibres: Fibres, options: Options, share: float) -> Scene | None:
    page = options.page
    upper = replace(page, height=page.height * share)
    wanted = replace(options, detail="nerves", supply=False, remark=False, page=upper)
    drawn = fit.fitted(plexus, fibres, wanted)
    if drawn is None:
        return None
    (drawing,) = drawn
    bottom = max(part.box.bottom for part in drawing.parts if isinstance(part, Panel))
    under = _table(plexus, fibres, options, bottom)
    if under is None:
        return None
    kept = [p for p in drawing.parts if not (isinstance(p, Note) and p.role in ("legend", "caution"))]
    parts = tuple(_worded(part, [*kept, *under], options.page) for part in (*kept, *under))
    words = "A table below it lists what each nerve supplies."
    return replace(
        drawing,
        height=page.height,
        table="beside",
        parts=parts,
        reading=reading_order(parts),
        description=f"{drawing.description} {words}",
    )


def _table(plexus: Plexus, fibres: Fibres, options: Options, top: float) -> list[Part] | None:
    """The table from *top* mm down to the foot of the page, in the largest type that fits."""
    plan = fit.prepared(plexus, fibres, "nerves", False)
    rows = table.entries(plexus, fibres, plan.ends(), options.wording)
    page = options.page
    low, high = limits(page)
    for i in range(STEPS + 1):
        scale = Scale(high * (low / high) ** (i / STEPS), low)
        caution = surround.caution_lines(plexus.caution, page, scale)
        bands = surround.bands(page, scale, caution, plexus)
        down = top + scale.mm(GAP_EMS) - bands.top
        room = replace(page, height=page.height - down)
        head = compose.Head(orientation(plexus, options), caution)
        parts = supply.page(plan, rows, room, scale, head) if down > 0 else None
        if parts is not None:
            move = Move(0.0, down)
            return [move.part(part) for part in _below(parts)]
    return None


def _below(parts: list[Part]) -> Iterator[Part]:
    """The table's page without its head, which is that of the drawing."""
    yield from (p for p in parts if not (isinstance(p, Note) and p.role in ("title", "orientation")))


def _worded(part: Part, page: Sequence[Part], sheet: Paper) -> Part:
    """The legend says what stands above as well, where it has room for both."""
    if not isinstance(part, Note) or part.role != "legend":
        return part
    text = part.text
    said = " ".join(surround.legend(page, surround.LEGEND_STRANDS, surround.LEGEND_DOTS))
    fits = fonts.width(said, text.size) <= sheet.width - 2 * sheet.margin
    return replace(part, text=fonts.text(said, text.x, text.y, text.size)) if fits else part
