"""The pictures that exported questions refer to: the drawings of a form, without the lines for name and score."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from plexusdraw import paint
from plexusdraw.look import redaction
from plexusdraw.scene import Area, Box, Leader, Note, Part, Pill, Row, Strand
from plexusdraw.scene.transform import Move, changed
from plexusdraw.scene.view import Page
from plexusdraw.sheets.worksheet.spec import Form, Question

(FORMAT,) = paint.names("picture of a form")
EDGE_MM = 4.0
"""Free edge over the drawing."""


def needed(form: Form, question: Question) -> bool:
    """Whether a question cannot be answered without a picture."""
    return question.key is not None or question.drawn or (bool(form.stem) and bool(pages(form)))


def pages(form: Form) -> tuple[Page, ...]:
    """The pages with a drawing, or those of a table; not those with lines to write on."""
    drawn = tuple(page for page in form.pages if any(isinstance(p, Area | Strand | Pill | Row) for p in page[0].parts))
    keyed = any(q.key is not None or q.drawn for q in form.questions)
    return drawn or (form.pages if keyed else ())


def places(form: Form, question: Question) -> tuple[int, ...]:
    """The pictures of a question, counted from 1; of a blank, the page that it stands on."""
    if not needed(form, question):
        return ()
    every = pages(form)
    own = tuple(i for i, (_, view) in enumerate(every, start=1) if question.key in view.blanks)
    return own or tuple(range(1, len(every) + 1))


def file_name(form: Form, path: Path, place: int = 1) -> str:
    """File name of one picture."""
    return f"{path.stem}-{form.label}{f'-{place}' if place > 1 else ''}.{FORMAT}"


def alt(page: Page) -> str:
    """What a picture shows, for a reader who cannot see it; tells no answer."""
    return redaction.description(*page)


def cropped(page: Page) -> Page:
    """A page from under its title on: no name, date, score, nor instructions for paper."""
    scene, view = page
    title = next((p for p in scene.parts if isinstance(p, Note) and p.role == "title"), None)
    if title is None:
        return page
    kept = tuple(p for p in scene.parts if not _of_the_head(p, title.text.y))
    top = min((y for p in kept for y in _tops(p)), default=0.0) - EDGE_MM
    up = Move(0.0, -top)
    made = changed(scene, lambda p: None if _of_the_head(p, title.text.y) else up.part(p))
    return Page(replace(made, height=scene.height - top), view)


def _of_the_head(part: Part, title: float) -> bool:
    if isinstance(part, Note):
        return part.role == "title" or (part.role == "orientation" and part.key != "orientation")
    return isinstance(part, Leader) and part.kind == "rule" and part.curve[0][1] < title


def _tops(part: Part) -> list[float]:
    """Where a part begins, as far as it counts for the upper edge."""
    if isinstance(part, Note):
        return [part.text.box.y]
    if isinstance(part, Leader):
        return [part.curve[0][1]]
    if isinstance(part, Area):
        return [y for curve in part.curves for _, y in curve]
    box = getattr(part, "box", None)
    return [box.y] if isinstance(box, Box) else []
