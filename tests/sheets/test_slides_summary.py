"""The study sheet: one page, with what every nerve supplies and three injuries."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.sheets.slides import summary
from plexusdraw.sheets.slides.lecture import Lecture


@pytest.mark.parametrize(
    ("model", "sheet"),
    [
        ("brachial", "a4"),
        ("cervical", "a4"),
        pytest.param("lumbosacral", "a3", marks=pytest.mark.nightly),
    ],
)
def test_a_study_sheet_has_one_page_with_everything(model: str, sheet: str) -> None:
    plexus = load(model)
    lecture = Lecture(plexus, Options("nerves", paper("16:9"), remark=False), themes.load("print"))
    pdf = PdfReader(BytesIO(summary.sheet(lecture, paper(sheet, "portrait"))))
    assert len(pdf.pages) == 1
    text = pdf.pages[0].extract_text()
    assert "What each nerve supplies" in text
    sites = dict.fromkeys(step.injure for step in lecture.outline.steps if step.injure)
    assert all(site.name in text for group in list(sites)[:3] for site in group)
