"""The outline of a lecture: read, written to be edited, its faults told with file and line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import hostile
import pytest
from click.testing import CliRunner

from plexusdraw.cli.slides import command
from plexusdraw.errors import SheetError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.scene import Note
from plexusdraw.sheets.slides import outline
from plexusdraw.sheets.slides.lecture import Lecture
from plexusdraw.sheets.slides.template import template

PAGE = paper("16:9")


def written(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "talk.yaml"
    file.write_text(text)
    return file


def faults(tmp_path: Path, text: str) -> list[str]:
    with pytest.raises(SheetError) as caught:
        outline.read(load("brachial"), written(tmp_path, text))
    return str(caught.value).replace(f"{tmp_path}/", "").splitlines()


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("title: [1]", "talk.yaml:3: steps, entry 1, title: must be text, not a list."),
        ("section: A", 'talk.yaml:3: steps, entry 1 has no "title". Add title: ...'),
        ("title: A\n    show: [radial nervee]", "talk.yaml:4: nothing in the brachial plexus is called"),
        ("title: A\n    show:\n      - roots\n      - upper trunkk", "talk.yaml:6: nothing in the brachial plexus"),
        ("title: A\n    highlight: [nonsense]", "talk.yaml:4: nothing in the brachial plexus is called"),
        ("title: A\n    injure: [nowhere at all]", "talk.yaml:4: "),
        ("title: A\n    hide: [colours]", 'talk.yaml:4: cannot hide "colours"'),
        ("title: A\n    shew: [roots]", 'talk.yaml:4: unknown key "shew" in steps, A. Did you mean show?'),
        ("title: A\n    each: muscles", 'talk.yaml:4: each: "muscles" is not known. Choose from columns'),
        ("title: A\n    each: column 9", 'talk.yaml:4: each: "column 9" is not known.'),
        (
            "title: A\n    on: paper",
            'talk.yaml:4: steps, A, on: "paper" is not drawing, table, both, limb, title or sources.',
        ),
        (
            "title: A\n    ask: 3",
            "talk.yaml:4: steps, A, ask: must be true, or a question of up to 500 characters,",
        ),
        ("title: A\n    partial: perhaps", 'talk.yaml:4: steps, A, partial: must be true or false, not "perhaps".'),
        ("title: A\n    show: {a: 1}", "talk.yaml:4: steps, A, show: must be a list, not a mapping."),
    ],
)
def test_a_fault_is_told_with_file_and_line(tmp_path: Path, step: str, told: str) -> None:
    assert faults(tmp_path, f"outline: 1\nsteps:\n  - {step}\n")[0].startswith(told)


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("partial: true", "talk.yaml:4: partial: nothing is injured here. Give injure as well."),
        ("asked: way", "talk.yaml:4: asked: nothing is asked here. Give ask as well."),
        (
            "ask: true\n    asked: loss",
            "talk.yaml:5: asked: what an injury takes cannot be asked here. Give injure as we",
        ),
        ("on: sources\n    show: [roots]", "talk.yaml:5: show: has no meaning on a slide with on: sources."),
        (
            "picture: {nerve: radial nerve}\n    injure: [C5]",
            "talk.yaml:5: injure: has no meaning on a slide with the p",
        ),
        ("picture: {nerve: radial nerve, table: true}", "talk.yaml:4: picture: is one of nerve, limb, table and works"),
        ("picture: {nerve: radical nerve}", "talk.yaml:4: nothing in the brachial plexus is called"),
        ("picture: {worksheet: guess}", 'talk.yaml:4: no worksheet of the kind "guess"'),
        ("picture: {limb: bones}", "talk.yaml:4: steps, A, picture, limb:"),
        ("injure: [C5]\n    ask: true\n    asked: site", "talk.yaml:6: asked: the drawing shows where an injury is."),
        ("theme: lectur", "talk.yaml:4: "),
        ("say: words", 'talk.yaml:4: unknown key "say" in steps, A.'),
        ("subtitle: '{name}'", "talk.yaml:4: subtitle: {name} stands for what a step is repeated for. Give each as w"),
        ("show: [everythng]", 'talk.yaml:4: nothing in the brachial plexus is called "everythng". Did you mean every'),
        ("injure: radial nerve at spiral grove", 'talk.yaml:4: "radial nerve at spiral grove": no such place on rad'),
        ("picture: {worksheet: cards}", "talk.yaml:4: cards are printed and cut; on a slide show another kind."),
        ("picture: {worksheet: label}\n    hide: [labels]", "talk.yaml:5: hide: has no meaning on a slide with the p"),
        ("picture: {nerve: ''}", "talk.yaml:4: picture: is one of nerve, limb, table and worksheet."),
        ("on: table\n    highlight: [C5]\n    ask: true\n    asked: way", "talk.yaml:7: asked: a table does not show"),
        ("each: main nerve", 'talk.yaml:4: each: "main nerve" is not known. Did you mean main nerves'),
    ],
)
def test_what_contradicts_is_told_with_its_line(tmp_path: Path, step: str, told: str) -> None:
    assert faults(tmp_path, f"outline: 1\nsteps:\n  - title: A\n    {step}\n")[0].startswith(told)


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("on: both", r"talk.yaml:3: on: both: there is nothing in the table here. Give show: supply"),
        ("ask: true", r"talk.yaml:3: ask: nothing on this slide is hidden"),
        ("subtitle: " + "wide " * 40, r"talk.yaml:3: the subtitle .* is wider than"),
    ],
)
def test_what_cannot_be_shown_is_told_with_its_line(tmp_path: Path, step: str, told: str) -> None:
    file = written(tmp_path, f"outline: 1\nsteps:\n  - title: A\n    {step}\n")
    with pytest.raises(SheetError, match=told):
        assert Lecture(load("brachial"), Options("framework", PAGE), themes.load("print"), file).slides


def test_a_step_may_show_any_picture(tmp_path: Path) -> None:
    steps = [
        "{title: Course, picture: {nerve: axillary nerve}, theme: grayscale, subtitle: From behind, notes: Look.}",
        "{title: Course again, picture: {nerve: musculocutaneous nerve}, hide: [nerves], ask: Which nerves}",
        "{title: Skin, picture: {limb: skin}}",
        "{title: Table, picture: {table: true}}",
        "{title: Match, picture: {worksheet: match}}",
    ]
    file = written(tmp_path, "outline: 1\nsteps:\n" + "".join(f"  - {step}\n" for step in steps))
    made = Lecture(load("brachial"), Options("framework", PAGE, remark=False), themes.load("print"), file).slides
    course, question, answer = made[:3]
    assert (course.title, course.theme.name, course.notes) == ("Course", "grayscale", "Look.")
    assert "From behind" in [p.text.string for p in course.scene.parts if isinstance(p, Note)]
    assert (question.title, answer.title) == ("Which nerves", "Course again")
    assert question.view.blanks
    assert not answer.view.blanks
    assert question.scene.width == answer.scene.width
    assert {slide.title for slide in made[3:]} > {"Skin", "Table", "Match"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("steps: []\n", 'talk.yaml:1: not an outline. It begins with "outline: 1".'),
        ("outline: 1\nsteps: []\n", "talk.yaml:2: steps: must be a list of 1 or more."),
        ("outline: 1\nsteps:\n  - roots\n", 'talk.yaml:3: steps, entry 1: must be a mapping, not "roots".'),
        ("outline: 1\ntitle: 3\nsteps: [{title: A}]\n", "talk.yaml:2: title: must be text, not 3. Put it in quotes."),
        ("outline: 2\nsteps: []\n", "talk.yaml:1: outline: 2 is not 1. The form that is known here is outline: 1."),
        ("outline: 1\ninjuries: [C5]\nsteps: [{title: A, each: injuries}]\n", "talk.yaml:2: injuries: must be a mapp"),
        ("outline: 1\nsteps: [{title: A]\n", "talk.yaml:2: not valid YAML"),
        ("outline: 1\noccasion: Week 3\nsteps: [{title: A}]\n", "talk.yaml:2: occasion: no slide shows it. Add a step"),
        (
            "outline: 1\ninjuries: {brachia: [C5]}\nsteps: [{title: A, each: injuries}]\n",
            'talk.yaml:2: injuries: no plexus is called "brachia". Did you mean brachial?',
        ),
        (
            "outline: 1\ninjuries: {brachial: [C55]}\nsteps: [{title: A, each: injuries}]\n",
            'talk.yaml:2: nothing in the brachial plexus is called "C55". Did you mean C5?',
        ),
        (
            "outline: 1\ninjuries: {brachial: []}\nsteps: [{title: A, each: injuries}]\n",
            "talk.yaml:3: steps: there is nothing to repeat them for.",
        ),
        (
            "outline: 1\ninjuries: {brachial: 3}\nsteps: [{title: A, each: injuries}]\n",
            "talk.yaml:2: injuries, brachial: must",
        ),
    ],
)
def test_a_file_that_is_no_outline_is_told(tmp_path: Path, text: str, told: str) -> None:
    assert faults(tmp_path, text)[0].startswith(told)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    """Those of form and those of meaning."""
    text = "outline: 1\nsteps:\n  - {title: A, show: [nonsense]}\n  - {title: B, injure: [nonsense]}\n  - {title: 3}\n"
    assert [line.split(":")[1] for line in faults(tmp_path, text)] == ["3", "4", "5"]


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(SheetError, match=r"none\.yaml: cannot be read"):
        outline.read(load("brachial"), tmp_path / "none.yaml")


def test_a_repeated_step_stands_for_each_item(tmp_path: Path) -> None:
    text = 'outline: 1\nsteps:\n  - {each: column 1, title: "Root {name} of the {plexus}"}\n'
    found = outline.read(load("brachial"), written(tmp_path, text)).steps
    assert [step.title for step in found][:2] == ["Root C5 of the brachial plexus", "Root C6 of the brachial plexus"]
    assert len(found) == 5


def test_a_section_holds_until_the_next(tmp_path: Path) -> None:
    text = "outline: 1\nsteps:\n  - {title: A, section: S}\n  - {title: B}\n  - {title: C, section: T}\n"
    found = outline.read(load("brachial"), written(tmp_path, text)).steps
    assert [step.section for step in found] == ["S", "S", "T"]


def test_a_plexus_without_listed_injuries_has_its_second_column_cut() -> None:
    models = Path(__file__).parent.parent / "models"
    found = outline.read(load(models / "two-stages.yaml")).steps
    assert [s.title for s in found if s.injure] == ["Injury: main nerve", "It was: main nerve"]


def test_the_template_gives_the_same_lecture(tmp_path: Path) -> None:
    plexus, theme = load("brachial"), themes.load("print")
    made = Lecture(plexus, Options("framework", PAGE), theme)
    again = Lecture(plexus, Options("framework", PAGE), theme, written(tmp_path, template(made)))
    assert [(s.title, s.notes, s.section, s.view) for s in again.slides] == [
        (s.title, s.notes, s.section, s.view) for s in made.slides
    ]


BRACED = "{Name} of {plexus}, {{name}} {{{Plexus} {"
"""A name that looks like placeholders, alone and in braces of its own."""


def test_braces_in_names_are_text_and_the_template_keeps_them(tmp_path: Path) -> None:
    names = (BRACED, *hostile.NAMES[1:])
    hostile.model(tmp_path, names)
    model, theme = load(tmp_path / "model.yaml"), themes.load("print")
    page = replace(paper("16:9"), width=1200.0, height=700.0)
    text = 'outline: 1\ntitle: "{{plexus}}"\nsteps:\n  - {each: column 2, title: "{{name}} {name}", show: [nerve-0]}\n'
    made = Lecture(model, Options("framework", page), theme, written(tmp_path, text)).outline
    assert [made.title, *(s.title for s in made.steps)] == ["{plexus}", *(f"{{name}} {name}" for name in names)]
    lecture = Lecture(model, Options("framework", page), theme, tmp_path / "talk.yaml")
    again = Lecture(model, Options("framework", page), theme, written(tmp_path, template(lecture))).outline
    assert [(s.title, s.show) for s in again.steps] == [(s.title, s.show) for s in made.steps]
    assert again.title == "{plexus}"


def test_the_command_writes_the_template(tmp_path: Path) -> None:
    model = str(Path(__file__).parent.parent / "models" / "two-stages.yaml")
    result = CliRunner().invoke(command, [model, "--outline-template", "-o", str(tmp_path / "t.yaml")])
    assert result.exit_code == 0, result.output
    assert outline.read(load(model), tmp_path / "t.yaml").steps[1].title == "Roots"


def test_the_outline_of_the_package_has_the_form_of_any_other() -> None:
    """It is trusted, so its form is checked here."""
    plexus = load("brachial")
    assert outline.read(plexus, outline.DEFAULT).steps == outline.read(plexus).steps


TWO = (Path(__file__).parent.parent / "models" / "two-stages.yaml").read_text()


def lecture(path: Path, text: str) -> Lecture:
    path.write_text(text)
    return Lecture(load(path), Options("nerves", PAGE), themes.load("lecture"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("{name: C6, stage: roots}", "{name: C5, id: C6, stage: roots}"),
        ("{id: nerves, name: nerves,", "{id: nerves, name: roots,"),
        ("id: two-stages", "id: brachial"),
    ],
    ids=["two segments of one name", "two columns of one name", "sites that it does not have"],
)
def test_the_lecture_of_the_package_suits_any_plexus(tmp_path: Path, old: str, new: str) -> None:
    assert old in TWO
    slides = lecture(tmp_path / "own.yaml", TWO.replace(old, new)).slides
    assert any(slide.title.startswith("Injury") for slide in slides)


def test_two_columns_of_one_name_are_shown_one_after_the_other(tmp_path: Path) -> None:
    text = TWO.replace("{id: nerves, name: nerves,", "{id: nerves, name: roots,")
    shown = [
        step.show.drawn for step in lecture(tmp_path / "own.yaml", text).outline.steps if step.section[:4] == "From"
    ]
    assert shown[0] == {"C5", "C6"}
    assert not shown[1] & shown[0]


def test_a_fault_of_the_lecture_of_the_package_is_not_told_as_one_of_a_file_of_yours(tmp_path: Path) -> None:
    text = TWO.replace("name: two-stage plexus", f"name: {'plexus of many words ' * 5}")
    with pytest.raises(SheetError) as caught:
        assert lecture(tmp_path / "own.yaml", text).slides
    told = str(caught.value).replace(f"{tmp_path}/", "")
    assert told.startswith("own.yaml: the lecture that comes with plexusdraw does not suit it: the title")
    assert told.endswith("Or give steps of your own with --outline FILE.")
    assert "outline.yaml" not in told
