"""What comes out of a printer: an injury, a card or findings on one page, black on white, with nothing folded away."""

from __future__ import annotations

from base64 import b64decode
from io import BytesIO
from math import hypot

import pytest
from pikepdf import Pdf

PAPERS = {"a4": (8.27, 11.69), "letter": (8.5, 11)}
"""Width and height, inches."""
CASES = {
    "small": "mode=injure&cut=axillary-nerve",
    "large": "mode=injure&cut=C5,C6,C7,C8,T1",
    "double": "mode=injure&cut=upper-trunk,ulnar-nerve-at-elbow",
    "latin": "mode=injure&cut=posterior-cord&partial=yes&names=latin",
    "rows": "mode=injure&cut=upper-trunk&detail=muscles",
    "card": "show=radial-nerve",
    "findings": "mode=find&weak=deltoid&numb=lateral-forearm",
}
LAID = """
dispatchEvent(new Event("beforeprint"));
const box = selector => document.querySelector(selector).getBoundingClientRect();
const [title, picture, limb, lists] = ["#paper h1", "#view svg", "#limb", "#paper dl"].map(box);
const sizes = [...document.querySelectorAll("#view svg text")].filter(t => t.getClientRects().length)
  .map(t => Number(t.getAttribute("font-size")) * t.getScreenCTM().a * 72 / 96);
const figures = [...document.querySelectorAll("#limb figure svg")].map(svg => svg.getBoundingClientRect().height);
const folded = document.querySelectorAll("#paper details").length;
dispatchEvent(new Event("afterprint"));
return { order: title.bottom <= picture.top + 1 && picture.bottom <= limb.top + 1 && limb.bottom <= lists.top + 1,
  wide: picture.width, limb: Math.min(...figures), smallest: Math.min(...sizes), folded };
"""


def printed(page, paper):
    width, height = PAPERS[paper]
    wish = {"paperWidth": width, "paperHeight": height, "printBackground": True}
    return Pdf.open(BytesIO(b64decode(page.driver.execute_cdp_cmd("Page.printToPDF", wish)["data"])))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("case", CASES)
def test_what_is_told_and_its_picture_take_one_page(one_page, case, paper):
    one_page.go(CASES[case])
    assert len(printed(one_page, paper).pages) == 1


@pytest.mark.parametrize("case", ["small", "large", "double", "latin", "rows"])
def test_picture_limb_and_lists_follow_each_other_and_can_be_read(one_page, case):
    one_page.go(CASES[case])
    one_page.wait("return plexusdraw.then(({ app }) => [...app.scenes.keys()].some(key => key.startsWith('nerves')))")
    # A page of A4 without its margins, on the screen.
    one_page.size(718, 1047)
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    laid = one_page.run(LAID)
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    one_page.size(1440)
    assert laid["order"]
    assert laid["wide"] > 700
    assert laid["smallest"] > 5
    assert laid["folded"] == 0
    assert laid["limb"] > (250 if case == "small" else 115), "px: what the lists leave is the limb's"


@pytest.mark.parametrize("detail", ["nerves", "muscles"])
def test_the_screen_is_as_before_after_printing(one_page, detail):
    one_page.go(f"mode=injure&cut=upper-trunk&detail={detail}")
    seen = "const v = document.querySelector('#view svg'); return [v.getAttribute('viewBox'), v.style.width]"
    before = one_page.run(seen)
    printed(one_page, "a4")
    assert one_page.run(seen) == before
    assert one_page.run("return document.documentElement.classList.contains('listed')") is False


def test_numbers_of_printed_lists_stand_on_the_page(one_page):
    one_page.go("mode=teach")
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    room = one_page.run("""
      const { app } = await plexusdraw, px = (e, name) => parseFloat(getComputedStyle(e)[name]);
      window.print = () => {};
      [...document.querySelectorAll("#content button")].find(b => b.textContent === "Print the worksheet").click();
      dispatchEvent(new Event("beforeprint"));
      const lists = [...document.querySelectorAll("#paper ol")].map(ol => px(ol, "paddingLeft") / px(ol, "fontSize"));
      dispatchEvent(new Event("afterprint"));
      return lists;
    """)
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert len(room) == 2
    assert min(room) > 2, "of two figures, a point and a gap"


@pytest.mark.parametrize("address", ["mode=teach", "mode=teach&names=latin&side=right"])
def test_numbers_of_a_printed_form_are_6_pt_and_apart(one_page, address):
    one_page.go(address)
    one_page.size(718, 1047)
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    sizes, discs = one_page.run("""
      const { app } = await plexusdraw;
      window.print = () => {};
      [...document.querySelectorAll("#content button")].find(b => b.textContent === "Print the worksheet").click();
      dispatchEvent(new Event("beforeprint"));
      const svg = document.querySelector("#paper .form svg"), scale = svg.getScreenCTM().a * 72 / 96;
      const seen = [...svg.querySelectorAll("[data-state=blank] text")].filter(t => t.getClientRects().length);
      const sizes = seen.map(t => t.getAttribute("font-size") * scale * getComputedStyle(t).scale);
      const discs = [...svg.querySelectorAll("[data-state=blank] circle")].map(c => c.getBoundingClientRect());
      dispatchEvent(new Event("afterprint"));
      return [sizes, discs.map(({ x, y, width }) => [x + width / 2, y + width / 2, width / 2])];
    """)
    one_page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    one_page.size(1440)
    assert len(sizes) > 20
    assert min(sizes) >= 6
    apart = [
        hypot(a - x, b - y) - r - s for i, (x, y, r) in enumerate(discs) for a, b, s in discs[:i] if (a, b) != (x, y)
    ]
    assert min(apart) > 0, "numbers stand clear of each other"
