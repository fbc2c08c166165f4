"""A blank keeps its secret in every format."""

import re
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree

import pypdf
import pytest
from randoms import small
from readback import SVG
from sample import VIEWS

import plexusdraw
from plexusdraw import paint
from plexusdraw.api import scenes
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.options import Options
from plexusdraw.look import theme
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Path, Words
from plexusdraw.look.redaction import Names
from plexusdraw.model import load
from plexusdraw.paint import typeset
from plexusdraw.scene import Heading, Label, Leader, Pill
from plexusdraw.scene.view import View
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Spec

PRINT = theme.load("print")
ANSWERS = [
    "axillary",
    "radial-n",
    "radial n",
    "ulnar-n",
    "ulnar n",
    "musculocutaneous",
    "suprascapular",
    "thoracic",
    "posterior",
]
ANSWERS += ["lateral", "medial", "lower", "upper-trunk", "upper trunk", "deltoid", "C6", "trunk_", "trunk-"]


def svg_without_fonts(page, view):
    """The SVG, less the letters of the encoded fonts, which may spell anything."""
    return paint.paint("svg", [(page, view)], PRINT, embed_fonts=False).decode()


@pytest.mark.parametrize("answer", ANSWERS)
def test_no_answer_in_any_file(page, answer):
    pages = [(page, VIEWS["asked"]())]
    written = [svg_without_fonts(*pages[0]), paint.paint("dot", pages, PRINT).decode()]
    written.append(typeset.source(pages, PRINT))
    reader = pypdf.PdfReader(BytesIO(paint.paint("pdf", pages, PRINT)))
    written += [reader.pages[0].extract_text(), str(reader.metadata), reader.xmp_metadata.stream.get_data().decode()]
    assert not [text for text in written if answer in text]


def test_the_plain_page_would_tell(page):
    """Guards the test above: without blanks the words are there."""
    data = svg_without_fonts(page, View(asks=False))
    assert [answer for answer in ANSWERS if answer in data] == [a for a in ANSWERS if a not in ("trunk_", "trunk-")]


def test_embedded_fonts_hold_no_glyph_of_an_answer(page):
    one = View(asks=True, blanks={("axillary-nerve", "name"): 1})
    used = {c for g in marks(page, one, PRINT) for m in g.marks if isinstance(m, Words) for c in m.string}
    svg = paint.paint("svg", [(page, one)], PRINT)
    drawn = {c for t in ElementTree.fromstring(svg).iter(f"{SVG}text") for c in t.text or ""}
    assert used == drawn


def test_blanks_of_any_answer_look_alike(page):
    """Two pages that differ only in the name behind a blank give the same bytes."""

    def renamed(part):
        if isinstance(part, Pill) and part.entity == "medial-cord":
            return replace(part, text=replace(part.text, string="quite another name"))
        return part

    other = replace(page, parts=tuple(renamed(part) for part in page.parts))
    asked = VIEWS["asked"]()
    for format in paint.FORMATS:
        assert paint.paint(format, [(page, asked)], PRINT) == paint.paint(format, [(other, asked)], PRINT)


def test_where_a_root_is_asked_no_root_is_named(page):
    view = View(asks=True, blanks={("axillary-nerve", "name"): 7, ("C5", "name"): 8})
    root = ElementTree.fromstring(paint.paint("svg", [(page, view)], PRINT))
    roots = {p.get("data-root") for p in root.iter(f"{SVG}path")} - {None}
    assert roots == {"root-1", "root-2", "root-3", "root-4", "root-5"}


def test_to_forget_whether_a_page_asks_is_an_error():
    with pytest.raises(TypeError, match="asks"):
        View()


def test_a_page_with_blanks_keeps_its_secret_whatever_it_says_of_itself(page):
    blanks = VIEWS["asked"]().blanks
    data = [svg_without_fonts(page, View(asks=asks, blanks=blanks)) for asks in (True, False)]
    assert data[0] == data[1]
    assert "axillary" not in data[0]


def test_a_page_that_asks_without_blanks_names_nothing_beside_what_it_shows(page):
    """A cut to be judged, a line to be drawn: no id of the model, no words for who cannot see the page."""
    data = svg_without_fonts(page, View(asks=True, title="Draw the lines"))
    root = ElementTree.fromstring(data)
    assert all(re.fullmatch(r"part-\d+", g.get("data-entity")) for g in root.iter(f"{SVG}g") if g.get("data-entity"))
    assert {t.text for t in root.iter(f"{SVG}title")} == {"Draw the lines"}


@pytest.mark.parametrize("kind", REGISTRY)
@pytest.mark.parametrize("level", [1, 4])
def test_every_page_of_a_form_asks_and_no_page_of_its_key(kind, level):
    (form,) = class_set.forms(load("brachial"), Spec(kind=kind, level=level))
    assert all(page.view.asks and page.view.secret for page in class_set.padded(form.pages, duplex=True))
    assert not any(page.view.secret for page in form.key)


def test_a_blank_column_name_hides_the_kinds(page):
    assert Names(page, View(asks=True, blanks={("trunks", "name"): 1})).kind("trunk") == "part"
    assert Names(page, View(asks=True, blanks={("upper-trunk", "name"): 1})).kind("trunk") == "trunk"


def test_blank_groups_say_only_their_number(page):
    labels = {g.label for g in marks(page, VIEWS["asked"](), PRINT)}
    assert labels == {"", *(f"blank {n}" for n in range(1, 17))}


@pytest.mark.parametrize("side", ["left", "right"])
def test_lines_to_the_table_begin_beside_the_blank_whatever_the_name(side):
    figure = plexusdraw.figure(detail="muscles", hide="nerves", side=side)
    (page,) = figure.pages()
    to_strands = {p.entity for p in page.scene.parts if isinstance(p, Leader) and p.to == "strands"}
    asked = {id for id, _ in page.view.blanks} - to_strands
    labels = [p for p in page.scene.parts if isinstance(p, Label) and p.role == "name" and p.entity in asked]
    assert len(labels) > 10
    made = [m for g in marks(page.scene, page.view, figure.theme) for m in g.marks if isinstance(m, Path)]
    outward = 1 if side == "left" else -1  # the line of a link leads back to its strands
    curves = [m.curve for m in made if m.stroke == figure.theme.rules.leader]
    lines = [curve for curve in curves if outward * (curve[-1][0] - curve[0][0]) > 0]
    assert len(lines) > 10
    for label in labels:
        blank = label.blank
        edge = blank.right + 0.8 if side == "left" else blank.x - 0.8
        level = [c[0] for c in lines if blank.y < c[0][1] < blank.bottom]
        assert not level or any(x == pytest.approx(edge, abs=0.01) for x, _ in level), label.entity


@pytest.mark.parametrize("style", ["english", "latin", "short"])
def test_the_head_of_a_column_is_not_written_where_what_is_called_so_is_asked(style):
    """As that of the sciatic nerve; where it is not asked, it stands."""
    (scene,) = scenes(small("two-part"), Options("nerves", wording=Wording(style)))
    head = next(part for part in scene.parts if isinstance(part, Heading) and part.says)
    assert head.says == ("great-nerve",)
    views = {False: View(asks=True, title="x", blanks={("great-nerve", "name"): 1}), True: View(asks=False)}
    for seen, view in views.items():
        assert (f">{head.text.string}<" in svg_without_fonts(scene, view)) is seen
