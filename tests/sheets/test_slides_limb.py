"""Slides with plexus and limb together: they fit both shapes, name what is lost, fall back where no cut would show."""

from __future__ import annotations

from pathlib import Path

import pytest
from night import first

from plexusdraw.clinic.injury import injure
from plexusdraw.layout.checks import faults, texts
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import Area, Label, Note, Pill, Spot, Strand
from plexusdraw.sheets.slides import case_slide
from plexusdraw.sheets.slides.lecture import Lecture

PLEXUS = load("brachial")
CASES = (["upper trunk"], ["C5", "C6", "C7", "C8", "T1"], ["ulnar nerve at wrist"], ["long thoracic nerve"])


@pytest.mark.parametrize("side", first(["left", "right"], 1))
@pytest.mark.parametrize("shape", ["16:9", "4:3"])
@pytest.mark.parametrize("sites", CASES, ids=" ".join)
def test_all_is_large_enough_and_nothing_collides(sites: list[str], shape: str, side: str) -> None:
    options = Options("muscles", paper(shape), side, remark=False)
    injury = injure(PLEXUS, sites)
    made = case_slide.compose(PLEXUS, options, case_slide.About(injury))
    kept = tuple(p for p in made.scene.parts if not (isinstance(p, Note) and p.key == "legend"))  # the caution is there
    assert [f for f in faults(made.scene) if "not read" not in f] == []
    assert min(text.size for text in texts(made.scene)) >= options.page.smallest - 0.01
    assert {p.entity for p in kept if isinstance(p, Area)} > {"deltoid", "upper-lateral-arm"}
    if made.drawing:
        spots = {p.entity for p in kept if isinstance(p, Spot)}
        assert all(id in spots for id, _ in injury.cuts)
    said = " ".join(p.text.string for p in kept if isinstance(p, Note) and p.key.startswith(case_slide.LISTED))
    assert f"Paralysed: {sum(o.state == 'paralysed' for o in injury.muscles.values())}" in said


@pytest.mark.parametrize(("shape", "style"), [("16:9", "short"), ("4:3", "english"), ("4:3", "latin")])
def test_the_limb_gives_room_to_names_that_are_read_from_the_back(shape: str, style: str) -> None:
    options = Options("nerves", paper(shape), wording=Wording(style), remark=False)
    made = case_slide.compose(PLEXUS, options, case_slide.About(injure(PLEXUS, ["lower trunk"])))
    assert made.names == options.page.names == 18.0
    assert min(t.size for p in made.scene.parts if isinstance(p, Label | Pill) for t in p.lines) == 18.0


def test_a_cut_that_the_small_plexus_does_not_show_has_a_slide_of_its_own() -> None:
    lecture = Lecture(PLEXUS, Options("muscles", paper("16:9"), remark=False), themes.load("print"), long=True)
    own = [s for s in lecture.slides if s.title.startswith("Injury: long thoracic nerve")]
    drawn = [any(isinstance(p, Strand) for p in slide.scene.parts) for slide in own]
    limb = [any(isinstance(p, Area) for p in slide.scene.parts) for slide in own]
    assert (drawn, limb) == ([True, True, False], [False, False, True])
    assert own[-1].view.entity("serratus-anterior") == "lost"


def test_a_step_of_any_kind_may_show_the_limb(tmp_path: Path) -> None:
    file = tmp_path / "own.yaml"
    steps = "  - {title: A, show: [everything], highlight: [axillary nerve], on: limb}\n"
    file.write_text(f"outline: 1\nsteps:\n{steps}")
    (slide,) = Lecture(PLEXUS, Options("muscles", paper("16:9"), remark=False), themes.load("print"), file).slides
    assert slide.view.entity("deltoid") == "highlit"
    assert slide.view.entity("biceps-brachii") == "dimmed"


@pytest.mark.parametrize("sites", CASES, ids=" ".join)
def test_only_a_slide_with_the_plexus_is_said_to_be_seen_from_the_front(sites: list[str]) -> None:
    options = Options("nerves", paper("16:9"), remark=False)
    made = case_slide.compose(PLEXUS, options, case_slide.About(injure(PLEXUS, sites)))
    (said,) = (p.text.string for p in made.scene.parts if isinstance(p, Note) and p.role == "orientation")
    assert said == ("left upper limb, seen from the front" if made.drawing else "left upper limb")


def test_a_slide_with_the_limb_alone_is_said_to_show_a_side() -> None:
    plexus = load("lumbosacral")
    options = Options("nerves", paper("16:9"), remark=False)
    made = case_slide.compose(plexus, options, case_slide.About(injure(plexus, ["L5"])))
    (said,) = (p.text.string for p in made.scene.parts if isinstance(p, Note) and p.role == "orientation")
    assert (made.drawing, said) == (None, "left lower limb")


def test_a_lecture_in_latin_has_latin_titles_lists_and_figures() -> None:
    options = Options("nerves", paper("16:9"), wording=Wording("latin"), remark=False)
    lecture = Lecture(PLEXUS, options, themes.load("lecture"))
    titles = [step.title for step in lecture.outline.steps]
    assert {"Nervus radialis", "Fasciculi", "Injury: truncus superior"} <= set(titles)
    root = next(step for step in lecture.outline.steps if step.section == "One root")
    assert root.title == f"The way of {root.highlight[0].id}", "its letters, as the drawing has them"
    made = case_slide.compose(PLEXUS, options, case_slide.About(injure(PLEXUS, ["axillary nerve"])))
    notes = " ".join(text.string for text in texts(made.scene))
    assert "m. deltoideus" in notes
    assert "Anterior," in notes
    assert "Front" not in notes
