"""How a case uses its page: every plexus, cuts beyond what a plexus shows, hand and foot at a larger scale."""

from __future__ import annotations

import pytest

import plexusdraw
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.layout.checks import faults, texts
from plexusdraw.scene import Heading, Note, Row, Spot
from plexusdraw.sheets.case import injured, localised

MODELS = {name: plexusdraw.load(name) for name in ("brachial", "lumbosacral", "cervical")}
CASES = [
    ("lumbosacral", ["common fibular nerve"], 1),
    ("lumbosacral", ["tibial nerve", "femoral nerve:partial"], 1),
    ("lumbosacral", ["deep fibular nerve"], 1),
    ("cervical", ["great auricular nerve"], 1),
    ("cervical", ["C4", "phrenic nerve"], 1),
    ("brachial", ["ulnar nerve at wrist"], 1),
    ("brachial", ["median nerve at carpal tunnel:partial", "C6"], 2),
]


def pages(model, sites, side="left"):
    return injured.pages(injure(MODELS[model], sites), side)


def headings(page):
    """All words over figures, which may stand in several lines."""
    return " ".join(p.text.string for p in page.scene.parts if isinstance(p, Heading) and p.kind == "view")


@pytest.mark.parametrize(("model", "sites", "count"), CASES, ids=[", ".join(sites) for _, sites, _ in CASES])
def test_nothing_collides_and_all_can_be_read(model, sites, count):
    found = pages(model, sites, "right")
    assert len(found) == count
    for page in found:
        assert faults(page.scene) == []
        assert min(text.size for text in texts(page.scene)) >= 6


@pytest.mark.parametrize(
    ("model", "sites", "closer"),
    [
        ("brachial", "ulnar nerve at wrist", {"Palm of the hand, superficial", "Back of the hand, deep"}),
        ("lumbosacral", "common fibular nerve", {"Dorsum of the foot, superficial", "Dorsum of the foot, skin"}),
        ("brachial", "axillary nerve", set()),
        ("cervical", "great auricular nerve", set()),
    ],
)
def test_hand_and_foot_are_larger_where_something_changes_there(model, sites, closer):
    (page,) = pages(model, [sites])
    assert all(words in headings(page) for words in closer)
    assert bool(closer) == (" of the " in headings(page))


def test_a_cut_that_the_plexus_cannot_show_stands_on_the_course_of_its_nerve():
    (page,) = pages("brachial", ["ulnar nerve at wrist"])
    rows = {part.entity for part in page.scene.parts if isinstance(part, Row)}
    assert "flexor-carpi-ulnaris" in rows
    assert page.view.words["adductor-pollicis"] == "paralysed"
    assert "flexor-carpi-ulnaris" not in page.view.words
    (cut,) = page.view.cuts
    assert cut in {(p.entity, p.at) for p in page.scene.parts if isinstance(p, Spot)}


@pytest.mark.parametrize("side", ["left", "right"])
def test_rows_beside_the_course_of_a_nerve_have_their_heading_and_the_letters_over_their_dots(side):
    (page,) = pages("lumbosacral", ["common fibular nerve at neck of fibula"], side)
    heads = [p for p in page.scene.parts if isinstance(p, Note) and p.role == "table-root"]
    dots = {(d.root, round(d.x, 3)) for p in page.scene.parts if isinstance(p, Row) for d in p.dots}
    assert dots == {(p.text.string, round(p.text.box.x + p.text.box.w / 2, 3)) for p in heads}
    assert "MUSCLES AND SKIN" in {text.string for text in texts(page.scene)}


def test_a_cut_at_the_start_of_a_nerve_stands_on_the_plexus():
    (page,) = pages("brachial", ["ulnar nerve"])
    assert page.view.cuts == (("ulnar-nerve", 0),)
    assert not [part for part in page.scene.parts if isinstance(part, Row)]


def test_of_two_cuts_the_one_beyond_the_plexus_has_a_page_for_its_nerve():
    first, second = pages("brachial", ["median nerve at carpal tunnel:partial", "C6"])
    assert {entity for entity, _ in first.view.cuts} == {"median-nerve", "C6"}
    assert {entity for entity, _ in second.view.cuts} == {"median-nerve"}
    assert first.view.title == "Injury of median nerve at carpal tunnel (partial), C6"


def test_no_heading_of_the_lists_stands_at_the_foot_of_a_column():
    for model, sites, _ in CASES:
        page = pages(model, sites)[0]
        lists = [p for p in page.scene.parts if isinstance(p, Note) and p.key.startswith("list-")]
        columns: dict[str, list[Note]] = {}
        for note in lists:
            columns.setdefault(note.key.split("-")[1], []).append(note)
        assert all(not column[-1].text.bold for column in columns.values())


@pytest.mark.parametrize(
    ("model", "found", "closer"),
    [
        pytest.param(
            "lumbosacral",
            [("weak", "tibialis anterior"), ("numb", "first web space of foot")],
            "Dorsum of the foot, skin",
            marks=pytest.mark.nightly,
        ),
        ("cervical", [("numb", "angle of jaw and lower ear")], ""),
    ],
)
def test_findings_of_other_plexuses(model, found, closer):
    plexus = MODELS[model]
    made = localised.pages(localise(plexus, [finding(plexus, kind, text) for kind, text in found], 3))
    # Where bundles fill a column, the number of one may lie on a strand of another; never on a word.
    assert [f for page in made for f in faults(page.scene) if "stands on a strand" not in f] == []
    assert closer in headings(made[0])
