"""Names are text in every output, whatever language they try to speak; see also ``paint/test_escaping.py``."""

from __future__ import annotations

import csv
import json
import re
import shutil
import subprocess
from io import BytesIO, StringIO
from pathlib import Path
from xml.etree import ElementTree
from zipfile import ZipFile

import hostile
import pypdf
import pytest
from click.testing import CliRunner
from hostile import NAMES, SCRIPTS, TITLE, squeezed
from pptx import Presentation
from randoms import MODELS

from plexusdraw.cli.main import cli

FILLED = [name.replace("{plexus}", "two-stage plexus") for name in NAMES]
"""The names as an outline shows them, which has this placeholder."""
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The files, and pictures of the model in each format, by the command line as a user makes them."""
    made = tmp_path_factory.mktemp("hostile")
    model, look = str(hostile.model(made)), str(hostile.theme(made))
    for format in ("svg", "pdf", "png", "dot"):
        call("draw", model, "--paper", "fit", "--names", "english", "--theme", look, "-o", f"{made}/nerves.{format}")
    call("draw", model, "--paper", "fit", "--theme", look, "--detail", "muscles", "-o", f"{made}/muscles.pdf")
    return made


def call(*words: str) -> str:
    result = CliRunner(env={"COLUMNS": "400"}).invoke(cli, words, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout


def harmless(data: bytes) -> bool:
    """Whether a PDF has nothing that acts (ISO 32000-1, 12.6): no script, link, launch, form data, attached file."""
    acts = ("/JS", "/JavaScript", "/URI", "/Launch", "/OpenAction", "/AA", "/SubmitForm", "/GoToR", "/EmbeddedFiles")
    reader = pypdf.PdfReader(BytesIO(data))
    found = [reader.get_object(i) for i in range(1, reader.trailer["/Size"])]
    return not any(isinstance(o, dict) and any(key in o or o.get("/S") == key for key in acts) for o in found)


def text_of(path: Path) -> str:
    return subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, check=True).stdout.decode()


def test_svg_shows_the_names_and_holds_only_drawing(folder):
    root = ElementTree.parse(folder / "nerves.svg").getroot()
    groups = [
        "".join(squeezed(t.text or "") for t in group.iter(f"{SVG}text"))
        for group in root.iter(f"{SVG}g")
        if group.get("data-entity", "").startswith("nerve-")
    ]
    assert [name for name in NAMES + SCRIPTS if not any(squeezed(name) in group for group in groups)] == []
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "g", "path", "rect", "circle", "text", "title", "desc", "defs", "style"}
    assert not [k for e in root.iter() for k in e.attrib if k.lower().startswith("on") or k.endswith("href")]


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="pdftotext is not installed")
@pytest.mark.parametrize("name", ["nerves", "muscles"])
def test_pdf_shows_the_names_and_does_nothing(folder, name):
    shown = squeezed(text_of(folder / f"{name}.pdf"))
    assert [n for n in NAMES if squeezed(n) not in shown] == []
    assert harmless((folder / f"{name}.pdf").read_bytes())
    assert pypdf.PdfReader(folder / f"{name}.pdf").metadata.title == TITLE


def test_png_is_a_picture_without_text(folder):
    data = (folder / "nerves.png").read_bytes()
    chunks, at = set(), 8
    while at < len(data):
        chunks.add(data[at + 4 : at + 8])
        at += 12 + int.from_bytes(data[at : at + 4])
    assert chunks <= {b"IHDR", b"IDAT", b"IEND", b"pHYs", b"sRGB", b"gAMA", b"PLTE", b"tRNS"}


@pytest.mark.skipif(not shutil.which("neato"), reason="graphviz is not installed")
def test_graphviz_shows_the_names_and_has_no_links(folder):
    run = subprocess.run(["neato", "-n", "-Tsvg", folder / "nerves.dot"], capture_output=True, check=True)
    root = ElementTree.fromstring(run.stdout)
    shown = {squeezed((t.text or "").replace("\xa0", " ")) for t in root.iter(f"{SVG}text")}
    assert {squeezed(name) for name in NAMES} <= shown
    assert root.find(f".//{SVG}a") is None
    assert root.find(f".//{SVG}image") is None


def test_json_holds_the_names_as_they_are(folder):
    model = str(folder / "model.yaml")
    found = json.loads(call("injure", model, "nerve-0", "--json"))
    assert [m["name"] for m in found["muscles"]] == [f"{name} M" for name in NAMES + SCRIPTS]
    assert found["caution"].startswith(NAMES[4])
    assert json.loads(call("trace", model, "nerve-11", "--json"))["name"] == NAMES[11]


@pytest.mark.parametrize(
    "words", [["injure", "nerve-0"], ["trace", "nerve-4"], ["list", "nerves"], ["list", "muscles"]]
)
def test_a_terminal_is_told_nothing_but_text(folder, words):
    shown = call(words[0], str(folder / "model.yaml"), *words[1:])
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", shown)
    assert words[0] != "list" or NAMES[19] in shown


def test_slides_show_the_names_and_lead_nowhere(folder):
    out = folder / "talk.pptx"
    outline = str(hostile.outline(folder))
    call(
        "slides",
        str(MODELS / "two-stages.yaml"),
        "--outline",
        outline,
        "-o",
        str(out),
        "--theme",
        str(folder / "theme.yaml"),
    )
    made = Presentation(out)
    slides = list(made.slides)
    assert [slide.shapes.title.text for slide in slides] == ["All", *FILLED]
    assert [slide.notes_slide.notes_text_frame.text for slide in slides[1:]] == [f"{name}\n{name}" for name in FILLED]
    assert made.core_properties.title == TITLE
    with ZipFile(out) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    assert not [name for name, data in parts.items() if b"hlinkClick" in data or b'TargetMode="External"' in data]


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="pdftotext is not installed")
def test_slides_as_a_document(folder):
    out, outline = folder / "talk.pdf", str(hostile.outline(folder))
    call("slides", str(MODELS / "two-stages.yaml"), "--outline", outline, "--handout", "2", "-o", str(out))
    shown = squeezed(text_of(out))
    assert [name for name in FILLED if squeezed(name) not in shown] == []
    assert harmless(out.read_bytes())


def test_own_labels_are_text(folder):
    labels = str(hostile.labels(folder))
    call("draw", str(MODELS / "two-stages.yaml"), "--names", labels, "--title", NAMES[1], "-o", f"{folder}/own.svg")
    root = ElementTree.parse(folder / "own.svg").getroot()
    shown = "".join(squeezed(t.text or "") for t in root.iter(f"{SVG}text"))
    assert [n for n in (NAMES[0], NAMES[1], NAMES[4], NAMES[9], NAMES[11]) if squeezed(n) not in shown] == []


@pytest.fixture(scope="module")
def sheet(folder):
    """A worksheet with its key and its exports."""
    words = [
        "--kind",
        "label",
        "--ask",
        "nerves",
        "--paper",
        "a0",
        "--key",
        "after",
        "--title",
        NAMES[0],
        "--word-bank",
    ]
    exports = ["--export", f"{folder}/q.csv", "--export", f"{folder}/q.gift"]
    call(
        "worksheet",
        str(hostile.model(folder)),
        "-o",
        f"{folder}/sheet.pdf",
        *words,
        "--instructions",
        NAMES[5],
        *exports,
    )
    return folder


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="pdftotext is not installed")
def test_a_worksheet_shows_the_names_and_does_nothing(sheet):
    shown = squeezed(text_of(sheet / "sheet.pdf"))
    assert [name for name in NAMES if squeezed(name) not in shown] == []
    assert harmless((sheet / "sheet.pdf").read_bytes())


def test_csv_holds_the_answers_and_no_formula(sheet):
    rows = list(csv.reader(StringIO((sheet / "q.csv").read_text("utf-8"))))
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
    answers = {row[4] for row in rows}
    assert [name for name in NAMES if name not in answers and f"'{name}" not in answers] == []


def test_gift_holds_the_answers(sheet, gift_parser):
    found = gift_parser.parseFile(StringIO((sheet / "q.gift").read_text("utf-8")))
    assert len(found) == len(NAMES + SCRIPTS)
    text = (sheet / "q.gift").read_text("utf-8")
    plain = re.sub(r"\\([~=#{}:\\])", r"\1", text)
    assert [n for n in NAMES if n not in plain and n.replace("&", "&amp;").replace("<", "&lt;") not in plain] == []
    assert "=%100%%50%half" in text
    assert not re.search(r"####[^}\n]*<(?!img)", text)
