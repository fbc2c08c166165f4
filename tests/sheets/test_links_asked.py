"""Which links a label form asks follows from its settings, not from the room that one sheet happens to have."""

from __future__ import annotations

import pytest
from randoms import brachial

from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.sheets.worksheet import links
from plexusdraw.sheets.worksheet.labelling import ON_LINES, Labelling
from plexusdraw.sheets.worksheet.spec import Spec

ROOTS = {"lateral-root-of-median-nerve", "medial-root-of-median-nerve"}
SPECS = [
    Spec(ask=("labels",), detail="framework", wording=Wording("latin")),
    Spec(ask=("roots", "nerves"), detail="framework", count=5),
    Spec(ask=("nerves",), detail="framework", page=paper("a4 portrait"), wording=Wording("english")),
    Spec(ask=("labels",), detail="nerves", side="right"),
]


def asked(spec):
    return {id for id, _ in Labelling(brachial(), spec).keys} & ROOTS


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: f"{spec.detail} {spec.wording.style} {spec.page.name}")
def test_every_arrangement_of_a_sheet_asks_the_same(spec):
    """Boxes to write in leave less room: where they leave too little for a root's name, lines are taken."""
    assert asked(spec) == links.asked(brachial(), spec.detail, spec.wording.style, ON_LINES) == ROOTS


def test_a_root_that_is_asked_alone_or_not_at_all():
    assert asked(Spec(only="medial root of median nerve", detail="nerves")) == {"medial-root-of-median-nerve"}
    assert asked(Spec(ask=("cords",), detail="framework")) == set()
    assert Labelling(brachial(), Spec(ask=("cords",), detail="framework")).drawing.in_place


def test_what_the_plainest_sheet_does_not_name_is_not_asked_on_any(monkeypatch):
    def without(*settings):
        return ROOTS - {"lateral-root-of-median-nerve"}

    monkeypatch.setattr(links, "on_sheet", without)
    links.asked.cache_clear()
    try:
        for writing in ("auto", "lines"):
            spec = Spec(ask=("labels",), detail="framework", page=paper("a3"), writing=writing)
            assert asked(spec) == {"medial-root-of-median-nerve"}
    finally:
        links.asked.cache_clear()


@pytest.mark.nightly
@pytest.mark.parametrize("style", ["short", "english", "latin"])
@pytest.mark.parametrize("detail", DETAILS)
def test_every_arrangement_of_any_sheet_asks_the_same(detail, style):
    wanted = links.asked(brachial(), detail, style, ON_LINES)
    for ask in (("labels",), ("nerves",), ("roots", "cords", "nerves")):
        for size in ("a4", "a4 portrait", "letter", "a3"):
            for count in (0, 3):
                spec = Spec(ask=ask, detail=detail, wording=Wording(style), page=paper(size), count=count)
                assert asked(spec) == wanted, spec
