"""The case on one page: plexus, limb, lists, caution."""

from __future__ import annotations

from io import BytesIO

import pytest
from click.testing import CliRunner
from night import by_day
from pypdf import PdfReader

import plexusdraw
from plexusdraw.cli.main import cli
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import injure
from plexusdraw.layout.checks import faults, texts
from plexusdraw.scene import Note
from plexusdraw.sheets.case import injured

PLEXUS = plexusdraw.load("brachial")
CASES = [
    ["upper trunk"],
    ["C5", "C6", "C7", "C8", "T1"],
    ["radial nerve at spiral groove", "ulnar nerve"],
    ["long thoracic nerve"],
]


def pages(sites, side="left", partial=False):
    return injured.pages(injure(PLEXUS, sites, partial), side)


@pytest.mark.parametrize("side", by_day(["left", "right"], ["right"]))
@pytest.mark.parametrize("sites", CASES, ids=" ".join)
def test_one_page_on_which_nothing_collides(sites, side):
    page, *courses = pages(sites, side)
    assert len(courses) == ("radial nerve at spiral groove" in sites)
    assert faults(page.scene) == []
    assert min(text.size for text in texts(page.scene)) >= 6


@pytest.mark.parametrize("partial", [False, True])
@pytest.mark.parametrize("sites", CASES, ids=" ".join)
def test_all_that_is_lost_is_listed(sites, partial):
    injury = injure(PLEXUS, sites, partial)
    found = pages(sites, partial=partial)
    lists = [p for page in found for p in page.scene.parts if isinstance(p, Note) and p.key.startswith("list-")]
    said = " ".join(note.text.string for note in lists)
    for outcome in injury.muscles.values():
        label = PLEXUS.muscles[outcome.id].label or outcome.name
        if outcome.loss:
            assert all(word in said for word in label.split())
    counted = {loss: sum(1 for o in injury.muscles.values() if o.loss is loss) for loss in Loss}
    for loss, word in ((Loss.WHOLE, "Paralysed"), (Loss.PART, "Weak"), (Loss.SLIGHT, "Slightly weak")):
        assert (f"{word}: {counted[loss]} of {len(PLEXUS.muscles)}" in said) == bool(counted[loss])
    for table in (injury.signs, [m for m in injury.movements.values() if m.loss]):
        assert all(word in said for entry in table for word in entry.name.split())


def test_states_on_the_page_are_those_of_the_injury():
    (page,) = pages(["upper trunk"])
    assert page.view.entity("deltoid") == "lost"
    assert page.view.entity("pronator-teres") == "weak"
    assert page.view.entity("lateral-forearm") == "reduced"
    assert page.view.cuts


@pytest.mark.parametrize("name", ["case.pdf", "case.svg", "case.png"])
def test_the_command_writes_it(tmp_path, name):
    file = tmp_path / name
    done = CliRunner().invoke(cli, ["injure", "upper trunk", "-o", str(file), "--side", "right"])
    assert done.exit_code == 0, done.output
    assert file.stat().st_size > 10_000
    if name.endswith("pdf"):
        (sheet,) = PdfReader(BytesIO(file.read_bytes())).pages
        text = sheet.extract_text()
        assert "Injury of upper trunk" in text
        assert "right upper limb" in text
        assert "nothing here is for diagnosis" in " ".join(text.split())


def test_another_ending_is_refused(tmp_path):
    done = CliRunner().invoke(cli, ["injure", "C5", "-o", str(tmp_path / "case.dot")])
    assert done.exit_code != 0
    assert "a case is written as .svg, .pdf, or .png" in done.output + str(done.exception)
