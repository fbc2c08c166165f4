"""A build-up as one slide: each click makes appear what the step would have brought, and nothing else."""

from __future__ import annotations

from io import BytesIO

import pytest
from click.testing import CliRunner
from lxml import etree
from pptx import Presentation
from pptx.enum.shapes import MSO_SHAPE_TYPE

from plexusdraw.cli.slides import command
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.paint.pptx import Slide, deck
from plexusdraw.sheets.slides.lecture import Lecture

P = "{http://schemas.openxmlformats.org/presentationml/2006/main}"
ORDER = {
    "sld": "cSld clrMapOvr transition timing extLst",
    "timing": "tnLst bldLst extLst",
    "seq": "cTn prevCondLst nextCondLst",
    "cTn": "stCondLst endCondLst endSync iterate childTnLst subTnLst",
    "set": "cBhvr to",
    "cBhvr": "cTn tgtEl attrNameLst",
}
"""Children in the order that the schemas of ECMA-376 part 1 (annex A) ask for."""


STEPS = """
outline: 1
steps:
  - {section: Opening, title: Title, on: title}
  - {section: Columns, each: columns, title: "{Name}", show: ["{name}"]}
  - {section: One root, title: The way of C6, highlight: [C6]}
  - {section: Branches, each: side branches, title: "Side branches of the {name}", show: ["side branches of {name}"]}
"""


@pytest.fixture(scope="module")
def outline(tmp_path_factory) -> str:
    file = tmp_path_factory.mktemp("lecture") / "own.yaml"
    file.write_text(STEPS)
    return str(file)


def lecture(path: str, *, animate: bool = True) -> Lecture:
    options = Options("nerves", paper("16:9"), remark=False)
    return Lecture(load("brachial"), options, themes.load("print"), path, animate=animate)


@pytest.fixture(scope="module")
def made(outline: str) -> tuple[Slide, ...]:
    return lecture(outline).slides


@pytest.fixture(scope="module")
def plain(outline: str) -> tuple[Slide, ...]:
    return lecture(outline, animate=False).slides


@pytest.fixture(scope="module")
def slides(made: tuple[Slide, ...]):
    """The slides as another program reads them: without a build-up, and two with one."""
    return list(Presentation(BytesIO(deck(made, themes.load("print")))).slides)


def clicks(slide) -> list[list[str]]:
    """Numbers of the shapes that appear, click by click, from the main sequence."""
    main = slide._element.findall(f".//{P}cTn[@nodeType='mainSeq']/{P}childTnLst/{P}par")
    return [[target.get("spid") for target in click.iter(f"{P}spTgt")] for click in main]


def objects(slide) -> dict[str, str]:
    """Number → name of the objects of a slide, those within groups left out."""
    return {str(shape.shape_id): shape.name for shape in slide.shapes}


def _thing(name: str) -> str:
    """The structure of an object: "C5 strands (2)" is of C5."""
    return name.partition(" (")[0].removesuffix(" strands")


def test_each_click_brings_what_its_step_brought(made, slides) -> None:
    assert [len(slide.clicks) for slide in made] == [0, 5, 0, 3]
    for wanted, shown in zip(made, slides, strict=True):
        names = objects(shown)
        found = [{_thing(names[id]) for id in ids} for ids in clicks(shown)]
        assert found == [{id.replace("-", " ") for id in ids} for ids in wanted.clicks]


def test_steps_that_only_add_become_one_slide_under_the_name_of_their_section(made, plain) -> None:
    columns = [stage.name.capitalize() for stage in load("brachial").stages]
    sides = [f"Side branches of the {name}" for name in ("roots", "trunks", "cords")]
    assert [s.title for s in plain[1:]] == [*columns, "The way of C6", *sides]
    assert [s.title for s in made[1:]] == ["Columns", "The way of C6", "Branches"]
    assert [s.section for s in made] == ["Opening", "Columns", "One root", "Branches"]


def test_a_number_is_that_of_one_object_and_appears_once(slides) -> None:
    for slide in slides:
        ids = [id for ids in clicks(slide) for id in ids]
        every = [e.get("id") for e in slide._element.iter(f"{P}cNvPr")]
        assert len({*ids}) == len(ids)
        assert len({*every}) == len(every)
        assert {*ids} <= {*objects(slide)}


