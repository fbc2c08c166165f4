"""The outline of a lecture: read, written to be edited, its faults told with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from plexusdraw.cli.slides import command
from plexusdraw.errors import SheetError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.sheets.slides import outline
from plexusdraw.sheets.slides.lecture import Lecture, template

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
        ("title: [1]", "talk.yaml:3: title: must be text."),
        ("section: A", "talk.yaml:3: title: is missing."),
        ("title: A\n    show: [radial nervee]", "talk.yaml:4: nothing in the brachial plexus is called"),
        ("title: A\n    show:\n      - roots\n      - upper trunkk", "talk.yaml:6: nothing in the brachial plexus"),
        ("title: A\n    highlight: [nonsense]", "talk.yaml:4: nothing in the brachial plexus is called"),
        ("title: A\n    injure: [nowhere at all]", "talk.yaml:4: "),
        ("title: A\n    hide: [colours]", 'talk.yaml:4: cannot hide "colours"'),
        ("title: A\n    shew: [roots]", 'talk.yaml:4: unknown key "shew". Known are: section, title'),
        ("title: A\n    each: muscles", 'talk.yaml:4: each: "muscles" is not known. Choose from columns'),
        ("title: A\n    each: column 9", 'talk.yaml:4: each: "column 9" is not known.'),
        ("title: A\n    on: paper", "talk.yaml:4: on: must be one of drawing, table, both."),
        ("title: A\n    ask: 3", "talk.yaml:4: ask: must be true, or a question."),
        ("title: A\n    partial: perhaps", "talk.yaml:4: partial: must be true or false."),
        ("title: A\n    show: {a: 1}", "talk.yaml:4: show: must be a list of names."),
    ],
)
def test_a_fault_is_told_with_file_and_line(tmp_path: Path, step: str, told: str) -> None:
    assert faults(tmp_path, f"outline: 1\nsteps:\n  - {step}\n")[0].startswith(told)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("steps: []\n", 'talk.yaml:1: not an outline of a form that is known here. It begins with "outline: 1".'),
        ("outline: 1\nsteps: []\n", "talk.yaml:2: steps: must be a list of steps."),
        ("outline: 1\nsteps:\n  - roots\n", "talk.yaml:3: a step must be a mapping."),
        ("outline: 1\ntitle: 3\nsteps: [{title: A}]\n", "talk.yaml:2: title: must be text."),
        ("outline: 1\nsteps: [{title: A]\n", "talk.yaml:2: not valid YAML"),
        ("outline: 1\ninjuries: {brachial: 3}\nsteps: [{title: A, each: injuries}]\n", "talk.yaml:2: injuries: must"),
    ],
)
def test_a_file_that_is_no_outline_is_told(tmp_path: Path, text: str, told: str) -> None:
    assert faults(tmp_path, text)[0].startswith(told)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    text = "outline: 1\nsteps:\n  - {title: A, show: [nonsense]}\n  - {title: B, injure: [nonsense]}\n"
    assert [line.split(":")[1] for line in faults(tmp_path, text)] == ["3", "4"]


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
    assert [s.title for s in found if s.injure] == ["Injury: main nerve"]


def test_the_template_gives_the_same_lecture(tmp_path: Path) -> None:
    plexus, theme = load("brachial"), themes.load("print")
    made = Lecture(plexus, Options("framework", PAGE), theme)
    again = Lecture(plexus, Options("framework", PAGE), theme, written(tmp_path, template(made)))
    assert [(s.title, s.notes, s.section, s.view) for s in again.slides] == [
        (s.title, s.notes, s.section, s.view) for s in made.slides
    ]


def test_the_command_writes_the_template(tmp_path: Path) -> None:
    model = str(Path(__file__).parent.parent / "models" / "two-stages.yaml")
    result = CliRunner().invoke(command, [model, "--outline-template", "-o", str(tmp_path / "t.yaml")])
    assert result.exit_code == 0, result.output
    assert outline.read(load(model), tmp_path / "t.yaml").steps[1].title == "Roots"
