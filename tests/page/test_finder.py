"""Search as one types, in each mode; what it says, and that it is heard."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest
from randoms import brachial, small
from selenium.webdriver import ActionChains
from selenium.webdriver.common.keys import Keys

from plexusdraw.names import sites
from plexusdraw.page import build

OFFERS = """
const [text] = arguments;
const input = document.querySelector("#content input");
input.value = text;
input.dispatchEvent(new Event("input"));
return [...document.querySelectorAll("#content .offers:not([hidden]) li")].map(li => li.firstChild.textContent);
"""
ENTER = """
const input = document.querySelector("#content input");
input.value = arguments[0];
input.form.requestSubmit();
"""
SHOWN = "return plexusdraw.then(page => page.app.shown)"


@pytest.mark.parametrize(
    ("mode", "text", "wanted"),
    [
        ("explore", "bicep", "biceps brachii"),
        ("explore", "Erb", "Erb palsy"),
        ("explore", "guyon", "ulnar nerve at wrist"),
        ("explore", "wrist drop", "wrist drop"),
        ("explore", "elbow flex", "elbow flexion"),
        ("explore", "musculocutanous", "musculocutaneous nerve"),
        ("explore", "trunk upper", "upper trunk"),
        ("injure", "carpal", "median nerve at carpal tunnel"),
        ("injure", "Klumpke", "Klumpke palsy"),
        ("injure", "C5 after", "C5 after dorsal scapular nerve"),
        ("injure", "C5 C6", "C5, C6"),
        ("injure", "C8 and T1", "C8, T1"),
        ("injure", "C5 and C6", "upper trunk"),
        ("injure", "C5-T1", "C5, C6, C7, C8, T1"),
        ("injure", "ulnar nerve distal to flexor carpi ulnaris", "ulnar nerve after flexor carpi ulnaris"),
        ("injure", "Bell nerve", "long thoracic nerve"),
        ("injure", "ulnar nerve Struthers", "ulnar nerve at elbow"),
        ("injure", "ulnar and median", "ulnar nerve, median nerve"),
        ("find", "numb C6", "numb C6 dermatome"),
        ("find", "reflex lost biceps", "lost biceps reflex"),
        ("find", "weak bic", "weak biceps brachii"),
        ("find", "no horner", "no Horner syndrome"),
        ("find", "weak elbow flexion", "weak elbow flexion"),
        ("find", "triceps 0/5", "paralysed triceps brachii"),
        ("find", "deltoid 3/5", "moderately weak deltoid"),
        ("find", "M4 biceps", "slightly weak biceps brachii"),
        ("find", "power 5/5 elbow flexion", "spared elbow flexion"),
        ("find", "loss of sensation C7", "numb C7 dermatome"),
        ("find", "numb little finger", "numb palmar medial one and a half digits"),
        ("find", "cannot abduct the thumb", "weak thumb abduction"),
        ("explore", "deltoid 3/5", "moderately weak deltoid"),
        ("explore", "thumb and index", "palmar lateral three and a half digits"),
    ],
)
def test_what_is_typed_is_offered(page, mode, text, wanted):
    page.go(f"mode={mode}")
    assert wanted in page.run(OFFERS, text)


@pytest.mark.parametrize(
    ("mode", "text", "first"),
    [
        ("explore", "rad", "radial nerve"),
        ("explore", "Erb", "Erb palsy"),
        ("explore", "numb C6", "numb C6 dermatome"),
        ("explore", "biceps reflex lost", "lost biceps reflex"),
        ("injure", "uln", "ulnar nerve"),
    ],
)
def test_what_is_called_so_comes_first_and_a_finding_is_found_everywhere(page, mode, text, first):
    page.go(f"mode={mode}")
    assert page.run(OFFERS, text)[0] == first


def test_a_name_is_meant_before_what_it_is_a_synonym_of(chromium, tmp_path):
    plexus = small("two-stages")
    first, second, *_ = plexus.muscles.values()
    named = replace(first, synonyms=(second.name,))
    odd = replace(plexus, muscles=MappingProxyType({**plexus.muscles, named.id: named}))
    (tmp_path / "page.html").write_bytes(build(odd))
    page = chromium.open(tmp_path / "page.html")
    assert {first.name, second.name} <= set(page.run(OFFERS, second.name))
    page.run(ENTER, second.name)
    assert page.run(SHOWN)["show"] == second.id


def test_a_finding_typed_under_explore_goes_to_its_mode(page):
    page.run(ENTER, "numb C6")
    shown = page.run(SHOWN)
    assert (shown["mode"], shown["findings"]) == ("find", [["numb", "c6-dermatome"]])


ROOTS = ["C5-T1", "C5–C7", "C5 to C7 roots", "C8 and T1", "C7 radiculopathy", "C8 root torn", "T1 avulsion"]
ROOTS += ["C5-C7 preganglionic", "C8-T1 avulsion", "C5, C6 and C8", "all roots C5-T1", "C6 postganglionic", "C5 (torn)"]


@pytest.mark.parametrize("text", ROOTS)
def test_roots_that_are_typed_mean_what_they_mean_to_the_command(page, text):
    page.go("mode=injure")
    page.run(ENTER, text)
    assert page.run(SHOWN)["cuts"] == [site.id for site in sites.parse_all(brachial(), text)]


def test_what_is_called_otherwise_is_offered_but_not_taken(page):
    """A slip of the pen may mean it, or what is not here at all: who types Enter is asked."""
    page.go("mode=find")
    assert page.run(OFFERS, "Phalen")
    page.run(ENTER, "Phalen")
    assert page.run(SHOWN)["findings"] == []
    assert "“Phalen” is no finding" in page.text("#content .message")
    assert "Do you mean" in page.text("#content .message")


def test_a_nerve_is_offered_once(page):
    page.go("mode=injure")
    assert page.run(OFFERS, "nerve to serratus anterior") == ["long thoracic nerve"]


@pytest.mark.parametrize(
    ("text", "what"), [("numb C6", "finding"), ("lateral forearm", "skin area"), ("rotator cuff", "group of muscles")]
)
def test_what_is_no_place_is_told_what_it_is(page, text, what):
    page.go("mode=injure")
    said = page.run(
        "return plexusdraw.then(({ app }) => app.modes.injure.none(arguments[0]))".replace("arguments[0]", repr(text))
    )
    assert f"is no place to cut, but a {what}." in said


def test_a_sign_is_no_place_and_says_where_to_look(page):
    page.go("mode=injure")
    page.run(ENTER, "wrist drop")
    assert "sign" in page.text("#content .message")
    assert "Find the site" in page.text("#content .message")


def test_what_was_said_does_not_stay_in_another_mode(page):
    page.run(ENTER, "wrist drop")
    assert "Wrist drop" in page.text("#said")
    page.click("#tab-injure")
    assert page.text("#said") == ""
    page.go("mode=find&weak=deltoid")
    assert page.text("#said") == ""


def test_arrow_keys_and_enter_choose(page):
    page.run("document.querySelector('#content input').focus()")
    ActionChains(page.driver).send_keys("rad", Keys.ARROW_DOWN).perform()
    active = page.run("return document.activeElement.getAttribute('aria-activedescendant')")
    wanted = page.run("return document.getElementById(arguments[0]).firstChild.textContent", active)
    ActionChains(page.driver).send_keys(Keys.ENTER).perform()
    assert page.text("#content .card h2").lower() == wanted.lower()
    assert page.run("return document.querySelector('#content input').getAttribute('aria-expanded')") == "false"


def test_a_tap_chooses(page):
    page.run(OFFERS, "median")
    page.run("document.querySelector('#content .offers li').click()")
    assert page.run(SHOWN)["show"] == "median-nerve"


def test_roots_that_are_typed_together_are_cut_together(page):
    page.go("mode=injure")
    page.run(ENTER, "C5 C6")
    assert page.run(SHOWN)["cuts"] == ["C5", "C6"]


def test_escape_closes_and_keeps_the_text(page):
    page.run("document.querySelector('#content input').focus()")
    ActionChains(page.driver).send_keys("rad", Keys.ESCAPE).perform()
    assert page.run("return document.querySelector('#content .offers').hidden") is True
    assert page.run("return document.querySelector('#content input').value") == "rad"


@pytest.mark.parametrize("mode", ["explore", "injure", "find"])
def test_what_is_not_there_is_said_beside_the_field(page, mode):
    page.go(f"mode={mode}")
    page.run(ENTER, "qqqqq")
    said = page.run("""
      const message = document.querySelector("#content .message"), field = document.querySelector("#content input");
      const gap = message.getBoundingClientRect().top - field.getBoundingClientRect().bottom;
      return [message.textContent, message.getAttribute("role"), getComputedStyle(message).display, gap];
    """)
    assert "qqqqq" in said[0]
    assert said[1:3] == ["status", "block"]
    assert 0 <= said[3] < 20


def test_a_muscle_is_no_place_of_a_cut_but_its_nerve_is_offered(page):
    page.go("mode=injure")
    assert "posterior branch of axillary nerve" in page.run(OFFERS, "deltoid")
    page.run(ENTER, "deltoid")
    assert page.run(SHOWN)["cuts"] == []
    page.run("document.querySelector('#content .offers li').click()")
    assert page.run("return document.querySelectorAll('#content .cuts, #content .chip').length") > 0


@pytest.mark.parametrize("width", [390, 1440])
def test_the_live_region_is_heard_while_a_name_has_focus(page, width):
    page.size(width, 844)
    page.run("document.querySelector('#view [tabindex=\"0\"]').focus()")
    ActionChains(page.driver).send_keys(Keys.ARROW_DOWN, Keys.ENTER).perform()
    said = page.run("""
      const hidden = [];
      for (let e = document.getElementById("said"); e; e = e.parentElement) {
        const style = getComputedStyle(e);
        const unseen = style.display === "none" || style.visibility !== "visible" || e.hidden;
        if (unseen || e.getAttribute("aria-hidden")) hidden.push(e.outerHTML);
      }
      return [hidden, document.getElementById("said").textContent, document.getElementById("pointed").textContent];
    """)
    assert said[0] == []
    assert "is shown" in said[1]
    assert said[2]
