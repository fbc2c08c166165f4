"""Text is measured as the renderers set it."""

import json
import subprocess
import sys
from io import BytesIO

import pytest
import typst
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from plexusdraw import fonts
from plexusdraw.scene import MM_PER_PT
from plexusdraw.typeface import plain_zero

SAMPLES = [
    "C5",
    "Terminal branches",
    "Triceps, AVATAR, LTa P. y",
    "flexor digitorum profundus 2–3",
    "medial antebrachial cutaneous n.",
    "nervus cutaneus brachii medialis",
    "first office affliction",
    "TERMINAL BRANCHES",
    "1–2 ½ “quoted” (é, ü, ñ)",
]


def typst_widths(samples: list[str], bold: bool) -> list[float]:
    """Widths in mm at 10 pt, by typst's own measure."""
    source = f'#set text(font: "{fonts.FAMILY}", size: 10pt, weight: {700 if bold else 400})\n' + "".join(
        f"#context [#metadata(measure(text({json.dumps(s, ensure_ascii=False)})).width.pt())<w>]\n" for s in samples
    )
    found = typst.query(source.encode(), "<w>", field="value", font_paths=list(fonts.paths()), ignore_system_fonts=True)
    return [pt * MM_PER_PT for pt in json.loads(found)]


@pytest.mark.parametrize("bold", [False, True])
def test_width_agrees_with_typst(bold):
    measured = typst_widths(SAMPLES, bold)
    assert [fonts.width(s, 10, bold) for s in SAMPLES] == pytest.approx(measured, rel=1e-6)


@pytest.mark.parametrize("bold", [False, True])
def test_tables_agree_with_fonttools(bold):
    font = TTFont(fonts._file(bold))
    metrics = fonts._metrics(bold)
    assert metrics.glyphs == {code: font.getGlyphID(name) for code, name in font.getBestCmap().items()}
    assert metrics.advances == [font["hmtx"][name][0] for name in font.getGlyphOrder()]
    assert metrics.per_em == font["head"].unitsPerEm


@pytest.mark.parametrize("bold", [False, True])
def test_ink_box_holds_plain_latin_text(bold):
    font = TTFont(fonts._file(bold))
    inks = [font["glyf"][font.getBestCmap()[code]] for code in range(33, 127)]
    assert max(ink.yMax for ink in inks) <= fonts.ASCENT_EM * 1000
    assert min(ink.yMin for ink in inks) >= -fonts.DESCENT_EM * 1000


def test_kerning_narrows():
    assert fonts.width("Tr", 10) < fonts.width("T", 10) + fonts.width("r", 10)


def test_marks_and_signs_of_direction_take_no_room():
    assert fonts.width("\u200f\u0301", 72) == 0.0


def test_text_box_follows_the_anchor():
    start, middle, end = (fonts.text("ulnar n.", 50, 20, 8, anchor) for anchor in ("start", "middle", "end"))
    assert start.box.x == 50
    assert middle.box.x + middle.box.w / 2 == pytest.approx(50)
    assert end.box.right == pytest.approx(50)
    assert start.box.y < 20 < start.box.bottom
    assert start.box.h == pytest.approx(fonts.ascent(8) + fonts.descent(8))


@given(st.text(alphabet="abc ,é", min_size=1, max_size=60), st.floats(3, 40), st.integers(1, 4))
def test_wrap_keeps_within_width_and_lines(words, room, lines):
    got = fonts.wrap(words, room, 7, max_lines=lines)
    assert len(got) <= lines
    assert all(fonts.width(line, 7) <= room or len(line.removesuffix(" …").split()) == 1 for line in got)


@given(st.text(alphabet="abc ,é", max_size=60), st.floats(3, 40))
def test_wrap_without_limit_loses_nothing(words, room):
    assert " ".join(fonts.wrap(words, room, 7)).split() == words.split()


def test_wrap_says_that_it_left_something_out():
    got = fonts.wrap("coracobrachialis, biceps, brachialis, skin", 30, 7, max_lines=1)
    assert got == ["coracobrachialis, biceps …"]
    assert fonts.wrap(["flexor carpi radialis", "thenar"], 5, 7) == ["flexor carpi radialis", "thenar"]


@pytest.mark.parametrize("bold", [False, True])
def test_subset_holds_what_was_asked_and_little_else(bold):
    data = fonts.subset(frozenset("Triceps"), bold)
    font = TTFont(BytesIO(data))
    assert data[:4] == b"wOFF"
    assert set(font.getBestCmap()) == {ord(c) for c in "Triceps"}
    drawn = {name for name in font.getGlyphOrder() if font["glyf"][name].numberOfContours}
    assert drawn - {".notdef"} <= {
        *font.getBestCmap().values(),
        "dotlessi",
        "idotless",
        "uni0307",
        "dotaccentcomb",
    }
    assert "GPOS" in font
    assert "Open Font License" in font["name"].getDebugName(13)
    assert len(data) < 9000


def test_subset_is_the_same_in_every_process():
    code = (
        "import sys, hashlib; from plexusdraw import fonts;"
        "print(hashlib.sha256(fonts.subset(frozenset('axillary n.'))).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(digests) == 1


def test_measuring_needs_no_heavy_import():
    code = "import sys; from plexusdraw import fonts; fonts.width('x', 9); print('fontTools' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"


@pytest.mark.parametrize("style", plain_zero.STYLES)
def test_only_the_zero_is_changed(style):
    """The files are those that the maker makes: every other glyph, advance and pair of kerning is the face's own."""
    own, face = TTFont(fonts._file(style == "Bold")), TTFont(plain_zero.original(style))
    assert own["hmtx"].metrics == face["hmtx"].metrics
    assert own.getTableData("GPOS") == face.getTableData("GPOS")
    changed = {name for name in face.getGlyphOrder() if own["glyf"][name] != face["glyf"][name]}
    assert changed == {"zero"}
    assert own["glyf"]["zero"] == plain_zero.made(style)["glyf"]["zero"]


@pytest.mark.parametrize("bold", [False, True])
def test_the_zero_is_plain(bold):
    """One outline and one counter, which the vertical through the middle enters and leaves once."""
    zero = TTFont(fonts._file(bold))["glyf"]["zero"]
    points, ends, _ = zero.getCoordinates(None)
    outer, counter = points[: ends[0] + 1], points[ends[0] + 1 :]
    assert len(ends) == 2
    for contour in (outer, counter):
        xs = sorted({x for x, _ in contour})
        ys = sorted({y for _, y in contour})
        assert abs(xs[0] + xs[-1] - 648) < 20
        assert abs(ys[0] + ys[-1] - 668) < 3
    assert min(x for x, _ in outer) < min(x for x, _ in counter)
