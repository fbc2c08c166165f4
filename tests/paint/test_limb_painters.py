"""A limb in every format: the same marks, patterns cut to their shapes, nothing told by colour alone."""

from __future__ import annotations

import re
from io import BytesIO
from xml.etree import ElementTree

import pypdf
import pytest
from readback import SVG, expected, from_svg, from_typst
from shapely import LineString, Polygon

import plexusdraw
from plexusdraw import paint
from plexusdraw.errors import OutputError
from plexusdraw.look import hatch, theme
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Fill, Lines, Words
from plexusdraw.paint import svg, typeset
from plexusdraw.scene import curves

THEMES = theme.names()
CHOICES = {
    "plain": {"limb": "skin"},
    "by root": {"limb": "muscles", "layer": "superficial", "by": "root"},
    "injured": {"limb": "muscles", "layer": "deep", "injure": "upper trunk"},
    "dermatomes": {"limb": "dermatomes", "highlight": "C6"},
    "blank": {"limb": "skin", "hide": "labels"},
}


def near(read, wanted):
    if isinstance(wanted, float):
        return abs(read - wanted) < 0.0151
    if isinstance(wanted, tuple):
        return len(read) == len(wanted) and all(map(near, read, wanted))
    return read == wanted


@pytest.fixture(params=CHOICES, scope="module")
def drawn(request):
    (page,) = plexusdraw.figure("brachial", **CHOICES[request.param]).pages()
    return page.scene, page.view


@pytest.mark.parametrize("name", THEMES)
def test_svg_and_typst_draw_every_mark(drawn, name):
    look = theme.load(name)
    wanted = expected(marks(*drawn, look))
    read = from_svg(svg.paint([drawn], look, embed_fonts=False))
    assert len(read) == len(wanted)
    assert all(near(a, b) for a, b in zip(read, wanted, strict=True))
    shapes = [mark for mark in wanted if mark[0] != "words"]
    typst = from_typst(typeset.source([drawn], look))
    assert len(typst) == len(wanted)
    assert all(near(a, b) for a, b in zip(typst[: len(shapes)], shapes, strict=True))


def test_a_slide_holds_native_shapes(drawn):
    from pptx import Presentation

    from plexusdraw.paint import pptx

    look = theme.load("print")
    slide = Presentation(BytesIO(pptx.paint([drawn], look))).slides[0]
    xml = ElementTree.tostring(ElementTree.fromstring(slide.part.blob), encoding="unicode")
    flat = [mark for group in marks(*drawn, look) for mark in group.marks]
    fills = [m for m in flat if isinstance(m, Fill)]
    assert xml.count(":close") == sum(len(m.curves) for m in fills)
    assert len(re.findall(r"<\w+:lnTo>", xml)) == sum(len(m.lines) for m in flat if isinstance(m, Lines))


def test_dot_says_that_it_cannot():
    with pytest.raises(OutputError, match="a limb has none; save it as svg or pdf"):
        plexusdraw.figure("brachial", limb="skin").render("dot")


@pytest.mark.parametrize("format", ["svg", "pdf", "png"])
def test_the_same_bytes_twice(format):
    def made():
        return plexusdraw.figure("brachial", limb="muscles", layer="deep", injure="C5 C6").render(format)

    assert made() == made()


def test_svg_groups_say_what_they_are():
    figure = plexusdraw.figure("brachial", limb="muscles", layer="superficial", injure="upper trunk")
    groups = list(ElementTree.fromstring(figure.render("svg")).iter(f"{SVG}g"))
    deltoid = [g for g in groups if g.get("data-entity") == "deltoid"]
    assert {g.get("data-kind") for g in deltoid} == {"muscle"}
    assert {g.get("data-state") for g in deltoid} == {"lost"}
    states = {g.get("data-entity"): g.get("data-state") for g in groups}
    assert states["pronator-teres"] == "weak"
    assert states["latissimus-dorsi"] == "slight"
    assert states["flexor-carpi-ulnaris"] == "plain"
    skin = plexusdraw.figure("brachial", limb="skin", injure="upper trunk").render("svg")
    found = {g.get("data-entity"): g for g in ElementTree.fromstring(skin).iter(f"{SVG}g")}
    assert found["upper-lateral-arm"].get("data-state") == "lost"
    assert found["lateral-forearm"].get("data-state") == "reduced"
    assert found["lateral-forearm"].get("data-kind") == "skin"


