"""The lecture on the page, and worksheets to print from it."""

from __future__ import annotations

import pytest
from night import first
from randoms import brachial, small
from selenium.webdriver import ActionChains
from selenium.webdriver.common.keys import Keys

from plexusdraw.api import scenes
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.page.lecture import stops
from plexusdraw.sheets.slides import composition, outline
from plexusdraw.sheets.slides.steps import PAGES

STEP = "return plexusdraw.then(({ app }) => app.shown.step)"
SEEN = "return document.querySelectorAll('#view g[data-entity]').length"


def press(page, *keys):
    ActionChains(page.driver).send_keys(*keys).perform()


def test_steps_are_the_outline_s(page):
    drawing = scenes(brachial(), Options("muscles", page=paper("fit")))[0]
    steps = outline.read(brachial().drawn, outline.LONG, composition.drawn(drawing)).steps
    steps = tuple(step for step in steps if step.on not in PAGES)
    told = page.run(
        "return plexusdraw.then(({ app }) => app.plexus.data.lecture.map(stop => [stop.title, stop.cuts || []]))"
    )
    wanted = [
        pair
        for step in steps
        for pair in ([(step.ask, [])] if step.ask else []) + [(step.title, [s.id for s in step.injure])]
    ]
    assert [title for title, _ in told] == [title for title, _ in wanted]
    assert [cuts for _, cuts in told] == [cuts for _, cuts in wanted]


def test_arrow_keys_build_the_plexus_up(page):
    page.go("mode=teach&step=2")
    few = page.run(SEEN)
    press(page, Keys.ARROW_RIGHT)
    assert page.run(STEP) == "3"
    assert page.run(SEEN) > few
    press(page, Keys.PAGE_UP)
    assert (page.run(STEP), page.run(SEEN)) == ("2", few)
    press(page, Keys.ESCAPE)
    assert page.run(STEP) == ""


def test_an_address_leads_out_of_a_lecture(page):
    """As the way back in the browser does: what the lecture covers is there again."""
    page.go("mode=teach&step=2")
    assert not page.run("return document.querySelector('header').checkVisibility()")
    page.go("show=radial-nerve")
    assert page.run("return document.querySelector('header').checkVisibility()")


def test_anything_is_cut_and_lit_live_until_the_next_step(page):
    page.go("mode=teach&step=9")
    page.run("return plexusdraw.then(({ app }) => { app.mode.tap = 'cut'; app.mode.pick('radial-nerve', null); })")
    assert page.run("return document.querySelectorAll('#view path[data-state=lost]').length") > 0
    press(page, Keys.ARROW_RIGHT)
    assert page.run("return plexusdraw.then(({ app }) => app.mode.cuts)") == []


def test_after_a_tap_and_a_choice_the_same_keys_go_on(page):
    """A remote sends Page Down, a keyboard arrow keys, wherever the focus is."""
    page.go("mode=teach&step=9")
    page.click(".chips .chip:last-child")
    page.click('#view [data-id="radial-nerve"] rect')
    assert page.run("return plexusdraw.then(({ app }) => app.mode.cuts)") == ["radial-nerve"]
    press(page, Keys.ARROW_RIGHT)
    assert page.run(STEP) == "10"
    page.click("#content .check input")
    press(page, Keys.PAGE_DOWN)
    assert page.run(STEP) == "11"
    page.run("document.querySelector('.chips .chip').focus()")
    press(page, Keys.ENTER)
    assert page.run("return document.activeElement.textContent") == "lights"
    assert page.run(STEP) == "11"


def test_names_of_a_lecture_are_large_and_its_title_is_whole(page):
    sizes = """
      const scale = document.querySelector("#view svg").getScreenCTM().a;
      const all = [...document.querySelectorAll("#view .lens text:not(.head)")];
      return all.map(t => t.getAttribute("font-size") * scale);
    """
    assert max(page.run(sizes)) < 12
    page.go("mode=teach&step=27")
    assert min(page.run(sizes)) > 18
    assert page.run("const p = document.querySelector('#panel'); return p.scrollWidth <= p.clientWidth")
    page.go("")
    assert max(page.run(sizes)) < 12


UNNAMED = """
const { app } = await plexusdraw, { lens, items } = app.picture;
const drawn = new Set(items.map(item => item.id)), found = [];
for (const [i, stop] of app.modes.teach.stops.entries()) {
  await app.set({ step: String(i + 1) });
  found.push(...[...app.modes.teach.foremost()].filter(id => drawn.has(id) && lens.lacks(id)));
}
return found;
"""
"""Names of what a step brings, lights or cuts that have no room in the size of the lecture."""


@pytest.mark.parametrize("size", first([(1024, 768), (1280, 720), (1440, 900)], 1))
def test_what_a_step_brings_is_named_on_a_projector(page, size):
    page.size(*size)
    page.go("mode=teach&step=1")
    assert page.run(UNNAMED) == []


@pytest.mark.nightly
@pytest.mark.parametrize("size", [(1366, 768), (1440, 900), (1920, 1080)])
def test_nerves_of_several_parts_are_named_too(chromium, commanded, size):
    chromium.size(*size)
    page = chromium.open(commanded("lumbosacral.html", "page", "lumbosacral"), "mode=teach&step=1")
    assert page.run(UNNAMED) == []


def test_names_that_a_question_asks_for_are_blank(page):
    at = page.run("return plexusdraw.then(({ app }) => app.plexus.data.lecture.findIndex(stop => stop.hide) + 1)")
    page.go(f"mode=teach&step={at}")
    assert page.run("return document.querySelectorAll('#view g[data-state=blank]').length") > 5
    press(page, Keys.ARROW_RIGHT)
    assert page.run("return document.querySelectorAll('#view g[data-state=blank]').length") == 0


@pytest.mark.parametrize("model", ["caudal", "two-stages", "one-root"])
def test_any_model_has_a_lecture(model):
    plexus = small(model)
    assert len(stops(plexus, scenes(plexus, Options("nerves"))[0])) > 2
