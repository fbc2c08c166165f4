"""Findings on one page: the leading places with numbers, the limb as found, what each would take, what to test next."""

from __future__ import annotations

from itertools import combinations

import pytest
from click.testing import CliRunner
from night import first

import plexusdraw
from plexusdraw.cli.main import cli
from plexusdraw.clinic import deficits
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import localise
from plexusdraw.layout.checks import faults, texts
from plexusdraw.scene import Area, Note, Pill
from plexusdraw.sheets.case import localised

PLEXUS = plexusdraw.load("brachial")
CASES = {
    "shoulder": [("weak", "deltoid"), ("spared", "triceps"), ("numb", "upper lateral arm")],
    "root": [("weak", "biceps"), ("numb", "C6 dermatome"), ("reflex-lost", "biceps reflex"), ("spared", "deltoid")],
    "sign": [("sign", "claw hand")],
    "several": [("sign", "wrist drop"), ("weak", "abductor pollicis brevis"), ("numb", "medial forearm")],
    "normal": [("spared", "deltoid")],
}


def result(case):
    return localise(PLEXUS, [finding(PLEXUS, kind, text) for kind, text in CASES[case]], 3)


def said(page):
    return " ".join(p.text.string for p in page.scene.parts if isinstance(p, Note))


@pytest.mark.parametrize("side", first(["left", "right"], 1))
@pytest.mark.parametrize("case", CASES)
def test_nothing_collides_and_all_can_be_read(case, side):
    for page in localised.pages(result(case), side):
        assert faults(page.scene) == []
        assert min(text.size for text in texts(page.scene)) >= 6


@pytest.mark.parametrize("case", CASES)
def test_every_leading_place_has_its_number_on_the_plexus_and_its_losses_in_the_table(case):
    found = result(case)
    sheets = localised.pages(found)
    plates = [p for p in sheets[0].scene.parts if isinstance(p, Pill) and p.kind == "place"]
    numbers = {int(n) for plate in plates for n in plate.text.string.split(", ")}
    assert numbers == set(range(1, len(found.leading) + 1))
    assert not any(a.box.meets(b.box) for a, b in combinations(plates, 2))
    words = " ".join(map(said, sheets))
    for answer in found.leading:
        assert answer.name in words
        injury = Injury(PLEXUS, answer.cuts, answer.partial)
        for sign in injury.signs:
            assert all(word in words for word in sign.name.split())


@pytest.mark.parametrize("case", CASES)
def test_tests_speak_of_places_by_their_numbers(case):
    found = result(case)
    names = {answer.name for answer in found.leading}
    assert all(name in names for test in found.next_tests for name in (*test.normal, *test.changed))
    words = " ".join(map(said, localised.pages(found)))
    assert all(word in words for test in found.next_tests for word in test.name.split())


def test_the_limb_shows_what_was_found_and_only_figures_that_show_it():
    page = localised.pages(result("shoulder"))[0]
    assert page.view.entity("deltoid") == "weak"
    (normal,) = (f.members(deficits.of(PLEXUS)) for f in result("shoulder").findings if f.kind == "spared")
    assert normal
    assert {page.view.entity(id) for id in normal} == {"highlit"}
    assert page.view.entity("upper-lateral-arm") == "lost"
    assert page.view.entity("biceps-brachii") == "plain"
    drawn = {p.entity for p in page.scene.parts if isinstance(p, Area)}
    assert "upper-lateral-arm" in drawn
    assert not {p.entity for p in localised.pages(result("sign"))[0].scene.parts if isinstance(p, Area)}


def test_without_an_abnormal_finding_it_says_so():
    assert "nothing to explain" in said(localised.pages(result("normal"))[0])


@pytest.mark.parametrize("name", ["found.pdf", "found.svg", "found.png"])
def test_the_command_writes_it(tmp_path, name):
    file = tmp_path / name
    done = CliRunner().invoke(cli, ["localise", "--weak", "deltoid", "--theme", "grayscale", "-o", str(file)])
    assert done.exit_code == 0, done.output
    assert file.stat().st_size > 10_000