def test_what_appears_is_whole_and_keeps_its_alternative_text(slides) -> None:
    by_id = {str(shape.shape_id): shape for shape in slides[1].shapes}
    for id in (id for ids in clicks(slides[1]) for id in ids):
        assert by_id[id].shape_type == MSO_SHAPE_TYPE.GROUP, "strand, plate and name come together"
    said = {e.get("descr") for e in slides[1]._element.iter(f"{P}cNvPr")}
    assert {"upper trunk", "medial cord", "median nerve"} <= said


def test_at_the_end_all_is_there_as_after_the_last_step_and_nothing_is_marked(made, plain) -> None:
    for whole, last in ((made[1], plain[5]), (made[3], plain[-1])):
        hidden = {id for id, state in last.view.entities.items() if state == "hidden"}
        assert whole.view.entities == dict.fromkeys(hidden, "hidden")
        assert frozenset[str]().union(*whole.clicks).isdisjoint(hidden)


def test_the_notes_say_what_comes_at_which_click(slides, outline) -> None:
    said = slides[1].notes_slide.notes_text_frame.text.split("\n")
    heads = [line for line in said if line.startswith("Click ")]
    assert heads == [f"Click {i}: {s.name.capitalize()}" for i, s in enumerate(load("brachial").stages, 1)]
    words = lecture(outline).say()[1 : 1 + len(heads)]
    assert all(line in said for step in words for line in step.split("\n"))


def test_elements_stand_in_the_order_of_the_standard(slides) -> None:
    for element in slides[1]._element.iter():
        order = ORDER.get(etree.QName(element).localname, "").split() if element.prefix == "p" else []
        places = [order.index(etree.QName(child).localname) for child in element] if order else []
        assert places == sorted(places), element.tag


def test_times_are_numbered_each_once_from_one(slides) -> None:
    ids = [int(e.get("id")) for e in slides[1]._element.iter(f"{P}cTn")]
    assert ids == list(range(1, len(ids) + 1))


def test_every_effect_is_an_entrance_and_the_first_of_a_click_waits_for_it(slides) -> None:
    for click in slides[1]._element.findall(f".//{P}cTn[@nodeType='mainSeq']/{P}childTnLst/{P}par"):
        assert click.find(f"{P}cTn/{P}stCondLst/{P}cond").get("delay") == "indefinite"
        effects = [e for e in click.iter(f"{P}cTn") if e.get("presetID")]
        assert {(e.get("presetID"), e.get("presetClass")) for e in effects} == {("1", "entr")}
        assert [e.get("nodeType") for e in effects] == ["clickEffect", *["withEffect"] * (len(effects) - 1)]


def test_slides_without_a_build_up_have_no_timing(made, slides) -> None:
    timed = [slide._element.find(f"{P}timing") is not None for slide in slides]
    assert timed == [bool(slide.clicks) for slide in made]


@pytest.mark.parametrize("output", ["x.pdf", "folder"])
def test_other_formats_do_not_take_it(output: str, tmp_path) -> None:
    done = CliRunner().invoke(command, ["--animate", "-o", str(tmp_path / output)])
    assert done.exit_code == 2
    assert "--animate" in done.output
    assert ".pptx" in done.output
    assert not list(tmp_path.iterdir())


def test_a_step_of_another_kind_ends_a_build_up(tmp_path) -> None:
    file = tmp_path / "own.yaml"
    shown = ["roots", "trunks", "divisions", "cords"]
    steps = [f"  - {{section: S, title: {name}, show: [{name}]}}" for name in shown]
    steps.insert(2, "  - {title: One root, highlight: [C6]}")
    file.write_text("\n".join(["outline: 1", "steps:", *steps]))
    options = Options("framework", paper("16:9"), remark=False)
    made = Lecture(load("brachial"), options, themes.load("print"), str(file), animate=True)
    assert [(slide.title, len(slide.clicks)) for slide in made.slides] == [("S", 2), ("One root", 0), ("S (2)", 2)]
