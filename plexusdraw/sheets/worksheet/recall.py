"""From nothing: the heads of the columns over an empty page, or over lines for names; the key shows the whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted
from plexusdraw.scene import Heading, Label, Leader, Panel, Scene, Strand
from plexusdraw.scene.curves import line
from plexusdraw.scene.transform import changed
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, missing, texts
from plexusdraw.sheets.worksheet.drawing import Drawing, drawing, frame_of, routes
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.spec import Form, Prompt, Question, Spec, points

INSTRUCTIONS: Mapping[Prompt, str] = {
    "drawing": "Draw the whole plexus from memory under these heads and name its parts: a strand for each root, each "
    "root in a colour of its own or with its letters.",
    "columns": "Name from memory what stands under each head, from cranial to caudal: a name on a line, side branches "
    "in the column where they leave.",
}
LANE_MM = 12.0
"""Distance of the lines to write names on."""


@dataclass(frozen=True)
class Recall:
    """Makes the forms of one set; they differ in their code alone."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def drawing(self) -> Drawing:
        """The drawing of the key."""
        return drawing(self.plexus, self.spec, self.spec.detail or "framework", (), self.frame("", 99))

    def frame(self, code: str, total: int) -> Frame:
        """The words around one form."""
        return frame_of(self.plexus, self.spec, code, total, INSTRUCTIONS[self.spec.prompt])

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec, scene = self.spec, self.drawing.scenes[0]
        questions = tuple(replace(q, number=i) for i, q in enumerate(self.questions, start=first))
        code = spec.code(number)
        frame = self.frame(code, points(questions))
        empty = form_page.composed(_emptied(scene, spec.prompt), spec.page, replace(frame, legend=""))
        marked = replace(frame, is_key=True)
        shown = View(asks=False, title=frame.title)
        key = [Page(form_page.composed(s, spec.page, frame, marked), shown) for s in self.drawing.scenes]
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, (Page(empty, View(asks=True, title=frame.title)),), tuple(key), questions)

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """The marking scheme: the names of each column, what joins them, the side branches that are drawn."""
        return tuple(self._questions())

    def _questions(self) -> Iterator[Question]:
        plexus, number = self.plexus, 0
        strands = {p.entity for p in self.drawing.scenes[0].parts if isinstance(p, Strand)}
        drawn = [id for id in plexus.segments if id in strands]
        for stage in plexus.stages:
            ids = [id for id in drawn if plexus.segments[id].stage == stage.id]
            number += 1
            yield self._named(number, f"Names of the {stage.name}.", ids)
        named = {p.entity for p in self.drawing.scenes[0].parts if isinstance(p, Label)}
        branches = [id for id in drawn if plexus.segments[id].stage is None and id in named]
        if branches:
            yield self._named(number + 1, "Names of the side branches.", branches)
        if self.spec.prompt == "columns":
            return
        ends = missing.candidates(plexus, self.drawing.scenes[0])
        yield missing.question(plexus, routes(plexus), ends, number + 1 + bool(branches))

    def _named(self, number: int, prompt: str, ids: list[str]) -> Question:
        entities = [self.plexus.segments[id] for id in ids]
        spelled = tuple(accepted(self.plexus, e, entities) for e in entities)
        return Question(number, prompt, tuple(e.name for e in entities), len(ids), spelled, drawn=True)


def _emptied(scene: Scene, prompt: Prompt) -> Scene:
    """The columns and their heads alone; for names with lines, as many in each, so that they tell no number."""
    kept = changed(scene, lambda part: part if isinstance(part, Panel | Heading) else None)
    if prompt == "drawing":
        return replace(kept, table="none")
    lanes: list[Leader] = []
    for panel in (p for p in scene.parts if isinstance(p, Panel)):
        box = panel.box
        count = int((box.h - LANE_MM) / LANE_MM)
        for i in range(1, count + 1):
            y = box.y + LANE_MM * (i + 0.4)
            lanes.append(Leader("lane", "rule", line((box.x + 2.0, y), (box.right - 2.0, y))))
    return replace(kept, table="none", parts=(*kept.parts, *lanes))
