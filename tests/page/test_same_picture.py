"""The page's picture against the SVG painter's, element by element, over views, themes, sides and details.

The left limb is the painter's to the letter; the right one is told as its mirror image, to 0.01 mm.
"""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from night import by_day
from randoms import MODELS, brachial

from plexusdraw.api import figure
from plexusdraw.errors import FitError
from plexusdraw.paint import paint

SVG = "{http://www.w3.org/2000/svg}"
THEMES = {"light": "print", "dark": "lecture", "grayscale": "grayscale"}
LENGTHS = {"x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "stroke-width", "font-size"}
READ = """
const all = [...document.querySelectorAll("#view svg > rect, #view svg > g[aria-hidden] > g > *")];
return all.map(e => [e.tagName, e.textContent, Object.fromEntries([...e.attributes].map(a => [a.name, a.value]))]);
"""


def drawn_by_python(model=None, **choices):
    made = figure(model or brachial(), **choices)
    (page,) = made.pages()
    svg = paint("svg", [(page.scene, page.view)], made.theme, embed_fonts=False)
    leaves = [e for e in ET.fromstring(svg).iter() if e.tag in {SVG + t for t in ("path", "rect", "circle", "text")}]
    return [[e.tag.removeprefix(SVG), e.text or "", dict(e.attrib)] for e in leaves]


def numbers(text):
    return [float(word) for word in text.replace("M", " ").replace("C", " ").replace(",", " ").split()]


def near(element):
    """An element with its lengths as numbers; a bar of a cut is the same from either end."""
    tag, text, attributes = element
    found = {k: float(v) if k in LENGTHS else v for k, v in attributes.items()}
    if "d" in attributes:
        points = numbers(attributes["d"])
        if "data-root" not in attributes and "stroke-dasharray" not in attributes and len(points) == 8:
            points = max(points, [points[i + j] for i in (6, 4, 2, 0) for j in (0, 1)])
        found["d"] = points
    return [tag, text, found]


def approximate(element):
    tag, text, attributes = near(element)
    lengths = {k: pytest.approx(v, abs=0.0101) for k, v in attributes.items() if k in LENGTHS or k == "d"}
    return [tag, text, attributes | lengths]


def same(page, address, side="left", **choices):
    page.go(address)
    found, wanted = page.run(READ), drawn_by_python(side=side, **choices)
    assert [e[:2] for e in found] == [e[:2] for e in wanted]
    for ours, theirs in zip(found, wanted, strict=True):
        if ours[2].get("font-weight") == "bold" and theirs[2].get("x") == "10":  # a title, measured by the browser
            ours[2]["font-size"], theirs[2]["font-size"] = (
                str(round(float(e[2]["font-size"]), 2)) for e in (ours, theirs)
            )
        if side == "left":
            assert ours == theirs
        else:
            assert near(ours) == approximate(theirs)


VIEWS = {
    "plain": ("", {}),
    "upper trunk cut": ("mode=injure&cut=upper-trunk", {"injure": ["upper trunk"]}),
    "two cuts": (
        "mode=injure&cut=C8,radial-nerve-at-spiral-groove",
        {"injure": ["C8", "radial nerve at spiral groove"]},
    ),
    "partial": ("mode=injure&cut=posterior-cord&partial=yes", {"injure": ["posterior cord"], "partial": True}),
    "C7 lit": ("show=C7", {"highlight": "C7"}),
    "a nerve lit": ("show=ulnar-nerve", {"highlight": "ulnar nerve"}),
    "a muscle lit": ("show=latissimus-dorsi", {"highlight": "latissimus dorsi"}),
    "up to divisions": ("upto=divisions", {"upto": "divisions"}),
    "numbered blanks": ("labels=numbers", {"hide": "labels", "title": "Brachial plexus"}),
}


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("view", VIEWS)
def test_views_and_themes(one_page, view, theme):
    address, choices = VIEWS[view]
    same(one_page, f"{address}&look={theme}", theme=THEMES[theme], naming="short", **choices)


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_muscle_rows_on_both_sides(one_page, view, side):
    address, choices = VIEWS[view]
    asked = f"{address}&look=light&detail=muscles&side={side}"
    same(one_page, asked, detail="muscles", paper="fit", side=side, **choices)


def fits_a4(detail, names):
    try:
        return bool(figure(brachial(), detail=detail, naming=names).pages())
    except FitError:
        return False


@pytest.mark.parametrize("names", ["short", "english", "latin"])
@pytest.mark.parametrize("detail", ["framework", "nerves", "muscles"])
def test_details_and_namings(one_page, detail, names):
    paper = "fit" if detail == "muscles" or not fits_a4(detail, names) else "a4"
    asked = f"look=light&detail={detail}&names={names}&side=right"
    same(one_page, asked, detail=detail, naming=names, paper=paper, side="right")


def absolute(path):
    """A path of steps from the start of each cubic, as points."""
    start, *cubics = path.removeprefix("M").split("c")
    found = [float(v) for v in start.split()]
    for cubic in cubics:
        x, y = found[-2:]
        steps = [float(v) for v in cubic.replace("-", " -").split()]
        found += [v + (y if i % 2 else x) for i, v in enumerate(steps)]
    return found


def test_the_picture_in_the_file_is_the_painters(page_file):
    """To the letter, but for curves, which are told in steps, and what is not filled, as the group about all says."""
    text = page_file.read_text(encoding="utf-8")
    svg = text[text.index("<svg") : text.index("</svg>") + 6]
    leaves = [e for e in ET.fromstring(svg).iter() if e.tag in {SVG + t for t in ("path", "rect", "circle", "text")}]
    found = [[e.tag.removeprefix(SVG), e.text or "", dict(e.attrib)] for e in leaves]
    wanted = drawn_by_python()
    assert len(found) == len(wanted)
    for ours, theirs in zip(found, wanted, strict=True):
        curves = [element[2].pop("d", "") for element in (ours, theirs)]
        named = {name for name in theirs[2] if name.startswith("data-")}
        told = {k: v for k, v in theirs[2].items() if k not in named and (k, v) != ("fill", "none")}
        assert ours == [*theirs[:2], told]
        if curves[1]:
            assert absolute(curves[0]) == pytest.approx(numbers(curves[1]), abs=0.06)


OF_PARTS = {
    "two-part": {
        "cut": ("mode=injure&cut=great-nerve", {"injure": ["great nerve"]}),
        "cut before it": ("mode=injure&cut=A1,A2", {"injure": ["A1", "A2"]}),
        "a part cut": ("mode=injure&cut=inner-twig", {"injure": ["inner twig"]}),
        "lit": ("show=great-nerve", {"highlight": "great nerve"}),
    },
    "lumbosacral": {
        "cut": ("mode=injure&cut=sciatic-nerve", {"injure": ["sciatic nerve"]}),
        "cut before it": ("mode=injure&cut=L4,L5,S1,S2,S3", {"injure": ["L4", "L5", "S1", "S2", "S3"]}),
        "a part cut": ("mode=injure&cut=tibial-nerve", {"injure": ["tibial nerve"]}),
        "lit": ("show=sciatic-nerve", {"highlight": "sciatic nerve"}),
    },
}


@pytest.mark.parametrize("model", by_day(OF_PARTS, ["two-part"]))
@pytest.mark.parametrize("view", OF_PARTS["two-part"])
def test_a_nerve_of_several_parts(chromium, commanded, model, view):
    """The name of the whole nerve is in the state of its parts."""
    address, choices = OF_PARTS[model][view]
    source = str(MODELS / "two-part.yaml") if model == "two-part" else model
    chromium.size(1440)
    page = chromium.open(commanded(f"{model}.html", "page", source), "look=light")
    same(page, f"{address}&look=light", model=source, theme="print", naming="short", **choices)
