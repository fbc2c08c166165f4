"""The fonts made beforehand draw their letters as the typeface does, and are taken for no other."""

from io import BytesIO
from itertools import product

import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from plexusdraw import common_letters, fonts
from plexusdraw.common_letters import LETTERS

BOTH = pytest.mark.parametrize("bold", [False, True], ids=["regular", "bold"])


def kept(bold):
    data = common_letters.woff(fonts.files()[bold], LETTERS)
    assert data is not None, "another release of the typeface: python gallery/build.py"
    return data


def drawn(font, letter):
    """The outline and the advance of a letter."""
    glyphs = font.getGlyphSet()
    name = font.getBestCmap()[ord(letter)]
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    return pen.value, glyphs[name].width


@BOTH
def test_every_letter_is_drawn_as_in_the_typeface_and_no_other_is_there(bold):
    with TTFont(BytesIO(kept(bold))) as ours, TTFont(fonts.files()[bold]) as whole:
        assert set(ours.getBestCmap()) == {ord(letter) for letter in LETTERS}
        assert [drawn(ours, letter) for letter in sorted(LETTERS)] == [
            drawn(whole, letter) for letter in sorted(LETTERS)
        ]
        assert "Open Font License" in ours["name"].getDebugName(13)
        assert ours["name"].getDebugName(0) == whole["name"].getDebugName(0)


@BOTH
def test_every_pair_is_kerned_as_it_was_measured(bold, tmp_path, monkeypatch):
    path = tmp_path / "font.ttf"
    with TTFont(BytesIO(kept(bold))) as font:
        font.flavor = None
        font.save(path)
    whole = fonts._metrics(bold)
    monkeypatch.setattr(fonts, "_file", lambda _: path)
    ours = fonts._metrics.__wrapped__(bold)
    pairs = list(product(map(ord, sorted(LETTERS)), repeat=2))

    def kerned(metrics):
        return [metrics.kern(metrics.glyphs[a], metrics.glyphs[b]) for a, b in pairs]

    assert kerned(ours) == kerned(whole)
    assert len(set(kerned(whole))) > 10


def test_other_letters_and_other_fonts_are_cut_out_anew(tmp_path):
    font = fonts.files()[False]
    assert common_letters.woff(font, frozenset("Cé")) is None
    other = tmp_path / font.name
    other.write_bytes(font.read_bytes() + b"\0")
    assert common_letters.woff(other, frozenset("C")) is None
    ((data, _),) = fonts.faces(frozenset("Cé"))
    assert set(TTFont(BytesIO(data)).getBestCmap()) == {ord("C"), ord("é")}
    ((data, range_),) = fonts.faces(frozenset("C5"))
    assert (data, range_) == (kept(False), "")


def test_it_is_smaller_than_a_font_with_the_letters_of_one_picture():
    letters = frozenset("brachial plexus, Terminal branches: C5–T1")
    assert len(kept(False)) < len(fonts.subset(letters))


def test_making_them_anew_gives_one_of_each_weight(tmp_path, monkeypatch):
    monkeypatch.setattr(common_letters, "FOLDER", tmp_path / "letters")
    common_letters.keep(fonts.files())
    (common_letters.FOLDER / "Older-00000000.woff").write_bytes(b"")
    common_letters.keep(fonts.files())
    assert len(list(common_letters.FOLDER.iterdir())) == 2
    with TTFont(BytesIO(kept(True))) as font:
        assert len(font.getBestCmap()) == len(LETTERS)
