"""Names of links: each stands by its own strands, meets nothing, and is hidden, injured and mirrored like any name."""

from __future__ import annotations

from math import dist

import pytest

import plexusdraw
from plexusdraw.layout.checks import faults
from plexusdraw.paint import paint
from plexusdraw.scene import Label, Leader, Note, Strand, curves

ROOTS = ("lateral-root-of-median-nerve", "medial-root-of-median-nerve")
FAR_EMS = 16
"""No leader is longer."""


def names(scene):
    return {p.entity: p for p in scene.parts if isinstance(p, Label) and p.role == "name"}


def near(scene, id, box):
    """Distance of a box from the strands of an entity, mm."""
    strands = [p for p in scene.parts if isinstance(p, Strand) and p.entity == id]
    points = [point for strand in strands for point in curves.samples(strand.curve)]
    gaps = ((max(box.x - x, 0, x - box.right), max(box.y - y, 0, y - box.bottom)) for x, y in points)
    return min((dx * dx + dy * dy) ** 0.5 for dx, dy in gaps)


@pytest.mark.parametrize("detail", ["framework", "nerves", "muscles"])
@pytest.mark.parametrize(
    "choices", [{}, {"naming": "english"}, {"side": "right"}, {"paper": "letter portrait"}], ids=str
)
def test_both_roots_of_the_median_nerve_are_named_beside_themselves(detail, choices):
    scene = plexusdraw.figure(detail=detail, **choices).pages()[0].scene
    assert faults(scene) == []
    led = {p.entity for p in scene.parts if isinstance(p, Leader) and p.to == "strands"}
    for id in ROOTS:
        (line, *_) = lines = names(scene)[id].lines
        size = line.size * 0.3528
        assert min(near(scene, id, part.box) for part in lines) < (FAR_EMS if id in led else 1.5) * size
        others = {p.entity for p in scene.parts if isinstance(p, Strand)} - {id}
        if id not in led:
            nearest = min(others, key=lambda other: min(near(scene, other, part.box) for part in lines))
            assert near(scene, nearest, line.box) > min(near(scene, id, part.box) for part in lines)


def test_a_short_name_stands_close_by():
    scene = plexusdraw.figure().pages()[0].scene
    assert " ".join(line.string for line in names(scene)[ROOTS[0]].lines) == "lateral root"
    for leader in (p for p in scene.parts if isinstance(p, Leader)):
        assert dist(leader.curve[0], leader.curve[-1]) < 12


@pytest.mark.parametrize("paper", ["16:9", "4:3"])
def test_on_slides_too(paper):
    scene = plexusdraw.figure(paper=paper).pages()[0].scene
    assert faults(scene) == []
    assert set(ROOTS) <= set(names(scene))
    assert all(line.size >= 14 for id in ROOTS for line in names(scene)[id].lines)


def test_hidden_they_are_blanks_of_the_width_of_others_and_the_key_names_them():
    figure = plexusdraw.figure(hide="nerves")
    (page,) = figure.pages()
    (key,) = plexusdraw.figure().pages()
    asked = {id for id, _ in page.view.blanks}
    assert set(ROOTS) <= asked
    found = names(page.scene)
    widths = {round(p.blank.w, 6) for p in found.values() if p.kind == "nerve"}
    assert len(widths) == 1
    drawn = paint("svg", [page], figure.theme).decode()
    assert "lateral root" not in drawn
    assert "lateral root" in paint("svg", [key], figure.theme).decode()


def test_each_has_a_group_of_its_own():
    figure = plexusdraw.figure()
    drawn = paint("svg", figure.pages(), figure.theme).decode()
    for id in ROOTS:
        assert f'data-entity="{id}"' in drawn


TWO_LINKS = """
plexusdraw: 1
id: net
name: net plexus
limb: net
sources: {notes: {title: "Invented"}}
stages:
  - {id: roots, name: roots, singular: root}
  - {id: cords, name: cords, singular: cord}
  - {id: nerves, name: nerves, singular: nerve, order: free}
segments:
  - {name: N1, stage: roots}
  - {name: N2, stage: roots}
  - {name: upper cord, stage: cords, from: [N1]}
  - {name: lower cord, stage: cords, from: [N2]}
  - {name: first link, from: [upper-cord]}
  - {name: second link, from: [first-link]}
  - {name: unseen link, from: [N1], drawn: false}
  - {name: upper nerve, stage: nerves, from: [upper-cord], course: [puller]}
  - {name: lower nerve, stage: nerves, from: [lower-cord, second-link, unseen-link], course: [pusher]}
muscles:
  - {name: puller, roots: [N1]}
  - {name: pusher, roots: [N1, N2]}
"""


def test_links_in_a_row_are_all_named_and_one_that_is_not_drawn_is_not(tmp_path):
    path = tmp_path / "net.yaml"
    path.write_text(TWO_LINKS)
    scene = plexusdraw.figure(str(path)).pages()[0].scene
    assert faults(scene) == []
    assert {"first-link", "second-link"} <= set(names(scene))
    assert "unseen-link" not in names(scene)


def legend_of(scene):
    return " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.role == "legend")


WIDE = "wide" * 7
"""Too wide for the drawing on A5, not for its legend."""
LONG = " ".join([WIDE] * 4)
"""Two of these are too long for the legend too."""


@pytest.mark.parametrize(
    ("detail", "called", "says"),
    [
        ("framework", (WIDE,), ""),
        ("nerves", (WIDE,), f"the name of {WIDE}."),
        ("nerves", (WIDE, f"other {WIDE}"), f"the name of {WIDE}, other {WIDE}."),
        ("framework", (LONG, f"other {LONG}"[:116]), "the names of 2 links."),
    ],
)
def test_where_there_is_no_room_the_legend_says_so(detail, called, says):
    labels = dict(zip(ROOTS, called, strict=False))
    scene = plexusdraw.figure("brachial", paper="a5", detail=detail, labels=labels).pages()[0].scene
    assert faults(scene) == []
    without = [link for link in ROOTS[: len(called)] if link not in names(scene)]
    assert len(without) == (len(called) if says else 0)
    assert legend_of(scene).partition("There is no room here for ")[2] == says
