"""Papers that hold the built-in models, and what is said of one that does not."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from night import by_day
from randoms import MODELS

from plexusdraw.errors import FitError
from plexusdraw.layout.fit import Options, fitted, kept, layout
from plexusdraw.layout.labels import LONGEST_WORD, Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model import load, regions
from plexusdraw.model.loader import models
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Label


@pytest.mark.parametrize("name", models())
@pytest.mark.parametrize("sheet", by_day(["a4", "letter"], ["letter"]))
@pytest.mark.parametrize("style", ["short", "english", "latin"])
def test_common_papers_hold_every_model_with_names_of_every_kind(name, sheet, style):
    plexus = load(name)
    assert fitted(plexus, Fibres(plexus), Options("nerves", paper(sheet), wording=Wording(style)))


@pytest.mark.nightly
def test_what_is_said_of_a_slide_does():
    """A part of the plexus, where neither short words nor the framework would fit."""
    plexus = load("lumbosacral")
    options = Options("nerves", paper("16:9"), wording=Wording("english"))
    with pytest.raises(FitError, match="--part") as refused:
        layout(plexus, Fibres(plexus), options)
    named = re.search('--part "(.+)"', str(refused.value))
    assert named
    part = regions.drawn_alone(plexus, regions.of(plexus, named[1])).drawn
    assert fitted(part, Fibres(part), options)


@pytest.mark.parametrize("word", ["W" * 120, "ab-" * 40, "ne\u0301" * 40])
def test_a_word_that_no_line_holds_is_broken(tmp_path, word):
    """After a sign of its own if it has one, and no accent leaves its letter."""
    text = (
        (MODELS / "caudal.yaml").read_text("utf-8").replace("{name: hip nerve,", f"{{name: hip nerve, label: {word},")
    )
    (tmp_path / "long.yaml").write_text(text, "utf-8")
    plexus = load(tmp_path / "long.yaml")
    (scene,) = layout(plexus, Fibres(plexus), Options("nerves", paper("a4")))
    (name,) = (p for p in scene.parts if isinstance(p, Label) and p.entity == "hip-nerve" and p.role == "name")
    lines = [line.string for line in name.lines]
    assert "".join(lines) == word
    assert all(len(line) <= LONGEST_WORD for line in lines)
    assert all("-" not in word or line.endswith("-") for line in lines)
    assert not any(line.startswith("\u0301") for line in lines)


def test_a_nerve_with_room_for_no_name_says_how_many_muscles_it_supplies():
    plexus = load("lumbosacral")
    (scene,) = layout(plexus, Fibres(plexus), Options())
    said = {
        part.entity: " ".join(text.string for text in part.lines)
        for part in scene.parts
        if isinstance(part, Label) and part.role == "supply"
    }
    assert re.fullmatch(r"\d+ muscles, skin", said["tibial-nerve"])
    assert not any("structures" in words for words in said.values())


def test_the_drawing_before_a_table_on_a_page_of_its_own_is_that_of_the_nerves():
    plexus = load("lumbosacral")
    fibres, options = Fibres(plexus), Options("muscles")
    first, *tables = fitted(plexus, fibres, options)
    assert tables
    (nerves,) = kept(plexus, fibres, replace(options, detail="nerves"))
    assert first is nerves
    assert (nerves,) == fitted(plexus, fibres, replace(options, detail="nerves"))
