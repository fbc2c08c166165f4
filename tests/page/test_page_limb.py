"""The limb beside the plexus: drawn from the chart, in the states of Python, and lit with the plexus."""

from __future__ import annotations

import pytest
from randoms import brachial

from plexusdraw import charts
from plexusdraw.api import figure
from plexusdraw.layout.limb import strip
from plexusdraw.scene import Area

PLEXUS = brachial()
STATES = "return plexusdraw.then(page => Object.fromEntries(page.app.limbStates))"
SHAPES = """
return [...document.querySelectorAll('#limb figure svg')].map(svg =>
  [...svg.querySelectorAll('[data-limb]')].map(g => [g.dataset.limb, g.querySelector('path').getAttribute('d')]));
"""
OVER = """
const [id, type] = arguments;
const path = document.querySelector(`#limb [data-limb="${id}"] path`);
path.dispatchEvent(new PointerEvent(type, { bubbles: true, pointerType: "mouse" }));
"""
CASES = {
    "nothing": ("", {}),
    "upper trunk": ("mode=injure&cut=upper-trunk", {"injure": ["upper trunk"]}),
    "partial": ("mode=injure&cut=C8,T1&partial=yes", {"injure": ["C8", "T1"], "partial": True}),
    "level": ("mode=injure&cut=radial-nerve-at-spiral-groove", {"injure": ["radial nerve at spiral groove"]}),
    "C6 lit": ("show=C6", {"highlight": "C6"}),
    "a nerve lit": ("show=median-nerve", {"highlight": "median nerve"}),
    "a muscle lit": ("show=deltoid", {"highlight": "deltoid"}),
    "a level lit": ("show=radial-nerve-at-spiral-groove", {"highlight": "radial nerve at spiral groove"}),
}


@pytest.mark.parametrize("case", CASES)
def test_states_are_those_of_the_picture(one_page, case):
    address, choices = CASES[case]
    wanted = {}
    for limb in ("muscles", "skin"):
        for page in figure(PLEXUS, limb=limb, paper="fit", **choices).pages():
            ids = {p.entity for p in page.scene.parts if isinstance(p, Area) and p.kind != "legend"}
            wanted |= {id: page.view.entity(id) for id in ids}
    one_page.go(address)
    assert one_page.run(STATES) == wanted


@pytest.mark.parametrize("side", ["left", "right"])
def test_shapes_are_those_of_the_chart(one_page, side):
    one_page.go("" if side == "left" else "side=right")
    figures = strip.figures(PLEXUS, charts.of(PLEXUS), ("muscles", "skin"), side)
    for found, wanted in zip(one_page.run(SHAPES), figures, strict=True):
        areas = [p for p in wanted.plate.parts if isinstance(p, Area)]
        shown = [(id, numbers(d)) for id, d in found if any(p.entity == id for p in areas)]
        bellies = [(id, chain) for id, chain in shown if len(chain) > 2]
        for area in areas:
            points = [round(10 * v) for chain in area.curves for point in chain for v in point]
            assert any(
                id == area.entity and all(abs(a - b) <= 1 for a, b in zip(chain, points, strict=False))
                for id, chain in bellies
                if len(chain) == len(points)
            ), area.entity


def numbers(path):
    return [float(word) for word in path.replace("M", " ").replace("C", " ").replace(",", " ").split()]


def test_a_muscle_lights_its_fibres_and_a_nerve_its_muscles(page):
    page.run(OVER, "deltoid", "pointerover")
    assert page.text("#pointed") == "Deltoid"
    assert page.run("return document.querySelectorAll('#view path[data-state=highlit]').length") > 3
    assert page.run(STATES)["deltoid"] == "highlit"
    page.run("document.querySelector('#limb').dispatchEvent(new PointerEvent('pointerleave'))")
    assert set(page.run(STATES).values()) == {"plain"}
    page.run(OVER, "deltoid", "click")
    assert "Deltoid" in page.text("#content .card h2")


def test_an_injury_is_told_in_words_and_its_patterns_have_a_key(page):
    page.go("mode=injure&cut=axillary-nerve")
    told = page.run("return [...document.querySelectorAll('#limb figure svg')].map(s => s.getAttribute('aria-label'))")
    assert "deltoid paralysed" in told[0]
    assert "upper lateral arm lost" in told[4]
    assert "slightly weak" in page.text("#limb .key")
    page.run(OVER, "deltoid", "pointerover")
    assert page.text("#pointed") == "Deltoid, paralysed"


@pytest.mark.parametrize("address", ["mode=test", "labels=numbers", "figures=hidden"])
def test_no_limb_where_it_would_answer_or_is_not_wanted(page, address):
    page.go(address)
    assert page.run("return document.querySelector('#limb').hidden")


def test_a_phone_has_the_limb_under_the_plexus(chromium, page_file):
    chromium.size(390, 844)
    page = chromium.open(page_file)
    boxes = page.run("return ['#view', '#limb'].map(s => document.querySelector(s).getBoundingClientRect())")
    assert boxes[1]["top"] >= boxes[0]["bottom"] - 1
    assert boxes[1]["width"] <= 390


def test_a_model_without_a_chart_has_none(chromium, odd_file):
    page = chromium.open(odd_file)
    assert page.run("return document.querySelector('#limb').hidden")
    assert not page.run("return document.querySelector('#choices [data-name=figures]')")
