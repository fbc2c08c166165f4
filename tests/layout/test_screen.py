"""Slides: every style of names at every detail in both shapes, large enough, nothing colliding."""

from __future__ import annotations

import pytest
from night import by_day

from plexusdraw.layout import fit
from plexusdraw.layout.checks import faults, texts
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model import load
from plexusdraw.routes import fibres
from plexusdraw.scene import Label, Pill

PLEXUS = load("brachial")
FRAMEWORK_PT, NERVES_PT = 18.0, 14.0


@pytest.mark.parametrize("detail", ["framework", "nerves", "muscles"])
@pytest.mark.parametrize("shape", ["16:9", "4:3"])
@pytest.mark.parametrize("style", by_day(["short", "english", "latin"], ["latin"]))
def test_no_style_of_names_is_refused(style: str, shape: str, detail: str) -> None:
    options = Options(detail, paper(shape), "left", Wording(style), remark=False)
    pages = fit.fitted(PLEXUS, fibres.of(PLEXUS), options)
    assert pages
    for scene in pages:
        assert faults(scene) == []
        assert min(text.size for text in texts(scene)) >= 14
    names = [t.size for p in pages[0].parts if isinstance(p, Pill | Label) for t in p.lines]
    assert min(names) >= (FRAMEWORK_PT if detail == "framework" else NERVES_PT)


def test_a_long_name_stands_on_its_plate_in_lines() -> None:
    options = Options("framework", paper("16:9"), "left", Wording("english"), remark=False)
    (scene,) = fit.fitted(PLEXUS, fibres.of(PLEXUS), options)
    plate = next(
        p
        for p in scene.parts
        if isinstance(p, Pill) and PLEXUS.segments[p.entity].name.startswith("anterior division of upper")
    )
    assert " ".join(line.string for line in plate.lines) == PLEXUS.segments[plate.entity].name
    assert all(plate.box.x <= line.box.x and line.box.right <= plate.box.right for line in plate.lines)
    assert all(plate.box.y <= line.box.y and line.box.bottom <= plate.box.bottom for line in plate.lines)


@pytest.mark.parametrize("style", ["english", "latin"])
def test_the_cervical_plexus_fits_a_slide_with_full_names(style: str) -> None:
    plexus = load("cervical")
    (scene,) = fit.fitted(plexus, fibres.of(plexus), Options("nerves", paper("16:9"), "left", Wording(style)))
    assert faults(scene) == []
    assert min(text.size for text in texts(scene)) >= NERVES_PT
    right = max(line.box.right for p in scene.parts if isinstance(p, Label) for line in p.lines)
    assert right <= scene.width - scene.margin + 0.1
