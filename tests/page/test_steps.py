"""A tap is answered in the next frame; what follows comes after it, and leaves nothing out."""

from __future__ import annotations

import pytest

SCREEN = (390, 844)
APP = "const { app } = await plexusdraw;"
WHOLE = """
const tidy = (html) => html.replaceAll(/choice-\\d+/g, "");
const seen = () => ["#view", "#content", "#caption", "#limb"].map((one) => tidy(document.querySelector(one).innerHTML));
"""
HELD = f"""
{APP}
globalThis.begun = [];
app.steps.held ||= app.steps.follow;
app.steps.follow = async () => {{ begun.push(app.steps.waiting.size); }};
"""
"""What follows an answer waits until it is asked for."""
ANSWERED = """
return new Promise(done => {
  const ask = () => (begun.length ? done(begun.length) : requestAnimationFrame(ask));
  ask();
});
"""
TAPS = [
    ("mode=explore&detail=nerves", "radial-nerve"),
    ("mode=explore&detail=muscles", "upper-trunk"),
    ("mode=injure&detail=nerves", "posterior-cord"),
    ("mode=injure&detail=muscles", "C8"),
    ("mode=find&detail=muscles&paralysed=deltoid", "teres-minor"),
    ("mode=teach&step=3&detail=framework", "C6"),
]


@pytest.fixture
def phone(one_page):
    one_page.size(*SCREEN)
    one_page.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True})
    yield one_page
    one_page.run(f"{APP} app.steps.finish(); app.modes.injure.past = []; app.modes.teach.clear();")
    one_page.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": False})


def near(page, address, id):
    """Open a page, and bring a name near, so that a tap can meet nothing else."""
    page.go(address)
    page.run(f"{APP} app.picture.zoomTo(5, 0, 0); app.picture.bring(arguments[0])", id)


def tapped(page, id):
    """Tap a name, and wait for the answer alone."""
    page.run(HELD)
    page.touch(*page.seen(id))
    assert page.run(ANSWERED) == 1


@pytest.mark.parametrize(("address", "id"), TAPS)
def test_what_follows_an_answer_makes_all_as_if_it_were_drawn_at_once(phone, address, id):
    near(phone, address, id)
    tapped(phone, id)
    phone.run(f"{APP} await app.steps.held.call(app.steps, app.steps.tap)")
    followed, at_once = phone.run(f"""
      {APP} {WHOLE}
      const followed = seen();
      app.redraw(app.drawn.split(" ").slice(0, 2).join(" "));
      return [followed, seen()];
    """)
    assert followed == at_once
    assert phone.run(f"{APP} return app.steps.waiting.size") == 0


@pytest.mark.parametrize(("address", "id"), TAPS)
def test_the_answer_marks_and_tells_what_was_tapped(phone, address, id):
    near(phone, address, id)
    before = phone.text("#said")
    tapped(phone, id)
    pressed, loud = phone.run(f"""
      {APP}
      const loud = "#view [data-entity]:is([data-state=highlit], [data-state=lost], [data-state=weak])";
      return [app.picture.items.filter(i => i.element.ariaPressed === "true").map(i => i.id),
        document.querySelectorAll(loud).length];
    """)
    assert phone.text("#said") != before
    assert loud > 1
    assert pressed == [id] or "find" in address
    if "mode=explore" in address:
        assert phone.run(f"{APP} return document.querySelector('.card h2').textContent === app.name(arguments[0])", id)
    if "mode=injure" in address:
        assert "paralysed" in phone.text("#content .sum")


def test_an_answer_changes_little_and_places_no_name(phone):
    near(phone, "mode=explore&detail=muscles", "upper-trunk")
    phone.run(f"""
      {APP}
      globalThis.changed = 0;
      new MutationObserver((all) => {{ changed += all.length; }})
        .observe(app.picture.svg, {{ subtree: true, attributes: true, childList: true }});
      const names = app.picture.placeNames.bind(app.picture);
      globalThis.placed = 0;
      app.picture.placeNames = () => {{ placed += 1; names(); }};
    """)
    tapped(phone, "upper-trunk")
    answer, none = phone.run("return [changed, placed]")
    phone.run(f"{APP} app.steps.finish()")
    rest, once = phone.run("return [changed, placed]")
    assert (none, once) == (0, 1)
    assert 0 < 4 * answer < rest


def test_a_second_tap_finds_the_first_complete(phone):
    near(phone, "mode=injure&detail=nerves", "upper-trunk")
    tapped(phone, "upper-trunk")
    phone.run(HELD)
    phone.touch(*phone.seen("upper-trunk"))
    assert phone.run(ANSWERED) == 1
    phone.run(f"{APP} app.steps.finish()")
    assert phone.run(f"{APP} return [app.shown.cuts, app.mode.past.length]") == [[], 2]
    assert phone.text("#said") == "Nothing is cut."


def test_printing_waits_for_nothing(phone):
    near(phone, "mode=injure&detail=nerves", "upper-trunk")
    tapped(phone, "upper-trunk")
    phone.run("dispatchEvent(new Event('beforeprint'))")
    assert phone.run(f"{APP} return app.steps.waiting.size") == 0
    assert phone.run("return document.querySelectorAll('#content table').length") >= 3
    phone.run("dispatchEvent(new Event('afterprint'))")


def test_a_tap_that_brings_another_picture_draws_it_whole(phone):
    phone.go("mode=injure&detail=muscles")
    phone.go("mode=injure&detail=nerves")
    unseen = phone.run(f"""
      {APP}
      const drawn = new Set(app.picture.items.map(({{ id }}) => id));
      return app.plexus.sites.find(({{ segment }}) => !drawn.has(segment)).id;
    """)
    phone.go(f"mode=injure&detail=nerves&cut={unseen}")
    phone.run(HELD)
    phone.click(".beyond > button")
    detail, told, all_of_them = phone.run(f"""
      {APP}
      return [app.shown.detail, document.querySelectorAll("#view .hit[aria-label]").length, app.picture.items.length];
    """)
    assert detail == "muscles"
    assert told == all_of_them > 80
