"""Reading charts: what is wrong is told with its line; a plexus without a chart says so."""

from __future__ import annotations

from dataclasses import replace

import pytest

import plexusdraw
from plexusdraw import charts
from plexusdraw.errors import ModelError
from plexusdraw.scene import Heading

FIN = """\
plexusdraw-chart: 1
id: fin
name: fin
landmarks:
  root: [5, 0]
  tip: [80, 0]
outlines:
  skin:
    - [0, -10, cut]
    - [0, 10, corner]
    - [50, 12]
    - [100, 0]
    - [50, -12]
skin:
  front:
    borders: [[[50, -20], [50, 20]]]
    areas:
      - {area: near-skin, at: [[20, 0]]}
      - {area: far-skin, at: [[80, 0]]}
  back:
    borders: []
    areas: [{area: near-skin, at: [[20, 0]]}]
muscles:
  - {muscle: curl, view: front, layer: deep, from: [root], to: [tip], widths: [4, 6, 3], tendon: 0.2, source: [memory]}
"""


def test_a_chart_of_a_few_lines(tmp_path):
    path = tmp_path / "fin.yaml"
    path.write_text(FIN, encoding="utf-8")
    chart = charts.load(path)
    assert [p.id for p in chart.tilings["skin"]["front"].patches] == ["near-skin", "far-skin"]
    assert chart.muscles[0].origin == ("root",)
    assert chart.closeup is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("from: [root]", "from: [rot]", 'fin.yaml:24: landmark "rot" is not in this file. Did you mean root?'),
        ("[80, 0]]}\n  back", "[20, 1]]}\n  back", "far-skin: [20, 1] lies in the area of near-skin"),
        ("at: [[80, 0]]}", "at: [[80, 60]]}", "fin.yaml:19: far-skin: [80, 60] lies outside the outline"),
        ("      - {area: far-skin, at: [[80, 0]]}\n", "", "is in no area"),
        ("widths: [4, 6, 3], ", "", "fin.yaml:24: curl: has no widths"),
        ("widths: [4, 6, 3]", "widths: [1e9, 6, 3]", "fin.yaml:24: muscles, entry 1, widths, entry 1: must be"),
        ("[[50, -20], [50, 20]]", "[[50, -20], [52, 0], [50, -20]]", "far-skin: [80, 0] lies in the area of near-skin"),
        ("source: [memory]", "source: [hearsay]", 'source "hearsay" is not in this file'),
        ("to: [tip]", "to: [root]", "fin.yaml:24: curl: begins and ends in one place"),
        ("tendon: 0.2", "tendon: 0.95", "tendon are shares of the path"),
        ("tendon: 0.2", "tendon: 1.2", "fin.yaml:24: muscles, entry 1, tendon: must be a number from 0 to 1"),
        ("[5, 0]", "[5]", "fin.yaml:5: landmarks, root: must be two numbers, down and across"),
        ("view: front, layer: deep", "view: side, layer: deep", 'fin.yaml:24: view "side" is not in this file'),
        ("  back:\n", "  behind:\n", 'skin: no areas of the view "back". Each view has its own.'),
        ("  back:\n", "  behind:\n", 'fin.yaml:20: view "behind" is not in this file'),
        ("name: fin\n", "name: fin\ncolour: red\n", 'fin.yaml:4: unknown key "colour"'),
        ("[[50, -20], [50, 20]]", "[[20, -20], [20, 30], [60, 30], [60, -20]]", "crosses one area more than once"),
        ("view: front, layer: deep", "view: [front], layer: deep", "fin.yaml:24: muscles, entry 1, view: must be text"),
        ("plexusdraw-chart: 1", "plexusdraw: 1", "not a chart of a limb"),
    ],
)
def test_faults_are_told_with_their_line(tmp_path, old, new, said):
    path = tmp_path / "fin.yaml"
    assert old in FIN
    path.write_text(FIN.replace(old, new), encoding="utf-8")
    with pytest.raises(ModelError, match=r"fin\.yaml") as caught:
        charts.load(path)
    assert said in str(caught.value)


@pytest.mark.parametrize("name", charts.charts())
def test_a_built_in_chart_has_the_form_of_a_chart(tmp_path, name):
    from pathlib import Path

    source = Path(charts.__file__).parent.parent / "anatomy" / "charts" / f"{name}.yaml"
    path = tmp_path / f"{name}.yaml"
    path.write_text(source.read_text("utf-8"), encoding="utf-8")
    assert charts.load(path).id == name


def test_a_chart_with_one_view_of_its_own(tmp_path):
    views = "views: {side: {name: From the side, close: Its tip}}\ncloseup: {from: 60, scale: 2}\nlandmarks:"
    text = FIN.replace("landmarks:", views).replace("  front:", "  side:").replace("view: front", "view: side")
    path = tmp_path / "fin.yaml"
    path.write_text(text[: text.index("  back:\n")] + text[text.index("muscles:") :], encoding="utf-8")
    assert [view.id for view in charts.load(path).views] == ["side"]
    plexus = replace(plexusdraw.load("brachial"), chart="fin.yaml", path=str(tmp_path / "model.yaml"))
    (scene,) = [page.scene for page in plexusdraw.figure(plexus, limb="skin").pages()]
    assert [p.text.string for p in scene.parts if isinstance(p, Heading)] == ["From the side", "Its tip"]


def test_a_chart_without_dermatomes_says_so(tmp_path):
    (tmp_path / "fin.yaml").write_text(FIN, encoding="utf-8")
    plexus = replace(plexusdraw.load("brachial"), chart="fin.yaml", path=str(tmp_path / "model.yaml"))
    with pytest.raises(ModelError, match=r"fin\.yaml: the chart has no dermatomes"):
        plexusdraw.figure(plexus, limb="dermatomes").pages()


def test_a_chart_needs_skin_of_every_view(tmp_path):
    path = tmp_path / "fin.yaml"
    start, end = FIN.index("skin:\n  front"), FIN.index("muscles:")
    path.write_text(FIN[:start] + "skin: {}\n" + FIN[end:], encoding="utf-8")
    with pytest.raises(ModelError, match=r'fin\.yaml:\d+: skin: no areas of the view "front"'):
        charts.load(path)


def test_a_model_without_a_chart_says_so():
    plexus = replace(plexusdraw.load("brachial"), chart="")
    with pytest.raises(ModelError, match=r"has no chart of a limb. .*chart: NAME"):
        plexusdraw.figure(plexus, limb="skin").pages()


def test_a_model_with_a_chart_that_is_not_there_says_so():
    plexus = replace(plexusdraw.load("brachial"), chart="lower-wing")
    with pytest.raises(ModelError, match=r'no built-in chart "lower-wing" \(there are: lower-limb, neck, upper-limb\)'):
        plexusdraw.figure(plexus, limb="skin").pages()


def test_a_chart_lies_beside_its_model(tmp_path):
    (tmp_path / "fin.yaml").write_text(FIN, encoding="utf-8")
    plexus = replace(plexusdraw.load("brachial"), chart="fin.yaml", path=str(tmp_path / "model.yaml"))
    assert charts.of(plexus).id == "fin"
    assert plexusdraw.figure(plexus, limb="skin").pages()[0].scene.parts
    with pytest.raises(ModelError, match="must lie beside the model"):
        charts.of(replace(plexus, chart="../fin.yaml"))
