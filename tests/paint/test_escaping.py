"""Names are shown as they are, whatever they contain."""

import json
import shutil
import subprocess
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree

import pypdf
import pytest
import typst
from readback import SVG

from plexusdraw import borrowed, fonts, paint
from plexusdraw.errors import FontError
from plexusdraw.look import theme
from plexusdraw.paint import typeset
from plexusdraw.scene import Label, Pill
from plexusdraw.scene.view import View

PRINT = theme.load("print")
HOSTILE = [
    "<script>alert(1)</script>",
    "]]><!--&lt;&amp;",
    "'single' \"double\" `back`",
    "#set page(fill: red) $x^2$ *b* _i_ @ref // c",
    r"back\slash \u{41} \n \" end\\",
    '" ); #panic("x")',
    "%s {0} ${HOME} [a](b)",
    "a -- b ... c ~ d",
    "<<b>bold</b>>",
    "\\N\\G\\E a:b:c",
]
UNUSUAL = ["🙂 nerve", "العصب الكعبري", "עצב", "正中神経", "n\u0303erve e\u0301", "tab\tnew\nline"]
BROKEN = ["\x00nul\x07", "\ud800half", "\ufffenon"]


def hostile(page, string):
    """The sample with *string* as the title, on a plate and beside a nerve."""

    def renamed(part):
        if isinstance(part, Pill):
            return replace(part, text=replace(part.text, string=string))
        if isinstance(part, Label) and part.role == "name":
            return replace(part, lines=tuple(replace(line, string=string) for line in part.lines))
        return part

    return replace(page, parts=tuple(map(renamed, page.parts)), description=string)


@pytest.mark.parametrize("string", HOSTILE)
def test_svg_and_pdf_show_the_name(page, string):
    scene = hostile(page, string)
    root = ElementTree.fromstring(paint.paint("svg", [(scene, View(asks=False, title=string))], PRINT))
    assert string in [text.text for text in root.iter(f"{SVG}text")]
    assert root.find(f".//{SVG}script") is None
    reader = pypdf.PdfReader(BytesIO(paint.paint("pdf", [(scene, View(asks=False, title=string))], PRINT)))
    shown = "".join(reader.pages[0].extract_text().split())
    assert "".join(string.split()) in shown
    assert reader.metadata.title == string


@pytest.mark.parametrize("string", UNUSUAL + BROKEN)
@pytest.mark.parametrize("format", sorted(paint.FORMATS))
def test_every_painter_takes_any_text(page, format, string):
    if not all(fonts.has_all(c) or borrowed.holder(c) for c in string):
        with pytest.raises(FontError, match="no font here has"):
            fonts.width(string, 8)
        return
    data = paint.paint(format, [(hostile(page, string), View(asks=False, title=string))], PRINT)
    if format == "svg":
        ElementTree.fromstring(data)
    assert len(data) > 1000


@pytest.mark.skipif(not shutil.which("neato"), reason="graphviz is not installed")
@pytest.mark.parametrize("string", HOSTILE)
def test_graphviz_shows_the_name(page, string):
    source = paint.paint("dot", [(hostile(page, string), View(asks=False, title=string))], PRINT)
    run = subprocess.run(["neato", "-n", "-Tsvg"], input=source, capture_output=True, check=True)
    texts = [
        "".join((t.text or "").replace("\xa0", " ").split())
        for t in ElementTree.fromstring(run.stdout).iter(f"{SVG}text")
    ]
    assert "".join(string.split()) in texts


@pytest.mark.parametrize("string", HOSTILE)
def test_a_typst_string_means_what_it_says(string):
    source = f"#metadata({typeset.quoted(string)}) <m>"
    read = typst.query(source.encode(), "<m>", field="value", font_paths=list(fonts.paths()))
    assert json.loads(read) == [string]
