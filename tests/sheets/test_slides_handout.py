"""Handouts: slides in their order on paper, with lines for notes, nothing off the page or over another."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from plexusdraw.errors import SheetError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import Box
from plexusdraw.sheets.slides import handout
from plexusdraw.sheets.slides.lecture import Lecture, render

A4 = paper("a4 portrait")
SLIDE = (338.67, 190.5)


@cache
def lecture() -> Lecture:
    plexus = load(Path(__file__).parent.parent / "models" / "two-stages.yaml")
    return Lecture(plexus, Options("framework", paper("16:9")), themes.load("print"))


@pytest.mark.parametrize("each", handout.PER_PAGE)
def test_slides_keep_to_the_page_and_apart(each: int) -> None:
    found = handout.cells(*SLIDE, A4, each)
    boxes = [Box(c.x, c.y, SLIDE[0] * c.share, SLIDE[1] * c.share) for c in found]
    assert all(b.right <= A4.width - A4.margin + 0.01 and b.bottom <= A4.height - A4.margin + 0.01 for b in boxes)
    assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


@pytest.mark.parametrize(("each", "least"), [(2, 2), (3, 8), (6, 2)])
def test_there_are_lines_for_notes_clear_of_the_slides(each: int, least: int) -> None:
    for cell in handout.cells(*SLIDE, A4, each):
        assert len(cell.rules) >= least
        beside = cell.rules_x >= cell.x + SLIDE[0] * cell.share
        assert beside or min(cell.rules) > cell.y + SLIDE[1] * cell.share
        assert cell.rules_x + cell.rules_w <= A4.width - A4.margin + 0.01
        assert max(cell.rules) <= A4.height - A4.margin + 0.01


@pytest.mark.parametrize("each", handout.PER_PAGE)
def test_every_slide_is_on_its_page(each: int) -> None:
    pages = PdfReader(BytesIO(render(lecture(), "pdf", handout=each))).pages
    titles = [s.title for s in lecture().slides]
    assert len(pages) == -(-len(titles) // each)
    for i, title in enumerate(titles):
        assert title in pages[i // each].extract_text()


def test_a_handout_is_tagged() -> None:
    root = PdfReader(BytesIO(render(lecture(), "pdf", handout=3))).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]


def test_another_number_of_slides_is_refused() -> None:
    with pytest.raises(SheetError, match="2, 3 or 6 slides a page, not 5"):
        render(lecture(), "pdf", handout=5)


def test_a_paper_too_small_is_refused() -> None:
    with pytest.raises(SheetError, match="too small for 6 slides"):
        handout.cells(*SLIDE, paper("60x60"), 6)
