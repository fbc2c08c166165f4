"""The lecture: its steps in order, what is new and what is calm, questions, notes, sizes; the deck opened again."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from zipfile import ZipFile

import pytest
from click.testing import CliRunner
from pptx import Presentation
from pypdf import PdfReader

from plexusdraw.cli.slides import command
from plexusdraw.errors import OutputError, SheetError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import Paper, paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import Area, Label, Note, Pill, Row, Strand
from plexusdraw.sheets.slides import lecture as slides
from plexusdraw.sheets.slides import opening
from plexusdraw.sheets.slides.lecture import Lecture, Opening, pictures, render
from plexusdraw.sheets.slides.things import things

MODELS = Path(__file__).parent.parent / "models"
SCREEN = paper("16:9")
P14 = "{http://schemas.microsoft.com/office/powerpoint/2010/main}"


@cache
def lecture(
    detail: str = "muscles",
    path: str | None = None,
    model: str = "brachial",
    page: Paper = SCREEN,
    *,
    long: bool = False,
) -> Lecture:
    return Lecture(load(model), Options(detail, page, remark=False), themes.load("print"), path, long)


@cache
def deck() -> bytes:
    return render(lecture(), "pptx")


def by_title(title: str, *, long: bool = False) -> slides.Slide:
    return next(s for s in lecture(long=long).slides if s.title == title)


def states(slide: slides.Slide, ids: set[str]) -> set[str]:
    return {slide.view.entity(id) for id in ids}


def own(tmp_path: Path, steps: str) -> Lecture:
    file = tmp_path / "own.yaml"
    file.write_text(f"outline: 1\nsteps:\n{steps}")
    return lecture(path=str(file))


def test_the_order_is_that_in_which_it_is_taught() -> None:
    sections = list(dict.fromkeys(s.section for s in lecture().slides))
    assert sections == [
        "Opening",
        "From roots to nerves",
        "One root",
        "Side branches",
        "Muscles and skin",
        "Injuries",
        "Quiz",
        "Sources",
    ]
    assert [s.title for s in lecture().slides[1:6]] == ["Roots", "Trunks", "Divisions", "Cords", "Terminal branches"]


def test_the_first_slide_has_what_is_given_and_pictures_without_names() -> None:
    given = Opening("Nerves of the arm", "Week 3", "12 May")
    made = Lecture(load("brachial"), Options("framework", SCREEN), themes.load("print"), opening=given)
    slide = made.slides[0]
    assert slide.title == "Nerves of the arm"
    assert {"Week 3", "12 May"} <= {p.text.string for p in slide.scene.parts if isinstance(p, Note)}
    assert {Strand, Area} <= {type(p) for p in slide.scene.parts}
    assert not [p for p in slide.scene.parts if isinstance(p, Label | Pill)]


def test_the_sources_stand_on_the_last_slide_and_all_in_its_notes() -> None:
    last, plexus = lecture().slides[-1], lecture().plexus
    shown = " ".join(p.text.string for p in last.scene.parts if isinstance(p, Note))
    titles = opening.titles(plexus)
    assert len(titles) > 10
    assert all(title in last.notes for title in titles)
    assert "Gray H, Anatomy of the Human Body" in shown
    assert not [word for word in ("gray-1918", "common practice") if word in shown + last.notes]


def test_what_is_new_is_emphasised_and_the_rest_is_calm() -> None:
    slide = by_title("Trunks")
    assert states(slide, {"upper-trunk", "middle-trunk", "lower-trunk"}) == {"highlit"}
    assert states(slide, set(lecture().plexus.roots)) == {"dimmed"}
    assert states(slide, {"lateral-cord", "radial-nerve", "suprascapular-nerve"}) == {"hidden"}


def test_what_is_calm_keeps_a_tint_of_its_colour() -> None:
    slide = by_title("Trunks")
    assert slide.theme.look("dimmed").strand is None
    assert by_title("Fibres of C7", long=True).theme.look("dimmed").strand == lecture().theme.look("dimmed").strand


def test_nothing_moves_from_slide_to_slide() -> None:
    limbs = ("Opening", "Muscles and skin", "Injuries")  # with the limb, the plexus takes less room
    before = [s for s in lecture().slides if s.section not in limbs and not s.title.startswith(("Where is", "It was"))]
    drawing = [s for s in before if any(isinstance(p, Strand) for p in s.scene.parts)]
    places = [{p for p in s.scene.parts if not isinstance(p, Note | Label)} for s in drawing]
    assert all(found == places[0] for found in places)
    names = [{p for p in s.scene.parts if isinstance(p, Label) and p.role == "name"} for s in drawing]
    assert all(found == names[0] for found in names)


def test_nothing_that_is_shown_goes_away_again() -> None:
    hidden = [{id for id, s in x.view.entities.items() if s == "hidden"} for x in lecture().slides[1:11]]
    assert all(later <= before for before, later in pairwise(hidden))
    assert not hidden[-1]


def test_a_roots_slide_lights_its_fibres_alone() -> None:
    view = by_title("Fibres of T1", long=True).view
    lit = {root for (_, root, _, _), state in view.strands.items() if state == "highlit"}
    assert lit == {"T1"}


def test_muscles_come_nerve_by_nerve() -> None:
    radial = by_title("Muscles and skin: radial nerve (table)", long=True)
    rows = [p.entity for p in radial.scene.parts if isinstance(p, Row)]
    assert "brachioradialis" in rows
    assert "pronator-teres" not in rows
    assert radial.view.entity("brachioradialis") == "highlit"
    assert radial.view.entity("deltoid") == "dimmed"


def test_an_injury_is_asked_before_it_is_answered() -> None:
    titles = [s.title for s in lecture().slides]
    at = titles.index("Injury: upper trunk. What is lost?")
    question, answer = lecture().slides[at : at + 2]
    assert places(question) == places(answer), "nothing moves between the two"
    assert question.view.cuts == answer.view.cuts == (("upper-trunk", 0),)
    assert "lost" not in question.view.strands.values()
    assert "lost" in answer.view.strands.values()
    assert answer.view.entity("supraspinatus") == "lost"
    assert question.view.entity("supraspinatus") == "plain"
    lists = [p for p in answer.scene.parts if isinstance(p, Note) and p.key.startswith("lost-")]
    assert "Paralysed" in " ".join(answer.view.note(note) for note in lists)
    assert not any(question.view.note(note) for note in lists)


def places(slide: slides.Slide) -> list[object]:
    return [p for p in slide.scene.parts if not (isinstance(p, Note) and p.key in ("title", "number"))]


def test_a_question_blanks_what_the_answer_numbers() -> None:
    question, answer = by_title("Which names are missing?"), by_title("All names")
    assert question.view.blanks == answer.view.answers
    assert sorted(question.view.blanks.values()) == list(range(1, len(question.view.blanks) + 1))
    assert ("upper-trunk", "name") in question.view.blanks
    assert ("suprascapular-nerve", "name") in question.view.blanks


def test_a_question_tells_no_answer(tmp_path: Path) -> None:
    made = own(tmp_path, "  - {title: The roots, show: [roots]}\n  - {title: The trunks, show: [trunks], ask: true}\n")
    question = made.slides[1]
    text = ZipFile(BytesIO(render(made, "pptx"))).read("ppt/slides/slide2.xml").decode()
    assert len(question.view.blanks) == 3
    assert not [word for word in ("upper-trunk", "upper trunk", ">upper<", "middle", "lower") if word in text]
    assert "trunk" not in question.notes + question.scene.description.replace("trunks, divisions", "")


def test_what_is_highlit_is_asked(tmp_path: Path) -> None:
    asked = '{title: X, highlight: [radial nerve], ask: "Which nerve?", asked: names}'
    steps = f"  - {{title: All, show: [everything]}}\n  - {asked}\n"
    assert set(own(tmp_path, steps).slides[1].view.blanks) == {("radial-nerve", "name")}


def test_hidden_kinds_without_a_question_are_blank(tmp_path: Path) -> None:
    made = own(tmp_path, "  - {title: All, show: [trunks, cords], hide: [cords]}\n").slides
    assert {id for id, _ in made[0].view.blanks} == {"lateral-cord", "posterior-cord", "medial-cord"}


def test_a_partial_cut_paralyses_nothing(tmp_path: Path) -> None:
    steps = "  - {title: X, show: [everything], injure: radial nerve, partial: true, on: both}\n"
    table = own(tmp_path, steps).slides[-1]
    assert set(table.view.words.values()) <= {"weak", "slightly weak", "reduced"}
    assert table.view.words["dorsolateral-hand-and-first-web"] == "reduced"


def test_the_notes_say_what_an_injury_does() -> None:
    notes = by_title("Injury: radial nerve at spiral groove").notes
    assert notes.startswith("Cut: radial nerve at spiral groove. Point at the mark")
    assert "\nParalysed: mobile wad, supinator" in notes
    assert "\nExam question: which movements are lost? Answer: wrist extension" in notes


def test_notes_are_sentences_without_keys_of_sources() -> None:
    keys = {key for key in lecture().plexus.sources if "-" in key}
    for slide in lecture().slides:
        assert not [key for key in keys if key in slide.notes], slide.title
        assert ".." not in slide.notes
        assert all(line.endswith((".", "?", "!", ":")) for line in slide.notes.splitlines()), slide.notes


def test_every_slide_has_another_title_and_something_to_say() -> None:
    titles = [s.title for s in lecture().slides]
    assert len(set(titles)) == len(titles)
    assert all(s.notes for s in lecture().slides)


def test_titles_are_of_18_pt_or_more() -> None:
    sizes = [p.text.size for s in lecture().slides for p in s.scene.parts if isinstance(p, Note) and p.role == "title"]
    assert min(sizes) >= 18


def test_names_can_be_read_from_the_back_row() -> None:
    scene = lecture("nerves").pages[0]
    texts = [t for p in scene.parts if isinstance(p, Label) for t in p.lines]
    texts += [p.text for p in scene.parts if isinstance(p, Pill)]
    assert min(t.size for t in texts) >= 14


def test_a_title_too_long_is_told_with_its_line(tmp_path: Path) -> None:
    made = own(tmp_path, f"  - title: {'long ' * 60}\n")
    with pytest.raises(SheetError, match=r"own.yaml:3: the title .* is wider than"):
        _ = made.slides


def test_the_deck_opens_with_titles_notes_and_numbers() -> None:
    made = Presentation(BytesIO(deck()))
    assert [s.shapes.title.text_frame.text for s in made.slides] == [s.title for s in lecture().slides]
    assert [s.notes_slide.notes_text_frame.text for s in made.slides] == [s.notes for s in lecture().slides]
    numbers = [p.text_frame.text for s in made.slides for p in s.placeholders if p.placeholder_format.type == 13]
    assert numbers == [str(i + 1) for i in range(len(made.slides))]


def test_the_deck_has_the_sections_of_the_outline() -> None:
    tree = Presentation(BytesIO(deck())).part._element
    found = {s.get("name"): len(list(s.iter(f"{P14}sldId"))) for s in tree.iter(f"{P14}section")}
    wanted: dict[str, int] = {}
    for slide in lecture().slides:
        wanted[slide.section] = wanted.get(slide.section, 0) + 1
    assert found == wanted


def test_every_slide_says_what_it_shows() -> None:
    made = Presentation(BytesIO(deck()))
    said = [s.shapes._spTree[0][0].get("descr") for s in made.slides]
    assert said[2].startswith("Trunks. Schematic of the brachial plexus")
    assert "New: upper trunk, middle trunk, lower trunk." in said[2]
    assert all(said)


def test_hidden_structures_are_not_in_the_file() -> None:
    made = Presentation(BytesIO(deck()))
    names = {shape.name for shape in made.slides[2].shapes}
    assert "upper trunk" in names
    assert not {name for name in names if "cord" in name or "nerve" in name} - {"cords"}


def test_a_long_deck_is_small() -> None:
    assert len(lecture(long=True).slides) >= 40
    assert len(render(lecture(long=True), "pptx")) < 3_000_000


def test_the_same_lecture_gives_the_same_bytes() -> None:
    path = MODELS / "two-part.yaml"
    one, two = (Lecture(load(path), Options("muscles", SCREEN), themes.load("print")) for _ in range(2))
    assert render(one, "pptx") == render(two, "pptx")


def test_the_pdf_has_a_page_a_slide_bookmarks_and_tags() -> None:
    pdf = PdfReader(BytesIO(render(lecture("framework"), "pdf")))
    made = lecture("framework").slides
    assert len(pdf.pages) == len(made)
    top = [item.title for item in pdf.outline if not isinstance(item, list)]
    below = [item.title for group in pdf.outline if isinstance(group, list) for item in group]
    assert top == list(dict.fromkeys(s.section for s in made))
    assert below == [s.title for s in made]
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_a_picture_of_each_slide_is_named_by_its_title() -> None:
    made = dict(pictures(lecture("framework"), "svg"))
    assert list(made)[:2] == ["01-the-brachial-plexus.svg", "02-roots.svg"]
    assert b"The way of C6" in made["08-the-way-of-c6.svg"]


def test_another_format_is_refused() -> None:
    with pytest.raises(OutputError, match=r"choose from pptx, pdf$"):
        render(lecture("framework"), "dot")


@pytest.mark.parametrize("model", ["two-stages", "one-root", "caudal"])
def test_any_staged_plexus_makes_a_lecture(model: str) -> None:
    made = lecture(model=str(MODELS / f"{model}.yaml"))
    assert len(made.slides) > len(made.plexus.stages)
    assert len(Presentation(BytesIO(render(made, "pptx"))).slides) == len(made.slides)


def test_things_of_an_outline_are_told_apart() -> None:
    plexus = load("brachial")
    drawn = set(plexus.segments)
    assert things(plexus, "Trunks", drawn).drawn == {"upper-trunk", "middle-trunk", "lower-trunk"}
    assert things(plexus, "side branches of trunks", drawn).drawn == {"suprascapular-nerve", "nerve-to-subclavius"}
    assert things(plexus, "terminal branches", drawn).drawn >= {"median-nerve", "lateral-root-of-median-nerve"}
    assert things(plexus, "supply of N. radialis", drawn).supply == {"radial-nerve"}


def test_the_command_writes_a_deck(tmp_path: Path) -> None:
    model = str(MODELS / "two-stages.yaml")
    result = CliRunner().invoke(command, [model, "-o", str(tmp_path / "x.pptx")], catch_exceptions=False)
    assert result.exit_code == 0
    assert Presentation(str(tmp_path / "x.pptx")).slides


def test_the_command_writes_a_folder_of_pictures(tmp_path: Path) -> None:
    model = str(MODELS / "one-root.yaml")
    result = CliRunner().invoke(command, [model, "-o", str(tmp_path / "new" / "pictures")], catch_exceptions=False)
    assert result.exit_code == 0
    assert sorted(f.name for f in (tmp_path / "new" / "pictures").iterdir())[0].startswith("01-")


@pytest.mark.parametrize(
    ("words", "told"),
    [([], "say where to"), (["-o", "x.pptx", "--handout", "3"], "a handout is a .pdf"), (["-o", "x.doc"], "no format")],
)
def test_the_command_says_what_is_wrong(words: list[str], told: str) -> None:
    result = CliRunner().invoke(command, [str(MODELS / "one-root.yaml"), *words])
    assert result.exit_code == 2
    assert told in result.output


def test_section_and_number_stand_clear_of_all_other_notes() -> None:
    for slide in lecture().slides:
        notes = [p for p in slide.scene.parts if isinstance(p, Note)]
        feet = [p.text.box for p in notes if p.key in ("section", "number")]
        others = [p.text.box for p in notes if p.key not in ("section", "number")]
        assert not any(foot.meets(box) for foot in feet for box in others)
        assert all(foot.bottom < slide.scene.height for foot in feet)
