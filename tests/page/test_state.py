"""What the address, the history, a saved file and a printed page keep; and that nothing breaks the page."""

from __future__ import annotations

import random
import subprocess
from base64 import b64decode
from shutil import which

import pytest
from randoms import brachial

from plexusdraw.names.sites import all_sites

SHOWN = "return plexusdraw.then(page => page.app.shown)"
ODD = [
    "constructor=1",
    "__proto__=1",
    "weak=upper-trunk",
    "numb=deltoid",
    "weak=constructor",
    "kind=toString",
    "about=__proto__",
    "count=1e9",
    "seed=" + "9" * 50,
    "show=hasOwnProperty",
    "=",
    "&&&",
    "%E0%A4%A",
]


@pytest.mark.parametrize("address", ODD)
def test_an_odd_address_is_inert(chromium, page_file, address):
    chromium.log()
    page = chromium.open(page_file, address)
    assert page.run("return plexusdraw.then(({ app }) => { app.set({}); return app.shown.mode; })") == "explore"
    assert page.run("return document.querySelectorAll('#view text').length") > 20
    assert page.log() == []


def test_a_long_address_is_inert(chromium, page_file):
    chromium.size(1440)
    page = chromium.open(page_file, "cut=" + ",".join(f"nowhere{i}" for i in range(20_000)))
    assert len(page.text("#said")) < 300
    assert page.run("return document.querySelector('#view').clientHeight") > 500


def test_findings_of_one_kind_may_stand_together_in_an_address(page):
    page.go("mode=find&weak=deltoid,biceps-brachii,nothing&numb=lateral-forearm")
    assert page.run(SHOWN)["findings"] == [["weak", "deltoid"], ["weak", "biceps-brachii"], ["numb", "lateral-forearm"]]
    assert "weak=nothing" in page.text("#said")


def test_a_movement_with_a_comma_in_its_name_is_one_finding(page):
    page.go("mode=find&weak=finger DIP flexion, index and middle")
    assert page.run(SHOWN)["findings"] == [["weak", "finger DIP flexion, index and middle"]]


def test_back_and_forward(page):
    page.run("return plexusdraw.then(({ app }) => app.set({ show: 'ulnar-nerve' }))")
    page.wait("return location.hash === '#show=ulnar-nerve'")
    page.run("return plexusdraw.then(({ app }) => app.set({ mode: 'injure', cuts: ['C5'] }))")
    page.wait("return location.hash.includes('cut=C5')")
    page.run("history.back()")
    page.wait("return location.hash === '#show=ulnar-nerve'")
    page.run("return plexusdraw.then(({ app }) => app.settled)")
    assert (page.run(SHOWN)["mode"], page.run(SHOWN)["cuts"], page.run(SHOWN)["show"]) == ("explore", [], "ulnar-nerve")
    page.run("history.forward()")
    page.wait("return location.hash.includes('cut=C5')")
    page.run("return plexusdraw.then(({ app }) => app.settled)")
    assert page.run(SHOWN)["cuts"] == ["C5"]
    page.driver.refresh()
    page.wait("return document.documentElement.classList.contains('ready')")
    assert page.run(SHOWN)["cuts"] == ["C5"]


def test_a_saved_file_opens_as_the_page_was(page, chromium, tmp_path):
    page.go("mode=injure&cut=radial-nerve&names=latin&detail=muscles&side=right&look=dark")
    text = page.run("""
      let blob = null;
      URL.createObjectURL = made => { blob = made; return "blob:nothing"; };
      HTMLAnchorElement.prototype.click = function () {};
      [...document.querySelectorAll("#files button")].at(-1).click();
      return blob.text();
    """)
    saved = tmp_path / "saved.html"
    saved.write_text(text, encoding="utf-8")
    chromium.log()
    page = chromium.open(saved)
    shown = page.run(SHOWN)
    assert (shown["mode"], shown["cuts"], shown["names"], shown["detail"]) == (
        "injure",
        ["radial-nerve"],
        "latin",
        "muscles",
    )
    assert page.log() == []


