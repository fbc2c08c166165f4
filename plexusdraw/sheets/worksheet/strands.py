"""Draw the missing lines: the labels are given, the strands that reach some segments are left out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import names
from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, missing, texts
from plexusdraw.sheets.worksheet.drawing import Drawing, drawing, frame_of, routes
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.spec import Form, Spec, points

INSTRUCTIONS = (
    "Some strands are left out. Draw them: one for each root, in the order in which they lie. Give each root a colour "
    "of its own, or write its letters on its strand."
)
SHARE = {1: 0.25, 2: 0.5, 3: 0.5, 4: 1.0}
"""Level → share of the segments whose strands are left out."""


@dataclass(frozen=True)
class Strands:
    """Makes the forms of one set."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def drawing(self) -> Drawing:
        """The drawing that all forms share."""
        return drawing(self.plexus, self.spec, self.spec.detail or "framework", (), self.frame("", 99))

    def frame(self, code: str, total: int) -> Frame:
        """The words around one form."""
        return frame_of(self.plexus, self.spec, code, total, INSTRUCTIONS)

    @cached_property
    def candidates(self) -> tuple[str, ...]:
        """Segments whose strands may be left out."""
        found = missing.candidates(self.plexus, self.drawing.scenes[0])
        if not self.spec.only:
            return found
        id = names.find(self.plexus, self.spec.only, ("segment",)).id
        if id not in found:
            raise SheetError(f"no strands reach {self.plexus.entity(id).name} on this drawing; take --detail nerves")
        return (id,)

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec, scene = self.spec, self.drawing.scenes[0]
        usual = max(1, round(SHARE[spec.level] * len(self.candidates)))
        segments = tuple(spec.chosen(self.candidates, number, "strands", usual))
        question = missing.question(self.plexus, routes(self.plexus), segments, first)
        code = spec.code(number)
        frame = self.frame(code, points([question]))
        left_out = missing.hidden(scene, segments, spec.level > 2)
        form_view = View(asks=True, title=frame.title, strands=left_out)
        marked = replace(frame, is_key=True)
        key = [Page(form_page.composed(scene, spec.page, frame, marked), View(asks=False, title=frame.title))]
        key += texts.marking_pages(spec.page, frame, [question])
        page = Page(form_page.composed(scene, spec.page, frame), form_view)
        return Form(code, (page,), tuple(key), (question,))
