"""Plates and boxes behind text."""

from __future__ import annotations

from math import hypot

import pytest

import plexusdraw
from plexusdraw.look.appearance import marks
from plexusdraw.look.boxes import roundest
from plexusdraw.look.marks import Plate
from plexusdraw.scene import Box, Pill

PLATE = Box(10.0, 20.0, 40.0, 16.0)


def outside(plate: Box, radius: float, x: float, y: float) -> float:
    """How far a point lies outside a plate with round corners, mm."""
    dx = max(plate.x + radius - x, x - plate.right + radius)
    dy = max(plate.y + radius - y, y - plate.bottom + radius)
    return hypot(max(dx, 0.0), max(dy, 0.0)) + min(max(dx, dy), 0.0) - radius


@pytest.mark.parametrize("text", [Box(12, 23, 36, 10), Box(11, 20.5, 36, 15), Box(14, 27, 20, 3), Box(10, 20, 40, 16)])
def test_no_corner_of_a_text_lies_beyond_a_round_corner(text: Box) -> None:
    radius = roundest(PLATE, [text])
    corners = [(x, y) for x in (text.x, text.right) for y in (text.y, text.bottom)]
    assert max(outside(PLATE, radius, x, y) for x, y in corners) < 1e-9
    larger = radius + 0.5
    assert larger > PLATE.h / 2 or max(outside(PLATE, larger, x, y) for x, y in corners) > 0.0
    assert radius == pytest.approx(min(radius, PLATE.h / 2))


def test_names_in_three_lines_stay_on_their_plates() -> None:
    figure = plexusdraw.figure("brachial", detail="nerves", naming="english", paper="4:3")
    ((scene, view),) = figure.pages()
    pills = [p for p in scene.parts if isinstance(p, Pill)]
    assert max(len(p.lines) for p in pills) == 3
    groups = [g for g in marks(scene, view, figure.theme) if any(isinstance(m, Plate) for m in g.marks)]
    found = 0
    for group in groups:
        (plate,) = (m for m in group.marks if isinstance(m, Plate))
        for pill in (p for p in pills if p.box == plate.box):
            for line in pill.lines:
                corners = [(x, y) for x in (line.box.x, line.box.right) for y in (line.box.y, line.box.bottom)]
                assert max(outside(plate.box, plate.radius, x, y) for x, y in corners) < 1e-6, line.string
                found += 1
    assert found > 20