@pytest.mark.skipif(which("pdfinfo") is None, reason="pdfinfo is not installed")
@pytest.mark.parametrize("cut", ["upper-trunk", "C5,C6,C7,C8,T1", "deep-branch-of-ulnar-nerve"])
@pytest.mark.parametrize("detail", ["nerves", "muscles"])
def test_an_injury_prints_on_one_page(page, tmp_path, cut, detail):
    page.go(f"mode=injure&cut={cut}&look=dark&detail={detail}")
    made = page.driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": True})
    path = tmp_path / "print.pdf"
    path.write_bytes(b64decode(made["data"]))
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Pages:           1\n" in told
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout
    assert "Muscles: paralysed" in text
    assert "teaching aid" in text


def test_every_cut_shows(page):
    """A mark at the cut, or a frame at the name from which it comes and a word on where it is."""
    page.go("mode=injure")
    silent = page.run(
        """
      const { app } = await plexusdraw;
      const found = [];
      for (const id of arguments[0]) {
        app.set({ cuts: [id] });
        const bars = app.view.cuts.size, frames = document.querySelectorAll("#view .hit.beyond").length;
        const told = document.querySelector("#content .beyond")?.textContent || "";
        if (!bars && !(frames && told.includes("beyond what is drawn"))) found.push(id);
      }
      return found;
    """,
        [site.id for site in all_sites(brachial())],
    )
    assert silent == []


def test_words_of_the_trade_only(page_file):
    """No words of the machine where a reader sees them."""
    from plexusdraw.page.build import bundle

    for word in ("` score", '" score', "Let go", "at its start", '"Whole"', "Click", '"framework"]'):
        assert word not in bundle(), word


def test_forced_colours_tell_tabs_and_pressed_chips_apart(page):
    page.media(forced_colors="active")
    page.go("mode=injure&cut=radial-nerve")
    told = page.run("""
      const look = e => { const s = getComputedStyle(e); return [s.backgroundColor, s.color].join(); };
      const pair = (on, off) => [look(document.querySelector(on)), look(document.querySelector(off))];
      const tabs = pair("[role=tab][aria-selected=true]", "[role=tab][aria-selected=false]");
      return [tabs, pair(".chip[aria-pressed=true]", ".chip[aria-pressed=false]")];
    """)
    assert all(on != off for on, off in told)
    page.media()


MONKEY = """
const { app } = await plexusdraw;
let seed = arguments[0];
const dice = n => (seed = (seed * 16807) % 2147483647) % n;
const texts = ["rad", "numb C6", "zzz", "<b>", "C5", "weak deltoid", "", "(", "\\\\"];
const visited = [];
for (let i = 0; i < arguments[1]; i += 1) {
  const every = [...document.querySelectorAll("button, select, input, summary, [role=option], #view .hit")];
  const all = every.filter(e => e.checkVisibility() && !/Print|Save|Copy/.test(e.textContent) && !e.disabled);
  const e = all[dice(all.length)];
  if (e.tagName === "SELECT") { e.selectedIndex = dice(e.options.length); e.dispatchEvent(new Event("change")); }
  else if (e.tagName === "INPUT" && e.type === "text") {
    e.value = texts[dice(texts.length)];
    e.dispatchEvent(new Event("input", { bubbles: true }));
    if (e.form && dice(2)) e.form.requestSubmit();
  } else if (e.classList.contains("hit")) app.mode.pick(e.getAttribute("data-id"), null);
  else e.click();
  visited.push(location.hash);
  if (dice(12) === 0) {
    location.hash = visited[dice(visited.length)];
    await new Promise(done => setTimeout(done, 5));
    await app.settled;
  }
  if (dice(9) === 0) await app.refresh();
}
return document.querySelectorAll("#view text").length;
"""


@pytest.mark.parametrize("width", [390, 1440])
@pytest.mark.nightly
def test_monkey(chromium, page_file, width):
    chromium.size(width, 844)
    page = chromium.open(page_file, "mode=injure")
    page.log()
    page.requests()
    page.driver.set_script_timeout(120)
    assert page.run(MONKEY, random.Random(width).randint(1, 10**6), 500) > 0
    assert page.log() == []
    assert [url for url in page.requests() if not url.startswith(("data:", "blob:", page_file.as_uri()))] == []
    page.run("sessionStorage.clear(); localStorage.clear()")
