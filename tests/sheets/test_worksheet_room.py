"""Answers stand on the page of the drawing: every kind, level, paper and turn."""

from __future__ import annotations

import itertools
from functools import cache

import pytest
from formpages import brachial
from night import by_day, first

from plexusdraw.layout import checks, fit
from plexusdraw.layout.columns.plan import plan
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.model import load
from plexusdraw.scene import Box, Heading, Label, Leader, Note, Strand
from plexusdraw.sheets.worksheet import askable, class_set, drawing, flow
from plexusdraw.sheets.worksheet.flow import Flow, Item
from plexusdraw.sheets.worksheet.spec import Spec

PAPERS = first(("a4 landscape", "letter portrait", "a4 portrait", "letter landscape"), 2)
plexus = cache(load)
KINDS = ("label", "draw", "injury", "site", "recall")


def form(name, **choices):
    return class_set.maker(brachial(), Spec(page=paper(name), **choices)).form(1)


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("level", by_day((1, 2, 3, 4), (1, 4)))
@pytest.mark.parametrize("kind", KINDS)
def test_a_form_is_one_page_and_nothing_meets(kind, level, name):
    made = form(name, kind=kind, level=level)
    assert len(made.pages) == 1
    for scene, view in (*made.pages, *made.key):
        assert [fault for fault in checks.faults(scene) if "blank" not in fault or view.blanks] == []


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("model", ["lumbosacral", "cervical"])
def test_a_framework_of_any_plexus_is_one_page(model, kind, name):
    """The form of a class, with the longest word bank: most that a page may have to hold."""
    spec = Spec(kind=kind, page=paper(name), detail="framework", level=1, forms=24)
    made = class_set.maker(plexus(model), spec).form(1)
    assert len(made.pages) == 1
    for scene, view in (*made.pages, *made.key):
        assert [fault for fault in checks.faults(scene) if "blank" not in fault or view.blanks] == []


@pytest.mark.parametrize("kind", ["injury", "site"])
def test_lists_that_have_no_room_beside_all_nerves_leave_these_out(kind):
    made = class_set.maker(plexus("lumbosacral"), Spec(kind=kind, forms=24)).form(1)
    assert len(made.pages) == 1


@pytest.mark.parametrize(("kind", "most"), [("label", 2), ("injury", 1), ("site", 1), ("draw", 1), ("recall", 1)])
def test_a_drawing_is_laid_out_once(kind, most, monkeypatch):
    """A label form tries boxes first."""
    made = []
    known = fit.fitted
    monkeypatch.setattr(fit, "fitted", lambda *given: made.append(given) or known(*given))
    fit.kept.cache_clear()
    class_set.maker(brachial(), Spec(kind=kind, forms=24)).form(1)
    assert len(made) <= most


@pytest.mark.parametrize("ask", [("nerves",), ("all",), ("supply",), ()])
@pytest.mark.parametrize("model", ["brachial", "lumbosacral", "cervical"])
def test_the_labels_of_a_drawing_are_foreseen(model, ask):
    whole = plexus(model)
    words = askable.asked(whole, ask)
    options = Options("nerves", paper("a3"), supply="supply" in ask)
    foreseen = askable.expected(plan(drawing.bare(whole), drawing.routes(whole), "nerves"), words)
    assert set(foreseen) == set(askable.keys(whole, drawing.laid_out(whole, options), words))


@pytest.mark.parametrize("kind", ["injury", "site"])
def test_a_form_does_not_rest_on_how_many_there_are(kind):
    """So its code can make it again."""
    few, many = (class_set.maker(brachial(), Spec(kind=kind, level=1, forms=n)).form(2) for n in (2, 60))
    assert few.pages[0].scene.parts == many.pages[0].scene.parts


def test_the_marking_list_stands_with_the_drawing_where_it_fits():
    made = form("a4")
    (key,) = made.key
    notes = [p.text.string for p in key.scene.parts if isinstance(p, Note)]
    assert all(any(q.answers[0] in text for text in notes) for q in made.questions)
    assert not key.view.asks


