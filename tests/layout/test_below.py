"""Posters: on a portrait page the supply table stands below the drawing, complete, in larger type than beside it."""

from __future__ import annotations

import pytest

from plexusdraw.layout import below, fit
from plexusdraw.layout.checks import faults, texts
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.look.appearance import Maker
from plexusdraw.look.marks import Path
from plexusdraw.model import load
from plexusdraw.routes import fibres
from plexusdraw.scene import Panel, Row, Scene, Spot
from plexusdraw.scene.view import View

PLEXUS = load("brachial")


def poster(name: str, side: str = "left") -> Scene:
    (scene,) = fit.fitted(PLEXUS, fibres.of(PLEXUS), Options("muscles", paper(name), side))
    return scene


@pytest.mark.parametrize("side", ["left", "right"])
def test_drawing_and_table_share_a_portrait_poster(side: str) -> None:
    scene = poster("a2 portrait", side)
    assert faults(scene) == []
    low = max(p.y for p in scene.parts if isinstance(p, Spot))
    rows = [p for p in scene.parts if isinstance(p, Row)]
    assert min(row.name.y for row in rows) > low
    assert {row.entity for row in rows} == {p.entity for p in poster("a2", side).parts if isinstance(p, Row)}


def test_the_type_is_larger_than_beside_the_drawing() -> None:
    """Rows of the same page with its table beside the drawing are of 8.2 pt."""
    assert below.smallest(poster("a2 portrait")) > 11


def test_text_grows_with_the_page() -> None:
    small, large = poster("a2 portrait"), poster("a1 portrait")
    assert below.smallest(large) > 1.3 * below.smallest(small)
    assert min(t.size for t in texts(large)) > 1.3 * min(t.size for t in texts(small))


def test_a_landscape_poster_keeps_its_table_beside() -> None:
    scene = poster("a2")
    low = max(p.y for p in scene.parts if isinstance(p, Spot))
    assert min(p.name.y for p in scene.parts if isinstance(p, Row)) < low


def test_no_rule_of_a_column_runs_beyond_it() -> None:
    scene = poster("a2 portrait")
    made = Maker(scene, View(asks=False, title="A"), themes.load("print"))
    panels = [p for p in scene.parts if isinstance(p, Panel)]
    rules = [(p.box, mark) for p in panels for mark in made.draw(p) if isinstance(mark, Path)]
    assert len(rules) >= len(panels) - 2
    for box, rule in rules:
        assert all(box.y - 0.01 <= y <= box.bottom + 0.01 for _, y in rule.curve)
