"""Every painter draws the same marks, and writes the same bytes each time."""

import hashlib
import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest
from PIL import Image
from readback import SVG, expected, from_svg, from_typst
from sample import VIEWS

from plexusdraw import paint
from plexusdraw.look import theme
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Disc, Plate, Words
from plexusdraw.paint import svg, typeset
from plexusdraw.scene.view import View

PRINT = theme.load("print")


def near(read, wanted):
    """Equal but for the last digit of a number, where SVG and typst round differently."""
    if isinstance(wanted, float):
        return abs(read - wanted) < 0.0151
    if isinstance(wanted, tuple):
        return len(read) == len(wanted) and all(map(near, read, wanted))
    return read == wanted


def by_string(mark):
    """Sort key of words."""
    return (mark[-1], mark[1][1], mark[1][0])


def test_svg_draws_every_mark_in_order(page, view, look):
    wanted = expected(marks(page, view, look))
    read = from_svg(svg.paint([(page, view)], look))
    assert len(read) == len(wanted)
    assert all(near(a, b) for a, b in zip(read, wanted, strict=True))


def test_typst_draws_every_mark_shapes_in_order(page, view, look):
    wanted = expected(marks(page, view, look))
    read = from_typst(typeset.source([(page, view)], look))
    shapes = [mark for mark in wanted if mark[0] != "words"]
    assert all(near(a, b) for a, b in zip(read[: len(shapes)], shapes, strict=True))
    words = sorted((m for m in wanted if m[0] == "words"), key=by_string)
    assert all(near(a, b) for a, b in zip(sorted(read[len(shapes) :], key=by_string), words, strict=True))


def test_words_lie_over_shapes_so_that_order_between_them_is_free(page, view, look):
    """Typst sets all words last; that looks the same only if no shape covers earlier words."""
    flat = [mark for group in marks(page, view, look) for mark in group.marks]
    for i, words in enumerate(flat):
        if isinstance(words, Words):
            for later in flat[i + 1 :]:
                if isinstance(later, Plate) and later.fill:
                    box = later.box
                    assert not (box.x < words.x < box.right and box.y < words.y < box.bottom)
                if isinstance(later, Disc) and later.fill:
                    assert (words.x - later.x) ** 2 + (words.y - later.y) ** 2 > later.r**2


@pytest.mark.parametrize("format", sorted(paint.FORMATS))
def test_the_same_bytes_in_every_process(format):
    code = (
        "import sys, hashlib, sample; from plexusdraw import paint; from plexusdraw.look import theme\n"
        "for view in sample.VIEWS.values():\n"
        f"    data = paint.paint({format!r}, [(sample.scene(), view())], theme.load('print'))\n"
        "    print(hashlib.sha256(data).hexdigest())"
    )
    runs = set()
    for seed in ("1", "2"):
        env = {"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join([*sys.path, str(Path(__file__).parent)])}
        runs.add(subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, check=True).stdout)
    assert len(runs) == 1


def test_pages_of_a_pdf_have_the_size_of_their_scenes(page):
    data = paint.paint("pdf", [(page, VIEWS["plain"]()), (page, VIEWS["injured"]())], PRINT)
    boxes = [p.mediabox for p in pypdf.PdfReader(BytesIO(data)).pages]
    assert len(boxes) == 2
    for box in boxes:
        assert float(box.width) == pytest.approx(297 / 25.4 * 72, abs=0.01)
        assert float(box.height) == pytest.approx(210 / 25.4 * 72, abs=0.01)


def test_pdf_is_tagged_titled_and_dateless(page):
    reader = pypdf.PdfReader(BytesIO(paint.paint("pdf", [(page, VIEWS["injured"]())], PRINT)))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert reader.metadata.title == "Injury of the upper trunk"
    assert reader.metadata.creation_date is None
    assert reader.xmp_metadata is not None
    assert b"pdfuaid:part>1<" in root["/Metadata"].get_data()


