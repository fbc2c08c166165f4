"""The slides: native shapes with real curves, named and grouped by structure, in the colours of the theme."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from posixpath import normpath
from zipfile import ZipFile

import pytest
from lxml import etree
from pptx import Presentation
from sample import scene

from plexusdraw.look import theme as themes
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Group, Path, Words
from plexusdraw.look.theme import Colour, Theme
from plexusdraw.paint import pptx, pptx_theme
from plexusdraw.paint.pptx_geometry import emu, freeform
from plexusdraw.paint.pptx_shapes import Shapes, gathered
from plexusdraw.scene import Label, Pill, Scene
from plexusdraw.scene.view import View

A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
P = "{http://schemas.openxmlformats.org/presentationml/2006/main}"


@pytest.fixture(scope="module")
def theme() -> Theme:
    return themes.load("print")


@pytest.fixture(scope="module")
def page() -> tuple[Scene, View]:
    return scene(), View(asks=False, title="Brachial plexus")


@pytest.fixture(scope="module")
def deck(page: tuple[Scene, View], theme: Theme) -> bytes:
    return pptx.paint([page], theme)


def shapes_of(deck: bytes):
    return Presentation(BytesIO(deck)).slides[0].shapes


def leaves(shapes):
    for shape in shapes:
        yield from leaves(shape.shapes) if shape.shape_type == 6 else [shape]


def test_every_curve_is_written_as_a_bezier(deck: bytes, page: tuple[Scene, View], theme: Theme) -> None:
    wanted = sum((len(m.curve) - 1) // 3 for g in marks(*page, theme) for m in g.marks if isinstance(m, Path))
    tree = etree.fromstring(ZipFile(BytesIO(deck)).read("ppt/slides/slide1.xml"))
    assert len(tree.findall(f".//{A}cubicBezTo")) == wanted > 0


def test_a_point_of_a_curve_is_where_the_scene_has_it() -> None:
    curve = ((10.0, 20.0), (12.0, 20.0), (14.0, 25.0), (16.0, 26.0))
    tree = etree.fromstring(f'<x xmlns:a="{A[1:-1]}">{freeform((curve,))}</x>')
    points = [(int(p.get("x")), int(p.get("y"))) for p in tree.iter(f"{A}pt")]
    assert points == [(emu(x - 10), emu(y - 20)) for x, y in curve]


def test_every_word_is_a_text_box_of_its_size(deck: bytes, page: tuple[Scene, View], theme: Theme) -> None:
    wanted = [m for g in marks(*page, theme) for m in g.marks if isinstance(m, Words) and g.kind != "title"]
    texts = [s for s in leaves(shapes_of(deck)) if s.has_text_frame and s.text_frame.text and not s.is_placeholder]
    found = sorted((s.text_frame.text, s.text_frame.paragraphs[0].runs[0].font.size.pt) for s in texts)
    assert found == sorted((w.string, round(w.size * 100) / 100) for w in wanted)


def test_the_parts_of_a_structure_are_a_group_with_its_name(deck: bytes, page: tuple[Scene, View]) -> None:
    names = {shape.name for shape in shapes_of(deck)}
    pills = {p.entity.replace("-", " ") for p in page[0].parts if isinstance(p, Pill | Label)}
    assert pills <= names


def test_no_two_objects_have_one_name_or_number(deck: bytes) -> None:
    tree = etree.fromstring(ZipFile(BytesIO(deck)).read("ppt/slides/slide1.xml"))
    ids = [e.get("id") for e in tree.iter(f"{P}cNvPr")]
    names = [shape.name for shape in shapes_of(deck)]
    assert len(set(ids)) == len(ids)
    assert len(set(names)) == len(names)


def test_the_title_is_a_title_placeholder_and_stands_only_there(deck: bytes, page: tuple[Scene, View]) -> None:
    shapes = shapes_of(deck)
    assert shapes.title.text_frame.text == page[1].title
    others = [s.text_frame.text for s in leaves(shapes) if s.has_text_frame and not s.is_placeholder]
    assert page[1].title not in others


def test_the_slide_and_its_structures_have_alternative_texts(deck: bytes, page: tuple[Scene, View]) -> None:
    tree = shapes_of(deck)._spTree
    said = {e.get("name"): e.get("descr") for e in tree.iter(f"{P}cNvPr")}
    assert tree[0][0].get("descr") == page[0].description
    assert all(said[p.entity.replace("-", " ")] for p in page[0].parts if isinstance(p, Pill))


@pytest.mark.parametrize("name", themes.names())
def test_a_root_takes_its_colour_from_the_deck(name: str, page: tuple[Scene, View]) -> None:
    theme = themes.load(name)
    deck = pptx.paint([page], theme)
    scheme = etree.fromstring(ZipFile(BytesIO(deck)).read("ppt/theme/theme1.xml"))
    accents = [scheme.find(f".//{A}accent{i + 1}/{A}srgbClr").get("val") for i in range(len(page[0].roots))]
    assert [f"#{c}" for c in accents] == [theme.pen(i).strand for i in range(len(page[0].roots))]
    strands = [s for s in leaves(shapes_of(deck)) if s.name.endswith(f": {page[0].roots[1]}")]
    assert strands
    assert all(s._element.find(f".//{A}ln//{A}schemeClr").get("val") == "accent2" for s in strands)


def test_page_and_ink_are_those_of_the_theme(page: tuple[Scene, View]) -> None:
    theme = themes.load("lecture")
    scheme = etree.fromstring(ZipFile(BytesIO(pptx.paint([page], theme))).read("ppt/theme/theme1.xml"))
    found = [scheme.find(f".//{A}{slot}/{A}srgbClr").get("val") for slot in ("lt1", "dk1")]
    assert [f"#{c}" for c in found] == [theme.page, theme.ink]


def test_a_tint_of_a_root_follows_its_colour(theme: Theme) -> None:
    palette = pptx_theme.Palette(theme, 5)
    tint = themes.mix(theme.pen(2).strand, theme.page, 0.5)
    assert 'schemeClr val="accent3"' in palette.colour(tint, 2)
    assert palette.colour(Colour("#12ab34")) == '<a:srgbClr val="12ab34"/>'


def test_every_colour_that_the_deck_computes_is_near_to_the_one_wanted(theme: Theme) -> None:
    base, wanted = theme.pen(0).strand, themes.mix(theme.pen(0).strand, theme.page, 0.6)
    assert pptx_theme._shift(base, wanted)
    assert not pptx_theme._shift(base, Colour("#c03030"))


def test_groups_are_joined_only_where_nothing_lies_between() -> None:
    def stroke(entity: str, x: float) -> Group:
        curve = ((x, 0.0), (x, 1.0), (x, 2.0), (x, 3.0))
        return Group(entity, "nerve", "plain", "", (Path(curve=curve, stroke=Colour("#000000"), width=1.0),))

    clear = gathered([stroke("a", 0), stroke("b", 9), stroke("a", 1)])
    covered = gathered([stroke("a", 0), stroke("b", 1), stroke("a", 1)])
    assert [(g.entity, len(g.marks)) for g in clear] == [("a", 2), ("b", 1)]
    assert [g.entity for g in covered] == ["a", "b", "a"]


def test_dashes_are_shares_of_the_width(theme: Theme) -> None:
    mark = Path(curve=((0, 0), (1, 0), (2, 0), (3, 0)), stroke=theme.ink, width=0.5, dash=(1.0, 0.75))
    written = Shapes(pptx_theme.Palette(theme, 3), {}, first_id=2).stroke(mark)
    assert '<a:ds d="200000" sp="150000"/>' in written


def test_a_blank_keeps_its_secret(page: tuple[Scene, View], theme: Theme) -> None:
    pills = [p for p in page[0].parts if isinstance(p, Pill)]
    blanks = {(p.entity, "name"): i for i, p in enumerate(pills, 1)}
    data = pptx.paint([(page[0], replace(page[1], blanks=blanks))], theme)
    archive = ZipFile(BytesIO(data))
    text = archive.read("ppt/slides/slide1.xml").decode()
    assert not [p.entity for p in pills if p.entity in text or p.entity.replace("-", " ") in text]


def test_the_same_page_gives_the_same_bytes(deck: bytes, page: tuple[Scene, View], theme: Theme) -> None:
    assert pptx.paint([page], theme) == deck
    assert {i.date_time for i in ZipFile(BytesIO(deck)).infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_a_slide_is_as_large_as_its_page(deck: bytes, page: tuple[Scene, View]) -> None:
    made = Presentation(BytesIO(deck))
    assert (made.slide_width, made.slide_height) == (emu(page[0].width), emu(page[0].height))


def test_no_slide_is_no_deck(theme: Theme) -> None:
    with pytest.raises(ValueError, match="no slide"):
        pptx.deck([], theme)


ORDER = {
    "p:cSld": "bg spTree custDataLst controls extLst",
    "p:sp": "nvSpPr spPr style txBody extLst",
    "p:grpSp": "nvGrpSpPr grpSpPr sp grpSp graphicFrame cxnSp pic contentPart extLst",
    "p:spPr": "xfrm custGeom prstGeom noFill solidFill gradFill blipFill pattFill grpFill ln effectLst",
    "a:ln": "noFill solidFill gradFill pattFill prstDash custDash round bevel miter headEnd tailEnd",
    "a:custGeom": "avLst gdLst ahLst cxnLst rect pathLst",
    "p:txBody": "bodyPr lstStyle p",
    "a:p": "pPr r br fld endParaRPr",
    "a:rPr": "ln noFill solidFill effectLst highlight latin ea cs sym hlinkClick",
    "a:lvl1pPr": "lnSpc spcBef spcAft buClrTx buClr buSzTx buFontTx buFont buNone buChar tabLst defRPr extLst",
    "a:defRPr": "ln noFill solidFill effectLst highlight latin ea cs sym hlinkClick",
    "p:presentation": "sldMasterIdLst notesMasterIdLst sldIdLst sldSz notesSz embeddedFontLst defaultTextStyle extLst",
}
"""Children in the order that the schemas of ECMA-376 part 1 (annex A) ask for."""


@pytest.mark.parametrize("part", ["slides/slide", "slideMasters/", "slideLayouts/", "presentation.xml"])
def test_elements_stand_in_the_order_of_the_standard(deck: bytes, part: str) -> None:
    archive = ZipFile(BytesIO(deck))
    name = next(n for n in archive.namelist() if n.startswith(f"ppt/{part}") and n.endswith(".xml"))
    for element in etree.fromstring(archive.read(name)).iter():
        short = f"{element.prefix}:{etree.QName(element).localname}"
        if short in ORDER and short != "p:grpSp":
            order = ORDER[short].split()
            places = [order.index(etree.QName(child).localname) for child in element]
            assert places == sorted(places) or short == "a:p", short


def test_every_relation_leads_to_a_part_with_a_type(deck: bytes) -> None:
    archive = ZipFile(BytesIO(deck))
    names = set(archive.namelist())
    types = archive.read("[Content_Types].xml").decode()
    for rels in (n for n in names if n.endswith(".rels")):
        folder = rels.replace("_rels/", "").rpartition("/")[0]
        for rel in etree.fromstring(archive.read(rels)):
            target = rel.get("Target")
            path = target.lstrip("/") if target.startswith("/") else normpath(f"{folder}/{target}").lstrip("/")
            assert path in names
            ending = path.rpartition(".")[2]
            assert f'"/{path}"' in types or ending == "rels" or f'Extension="{ending}"' in types


def test_the_deck_names_no_person_and_no_day(deck: bytes) -> None:
    core = ZipFile(BytesIO(deck)).read("docProps/core.xml").decode()
    assert "created" not in core
    assert "Canny" not in core
