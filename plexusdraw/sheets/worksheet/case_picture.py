"""The drawing of a case: the plexus where the cut can be marked on it, else the course of the nerve that is cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import UnknownNameError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.nerve.fit import nerve_at
from plexusdraw.model.entities import Exit
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.sites import Site
from plexusdraw.scene import Box, Note, Panel, Part, Row, Scene, Strand
from plexusdraw.scene.transform import changed
from plexusdraw.sheets.worksheet import flow, form_page
from plexusdraw.sheets.worksheet.drawing import Drawing, laid_out
from plexusdraw.sheets.worksheet.flow import GUTTER_MM, LINES_MM, Flow
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.space import LEAST_COLUMN_MM, Space
from plexusdraw.sheets.worksheet.spec import Question, Spec
from plexusdraw.views.injured import cuts

HEADS_MM = 8.0
"""Height of the heads of columns, under which lines begin."""


@dataclass(frozen=True, slots=True)
class Shown:
    """The drawing of one case, and where its cuts are marked: nowhere if they lie beyond it."""

    drawing: Drawing
    marks: tuple[tuple[str, int], ...]


def marks(scene: Scene, injury: Injury) -> tuple[tuple[str, int], ...]:
    """The marks of all cuts, or none if one would stand where a cut does something else."""
    found = cuts(scene, injury)
    partial = [site.partial for site in injury.sites for _ in site.cuts]
    if len(found) != len(injury.cuts) or len(partial) != len(found):
        return ()
    moved = Injury(injury.plexus, [Site(id, at, "", "", some) for (id, at), some in zip(found, partial, strict=True)])
    own = {**injury.muscles, **injury.skin}
    return found if all(moved.outcome(id).loss is outcome.loss for id, outcome in own.items()) else ()


def told(scene: Scene, injury: Injury) -> tuple[tuple[str, int], ...]:
    """The marks of all cuts, or none if a reader could not tell one from another place on the same strands.

    A mark tells its place where it follows a branch that is drawn, or nothing has left yet.
    """
    drawn = {p.entity for p in scene.parts if isinstance(p, Strand)}
    for id, at in injury.cuts:
        left = [item.to for item in injury.plexus.segments[id].course[:at] if isinstance(item, Exit)]
        if left and left[-1] not in drawn:
            return ()
    return marks(scene, injury)


def course(plexus: Plexus, spec: Spec, injury: Injury, frame: Frame, questions: Sequence[Question]) -> Drawing | None:
    """The course of the nerve that is cut, without what it supplies, with room for lines in place of that.

    None where the cuts are on no one nerve, or it does not fit.
    """
    try:
        nerve = nerve_at(plexus, [id for id, _ in injury.cuts])
    except UnknownNameError:
        return None
    unsaid = tuple((target.id, "") for target in (*plexus.muscles.values(), *plexus.skin.values()))
    around = form_page.head(frame, spec.page).height + form_page.foot(frame, spec.page).height
    paper = form_page.drawing_paper(spec.page, around)
    options = Options(page=paper, side=spec.side, nerve=nerve, wording=Wording(own=unsaid))
    scene = _laid_out(plexus, options)
    if scene is None:
        return None
    return Drawing((scene,), False, options, _beside(scene, spec, frame, questions))


@fonts.measuring(64)
def _laid_out(plexus: Plexus, options: Options) -> Scene | None:
    made = laid_out(plexus, options)
    return changed(made[0], _without_rows) if made is not None and len(made) == 1 else None


def _without_rows(part: Part) -> Part | None:
    """No row of a muscle or skin area, nor what stands over them."""
    gone = isinstance(part, Row) or (isinstance(part, Note) and part.role.startswith("table"))
    return None if gone else part


def _beside(scene: Scene, spec: Spec, frame: Frame, questions: Sequence[Question]) -> Space | None:
    """Lines where the rows were, if that is wide and high enough."""
    panel = max((p for p in scene.parts if isinstance(p, Panel)), key=lambda p: p.index).box
    top, bottom = form_page.room(spec.page, frame)
    box = Box(panel.x + GUTTER_MM / 2, top + HEADS_MM, panel.w - GUTTER_MM / 2, bottom - top - HEADS_MM)
    for pitch in LINES_MM:
        how = Flow(flow.many(box.w), pitch)
        items = flow.lines(questions, flow.column_width(box.w, how.columns))
        if box.w >= LEAST_COLUMN_MM and flow.least_height(items, box.w, how) <= box.h:
            return Space(box, how)
    return None
