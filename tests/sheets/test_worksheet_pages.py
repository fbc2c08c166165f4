"""Printed pages: room to write by hand, free of ink, inside what a school printer prints, legible in grey."""

from __future__ import annotations

import io
from itertools import pairwise

import pytest
from formpages import SETS, brachial, forms
from PIL import Image

from plexusdraw import paint
from plexusdraw.layout import checks
from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import load as load_theme
from plexusdraw.scene import Label, Leader, Note, Pill, Row
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Spec

PPI = 150.0
DOTS = PPI / 25.4
MARGIN_MM = 10.0


def image(page, theme="print"):
    data = paint.paint("png", [page], load_theme(theme), ppi=PPI)
    return Image.open(io.BytesIO(data)).convert("L")


def boxes(page):
    """The boxes to write in."""
    scene, view = page
    for part in scene.parts:
        if isinstance(part, Pill | Label | Row):
            role = part.role if isinstance(part, Label) else "name"
            if (part.entity, role) in view.blanks:
                yield part, part.box if isinstance(part, Pill) else part.blank


def darkest(picture, box, inset):
    """The darkest pixel of a box without its edge of *inset* mm."""
    area = (box.x + inset, box.y + inset, box.right - inset, box.bottom - inset)
    return picture.crop(tuple(round(v * DOTS) for v in area)).getextrema()[0]


@pytest.mark.parametrize("theme", ["print", "grayscale"])
def test_every_box_is_free_of_ink(theme):
    page = forms("boxes")[0].pages[0]
    picture = image(page, theme)
    found = list(boxes(page))
    assert len(found) == 24
    assert [p.entity for p, box in found if darkest(picture, box, 0.6) < 250] == []


def test_the_ink_is_seen_in_the_key():
    page = forms("boxes")[0].pages[0]
    picture = image(forms("boxes")[0].key[0])
    assert all(darkest(picture, box, 0.6) < 128 for _, box in boxes(page))


@pytest.mark.parametrize(
    "spec",
    [
        Spec(writing="boxes"),
        Spec(level=1, writing="boxes"),
        Spec(ask=("roots", "trunks", "divisions", "cords", "branches"), writing="boxes"),
        Spec(ask=("trunks", "cords", "branches"), page=paper("letter"), writing="boxes"),
        Spec(side="right", writing="boxes"),
    ],
    ids=["default", "bank", "all", "letter", "right"],
)
def test_boxes_have_room_for_a_hand(spec):
    page = class_set.maker(brachial(), spec).form(1).pages[0]
    found = list(boxes(page))
    assert found
    assert min(box.w for _, box in found) >= 30.0
    assert min(box.h for _, box in found) >= 7.0


@pytest.mark.parametrize(
    "choices", [{}, {"side": "right"}, {"ask": ("roots", "cords")}], ids=["left", "right", "roots"]
)
def test_numbers_stand_beside_their_boxes(choices):
    page = class_set.maker(brachial(), Spec(writing="boxes", **choices)).form(1).pages[0]
    for part, box in boxes(page):
        x, r = part.badge[0], 0.46 * box.h
        assert x + r <= box.x + 0.05 or x - r >= box.right - 0.05
        assert MARGIN_MM <= x - r < x + r <= page[0].width - MARGIN_MM


def test_lines_have_room_for_a_hand():
    scene = forms("muscles")[0].pages[-1][0]
    rules = [(p.curve[0], p.curve[-1]) for p in scene.parts if isinstance(p, Leader) and p.curve[0][1] > 25.0]
    heights = sorted({round(y, 2) for (_, y), _ in rules})
    assert len(heights) > 5
    assert min(b[0] - a[0] for a, b in rules) >= 30.0
    assert min(b - a for a, b in pairwise(heights)) >= 7.0


@pytest.mark.parametrize("name", sorted(SETS))
def test_nothing_collides_and_nothing_leaves_the_margins(name):
    form = forms(name)[0]
    for scene, view in (*form.pages, *form.key):
        faults = [f for f in checks.faults(scene) if "blank" not in f or view.blanks]
        assert faults == []
        edges = [(t.box, t.string) for t in checks.texts(scene)]
        assert [s for b, s in edges if b.x < MARGIN_MM - 0.1 or b.right > scene.width - MARGIN_MM + 0.1] == []
        assert [s for b, s in edges if b.y < MARGIN_MM - 0.1 or b.bottom > scene.height - MARGIN_MM + 0.1] == []


@pytest.mark.parametrize("name", sorted(SETS))
def test_no_text_is_cut_short_or_too_small(name):
    form = forms(name)[0]
    for scene, _ in (*form.pages, *form.key):
        assert min(t.size for t in checks.texts(scene)) >= 6.0
        notes = [p for p in scene.parts if isinstance(p, Note)]
        assert [p.text.string for p in notes if p.text.box.w > p.room + 0.2 and p.role != "table-root"] == []


def test_margins_are_white_in_print():
    picture = image(forms("label")[0].pages[0])
    edge = round((MARGIN_MM - 0.2) * DOTS)
    w, h = picture.size
    strips = [(0, 0, w, edge), (0, h - edge, w, h), (0, 0, edge, h), (w - edge, 0, w, h)]
    assert [picture.crop(strip).getextrema()[0] for strip in strips] == [255] * 4


def test_caution_stands_on_every_case():
    for name in ("injury", "told", "site"):
        scene = forms(name)[0].pages[0][0]
        said = " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.role == "legend")
        assert " ".join(brachial().caution.split()) in said


def test_the_name_line_has_room():
    scene = forms("label")[0].pages[0][0]
    rules = [p.curve for p in scene.parts if isinstance(p, Leader) and p.kind == "rule" and p.curve[0][1] < 20.0]
    assert len(rules) == 3
    assert rules[0][-1][0] - rules[0][0][0] > 80.0
    assert rules[0][0][1] >= MARGIN_MM + 6.5