@pytest.mark.parametrize("name", PAPERS)
def test_all_muscles_take_two_pages(name):
    """As many lines as there are muscles, each with its number, none nearer to the next than a hand needs."""
    made = form(name, ask=("muscles",))
    assert len(made.pages) == 2
    rules = [p.curve for p in made.pages[-1].scene.parts if isinstance(p, Leader) and p.curve[0][1] > 25.0]
    assert len(rules) == len(made.questions) > 60
    heights = sorted(y for (x, y), *_ in rules if x < 20.0)
    assert min(b - a for a, b in itertools.pairwise(heights)) >= 7.0


@pytest.mark.parametrize("name", PAPERS)
def test_lines_stand_beside_or_under_the_drawing(name):
    scene = form(name).pages[0].scene
    drawn = [point for p in scene.parts if isinstance(p, Strand) for point in p.curve]
    rules = [p.curve for p in scene.parts if isinstance(p, Leader) and p.kind == "rule" and p.curve[0][1] > 25.0]
    under = min(c[0][1] for c in rules) > max(y for _, y in drawn)
    beside = min(c[0][0] for c in rules) > max(x for x, _ in drawn)
    assert under or beside
    assert min(c[-1][0] - c[0][0] for c in rules) >= 30.0


def test_boxes_are_as_wide_as_the_longest_name_by_hand():
    """2.4 mm a letter (common practice, no source): "posterior", 9 letters, is the longest short name of a cord."""
    _, view = form("a3", ask=("cords",)).pages[0]
    assert view.blanks
    made = form("a3", ask=("nerves",)).pages[0]
    blanks = [p.blank.w for p in made.scene.parts if isinstance(p, Label) and (p.entity, "name") in made.view.blanks]
    longest = max(len(s.label or s.name) for s in brachial().segments.values() if s.kind == "nerve" and s.drawn)
    lines = [p for p in made.scene.parts if isinstance(p, Leader) and p.kind == "rule" and p.curve[0][1] > 25.0]
    assert lines or max(blanks) >= 2.4 * longest


@pytest.mark.parametrize(("prompt", "ruled"), [("drawing", False), ("columns", True)])
def test_recall_says_what_its_page_has_room_for(prompt, ruled):
    made = form("a4", kind="recall", prompt=prompt)
    scene = made.pages[0].scene
    said = " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.role == "orientation")
    lanes = [p for p in scene.parts if isinstance(p, Leader) and p.entity == "lane"]
    assert bool(lanes) == ruled
    assert ("Draw the whole plexus" in said) != ruled
    assert len([p for p in scene.parts if isinstance(p, Heading)]) == len(brachial().stages)
    assert any("Draw" in q.prompt for q in made.questions) != ruled


def test_level_4_leaves_no_nerve_its_strands():
    """Only what leaves the roots is there to begin with."""
    scene, view = form("a4", kind="draw", level=4).pages[0]
    shown = {
        p.entity
        for p in scene.parts
        if isinstance(p, Strand) and (p.entity, p.root, p.source, p.at) not in view.strands
    }
    assert {brachial().segments[id].kind for id in shown} == {"root"}


def test_a_drawing_says_colours_or_letters():
    for kind in ("draw", "recall"):
        said = [p.text.string for p in form("a4", kind=kind).pages[0].scene.parts if isinstance(p, Note)]
        assert "colour" in " ".join(said)
        assert "letters" in " ".join(said)


def test_a_bank_has_no_word_that_the_drawing_says():
    made = form("a4", level=1)
    scene, view = made.pages[0]
    notes = " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.role == "legend")
    assert "Word bank (not all are used):" in notes
    words = {word.strip() for word in notes.split("One strand")[0].split(":")[1].split("·")}
    named = {p.entity for p in scene.parts if isinstance(p, Label) and (p.entity, "name") not in view.blanks}
    assert words.isdisjoint(brachial().segments[id].name for id in named if id in brachial().segments)


def test_items_pour_into_columns_and_the_rest_is_told():
    items = [Item(((str(i), 0.0, True),), 1, 8.0, numbered=True) for i in range(7)]
    parts, rest = flow.poured(items, Box(10.0, 20.0, 100.0, 16.0), Flow(2, 8.0))
    assert [item.texts[0][0] for item in rest] == ["4", "5", "6"]
    rules = [p.curve[0] for p in parts if isinstance(p, Leader)]
    assert rules == [(18.0, 27.0), (18.0, 35.0), (72.0, 27.0), (72.0, 35.0)]
    assert flow.least_height(items, 100.0, Flow(2, 8.0)) == pytest.approx(32.0, abs=0.5)
