"""Any picture of the tool on a slide: set in a slide's type, split over slides where one is too small."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import pytest

from plexusdraw.errors import SheetError
from plexusdraw.layout.checks import faults
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Plate, Words
from plexusdraw.model import load
from plexusdraw.paint.pptx import Slide
from plexusdraw.scene import MM_PER_PT, Label, Row
from plexusdraw.sheets.slides import any_picture
from plexusdraw.sheets.slides.lecture import Lecture
from plexusdraw.sheets.slides.steps import Picture, Step
from plexusdraw.sheets.worksheet import registry

SHOWN = [name for name, kind in registry.REGISTRY.items() if kind.joins]
SLOW = {"label", "injury", "limb", "recall", "site"}
THEME = themes.load("lecture")


@cache
def figure(kind: str, of: str, shape: str = "16:9", hide: tuple[str, ...] = ()) -> any_picture.Shown:
    options = Options("nerves", paper(shape), remark=False)
    return any_picture.show(load("brachial"), options, THEME, step(kind, of, hide))


def step(kind: str, of: str, hide: tuple[str, ...] = ()) -> Step:
    return Step(section="", title="T", picture=Picture(kind, of), hide=hide)


def sizes(pages: Sequence) -> list[float]:
    found = (m for p in pages for g in marks(p.scene, p.view, THEME) for m in g.marks if isinstance(m, Words))
    return [words.size for words in found]


@pytest.mark.parametrize(
    "kind", [pytest.param(name, marks=[pytest.mark.nightly] if name in SLOW else []) for name in SHOWN]
)
@pytest.mark.parametrize("shape", ["16:9", "4:3"])
def test_a_form_is_set_in_the_type_of_a_slide(kind: str, shape: str) -> None:
    made = figure("worksheet", kind, shape)
    page = paper(shape)
    for one in (*made.pages, *made.answered):
        assert (one.scene.width, one.scene.height) == pytest.approx((page.width, page.height))
        assert one.scene.medium == "slide"
    assert min(sizes([*made.pages, *made.answered])) >= 14 - 1e-9


def test_a_form_on_a_slide_has_no_line_for_a_name_and_no_spellings_for_markers() -> None:
    made = figure("worksheet", "table")
    said = [
        m.string
        for p in (*made.pages, *made.answered)
        for g in marks(p.scene, p.view, THEME)
        for m in g.marks
        if isinstance(m, Words)
    ]
    assert not [text for text in said if text.startswith(("Name", "Date", "Score", "Form ", "Key to", "also:"))]
    assert [text for text in said if "What is right." in text]


@pytest.mark.parametrize("nerve", ["radial nerve", "median nerve", "ulnar nerve"])
@pytest.mark.parametrize("shape", ["16:9", "4:3"])
def test_the_course_of_a_long_nerve_is_on_slides(nerve: str, shape: str) -> None:
    """Whatever has no room goes to a slide of its own, and nothing is lost or said twice."""
    on_paper = figure("nerve", nerve, "a3").pages
    slides = figure("nerve", nerve, shape).pages
    assert [faults(page.scene) for page in slides] == [[]] * len(slides)
    assert min(sizes(slides)) >= 14
    assert rows(slides) == rows(on_paper)


def rows(pages: Sequence) -> list[tuple[str, str | None]]:
    return sorted((p.entity, p.via or "") for page in pages for p in page.scene.parts if isinstance(p, Row))


def test_a_branch_of_its_own_is_named_where_it_leaves() -> None:
    first, second = figure("nerve", "radial nerve").pages
    branch = "deep-branch-of-radial-nerve"
    for page in (first, second):
        assert branch in {p.entity for p in page.scene.parts if isinstance(p, Label)}
    legend = [p.text.string for p in first.scene.parts if getattr(p, "key", "") == "legend"]
    assert "On a slide of its own: deep branch of radial nerve." in legend[0]


@pytest.mark.parametrize("shape", ["16:9", "4:3"])
def test_numbers_of_blanks_stand_in_their_boxes_and_can_be_read(shape: str, tmp_path: Path) -> None:
    slide = own(tmp_path, "{title: A, show: [everything], hide: [labels], ask: true}", shape)[0]
    number = {str(n) for n in slide.view.blanks.values()}
    assert len(number) > 25
    found = 0
    for group in marks(slide.scene, slide.view, slide.theme):
        boxes = [m.box for m in group.marks if isinstance(m, Plate)]
        for words in (m for m in group.marks if isinstance(m, Words) and m.string in number and boxes):
            (box,) = boxes
            assert words.size >= 14
            assert box.y <= words.y - 0.6 * words.size * MM_PER_PT
            assert words.y <= box.bottom
            found += 1
    assert found == len(number)


def own(tmp_path: Path, step: str, shape: str = "16:9") -> Sequence[Slide]:
    file = tmp_path / "own.yaml"
    file.write_text(f"outline: 1\nsteps:\n  - {step}\n")
    return Lecture(load("brachial"), Options("nerves", paper(shape), remark=False), THEME, file).slides


def test_cards_are_not_for_slides() -> None:
    with pytest.raises(SheetError, match="cards are printed and cut"):
        any_picture.check(load("brachial"), Picture("worksheet", "cards"))


def test_what_cannot_be_hidden_is_told_with_its_line(tmp_path: Path) -> None:
    told = r'own.yaml:3: hide: cannot hide "nerves" on a limb; choose from labels'
    with pytest.raises(SheetError, match=told):
        own(tmp_path, "{title: A, picture: {limb: skin}, hide: [nerves], ask: true}")
