"""The page for everyone: accessibility, safety, sizes of screens, print, saving, links."""

from __future__ import annotations

from importlib.resources import files
from xml.etree import ElementTree as ET

import pytest
from browser import ODD
from night import by_day

SVG = "{http://www.w3.org/2000/svg}"
STATES = {
    "start": "",
    "card": "show=radial-nerve",
    "injury": "mode=injure&cut=upper-trunk,ulnar-nerve-at-elbow",
    "rows": "mode=injure&cut=C5&detail=muscles&look=dark",
    "findings": "mode=find&weak=deltoid&numb=lateral-forearm&look=dark",
    "gray": "show=C7&look=grayscale&side=right",
    "test": "mode=test",
    "set test": "mode=test&kind=sites&seed=4&time=9",
    "teach": "mode=teach",
    "lecture": "mode=teach&step=6",
    "movement": "show=elbow+flexion",
    "sign": "show=wrist-drop&names=latin",
    "beyond": "mode=injure&cut=deep-branch-of-ulnar-nerve&look=dark",
    "numbers": "labels=numbers&detail=muscles",
}
OPENED = {
    "begun": ("mode=test", "document.querySelector('#content .main').click()"),
    "offers": (
        "",
        "const i = document.querySelector('#content input'); i.value = 'rad'; i.dispatchEvent(new Event('input'))",
    ),
    "menu": ("", "document.getElementById('tools').open = true"),
    "answered": (
        "mode=test&kind=roots",
        "document.querySelector('#content .main').click(); document.querySelector('.options button').click()",
    ),
    "result": (
        "mode=test&kind=muscles&seed=2&count=1",
        "document.querySelector('#content .main').click(); document.querySelector('.options button').click()",
    ),
    "lists": (
        "mode=find&weak=deltoid",
        "document.querySelectorAll('#content details').forEach(d => { d.open = true })",
    ),
}
"""State of the page → its address, and what is done then."""


def press(text):
    """Presses a button of the panel by what stands on it; nothing is printed."""
    button = f"[...document.querySelectorAll('#content button')].find(b => b.textContent === '{text}')"
    return f"window.print = () => 0; {button}.click()"


AT_NIGHT = {
    "end of a round": (
        "mode=test&kind=roots",
        "document.querySelector('#content .main').click(); document.querySelectorAll('.options button')[1].click();"
        + press("End"),
    ),
    "typed answer": ("mode=test&kind=name&by=typing", "document.querySelector('#content .main').click()"),
    "test for others": (
        "mode=test",
        "document.querySelectorAll('#content details').forEach(d => { d.open = true });" + press("Copy the address"),
    ),
    "worksheet": ("mode=teach", press("Print the worksheet")),
    "steps": ("mode=teach", "document.querySelectorAll('#content details').forEach(d => { d.open = true })"),
    "live cut": (
        "mode=teach&step=9",
        "return plexusdraw.then(({ app }) => { app.mode.tap = 'cut'; app.mode.pick('radial-nerve', null); })",
    ),
    "save": ("", "document.getElementById('share').open = true"),
    "enlarged": ("show=radial-nerve", "document.getElementById('grip').click()"),
    "reasons": (
        "mode=injure&cut=upper-trunk",
        "document.querySelectorAll('#content .why').forEach(d => { d.open = true })",
    ),
    "not found": (
        "mode=injure",
        "const i = document.querySelector('#content input'); i.value = 'zzz'; i.form.requestSubmit()",
    ),
    "refused": ("mode=find&paralysed=deltoid&spared=deltoid", "void 0"),
    "latin": ("mode=find&weak=deltoid&reflex-lost=biceps-reflex&names=latin", "void 0"),
}
NARROW, WIDE = 320, 1440
AXE = """
await Promise.allSettled(document.getAnimations().map(one => one.finished));
return axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] })
  .then(found => found.violations.map(fault => [fault.id, fault.impact, fault.nodes.map(node => node.html)]));
"""


def in_turn(states):
    """Each state in both widths; every second case has each state once, narrow and wide in turn."""
    return [(state, width) for i, state in enumerate(states) for width in ((NARROW, WIDE) if i % 2 else (WIDE, NARROW))]