def test_pdf_gives_the_drawing_an_alternative_text(page):
    data = paint.paint("pdf", [(page, View(asks=False))], PRINT)
    reader = pypdf.PdfReader(BytesIO(data))
    objects = (reader.get_object(i) for i in range(1, len(reader.xref_objStm) + len(reader.xref[0]) + 1))
    figures = [o for o in objects if isinstance(o, dict) and o.get("/S") == "/Figure"]
    assert [f["/Alt"] for f in figures] == [page.description]


def test_pdf_reads_from_title_over_columns_to_notes(page):
    data = paint.paint("pdf", [(page, VIEWS["injured"]())], PRINT)
    text = pypdf.PdfReader(BytesIO(data)).pages[0].extract_text()
    told = [
        "Injury of the upper",
        "ROOTS",
        "C5",
        "T1",
        "TRUNKS",
        "lower",
        "CORDS",
        "suprascapular n.",
        "medial",
        "BRANCHES",
    ]
    told += ["axillary n.", "deltoid, teres", "MUSCLES", "paralysed", "Grey and dashed", "A schematic for"]
    places = [text.index(words) for words in told]
    assert places == sorted(places)


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not installed")
def test_pdf_is_sound(page, tmp_path):
    (tmp_path / "a.pdf").write_bytes(paint.paint("pdf", [(page, View(asks=False))], PRINT))
    subprocess.run(["qpdf", "--check", tmp_path / "a.pdf"], check=True, capture_output=True)


def test_png_has_the_size_of_the_page(page):
    data = paint.paint("png", [(page, View(asks=False))], PRINT, ppi=100)
    assert Image.open(BytesIO(data)).size == (round(297 / 25.4 * 100), round(210 / 25.4 * 100))


def test_svg_passes_the_validator_and_names_what_it_holds(page):
    data = svg.paint([(page, VIEWS["injured"]())], PRINT, debug=True)
    root = ElementTree.fromstring(data)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("297mm", "210mm", "0 0 297 210")
    assert (root.get("role"), root.get("lang")) == ("img", "en")
    assert root.findtext(f"{SVG}title") == "Injury of the upper trunk"
    assert root.findtext(f"{SVG}desc") == page.description


def test_svg_groups_and_strands_carry_ids_and_states(page):
    root = ElementTree.fromstring(svg.paint([(page, VIEWS["injured"]())], PRINT))
    group = next(g for g in root.iter(f"{SVG}g") if g.get("data-entity") == "axillary-nerve")
    assert (group.get("data-kind"), group.get("data-state")) == ("branch", "lost")
    assert group.findtext(f"{SVG}title") == "axillary nerve, lost"
    strands = {(p.get("data-root"), p.get("data-state")) for p in group.iter(f"{SVG}path") if p.get("data-root")}
    assert strands == {("C5", "lost"), ("C6", "lost")}


def test_svg_keeps_to_what_converters_understand(page):
    data = svg.paint([(page, View(asks=False))], PRINT).decode()
    for wrong in ("foreignObject", "paint-order", "style=", "class=", "<script", "http-equiv"):
        assert wrong not in data
    style = ElementTree.fromstring(data).findtext(f".//{SVG}style")
    assert style.count("@font-face") == 2
    assert "{fill" not in style


def test_svg_without_fonts_is_small(page):
    bare = svg.paint([(page, View(asks=False))], PRINT, embed_fonts=False)
    assert b"@font-face" not in bare
    assert b"Verdana" in bare


@pytest.mark.parametrize("format", ["svg", "png", "dot"])
def test_one_page_formats_refuse_two(page, format):
    with pytest.raises(ValueError, match="holds one page, not 2"):
        paint.paint(format, [(page, View(asks=False))] * 2, PRINT)


def test_no_page_is_refused():
    with pytest.raises(ValueError, match="no page"):
        paint.paint("pdf", [], PRINT)


def test_painting_svg_imports_no_typesetter():
    code = "import sys, plexusdraw.paint.svg; print({'typst', 'graphviz'} & {*sys.modules})"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "set()\n"


def test_digest_changes_with_the_view(page):
    digests = {hashlib.sha256(svg.paint([(page, make())], PRINT)).digest() for make in VIEWS.values()}
    assert len(digests) == len(VIEWS)
