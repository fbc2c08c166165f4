"""``plexusdraw draw``: what its files are, format by format."""

from __future__ import annotations

import json
import re
import subprocess
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest
from drawn import CAUDAL, SVG, draw, need, process, spelt, states
from pypdf import PdfReader

import plexusdraw
from plexusdraw.scene import MM_PER_PT, Pill

pytestmark = pytest.mark.usefixtures("folder")


# --- formats


@pytest.mark.parametrize(
    ("name", "start"), [("svg", b"<?xml"), ("pdf", b"%PDF"), ("png", b"\x89PNG"), ("dot", b"digraph")]
)
def test_format_by_ending_and_by_name(name, start):
    by_ending = draw("--detail", "framework", to=f"x.{name}")
    assert by_ending.startswith(start)
    assert draw("--detail", "framework", "--format", name, to="plain") == by_ending
    assert draw("--detail", "framework", to=f"X.{name.upper()}") == by_ending


def test_standard_output():
    result = process("--detail", "framework", "-o", "-", "--format", "svg")
    assert result.returncode == 0
    assert result.stdout == draw("--detail", "framework")
    assert result.stderr == b""


def test_says_what_it_wrote():
    done = process("--detail", "framework", "-o", "x.svg")
    assert done.stdout == b""
    assert done.stderr.splitlines() == [b"wrote x.svg"]


# --- SVG


def test_svg_says_what_it_is_and_in_which_language():
    root = ElementTree.fromstring(draw("--highlight", "C7"))
    assert [root[0].tag, root[1].tag] == [f"{SVG}title", f"{SVG}desc"]
    assert root[0].text == "Brachial plexus: C7"
    assert "left upper limb" in (root[1].text or "")
    assert (root.get("lang"), root.get("role")) == ("en", "img")


def test_svg_entities_kinds_and_roots():
    svg = ElementTree.fromstring(draw("--detail", "muscles"))
    kinds = {g.get("data-entity"): g.get("data-kind") for g in svg.iter(f"{SVG}g")}
    assert [kinds[id] for id in ("C5", "upper-trunk", "lateral-cord", "radial-nerve", "long-thoracic-nerve")] == [
        *("root", "trunk", "cord", "branch", "nerve")
    ]
    assert kinds["deltoid"] == "muscle"
    for group in svg.iter(f"{SVG}g"):
        roots = {e.get("data-root") for e in group.iter() if e.get("data-root")}
        assert roots <= {"C5", "C6", "C7", "C8", "T1"}
        if group.get("data-entity") == "axillary-nerve":
            assert roots <= {"C5", "C6"}


@pytest.mark.parametrize(
    ("words", "entity", "expected"),
    [
        ((), "radial-nerve", {"plain"}),
        (("--highlight", "C7"), "middle-trunk", {"highlit"}),
        (("--highlight", "C7"), "radial-nerve", {"highlit", "dimmed"}),
        (("--highlight", "C7"), "ulnar-nerve", {"dimmed"}),
        (("--injure", "upper trunk"), "axillary-nerve", {"lost"}),
        (("--injure", "upper trunk"), "ulnar-nerve", {"plain"}),
        (("--injure", "upper trunk", "--detail", "muscles"), "deltoid", {"lost"}),
        (("--injure", "upper trunk", "--detail", "muscles"), "flexor-carpi-radialis", {"weak", "lost", "plain"}),
        (("--upto", "trunks"), "upper-trunk", {"plain"}),
        (("--upto", "trunks"), "lateral-cord", set()),
    ],
    ids=spelt,
)
def test_svg_states(words, entity, expected):
    found = states(draw(*words), entity)
    assert found <= expected
    assert bool(found) == bool(expected)


def test_svg_blanks_tell_no_name():
    svg = re.sub(rb"base64,[^)]*", b"", draw("--hide", "labels"))  # a font's bytes may spell anything
    assert b'data-state="blank"' in svg
    assert not re.search(rb"radial|lateral|C[5-8]\b", svg)


# --- PDF


def pdf(*words: str) -> PdfReader:
    return PdfReader(BytesIO(draw(*words, to="x.pdf")))


@pytest.mark.parametrize(
    "words", [(), ("--detail", "muscles", "--injure", "C8"), ("--hide", "labels", "--key"), ("--theme", "lecture")]
)
def test_pdf_is_sound(words):
    tool = need("qpdf")
    draw(*words, to="x.pdf")
    done = subprocess.run([tool, "--check", "x.pdf"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "No syntax or stream encoding errors found" in done.stdout


def test_pdf_text_can_be_selected():
    said = pdf("--detail", "muscles").pages[0].extract_text()
    for word in ("Brachial plexus", "C5", "upper", "long thoracic n.", "extensor digitorum", "left upper limb"):
        assert word in said


def test_pdf_embeds_its_fonts():
    fonts = [font.get_object() for font in pdf().pages[0]["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        assert descriptor.keys() & {"/FontFile2", "/FontFile3"}
        assert "AtkinsonHyperlegible" in descriptor["/FontName"]


def test_pdf_title_language_and_tags():
    reader = pdf("--highlight", "C7")
    catalogue = reader.trailer["/Root"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Brachial plexus: C7"
    assert catalogue["/Lang"] == "en"
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/StructTreeRoot"]["/K"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in catalogue["/Metadata"].get_object().get_data()


def test_pdf_holds_the_key_on_a_second_page():
    sheet, key = pdf("--hide", "labels", "--key").pages
    assert "radial n." not in sheet.extract_text()
    assert "radial n." in key.extract_text()
    assert [p.name for p in Path().iterdir()] == ["x.pdf"]


# --- the same each time


@pytest.mark.parametrize("format", ["svg", "pdf", "png", "dot"])
def test_same_bytes_in_two_processes(format):
    words = ("--detail", "muscles", "--injure", "upper trunk", "-o", "-", "--format", format)
    first, second = (process(*words, PYTHONHASHSEED=seed) for seed in ("1", "2"))
    assert first.returncode == 0
    assert first.stdout == second.stdout


# --- DOT


@pytest.mark.parametrize("words", [(), (CAUDAL,), ("--detail", "muscles"), ("--injure", "C8"), ("--upto", "cords")])
def test_graphviz_puts_every_node_where_we_put_it(words):
    tool = need("neato")
    text = draw(*words, to="x.dot").decode()
    ours = {
        n.strip('"'): (float(x), float(y))
        for n, x, y in re.findall(r'^\t(\S+) \[.*pos="([\d.]+),([\d.]+)!"', text, re.M)
    }
    done = subprocess.run([tool, "-n2", "-Tjson", "x.dot"], capture_output=True, text=True, check=True)
    assert not done.stderr
    theirs = {n["name"]: tuple(map(float, n["pos"].split(","))) for n in json.loads(done.stdout)["objects"]}
    assert theirs.keys() == ours.keys()
    for name, place in ours.items():
        assert theirs[name] == pytest.approx(place, abs=0.02)


def test_dot_has_the_places_of_the_picture():
    text = draw(to="x.dot").decode()
    scene = plexusdraw.figure().pages()[0].scene
    pills = [part for part in scene.parts if isinstance(part, Pill)]
    assert pills
    for pill in pills:
        box = pill.box
        x, y = (box.x + box.w / 2) / MM_PER_PT, (scene.height - box.y - box.h / 2) / MM_PER_PT
        assert re.search(rf'"?{pill.entity}"? \[.*pos="{x:.2f},{y:.2f}!"', text)
