"""Who goes by keyboard, or hears the page, keeps a place in it, and hears what a step has changed."""

from __future__ import annotations

import pytest

STEP = """
const { app } = await plexusdraw;
const one = [...document.querySelectorAll("#content :is(button, select, input)")].filter(e => e.checkVisibility())
  .find(e => [e.textContent, e.getAttribute("aria-label"), e.labels?.[0]?.textContent].includes(arguments[0]));
one.focus();
if (one.tagName !== "SELECT") one.click();
else {
  one.selectedIndex += 1;
  one.dispatchEvent(new Event("change"));
}
await app.steps.done;
await new Promise(done => setTimeout(done, 0));
const { activeElement: now } = document;
return [now.tagName, now.getAttribute("aria-label") || now.labels?.[0]?.textContent || now.id || now.textContent];
"""
STEPS = {
    "another finding": ("mode=find&weak=deltoid", "Result of deltoid", ["SELECT", "Result of deltoid"]),
    "no finding": ("mode=find&weak=deltoid", "Clear all", ["SECTION", "panel"]),
    "a place of an answer": ("mode=find&weak=deltoid", "axillary nerve", ["BUTTON", "axillary nerve"]),
    "a link": ("show=radial-nerve", "anconeus", ["H2", "anconeus"]),
    "nothing": ("show=radial-nerve", "Clear", ["SECTION", "panel"]),
    "whole again": ("mode=injure&cut=radial-nerve", "Reset", ["SECTION", "panel"]),
    "a place of a cut": (
        "mode=injure&cut=radial-nerve",
        "radial nerve at spiral groove",
        ["BUTTON", "radial nerve at spiral groove"],
    ),
    "what a tap does": ("mode=teach&step=9", "cuts", ["BUTTON", "cuts"]),
    "what to say": ("mode=teach&step=9", "Show what to say", ["INPUT", "Show what to say"]),
    "the end of a lecture": ("mode=teach&step=9", "End the lecture", ["SECTION", "panel"]),
}


@pytest.mark.parametrize(("address", "control", "goal"), STEPS.values(), ids=STEPS)
def test_focus_goes_to_what_took_the_place_of_what_had_it(page, address, control, goal):
    page.go(address)
    tag, name = page.run(STEP, control)
    assert [tag, name] == goal


def test_a_round_that_ends_leaves_focus_in_the_panel(page):
    page.go("mode=test&kind=roots")
    page.run(STEP, "Begin")
    assert page.run(STEP, "End") == ["SECTION", "panel"]


@pytest.mark.parametrize(
    ("address", "control", "heard"),
    [
        ("show=radial-nerve", "Cut it here", "Cut: radial nerve. Muscles:"),
        ("mode=teach&step=9", "End the lecture", "The lecture has ended."),
        ("mode=injure&cut=C5", "Reset", "Nothing is cut."),
    ],
)
def test_what_a_button_does_is_heard(page, address, control, heard):
    page.go(address)
    page.run(STEP, control)
    assert page.text("#said").startswith(heard)


def test_nothing_takes_focus_from_what_still_has_it(page):
    page.go("mode=find&weak=deltoid")
    page.run("document.querySelector('#content input').focus()")
    page.run("return plexusdraw.then(({ app }) => app.mode.put('spared', 'deltoid', app.mode.groups[0].options))")
    assert page.run("return document.activeElement.type") == "text"
    page.run("document.activeElement.blur()")
    page.run("return plexusdraw.then(({ app }) => app.mode.put('', 'deltoid', app.mode.groups[0].options))")
    assert page.run("return document.activeElement === document.body")


def test_each_finding_that_comes_changes_or_goes_is_heard(page):
    """Also where the places that explain all are the same as before."""
    page.go("mode=find")
    said = page.run("""
      const { app } = await plexusdraw, { groups } = app.mode, heard = [];
      for (const kind of ["weak", "paralysed", "spared", ""]) {
        app.mode.put(kind, "deltoid", groups[0].options);
        heard.push(document.getElementById("said").textContent);
      }
      return heard;
    """)
    assert [text.split(".")[0] for text in said] == [
        "Weak deltoid",
        "Paralysed deltoid",
        "Spared deltoid",
        "Removed: deltoid",
    ]
    page.go("mode=find&paralysed=deltoid")
    refused = page.run("""
      const { app } = await plexusdraw;
      app.mode.change([["paralysed", "deltoid"], ["spared", "deltoid"]], "Normal deltoid");
      return document.getElementById("said").textContent;
    """)
    assert "cannot be true together" in refused
