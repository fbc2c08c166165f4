"""What a reader does on the page, in a real browser: each mode by mouse and by keyboard."""

from __future__ import annotations

import pytest
from randoms import brachial
from selenium.webdriver.common.keys import Keys

from plexusdraw.clinic.injury import injure
from plexusdraw.routes.reach import reach
from plexusdraw.views.injured import WORD

LOST = "return [...document.querySelectorAll('#view path[data-state=lost]')].length"
LIT = "return [...document.querySelectorAll('#view path[data-state=highlit]')].length"
SHOWN = "return plexusdraw.then(page => page.app.shown)"
PUT = """
const [selector, value] = arguments;
const input = document.querySelector(selector);
input.value = value;
input.form.requestSubmit();
"""
POINT = """
const [id, type] = arguments;
const box = document.querySelector(`#view [data-id="${id}"] rect`).getBoundingClientRect();
const svg = document.querySelector("#view svg");
const at = { clientX: box.x + box.width / 2, clientY: box.y + box.height / 2, bubbles: true, pointerType: "mouse" };
svg.dispatchEvent(new PointerEvent(type, at));
"""


def press(page, *keys):
    from selenium.webdriver import ActionChains

    ActionChains(page.driver).send_keys(*keys).perform()


def focused(page):
    return page.run("return document.activeElement.getAttribute('data-id') || document.activeElement.textContent")


# --- explore ---


def test_pointing_lights_and_leaving_lets_go(page):
    page.run(POINT, "ulnar-nerve", "pointermove")
    assert page.run(LIT) > 10
    assert page.text("#pointed") == "Ulnar nerve"
    page.run("document.querySelector('#view svg').dispatchEvent(new PointerEvent('pointerleave'))")
    assert page.run(LIT) == 0


def test_a_click_keeps_and_tells(page):
    page.click('#view [data-id="radial-nerve"] rect')
    told = page.text("#content .card")
    for fact in (
        "Radial nerve",
        "nervus radialis",
        "C5, C6, C7, C8; small share: T1",
        "posterior cord",
        "supinator",
        "Flexikon",
    ):
        assert fact in told
    assert page.run("return location.hash") == "#show=radial-nerve"


def test_a_strand_is_as_good_as_its_name(page):
    page.run("""
      const path = document.querySelector('#view g[data-entity="ulnar-nerve"] path');
      const p = path.getPointAtLength(path.getTotalLength() / 2).matrixTransform(path.getScreenCTM());
      const click = new PointerEvent("click", { clientX: p.x, clientY: p.y + 3, bubbles: true });
      document.querySelector("#view svg").dispatchEvent(click);
    """)
    assert page.run(SHOWN)["show"] == "ulnar-nerve"


def test_find_by_synonym(page):
    page.run(PUT, "#content input", "no such nerve")
    assert "Nothing here is called" in page.text("#content .message")
    page.run(PUT, "#content input", "n. medianus")
    assert page.run(SHOWN)["show"] == "median-nerve"


def test_keyboard_goes_from_name_to_name(page):
    page.run("document.querySelector('#view [tabindex=\"0\"]').focus()")
    first = focused(page)
    press(page, Keys.ARROW_DOWN)
    assert focused(page) != first
    press(page, Keys.ARROW_RIGHT, Keys.ENTER)
    kept = focused(page)
    assert page.run(SHOWN)["show"] == kept
    assert page.run(LIT) > 0
    assert page.run("return document.querySelectorAll('#view [tabindex=\"0\"]').length") == 1


def test_latin_names_and_stages(page):
    cord = "return document.querySelector('#view [data-entity=\"lateral-cord\"]') !== null"
    assert page.run(cord)
    page.go("names=latin&upto=trunks&show=upper-trunk")
    page.wait("return document.querySelector('#content h2').textContent === 'truncus superior'")
    assert not page.run(cord)


CARD = """
const [id] = arguments;
const { app } = await plexusdraw;
await app.set({ show: id });
const told = term => [...document.querySelectorAll("#content dt")].find(dt => dt.textContent === term)?.nextSibling;
return { routes: told("Route")?.querySelectorAll("li").length ?? 0, muscles: told("Muscles")?.textContent ?? "" };
"""


@pytest.mark.parametrize("id", ["biceps-reflex", "triceps-reflex", "radial-nerve-at-spiral-groove", "medial-cord"])
def test_a_card_tells_what_trace_tells(page, id):
    found = reach(brachial(), brachial().entity(id))
    ways = {path[1:] for path in found.paths if len(path) > 1}
    told = page.run(CARD, id)
    assert told["routes"] == len(ways) > 0
    assert told["muscles"] == "".join(brachial().muscles[m].name for m in found.muscles)
    assert page.run(LIT) > 0


