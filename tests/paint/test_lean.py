"""svgwrite is imported without its checks and without what fetches fonts; both are there for who asks."""

from __future__ import annotations

import subprocess
import sys

import pytest
from sample import VIEWS

from plexusdraw.look import theme
from plexusdraw.paint import lean, svg

UNUSED = ("svgwrite.validator2", "urllib.request")


def python(code):
    """What a fresh interpreter prints."""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()


def test_a_drawing_loads_neither():
    code = "import sys, plexusdraw; plexusdraw.figure('brachial', detail='framework').pages()\n"
    code += "from plexusdraw.paint import svg; svg.attributes\nprint(*sys.modules)"
    loaded = set(python(code))
    assert "svgwrite.drawing" in loaded
    assert loaded.isdisjoint(UNUSED)


def test_others_import_the_modules_themselves():
    code = "from plexusdraw.paint import svg; import urllib.request, svgwrite.validator2\n"
    code += "print(urllib.request.Request.__name__, svgwrite.validator2.Full11Validator.__name__)"
    assert python(code) == ["Request", "Full11Validator"]


def test_what_is_loaded_already_stays():
    import urllib.request as before

    with lean.svgwrite_alone():
        assert sys.modules["urllib.request"] is before
    assert sys.modules["urllib.request"] is before


def test_who_asks_for_checks_gets_them(page):
    assert svg.paint([(page, VIEWS["injured"]())], theme.load("print"), debug=True)
    drawing = svg.svgwrite.Drawing(debug=True)
    with pytest.raises(TypeError, match="is not a valid value"):
        drawing.rect((0, 0), ("wide", 1))
