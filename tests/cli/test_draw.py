"""``plexusdraw draw``: every option, every format, and what it says when it cannot."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader
from randoms import MODELS

import plexusdraw
from plexusdraw import output
from plexusdraw.cli.main import cli
from plexusdraw.errors import PlexusdrawError
from plexusdraw.scene import MM_PER_PT, Pill

SVG = "{http://www.w3.org/2000/svg}"
CAUDAL = str(MODELS / "caudal.yaml")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Each test works in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["draw", *words])


def spelt(value: object) -> str:
    """Options as the id of a test."""
    return " ".join(value) or "plain" if isinstance(value, tuple) else ""


def draw(*words: str, to: str = "x.svg") -> bytes:
    result = run(*words, "-o", to)
    assert result.exit_code == 0, result.output
    return Path(to).read_bytes()


def process(*words: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """The command as a user runs it."""
    code = "from plexusdraw.cli.main import run; run()"
    command = [sys.executable, "-c", code, "draw", *words]
    return subprocess.run(command, capture_output=True, env={**os.environ, **env}, check=False)


def need(tool: str) -> str:
    """Path of a program; without it the test is skipped, but never where all tests must run."""
    path = shutil.which(tool)
    if path is None:
        assert "CI" not in os.environ, f"{tool} must be installed"
        pytest.skip(f"{tool} is not installed")
    return path


def texts(svg: bytes) -> list[str]:
    return [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def states(svg: bytes, entity: str) -> set[str | None]:
    """States of all groups and strands of an entity."""
    groups = [g for g in ElementTree.fromstring(svg).iter(f"{SVG}g") if g.get("data-entity") == entity]
    return {e.get("data-state") for g in groups for e in g.iter() if e.get("data-state")}


# --- options


@pytest.mark.parametrize(
    ("words", "shown", "absent"),
    [
        ((), "suprascapular n.", "deltoid"),
        (("--detail", "framework"), "radial n.", "suprascapular n."),
        (("--detail", "nerves"), "suprascapular n.", "MUSCLES"),
        (("--detail", "muscles"), "deltoid", "deltoideus"),
        (("--highlight", "C7"), "Brachial plexus: C7", "Brachial plexus"),
        (("--highlight", "C7", "--highlight", "ulnar nerve"), "Brachial plexus: C7, ulnar nerve", "Brachial plexus"),
        (("--injure", "upper trunk"), "Brachial plexus: injury of upper trunk", "Brachial plexus"),
        (("--injure", "C5", "--injure", "C6"), "Brachial plexus: injury of C5, C6", "Brachial plexus"),
        (("--injure", "C5", "--partial"), "Brachial plexus: partial injury of C5", "Brachial plexus: injury of C5"),
        (("--hide", "labels"), "Brachial plexus: fill in the names", "radial n."),
        (("--hide", "cords"), "radial n.", "lateral"),
        (("--hide", "trunks,cords"), "radial n.", "upper"),
        (("--hide", "trunks", "--hide", "cords"), "radial n.", "lateral"),
        (("--upto", "trunks"), "upper", "lateral"),
        (("--side", "right"), "right upper limb, seen from the front", "left upper limb, seen from the front"),
        (("--title", "Monday"), "Monday", "Brachial plexus"),
        (("--names", "english"), "upper trunk", "upper"),
        (("--names", "latin", "--paper", "a3"), "truncus superior", "upper"),
        (("--labels", "roots", "--detail", "framework"), "axillary n. (C5, C6)", "axillary n."),
        (("--labels", "plain", "--detail", "framework"), "axillary n.", "axillary n. (C5, C6)"),
    ],
    ids=spelt,
)
def test_option(words, shown, absent):
    said = texts(draw(*words))
    assert shown in said
    assert absent not in said


@pytest.mark.parametrize(
    ("words", "size"),
    [
        (("--paper", "a4"), ("297mm", "210mm")),
        (("--paper", "letter"), ("279.4mm", "215.9mm")),
        (("--paper", "a3 portrait"), ("297mm", "420mm")),
        (("--paper", "16:9"), ("338.67mm", "190.5mm")),
        (("--paper", "square", "--detail", "framework"), ("210mm", "210mm")),
        (("--paper", "250x180"), ("250mm", "180mm")),
    ],
    ids=spelt,
)
def test_paper(words, size):
    root = ElementTree.fromstring(draw(*words))
    assert (root.get("width"), root.get("height")) == size


def test_paper_that_fits_takes_what_it_needs():
    assert draw("--paper", "fit", "--detail", "muscles")
    refused = run("--paper", "60x60", "-o", "y.svg")
    assert isinstance(refused.exception, PlexusdrawError)
    assert "--paper" in str(refused.exception)
    assert not Path("y.svg").exists()


def test_theme_by_name_and_by_file():
    Path("mine.yaml").write_text('theme: 1\nname: mine\npage: "#fff0e0"\n', encoding="utf-8")
    assert b'fill="#fff0e0"' in draw("--theme", "mine.yaml")
    assert draw("--theme", "lecture") != draw("--theme", "grayscale")


def test_own_texts():
    Path("words.yaml").write_text("radial nerve: the radial\nupper trunk: top\n", encoding="utf-8")
    assert {"the radial", "top"} <= set(texts(draw("--names", "words.yaml")))


def test_key_goes_to_a_second_file():
    blank = draw("--hide", "labels", "--key")
    assert "radial n." in texts(Path("x-key.svg").read_bytes())
    assert "radial n." not in texts(blank)


def test_ppi_is_the_size_of_a_png():
    def width(data: bytes) -> int:
        return int.from_bytes(data[16:20])

    framework = ("--detail", "framework")
    assert width(draw(*framework, "--ppi", "72", to="a.png")) == pytest.approx(297 / 25.4 * 72, abs=1)
    assert width(draw(*framework, "--ppi", "144", to="b.png")) == pytest.approx(297 / 25.4 * 144, abs=1)


@pytest.mark.parametrize(
    "words",
    [
        (CAUDAL, "--detail", "framework", "-o", "x.svg"),
        ("--detail", "framework", "-o", "x.svg", CAUDAL),
        ("--detail", "framework", CAUDAL, "-o", "x.svg"),
        ("--model", CAUDAL, "--detail", "framework", "-o", "x.svg"),
    ],
    ids=["before", "after", "between", "option"],
)
def test_the_model_may_stand_before_or_after_the_options(words):
    assert run(*words).exit_code == 0
    assert "Caudal plexus" in texts(Path("x.svg").read_bytes())


def test_no_model_is_the_brachial_plexus():
    assert draw() == draw("brachial")


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


# --- what cannot be done


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("-o", "-"), "-o - needs --format"),
        ((), "Missing option '-o'"),
        (("-o", "x.svg", "--detail", "all"), "'framework', 'nerves', 'muscles'"),
        (("-o", "x.svg", "--side", "top"), "'left', 'right'"),
        (("-o", "x.svg", "--format", "gif"), "'svg', 'pdf', 'png', 'dot'"),
        (("-o", "x.svg", "--names", "greek"), "none of short, english, latin"),
        (("-o", "x.svg", "--ppi", "1"), "is not in the range"),
        (("-o", "x.svg", "lumbar"), "lumbar"),
        (("-o", "x.svg", "--colour", "red"), "No such option"),
    ],
    ids=spelt,
)
def test_wrong_usage_is_exit_code_2(words, message):
    result = run(*words)
    assert result.exit_code == 2
    assert message in result.output
    assert list(Path().iterdir()) == []


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--highlight", "C9"), "C9"),
        (("--highlight", "radail nerve"), "radial nerve"),
        (("--injure", "upper tronk"), "upper trunk"),
        (("--hide", "bones"), "bones"),
        (("--upto", "fingers"), "fingers"),
        (("--paper", "b7"), "a4"),
        (("--theme", "printt"), 'Did you mean "print"'),
        (("--names", "none.yaml"), "none.yaml"),
        (("none.yaml",), "none.yaml"),
        (("--model", "lumbar"), "lumbar"),
    ],
    ids=spelt,
)
def test_wrong_input_is_one_message_and_exit_code_1(words, message):
    result = run(*words, "-o", "x.svg")
    assert isinstance(result.exception, PlexusdrawError)
    assert result.exception.exit_code == 1
    assert message in str(result.exception)
    assert list(Path().iterdir()) == []


def test_the_process_shows_a_message_and_no_traceback():
    done = process("--highlight", "C9", "-o", "x.svg")
    assert done.returncode == 1
    assert done.stderr.startswith(b"plexusdraw: ")
    assert b"Traceback" not in done.stderr
    assert done.stdout == b""


@pytest.mark.parametrize(
    ("path", "message"),
    [
        ("none/x.svg", "no folder"),
        ("there", "no ending"),
        ("there.svg", "this is a folder"),
        ("file/x.svg", "is a file, not a folder"),
        ("x.gif", "svg"),
    ],
)
def test_places_that_cannot_be_written(path, message):
    Path("there.svg").mkdir()
    Path("file").touch()
    result = run("-o", path)
    assert isinstance(result.exception, PlexusdrawError)
    assert message in str(result.exception)
    assert sorted(p.name for p in Path().iterdir()) == ["file", "there.svg"]


def test_a_read_only_folder(monkeypatch):
    """The system's answer is imitated, since the owner of the machine may write everywhere."""
    real = os.open

    def refuse(path, flags, *rest, **more):
        if flags & os.O_CREAT:
            raise PermissionError(errno.EACCES, "Permission denied", path)
        return real(path, flags, *rest, **more)

    monkeypatch.setattr(output.os, "open", refuse)
    result = run("-o", "x.svg")
    assert "no permission to write" in str(result.exception)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_is_really_read_only(folder):
    folder.chmod(0o500)
    assert "no permission to write" in str(run("-o", "x.svg").exception)
    folder.chmod(0o700)


def test_an_interrupted_write_leaves_the_old_file():
    Path("x.svg").write_text("old", encoding="utf-8")
    code = (
        "import os, signal\n"
        "from plexusdraw.cli.main import run\n"
        "os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGINT)\n"
        "run()"
    )
    done = subprocess.run([sys.executable, "-c", code, "draw", "-o", "x.svg"], capture_output=True, check=False)
    assert done.returncode != 0
    assert [p.name for p in Path().iterdir()] == ["x.svg"]
    assert Path("x.svg").read_text("utf-8") == "old"


def test_a_killed_write_leaves_the_old_file():
    Path("x.svg").write_text("old", encoding="utf-8")
    code = "import os\nfrom plexusdraw.cli.main import run\nos.fsync = lambda handle: os._exit(9)\nrun()"
    assert subprocess.run([sys.executable, "-c", code, "draw", "-o", "x.svg"], check=False).returncode == 9
    assert Path("x.svg").read_text("utf-8") == "old"


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