# --- injure ---


def test_click_to_cut_and_to_mend(page):
    page.click("#tab-injure")
    page.click('#view [data-id="upper-trunk"] rect')
    assert page.run(LOST) > 10
    assert "11 paralysed" in page.text("#content .sum")
    assert "waiter's tip" in page.text("#said")
    page.click('#view [data-id="upper-trunk"] rect')
    assert page.run(LOST) == 0
    assert page.run("return location.hash") == "#mode=injure"


def test_several_cuts_partial_undo_reset(page):
    page.go("mode=injure&cut=C5,C6")
    page.run(PUT, "#content input", "radial nerve at spiral groove")
    assert page.run(SHOWN)["cuts"] == ["C5", "C6", "radial-nerve-at-spiral-groove"]
    page.click("#content .check input")
    assert "0 paralysed" in page.text("#content .sum")
    page.driver.find_element("tag name", "body").send_keys(Keys.CONTROL, "z")
    assert page.run(SHOWN)["partial"] is False
    page.run("[...document.querySelectorAll('#content button')].find(b => b.textContent === 'Reset').click()")
    assert page.run(SHOWN)["cuts"] == []


def test_table_of_an_injury_is_python_s(page):
    page.go("mode=injure&cut=posterior-cord")
    rows = page.run("""
      const table = [...document.querySelectorAll('#content table')].find(t => t.caption.textContent === 'Muscles');
      const rows = [...table.tBodies[0].rows];
      return rows.map(row => [row.querySelector('summary').textContent, row.cells[1].textContent]);
    """)
    outcomes = injure(brachial(), ["posterior cord"]).muscles.values()
    assert sorted(map(tuple, rows)) == sorted((o.name, WORD[o.state]) for o in outcomes if o.loss)
    assert "slightly weak" in page.text("#content .sum")


def test_why_shows_broken_and_intact_routes(page):
    page.go("mode=injure&cut=upper-trunk")
    page.run("document.querySelectorAll('#content details.why').forEach(d => { d.open = true })")
    page.wait("return document.querySelectorAll('#content .routes').length > 20")
    told = page.text("#content")
    assert "broken: C5 → upper trunk ×" in told
    assert "left: C7 → middle trunk" in told
    assert "teaching aid" in page.text("footer")


def test_levels_of_a_nerve(page):
    page.go("mode=injure&cut=radial-nerve")
    page.click('[data-site="radial-nerve-at-spiral-groove"]')
    assert page.run(SHOWN)["cuts"] == ["radial-nerve", "radial-nerve-at-spiral-groove"]


# --- find the site ---


def test_findings_rank_sites_and_show_the_first(page):
    page.click("#tab-find")
    for text in ("deltoid", "teres minor weak", "normal supraspinatus"):
        page.run(PUT, "#content input", text)
    assert page.run("return document.querySelector('#content .answer').textContent").startswith("axillary nerve")
    assert page.run(LOST) > 0
    assert "What tells them apart" in page.text("#content")
    assert page.run("return location.hash") == "#mode=find&weak=deltoid&weak=teres-minor&spared=supraspinatus"


def test_ticking_a_list(page):
    page.click("#tab-find")
    page.run("document.querySelector('#content .tick-list').open = true")
    page.wait("return document.querySelector('.ticks select')")
    page.run("""
      const select = document.querySelector('.ticks select[data-about="deltoid"]');
      select.value = 'paralysed';
      select.dispatchEvent(new Event('change'));
    """)
    assert page.run(SHOWN)["findings"] == [["paralysed", "deltoid"]]


# --- names as they are typed ---


@pytest.mark.parametrize(
    ("typed", "id", "verdict"),
    [
        ("radial", "radial-nerve", "right"),
        ("N. RADIALIS", "radial-nerve", "right"),
        ("musculocutanous nerve", "musculocutaneous-nerve", "spelling"),
        ("superior trunk", "upper-trunk", "right"),
        ("lower trunk", "upper-trunk", "wrong"),
        ("Klumpke palsy", "lower-trunk", "wrong"),
        ("anterior division", "anterior-division-of-upper-trunk", "right"),
        ("posterior division", "anterior-division-of-upper-trunk", "wrong"),
        ("medial pectoral nerve", "lateral-pectoral-nerve", "wrong"),
        ("C6", "C5", "wrong"),
        ("ulna", "radial-nerve", "wrong"),
        ("thoraco-dorsal", "thoracodorsal-nerve", "spelling"),
        ("", "C5", "wrong"),
    ],
)
def test_spelling_is_forgiven_sensibly(page, typed, id, verdict):
    judged = page.run(
        "return plexusdraw.then(page => page.app.speller.judge(arguments[0], arguments[1], 'nerves'))", typed, id
    )
    assert judged == verdict
