"""Characters that the typeface lacks: borrowed from a font that has them, or refused by name."""

from __future__ import annotations

import json
import subprocess
import sys
from io import BytesIO

import pytest
import typst
from click.testing import CliRunner
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from PIL import Image

from plexusdraw import api, borrowed, fonts
from plexusdraw.cli.main import cli
from plexusdraw.errors import FontError
from plexusdraw.layout import fit
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme
from plexusdraw.model import load
from plexusdraw.paint import paint
from plexusdraw.paint.svg import BORROWED
from plexusdraw.scene import MM_PER_PT, Note, Scene, Text
from plexusdraw.scene.view import View
from plexusdraw.sheets.worksheet.form_page import Frame, head

LACKING = "ꔀꔁ"
NOWHERE = "\U0010fffd"
"""A character that no font has."""


@pytest.fixture
def other(tmp_path):
    """A font of our own invention with two signs, 800 and 1,200 of 1,000 wide."""
    pen = TTGlyphPen(None)
    pen.moveTo((100, 0))
    for point in ((100, 700), (700, 700), (700, 0)):
        pen.lineTo(point)
    pen.closePath()
    box = pen.glyph()
    built = FontBuilder(1000, isTTF=True)
    built.setupGlyphOrder([".notdef", "one", "two"])
    built.setupCharacterMap({ord(LACKING[0]): "one", ord(LACKING[1]): "two"})
    built.setupGlyf({".notdef": box, "one": box, "two": box})
    built.setupHorizontalMetrics({".notdef": (500, 0), "one": (800, 100), "two": (1200, 100)})
    built.setupHorizontalHeader(ascent=800, descent=-200)
    built.setupNameTable({"familyName": "Boxes of a Test", "styleName": "Regular", "psName": "Boxes-Regular"})
    built.setupOS2(fsType=0)
    built.setupPost()
    path = tmp_path / "boxes.ttf"
    built.save(path)
    return path


@pytest.fixture
def preferred(other):
    """The font in use, and no longer afterwards."""
    fonts.prefer(other)
    yield other
    fonts.prefer(None)


def test_what_is_borrowed_is_measured_in_its_font(preferred):
    assert fonts.width(LACKING, 10) == pytest.approx(2.0 * 10 * MM_PER_PT)
    assert fonts.width(f"a{LACKING}", 10) == pytest.approx(fonts.width("a", 10) + fonts.width(LACKING, 10))


def test_what_was_measured_in_other_fonts_is_measured_anew(other):
    """A drawing kept from an earlier command of the process, a form's head and a width alike."""
    assert api.fitting(load("cervical"), Options("framework"))
    assert api.scenes(load("cervical"), Options("framework"))
    head(Frame("A form", "", 1, "Write.", ""), paper("a4"))
    stores = [fit.kept, api.scenes, head]
    assert all(store.cache_info().currsize for store in stores)
    fonts.prefer(other)
    assert [store.cache_info().currsize for store in stores] == [0, 0, 0]
    assert api.fitting(load("cervical"), Options("framework", wording=Wording(own=(("C3", LACKING),))))
    fonts.prefer(None)
    assert [store.cache_info().currsize for store in stores] == [0, 0, 0]


def test_typeset_text_is_as_wide_as_measured(preferred):
    families = ", ".join(json.dumps(f) for f in (fonts.FAMILY, *borrowed.families(LACKING)))
    source = f"#set text(font: ({families}), size: 10pt)\n#context [#metadata(measure([{LACKING}]).width.pt())<w>]"
    found = typst.query(source.encode(), "<w>", field="value", font_paths=[*fonts.paths(), str(preferred.parent)])
    assert json.loads(found)[0] * MM_PER_PT == pytest.approx(fonts.width(LACKING, 10))


def test_faces_hold_each_character_once(preferred):
    fonts.width(LACKING, 10)
    (own, every), (more, only) = fonts.faces(frozenset(f"abc{LACKING}"))
    assert (every, only) == ("", "U+A500,U+A501")
    letters = set(TTFont(BytesIO(own)).getBestCmap())
    assert letters >= {ord(c) for c in "abc"}
    assert letters.isdisjoint(map(ord, LACKING))
    assert set(TTFont(BytesIO(more)).getBestCmap()) == {ord(c) for c in LACKING}