def test_blanks_tell_no_answer_in_any_file():
    """Guarded below: without blanks the words are there."""
    answers = ["deltoid", "biceps", "carpi", "lumbrical"]
    asked = plexusdraw.figure("brachial", limb="muscles", layer="superficial", hide="labels")
    plain = plexusdraw.figure("brachial", limb="muscles", layer="superficial")
    told = []
    for figure in (asked, plain):
        pages = [(p.scene, p.view) for p in figure.pages()]
        written = [svg.paint(pages, theme.load("print"), embed_fonts=False).decode()]
        written.append(typeset.source(pages, theme.load("print")))
        pdf = pypdf.PdfReader(BytesIO(paint.paint("pdf", pages, theme.load("print"))))
        written += [pdf.pages[0].extract_text(), str(pdf.metadata)]
        told.append([a for a in answers if any(a in text for text in written)])
    assert told == [[], answers]


# --- patterns


@pytest.mark.parametrize("pattern", [*hatch.DIRECTIONS, "dots"])
def test_a_pattern_stays_within_its_shape(pattern):
    (page,) = plexusdraw.figure("brachial", limb="skin").pages()
    area = next(p for p in page.scene.parts if getattr(p, "entity", "") == "lateral-forearm" and hasattr(p, "curves"))
    shape = Polygon(curves.samples(area.curves[0], 24)).buffer(0.1)
    strokes = hatch.strokes(area.curves, pattern, 1.25, 0.16)
    assert bool(strokes) == (pattern != "plain")
    assert all(shape.contains(LineString(stroke)) for stroke in strokes)


@pytest.mark.parametrize("name", THEMES)
def test_states_differ_by_pattern_not_by_colour_alone(name):
    areas = theme.load(name).areas
    patterns = [areas.states[state].pattern for state in ("lost", "weak", "slight")]
    assert len({*patterns, "plain"}) == 4
    assert all(areas.states[s].line for s in ("lost", "weak", "slight", "reduced"))


@pytest.mark.parametrize("name", THEMES)
def test_no_two_nerves_look_alike(name):
    from plexusdraw.layout.limb import tones

    look = theme.load(name).areas
    found = [(f.fill, f.pattern) for f in look.fills]
    assert len(set(found)) == len(found) >= tones.FILLS
    for plexus in map(plexusdraw.load, ("brachial", "lumbosacral", "cervical")):
        for table in (plexus.skin, plexus.muscles):
            nerves = {tones.family(plexus, target) for target in table} - {""}
            assert len({tones.fills(plexus)[nerve] % len(found) for nerve in nerves}) == len(nerves)
    main = [f.pattern for f in look.fills[:5]]  # the five nerves of the limb differ without any colour
    assert len(set(main)) == 5


@pytest.mark.parametrize("name", THEMES)
def test_patterns_and_edges_are_seen_on_their_fill(name):
    """3:1 between a state's lines and its fill (WCAG 2.2, 1.4.11); words of states 4.5:1 on the page."""
    look = theme.load(name)
    for state in ("lost", "weak", "slight", "reduced"):
        tint = look.areas.states[state]
        assert theme.contrast(tint.line, tint.fill) >= 3
        word = look.states[state].word
        assert theme.contrast(word, look.page) >= 4.5


def test_words_say_the_state_beside_each_name():
    (page,) = plexusdraw.figure("brachial", limb="muscles", layer="superficial", injure="upper trunk").pages()
    said = [
        (group.entity, mark.string)
        for group in marks(page.scene, page.view, theme.load("print"))
        for mark in group.marks
        if isinstance(mark, Words)
    ]
    assert ("deltoid", "paralysed") in said
    assert ("pronator-teres", "weak") in said
    assert ("latissimus-dorsi", "slightly weak") in said
    assert not [word for id, word in said if id == "flexor-carpi-ulnaris" and re.search("weak|paralysed", word)]


@pytest.mark.parametrize("name", THEMES)
def test_no_two_roots_look_alike_in_a_legend(name):
    """Of nine roots some have one hue: their strands are told apart by dashes, their areas by patterns."""
    (page,) = plexusdraw.figure("lumbosacral", limb="skin", by="root").pages()
    found = {}
    for group in marks(page.scene, page.view, theme.load(name)):
        if group.kind == "legend" and group.entity.removeprefix("legend-") in page.scene.roots:
            fills = tuple(m.fill for m in group.marks if isinstance(m, Fill) and m.fill)
            strokes = [m for m in group.marks if isinstance(m, Lines)]
            lines = tuple((m.stroke, len({round(y, 3) for (_, y), _ in m.lines}), len(m.lines)) for m in strokes)
            found[group.entity] = (fills, lines)
    assert len(found) == 9
    assert len(set(found.values())) == 9
