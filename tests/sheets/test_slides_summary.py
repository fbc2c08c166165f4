"""The study sheet: one page, with what every nerve supplies and three injuries."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

from plexusdraw import fonts
from plexusdraw.clinic.injury import injure
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import MM_PER_PT, Box
from plexusdraw.sheets.case import taken
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


def test_skin_that_calls_itself_so_is_not_called_so_twice() -> None:
    lines = [line for entry in summary._listed(load("cervical"), 70.0) for line, _ in entry]
    said = " ".join(lines)
    assert "skin over the acromion C3 C4" in said
    assert "skin: front of neck" in said
    assert "skin: skin" not in said


def test_what_is_lost_ends_with_no_head_whose_list_has_no_room() -> None:
    injury = injure(load("lumbosacral"), ["femoral nerve"])
    step = summary.NOTE_PT * MM_PER_PT * summary.LEADING
    cut = 0
    for lines in range(2, 24):
        made = [note.text for note in summary._words(injury, Box(0.0, 0.0, 66.0, (lines + 0.1) * step))]
        heads = {entry.head for entry in taken.entries(injury)}
        cut += made[-1].string == fonts.ELLIPSIS
        before = made[-2].string if len(made) > 1 and made[-1].string == fonts.ELLIPSIS else made[-1].string
        assert before not in heads
    assert cut > 2
