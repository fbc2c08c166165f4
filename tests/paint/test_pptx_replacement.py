"""A deck in another typeface: with the widths of those that programs usually take, text stays in its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import combinations

import pytest
from lxml import etree
from pptx import Presentation
from replacements import ARIAL, DEJAVU, Replacement

import plexusdraw
from plexusdraw import fonts
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.paint import pptx
from plexusdraw.scene import MM_PER_PT, Box
from plexusdraw.sheets.slides import room
from plexusdraw.sheets.slides.lecture import Lecture, render
from plexusdraw.sheets.slides.opening import titles

A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
P = "{http://schemas.openxmlformats.org/presentationml/2006/main}"
EMU_A_MM = 36_000
LEAST_SHARE = 0.62
"""Text is never set smaller than by so much to fit: 18 pt become 11."""
ROUNDING_MM = 0.02
_START = {"l": 0.0, "ctr": 0.5, "r": 1.0}


@dataclass(frozen=True)
class Line:
    """A line of text as a deck has it."""

    string: str
    size: float
    bold: bool
    side: str
    box: Box

    @property
    def own(self) -> float:
        """Width in our typeface, mm."""
        return fonts.width(self.string, self.size, self.bold)

    def wide(self, face: Replacement) -> float:
        """Width in another typeface, mm."""
        return face.width(self.string, self.size, self.bold)

    def taken(self, wide: float) -> Box:
        """Where it stands if it is so wide, made smaller where that does not fit its box; capitals high, mm."""
        share = min(1.0, self.box.w / wide)
        width, height = wide * share, fonts.CAP_EM * self.size * MM_PER_PT * share
        x = self.box.x + _START[self.side] * (self.box.w - width)
        return Box(x, self.box.y + self.box.h / 2 - height / 2, width, height)


def lines_of(deck: bytes) -> Iterator[tuple[Box, list[Line]]]:
    """Of each slide its own box and its lines of text; placeholders, which the deck's master sets, left out."""
    made = Presentation(BytesIO(deck))
    for slide in made.slides:
        found = []
        for shape in slide._element.iter(f"{P}sp"):
            run = shape.find(f".//{A}r/{A}rPr")
            if run is None or shape.find(f".//{P}ph") is not None:
                continue
            body = shape.find(f".//{A}bodyPr")
            assert body.get("wrap") == "square", etree.tostring(shape)
            assert body.find(f"{A}normAutofit") is not None
            off, ext = shape.find(f".//{A}off"), shape.find(f".//{A}ext")
            place = (*map(int, (off.get("x"), off.get("y"), ext.get("cx"), ext.get("cy"))),)
            found.append(
                Line(
                    shape.findtext(f".//{A}t"),
                    int(run.get("sz")) / 100,
                    run.get("b") == "1",
                    shape.find(f".//{A}pPr").get("algn"),
                    Box(*(value / EMU_A_MM for value in place)),
                )
            )
        yield Box(0.0, 0.0, made.slide_width / EMU_A_MM, made.slide_height / EMU_A_MM), found


def faults(deck: bytes) -> list[str]:
    """What is wrong with a deck in other typefaces."""
    return [fault for page, lines in lines_of(deck) for fault in _faults(page, lines)]


def _faults(page: Box, lines: Sequence[Line]) -> Iterator[str]:
    assert lines
    for line in lines:
        if line.box.x < -ROUNDING_MM or line.box.right > page.right + ROUNDING_MM:
            yield f"{line.string}: off the slide"
        if line.own > line.box.w + ROUNDING_MM:
            yield f"{line.string}: does not fit in its own typeface"
        if line.wide(ARIAL) > line.box.w + ROUNDING_MM:
            yield f"{line.string}: wraps in {ARIAL.name}"
        if line.box.w / line.wide(DEJAVU) < LEAST_SHARE:
            yield f"{line.string}: tiny in {DEJAVU.name}"
    for one, other in combinations(lines, 2):
        if one.taken(one.own).meets(other.taken(other.own), -ROUNDING_MM):
            yield f"{one.string} meets {other.string}"
    for face in (ARIAL, DEJAVU):
        places = [(line, line.taken(line.wide(face))) for line in lines]
        for (one, here), (other, there) in combinations(places, 2):
            if here.meets(there, -ROUNDING_MM):
                yield f"{one.string} meets {other.string} in {face.name}"


def test_a_plexus_on_a_slide_stays_in_place_in_another_typeface() -> None:
    pages = plexusdraw.figure("brachial", paper="16:9").pages()
    assert faults(pptx.paint(pages, themes.load("lecture"))) == []


@pytest.mark.parametrize("shape", ["16:9", "4:3"])
def test_plates_of_a_column_look_alike_in_the_widest(shape: str) -> None:
    pages = plexusdraw.figure("brachial", paper=shape).pages()
    ((_, lines),) = lines_of(pptx.paint(pages, themes.load("print")))
    shares = {
        n: min(1.0, x.box.w / x.wide(DEJAVU)) for x in lines for n in [x.string] if n in ("anterior", "posterior")
    }
    assert len(shares) == 2
    assert min(shares.values()) > 0.88
    assert shares["anterior"] - shares["posterior"] < 0.08


def test_running_text_is_as_large_in_the_widest() -> None:
    for title in titles(load("brachial")):
        made = room.lines_of(title, 90.0, 14.0)
        assert " ".join(made) == title
        assert max(DEJAVU.width(line, 14.0, bold=False) for line in made) < 90.0, title


def test_the_widths_are_those_of_their_typefaces() -> None:
    """Held against what is known: DejaVu is the widest, Arial about as wide as ours."""
    text = "musculocutaneous nerve"
    ours = fonts.width(text, 18, bold=True)
    assert 0.95 < ARIAL.width(text, 18, bold=True) / ours < 1.07
    assert 1.1 < DEJAVU.width(text, 18, bold=True) / ours < 1.3
    assert all(len(table) == 95 for face in (ARIAL, DEJAVU) for table in (face.regular, face.bold))


@pytest.mark.nightly
@pytest.mark.parametrize("shape", ["16:9", "4:3"])
@pytest.mark.parametrize("style", ["short", "english", "latin"])
def test_every_slide_of_the_lecture_stays_in_place_in_another_typeface(style: str, shape: str) -> None:
    options = Options("nerves", paper(shape), wording=Wording(style), remark=False)
    assert faults(render(Lecture(load("brachial"), options, themes.load("lecture")), "pptx")) == []