def test_what_no_font_has_is_named():
    with pytest.raises(FontError, match=r"no font here has .* \(U\+10FFFD\)\. Give one that has, with --font FILE"):
        fonts.width(f"a{NOWHERE}b", 10)


def test_a_file_that_is_no_font(tmp_path):
    (tmp_path / "x.ttf").write_text("no font")
    for name in ("x.ttf", "nowhere.ttf"):
        with pytest.raises(FontError, match="not a font that can be read"):
            fonts.prefer(tmp_path / name)


@pytest.mark.parametrize("name", ["", " ", "a\0b", "a\nb", "a" * 201])
def test_a_font_without_a_name_that_can_be_said_is_none(other, name):
    with TTFont(other) as font:
        for record in font["name"].names:
            record.string = name
        font.save(other)
    with pytest.raises(FontError, match="not a font that can be read"):
        fonts.prefer(other)


def model(folder, name):
    text = (
        "plexusdraw: 1\nid: b\nname: small plexus\nstages:\n  - {id: r, name: roots, singular: root}\n"
        f"  - {{id: n, name: nerves, singular: nerve}}\nsegments:\n  - {{name: A1, stage: r}}\n"
        f'  - {{name: "{name}", id: one, stage: n, from: [A1], course: [m]}}\nmuscles: [{{name: m, roots: [A1]}}]\n'
    )
    path = folder / "small.yaml"
    path.write_text(text, "utf-8")
    return str(path)