def checked(page):
    """What the accessibility checker finds, which is put into a page once."""
    if not page.run("return 'axe' in window"):
        page.driver.execute_script((files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8"))
    return page.run(AXE)


@pytest.mark.parametrize("case", by_day(in_turn(STATES), in_turn(STATES)[::2]), ids=lambda case: "{}-{}".format(*case))
def test_accessibility_checker_finds_nothing(one_page, case):
    state, width = case
    one_page.size(width)
    one_page.go(STATES[state])
    assert checked(one_page) == []


@pytest.mark.parametrize(
    "case", by_day(in_turn((*OPENED, *AT_NIGHT)), in_turn(OPENED)[::2]), ids=lambda case: "{}-{}".format(*case)
)
def test_accessibility_checker_finds_nothing_in_what_is_opened(page, case):
    state, width = case
    page.size(width, 844)
    address, action = (OPENED | AT_NIGHT)[state]
    page.go(address)
    page.run(action)
    assert checked(page) == []


@pytest.mark.parametrize("state", STATES)
def test_only_the_picture_scrolls_sideways(one_page, state):
    for width in (320, 768, 1440, 2560):
        one_page.go("show=C5")
        one_page.size(width)
        one_page.go(STATES[state])
        assert one_page.run("return document.documentElement.scrollWidth") <= width


def test_names_are_text(chromium, odd_file):
    chromium.log()
    page = chromium.open(odd_file, "show=main-nerve")
    assert page.text("h1").startswith(ODD[:1].upper() + ODD[1:])
    page.run("return plexusdraw.then(page => page.app.set({ show: [...page.app.plexus.muscles.keys()].at(-1) }))")
    assert ODD in page.text("#content h2")
    assert page.run("return document.querySelectorAll('b[onclick]').length") == 0
    assert page.log() == []


def test_the_policy_stops_code_and_requests(page):
    page.log()
    made = page.run("""
      window.bad = 0;
      const script = document.createElement("script");
      script.textContent = "window.bad = 1";
      document.body.append(script);
      return fetch("https://example.com/").then(() => "sent", () => window.bad);
    """)
    assert made == 0
    assert any("Content Security Policy" in line for line in page.log())


def test_nothing_is_asked_for(chromium, page_file):
    chromium.requests()
    chromium.open(page_file, "mode=injure&cut=C5&names=latin&detail=muscles")
    asked = [url for url in chromium.requests() if not url.startswith(("data:", "blob:", "about:"))]
    assert [url.partition("#")[0] for url in asked] == [page_file.as_uri()]
    assert chromium.log() == []


def test_a_link_shows_the_same_again(chromium, page_file):
    address = "mode=injure&detail=muscles&side=right&cut=C5,radial-nerve-at-spiral-groove&partial=yes"
    page = chromium.open(page_file, address)
    page.run("return plexusdraw.then(page => page.app.set({}))")
    assert page.run("return location.hash") == f"#{address}"


def test_a_wrong_link_says_so(chromium, page_file):
    page = chromium.open(page_file, "mode=injure&cut=C5,nowhere&detail=huge")
    assert "nowhere" in page.text("#said")
    assert page.run("return plexusdraw.then(page => page.app.shown.cuts)") == ["C5"]


def test_theme_follows_the_system_until_chosen(chromium, page_file):
    chromium.media(prefers_color_scheme="dark")
    page = chromium.open(page_file)
    assert page.run("return document.documentElement.dataset.theme") == "dark"
    page.go("look=light")
    assert page.run("return document.documentElement.dataset.theme") == "light"
    chromium.media()


def test_print_is_light_and_bare(page):
    page.go("mode=injure&cut=upper-trunk&look=dark")
    page.run("dispatchEvent(new Event('beforeprint'))")
    page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    shown = page.run("""
      const seen = e => e.getClientRects().length > 0;
      const all = [...document.querySelectorAll('button, select, input, header')];
      return all.filter(seen).map(e => e.className || e.tagName);
    """)
    assert set(shown) <= {"chip"}
    assert page.run("return document.querySelector('#view svg > rect').getAttribute('fill')") == "#ffffff"
    page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    page.run("dispatchEvent(new Event('afterprint'))")
    assert page.run("return document.documentElement.dataset.theme") == "dark"


MODULE = """
const { app } = await plexusdraw;
let blob = null;
URL.createObjectURL = made => { blob = made; return "blob:nothing"; };
HTMLAnchorElement.prototype.click = function () {};
[...document.querySelectorAll("#files button")].find(b => b.textContent === arguments[0]).click();
for (let i = 0; i < 100 && !blob; i += 1) await new Promise(done => setTimeout(done, 30));
"""


def test_save_svg(page):
    page.go("mode=injure&cut=upper-trunk&look=light")
    text = page.run(MODULE + "return blob.text()", "Save SVG")
    svg = ET.fromstring(text.encode())
    assert svg.get("width") == "297mm"
    assert svg.find(f"{SVG}title").text == "Brachial plexus: injury of upper trunk"
    assert "@font-face" in svg.find(f"{SVG}style").text
    assert not [e for e in svg.iter() if e.get("tabindex")]


def test_save_png(page):
    script = MODULE + "const image = await createImageBitmap(blob); return [image.width, image.height, blob.type]"
    assert page.run(script, "Save PNG") == [2376, 1680, "image/png"]


def test_picture_and_caution_show_without_scripts(chromium, page_file):
    chromium.driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    chromium.driver.get("about:blank")
    chromium.driver.get(page_file.as_uri())
    chromium.driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    assert not chromium.run("return document.documentElement.classList.contains('ready')")
    words = "return [...document.querySelectorAll('#view svg text')].filter(t => t.getClientRects().length).length"
    assert chromium.run(words) > 40
    assert "script" in chromium.text("noscript")
    assert "teaching aid" in chromium.text("footer")
