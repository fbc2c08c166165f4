"""Side branches that a part of a large plexus has no room for come on a slide of their own."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from plexusdraw.layout.checks import faults
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load, regions
from plexusdraw.scene import Label, Strand
from plexusdraw.sheets.slides import aside, composition
from plexusdraw.sheets.slides.lecture import Lecture
from plexusdraw.sheets.slides.maker import Maker
from plexusdraw.sheets.slides.repeats import Piece

PLEXUS = load("lumbosacral")
SACRAL = PLEXUS.regions["sacral-plexus"]
WHOLE = Lecture(PLEXUS, Options("nerves", paper("16:9")), themes.load("lecture"))


@cache
def sacral() -> Lecture:
    """The later part without its side branches, as the lecture of the whole comes to it."""
    plexus = regions.drawn_alone(PLEXUS, SACRAL)
    beside = replace(WHOLE, plexus=aside.alone(PLEXUS, SACRAL), piece=Piece(first=False, last=False))
    options = replace(WHOLE.options, detail="framework")
    return replace(WHOLE, plexus=plexus, options=options, piece=Piece(first=False, whole=PLEXUS), beside=beside)


def test_side_branches_without_room_have_a_slide_on_which_they_are_new():
    ((step, words),) = ((s, w) for s, w in zip(sacral().outline.steps, sacral().say(), strict=True) if s.aside)
    (slide,) = Maker(sacral()).step(step, step.show, words)
    assert (slide.view.title, step.section) == ("Side branches: sacral plexus", "Side branches")
    new = {id for id, state in slide.view.entities.items() if state == "highlit"}
    assert {"nerve-to-piriformis", "anococcygeal-nerve", "hamstring-branches-of-tibial-part"} <= new
    assert new & {p.entity for p in slide.scene.parts if isinstance(p, Strand)} == step.show.drawn
    assert "anococcygeal nerve" in words
    assert faults(slide.scene) == []
    assert min(line.size for p in slide.scene.parts if isinstance(p, Label) for line in p.lines) >= 14


def test_they_come_after_the_columns_and_the_later_part_begins_with_two_of_these():
    titles = [step.title for step in sacral().outline.steps]
    assert titles[:2] == ["Anterior rami and trunk", "Divisions"]
    assert titles.index("Side branches: sacral plexus") == titles.index("Nerves") + 1


def test_a_long_lecture_leaves_no_column_to_another_slide():
    titles = [step.title for step in replace(sacral(), long=True).outline.steps]
    assert titles[:2] == ["Anterior rami", "Trunk"]
    assert "Side branches: sacral plexus" in titles


@pytest.mark.nightly
def test_every_nerve_of_the_plexus_is_drawn_in_some_part():
    lumbar, later = WHOLE.parts
    assert (lumbar.options.detail, lumbar.beside) == ("nerves", None)
    assert later.beside is not None
    drawn = {id for part in (lumbar, later, later.beside) for id in composition.drawn(part.pages[0])}
    assert {id for region in PLEXUS.regions.values() for id in region.nerves if id in PLEXUS.segments} <= drawn
