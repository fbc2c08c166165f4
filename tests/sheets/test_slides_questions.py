"""A question shows what is asked about and hides what is asked; nothing moves from it to its answer."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import Area, Note, Row
from plexusdraw.sheets.slides import case_slide
from plexusdraw.sheets.slides.lecture import Lecture, render

PAGE = paper("16:9")


def pair(tmp_path: Path, step: str, detail: str = "nerves") -> Sequence:
    file = tmp_path / "own.yaml"
    all_of_it = "{title: All, show: [roots, trunks, divisions, cords, terminal branches]}"
    file.write_text(f"outline: 1\nsteps:\n  - {all_of_it}\n  - {step}\n")
    return Lecture(load("brachial"), Options(detail, PAGE, remark=False), themes.load("print"), file).slides[1:]


@pytest.mark.parametrize(
    ("step", "question"),
    [
        ("{title: A, highlight: [C7], ask: true}", "Where do the fibres of C7 go?"),
        ("{title: A, highlight: [radial nerve], ask: true}", "Which roots reach the radial nerve, and which way?"),
        ("{title: A, highlight: [radial nerve], ask: true, on: limb}", "What does the radial nerve supply?"),
        ("{title: A, injure: [upper trunk], ask: true}", "Injury: upper trunk. What is lost?"),
        (
            "{title: A, injure: [upper trunk], partial: true, ask: true, on: limb}",
            "Partial injury: upper trunk. What is lost?",
        ),
        ("{title: A, injure: [upper trunk], ask: true, asked: site, on: limb}", "Where is the injury?"),
        ("{title: A, hide: [cords], ask: true}", "What are the names?"),
        ("{title: A, show: [side branches of roots], ask: true}", "What are the names?"),
    ],
)
def test_each_kind_of_step_has_its_question_and_nothing_moves(tmp_path: Path, step: str, question: str) -> None:
    asked, told = pair(tmp_path, step)
    assert (asked.title, told.title) == (question, "A")
    assert places(asked) == places(told)
    assert asked.view != told.view


@pytest.mark.parametrize(
    ("step", "question", "hidden"),
    [
        ("{title: A, show: [supply of ulnar nerve], ask: true, on: table}", "What do they supply?", "hidden"),
        ("{title: A, show: [supply], injure: [ulnar nerve], ask: true, on: table}", "Injury: ulnar nerve.", "plain"),
    ],
)
def test_what_stands_in_the_table_is_asked_there(tmp_path: Path, step: str, question: str, hidden: str) -> None:
    slides = pair(tmp_path, step, "muscles")
    for asked, told in zip(slides[::2], slides[1::2], strict=True):
        assert asked.title.startswith(question)
        assert told.title.startswith("A")
        assert places(asked) == places(told)
    rows = [p.entity for s in slides for p in s.scene.parts if isinstance(p, Row)]
    own = [id for id in ("flexor-carpi-ulnaris", "palmaris-brevis") if id in rows]
    assert len(own) == 2
    for id in own:
        assert {s.view.entity(id) for s in slides[::2] if id in entities(s)} == {hidden}
        assert {s.view.entity(id) for s in slides[1::2] if id in entities(s)} <= {"plain", "highlit", "lost"}


def entities(slide) -> set[str]:
    return {p.entity for p in slide.scene.parts if isinstance(p, Row)}


def places(slide) -> list[object]:
    return [p for p in slide.scene.parts if not (isinstance(p, Note) and p.key in ("title", "number"))]


def test_where_fibres_go_is_not_shown(tmp_path: Path) -> None:
    asked, told = pair(tmp_path, "{title: A, highlight: [C7], ask: true}")
    assert set(asked.view.strands.values()) == {"dimmed"}
    assert asked.view.entity("C7") == "highlit"
    assert {id for id, state in asked.view.entities.items() if state == "highlit"} == {"C7"}
    assert "highlit" in told.view.strands.values()


def test_what_is_lost_is_not_shown(tmp_path: Path) -> None:
    asked, told = pair(tmp_path, "{title: A, injure: [radial nerve], ask: true, on: limb}")
    assert asked.view.cuts == told.view.cuts != ()
    assert not {"lost", "weak"} & {*asked.view.entities.values(), *asked.view.strands.values()}
    assert told.view.entity("brachioradialis") == "lost"
    lists = [p for p in asked.scene.parts if isinstance(p, Note) and p.key.startswith(case_slide.LISTED)]
    assert lists
    assert not [note for note in lists if asked.view.note(note)]


def test_the_site_of_an_injury_is_not_in_the_file_of_the_question(tmp_path: Path) -> None:
    file = tmp_path / "own.yaml"
    file.write_text(
        "outline: 1\nsteps:\n  - {title: It was, injure: [axillary nerve], ask: true, asked: site, on: limb}\n"
    )
    made = Lecture(load("brachial"), Options("framework", PAGE, remark=False), themes.load("print"), file)
    asked, told = made.slides
    areas = {p.entity for p in asked.scene.parts if isinstance(p, Area)}
    assert "deltoid" in areas
    assert asked.view.entity("deltoid") == told.view.entity("deltoid") == "lost"
    assert asked.view.cuts == ()
    assert "lost" not in asked.view.strands.values()
    deck = ZipFile(BytesIO(render(made, "pptx")))
    text = deck.read("ppt/slides/slide1.xml").decode()
    assert 'descr="Where is the injury?' in text
    assert "Cut" not in text
    assert "axillary nerve" not in text.replace("axillary n.", "")