def run(*words):
    return subprocess.run([sys.executable, "-m", "plexusdraw", *words], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("ending", ["svg", "pdf", "png", "dot"])
def test_a_picture_in_a_font_of_ones_own(other, tmp_path, ending):
    done = run("draw", model(tmp_path, LACKING), "--font", str(other), "-o", str(tmp_path / f"x.{ending}"))
    assert done.returncode == 0, done.stderr
    assert "Boxes of a Test, as the typeface lacks them" in done.stderr
    if ending == "pdf":
        assert b"+Boxes-Regular" in (tmp_path / "x.pdf").read_bytes()


def test_a_font_from_which_nothing_is_borrowed_is_refused(other, tmp_path):
    done = run("draw", model(tmp_path, "plain"), "--font", str(other), "-o", str(tmp_path / "x.svg"))
    assert done.returncode == 2
    assert "--font can do nothing here" in done.stderr
    assert not (tmp_path / "x.svg").exists()


def test_a_character_that_no_font_has_is_refused_by_every_command_that_draws(tmp_path):
    path = model(tmp_path, f"nerve {NOWHERE}")
    for words in (["draw"], ["page"], ["slides"]):
        out = tmp_path / {"draw": "x.png", "page": "x.html", "slides": "x.pptx"}[words[0]]
        done = run(*words, path, "-o", str(out))
        assert done.returncode == 1
        assert "U+10FFFD" in done.stderr
        assert not out.exists()
    assert run("trace", path, "A1").returncode == 0


def test_an_account_without_a_home_has_the_fonts_of_the_system(monkeypatch):
    def nowhere():
        raise RuntimeError("Could not determine home directory.")

    before = borrowed._folders()
    monkeypatch.setattr(borrowed.Path, "home", nowhere)
    assert borrowed._folders()[0] == before[0]
    assert not any(folder.exists() for folder in set(borrowed._folders()) - set(before))


def test_plain_letters_load_no_other_font():
    code = (
        "import sys; from plexusdraw import figure; figure('brachial', detail='framework').render('svg');"
        "from plexusdraw import borrowed; print(borrowed.told())"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_command_that_draws_takes_a_font():
    for name in ("draw", "slides", "worksheet", "page", "injure", "localise", "compare"):
        assert any("--font" in option.opts for option in cli.get_command(None, name).params), name


@pytest.mark.parametrize(
    "words",
    [
        ["compare", "{own}", "A1", "one", "-o", "x.svg"],
        ["compare", "brachial", "{own}", "-o", "x.pdf"],
        pytest.param(["page", "--models", "brachial,{own}", "-o", "x.html"], marks=pytest.mark.nightly),
    ],
    ids=" ".join,
)
def test_a_font_is_taken_where_one_of_several_models_needs_it(words, other, tmp_path):
    own = model(tmp_path, LACKING)
    places = [word.format(own=own).replace("x.", f"{tmp_path}/x.") for word in words]
    done = run(*places, "--font", str(other))
    assert done.returncode == 0, done.stderr
    assert "Boxes of a Test, as the typeface lacks them" in done.stderr


def test_a_font_is_refused_where_pictures_are_compared_that_need_none(other, tmp_path):
    own = model(tmp_path, "plain")
    for words in (["A1", "one", "-o", str(tmp_path / "x.svg")], ["A1", "one"]):
        done = run("compare", own, *words, "--font", str(other))
        assert (done.returncode, list(tmp_path.glob("x.*"))) == (2, [])
        assert "--font can do nothing here" in done.stderr


def page(*words: Text) -> Scene:
    """A page with these words alone."""
    parts = tuple(Note("legend", str(i), text, 40) for i, text in enumerate(words))
    return Scene(
        width=50,
        height=30,
        margin=5,
        medium="paper",
        table="none",
        parts=parts,
        reading=tuple(range(len(parts))),
        description="",
        side="left",
        roots=(),
    )


def ink(bold: bool) -> int:
    """Dark pixels of a page with nothing but two borrowed letters, 40 pt."""
    scene = page(fonts.text(LACKING, 5, 20, 40, bold=bold))
    made = paint("png", [(scene, View(asks=False))], theme.load("print"), ppi=72)
    return sum(Image.open(BytesIO(made)).convert("L").histogram()[:128])


def test_bold_letters_that_are_borrowed_are_bolder(preferred):
    assert 1.01 * ink(False) < ink(True) < 1.3 * ink(False)


def test_in_svg_they_are_a_family_without_a_bold_face(preferred):
    words = [fonts.text(LACKING[0], 5, 20, 10, bold=bold) for bold in (False, True)]
    scene = page(*words)
    made = paint("svg", [(scene, View(asks=False))], theme.load("print")).decode()
    assert made.count(f'font-family:"{BORROWED}";font-weight:400;unicode-range:U+A500;') == 2
    assert f'font-family:"{BORROWED}";font-weight:700' not in made
    assert f"'{fonts.FAMILY}', '{BORROWED}', Verdana" in made.replace("&apos;", "'")


@pytest.mark.skipif(not borrowed.holder("ש"), reason="no font here has Hebrew letters")
def test_a_command_does_not_warn_of_what_one_before_it_borrowed(tmp_path):
    """In one process, as in a notebook."""
    runner = CliRunner()
    titled = runner.invoke(cli, ["draw", "--title", "שלום", "-o", str(tmp_path / "a.svg")])
    assert "set in" in titled.output
    assert "set in" not in runner.invoke(cli, ["draw", "-o", str(tmp_path / "b.svg")]).output


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_a_damaged_font_is_refused(other, tmp_path, ending):
    """Its letters are known, and cannot be drawn."""
    with TTFont(other) as font:
        glyphs = font.reader.tables["glyf"]
    data = bytearray(other.read_bytes())
    data[glyphs.offset : glyphs.offset + glyphs.length] = b"\xff" * glyphs.length
    other.write_bytes(data)
    done = run("draw", model(tmp_path, LACKING), "--font", str(other), "-o", str(tmp_path / f"x.{ending}"))
    assert done.returncode == FontError.exit_code
    assert f"{other}: this font is damaged" in done.stderr
    assert not (tmp_path / f"x.{ending}").exists()


def test_a_font_that_would_take_all_memory_is_no_font(tmp_path):
    (tmp_path / "x.ttc").write_bytes(b"ttcf\0\1\0\0\xff\xff\xff\xff" + b"\0" * 99)
    with pytest.raises(FontError, match="not a font that can be read"):
        fonts.prefer(tmp_path / "x.ttc")
