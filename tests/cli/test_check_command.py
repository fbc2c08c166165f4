"""``check``: what a command could not carry out is told; a file is read once, however many variants it has."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.cli.main import cli
from plexusdraw.errors import ModelError
from plexusdraw.model import load
from plexusdraw.yamlfile import document, reader

MODEL, CHART = (MODELS / "odd-targets.yaml").read_text("utf-8"), (MODELS / "odd-targets-chart.yml").read_text("utf-8")
COURSE = "course: 1\nname: First year\nbased-on: model.yaml\n"


def run(*words):
    return CliRunner().invoke(cli, list(words))


@pytest.mark.parametrize("file", ["model.yaml", "course.yaml"])
@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("borders: []", "bordes: []", 'odd-targets-chart.yml:13: unknown key "bordes" in skin, back'),
        ("landmarks: {", "landmarks: [{", "not valid YAML"),
        ("[55, -30]", "[1e308, -30]", "odd-targets-chart.yml:10: skin, front, borders, entry 1, entry 1: must be two"),
        ("[0, -12, cut]", "[0, cut, -12]", "odd-targets-chart.yml:7: outlines, skin, entry 1: must be two numbers"),
        (CHART, "", "odd-targets-chart.yml:1: not a chart of a limb"),
    ],
)
def test_faults_of_the_chart_are_told(file, old, new, says, folder):
    (folder / "model.yaml").write_text(MODEL, "utf-8")
    (folder / "course.yaml").write_text(COURSE, "utf-8")
    (folder / "odd-targets-chart.yml").write_text(CHART, "utf-8")
    assert run("check", file).exit_code == 0
    (folder / "odd-targets-chart.yml").write_text(CHART.replace(old, new, 1), "utf-8")
    done = run("check", file)
    assert isinstance(done.exception, ModelError)
    assert says in str(done.exception)


def test_a_chart_that_is_not_there_is_told(folder):
    (folder / "model.yaml").write_text(MODEL.replace("odd-targets-chart.yml", "limb"), "utf-8")
    assert 'no built-in chart "limb"' in str(run("check", "model.yaml").exception)


def test_a_name_that_is_the_id_of_another_is_a_fault(folder):
    """What is typed so means the other."""
    segments = (
        "segments:\n  - {name: A1, stage: roots}\n  - {name: north, stage: nerves, from: [A1], course: [lifter]}\n"
    )
    segments += "  - {id: other, name: north, stage: nerves, from: [A1], course: [lifter]}\n"
    stages = "stages:\n  - {id: roots, name: Roots, singular: root}\n  - {id: nerves, name: Nerves, singular: nerve}\n"
    head = f"plexusdraw: 1\nid: small\nname: small plexus\n{stages}"
    (folder / "m.yaml").write_text(f"{head}{segments}muscles:\n  - {{name: lifter, roots: [A1]}}\n", "utf-8")
    assert str(run("check", "m.yaml").exception) == (
        'm.yaml:10: "north" is the name of other and the id of north. Give one of them another.'
    )
    (folder / "m.yaml").write_text(
        (folder / "m.yaml").read_text("utf-8").replace("name: north", "name: south", 1), "utf-8"
    )
    assert run("check", "m.yaml").exit_code == 0


def test_a_file_with_variants_is_read_once(folder, monkeypatch):
    parsed = []
    monkeypatch.setattr(reader, "parse", lambda *args: parsed.append(args) or document.parse(*args))
    (folder / "model.yaml").write_text(MODEL.replace("chart:", "# "), "utf-8")
    assert "1 variants" in " ".join(run("check", "model.yaml").output.split())
    assert len(parsed) == 1
    assert load("model.yaml", ["accessory wagging"]).segments.keys() - load("model.yaml").segments.keys()
    assert len(parsed) == 1
