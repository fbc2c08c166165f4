"""The one table of formats: commands, help texts and painters agree with it."""

from __future__ import annotations

import mimetypes
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from pptx.opc.constants import CONTENT_TYPE
from sample import VIEWS

import plexusdraw
from plexusdraw import paint
from plexusdraw.cli.main import cli
from plexusdraw.errors import OutputError
from plexusdraw.look import theme

PRINT = theme.load("print")
START = {"svg": b"<?xml", "pdf": b"%PDF", "png": b"\x89PNG", "dot": b"digraph", "pptx": b"PK\x03\x04"}
"""First bytes of a file: SVG 1.1, ISO 32000, PNG (W3C), DOT (Graphviz), ZIP (ECMA-376, part 2)."""
PACKAGE = Path(paint.__file__).parent.parent


@pytest.mark.parametrize("name", sorted(paint.FORMATS))
def test_every_format_is_painted_as_what_it_is(page, name):
    assert paint.paint(name, [(page, VIEWS["plain"]())], PRINT).startswith(START[name])


def test_media_types_are_those_that_others_know():
    """SVG, PDF, PNG: Python's table, after IANA. Slides: python-pptx, after ECMA-376. DOT: IANA (memory)."""
    known = {name: mimetypes.MimeTypes().guess_type(f"x.{name}")[0] for name in ("svg", "pdf", "png")}
    known["pptx"] = CONTENT_TYPE.PML_PRESENTATION_MAIN.removesuffix(".main+xml")
    known["dot"] = "text/vnd.graphviz"
    assert {format.name: format.media_type for format in paint.FORMATS.values()} == known


@pytest.mark.parametrize("name", sorted(paint.FORMATS))
def test_a_format_holds_as_many_pages_as_it_says(page, name):
    pages = [(page, VIEWS["plain"]())] * 2
    if paint.FORMATS[name].many_pages:
        assert paint.paint(name, pages, PRINT)
    else:
        with pytest.raises(ValueError, match="one page"):
            paint.paint(name, pages, PRINT)


@pytest.mark.parametrize("name", sorted(paint.FORMATS))
def test_a_format_takes_its_options_and_no_other(page, name):
    pages, format = [(page, VIEWS["plain"]())], paint.FORMATS[name]
    assert paint.paint(name, pages, PRINT, **format.options) == paint.paint(name, pages, PRINT)
    assert format.taken(ppi=72, unknown=1) == ({"ppi": 72} if "ppi" in format.options else {})
    with pytest.raises(TypeError):
        paint.paint(name, pages, PRINT, unknown=1)


@pytest.mark.parametrize(("command", "use"), [("draw", "picture"), ("slides", "slides"), ("worksheet", "worksheet")])
def test_help_texts_name_the_formats_of_a_command_and_no_other(command, use):
    text = CliRunner().invoke(cli, [command, "--help"]).output
    endings = {name for name in paint.FORMATS if re.search(rf"\.{name}\b", text)}
    assert endings == set(paint.names(use))


def test_a_picture_is_saved_in_the_formats_for_pictures_only(tmp_path):
    figure = plexusdraw.figure(detail="framework")
    for name in paint.FORMATS:
        if name in paint.names("picture"):
            assert figure.save(tmp_path / f"x.{name}")
        else:
            with pytest.raises(OutputError, match=", ".join(paint.names("picture"))):
                figure.save(tmp_path / f"x.{name}")


def test_no_list_of_endings_stands_twice():
    """Two names of formats side by side, as words or endings, stand in the table alone."""
    names = "|".join(paint.FORMATS)
    beside = re.compile(rf"""["']\.?({names})["'],\s*["']\.?({names})["']|\.({names})\b(,| or)( or)? \.({names})\b""")
    files = [f for f in PACKAGE.rglob("*.py") if f != Path(paint.__file__)]
    assert [str(f.relative_to(PACKAGE)) for f in files if beside.search(f.read_text("utf-8"))] == []


def test_a_painter_is_imported_when_it_paints():
    code = "import sys; from plexusdraw import paint; print(*(m for m in sys.modules if 'plexusdraw.paint.' in m))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split() == []
