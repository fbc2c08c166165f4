"""The drawing that shows before the script is that of the painter, in fewer letters."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from plexusdraw.api import scenes
from plexusdraw.layout.fit import Options
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import load
from plexusdraw.page.first import inner
from plexusdraw.paint.svg import paint
from plexusdraw.scene.view import View

DATA = re.compile("data-|xml")


@pytest.fixture(scope="module")
def painted():
    scene = scenes(load("cervical"), Options("nerves"))[0]
    return paint([(scene, View(asks=False, title="x"))], load_theme("print"), embed_fonts=False).decode()


def leaves(element: ElementTree.Element, **above: str) -> Iterator[tuple[str, dict[str, str], str]]:
    """What is drawn, with what it takes from its groups."""
    own = above | {name: value for name, value in element.attrib.items() if not DATA.match(name)}
    name = element.tag.rpartition("}")[2]
    if name in ("path", "rect", "circle", "text"):
        yield name, own, element.text or ""
    for child in element:
        yield from leaves(child, **{key: value for key, value in own.items() if name == "g"})


def points(path: str) -> list[float]:
    """Ends of a chain of cubics, each from where the one before ended."""
    found: list[float] = []
    x = y = 0.0
    for letter, numbers in re.findall("([A-Za-z])([^A-Za-z]*)", path):
        values = [float(text) for text in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", numbers)]
        if letter == "c":
            values = [value + (y if i % 2 else x) for i, value in enumerate(values)]
        x, y = values[-2:]
        found += values
    return found


def test_it_draws_the_same(painted):
    made = inner(painted)
    assert len(made) < 0.8 * len(painted)
    before, after = (list(leaves(ElementTree.fromstring(text))) for text in (painted, made))
    assert len(before) == len(after) > 50
    for (name, attributes, text), (other, short, said) in zip(before, after, strict=True):
        assert (name, text) == (other, said)
        assert points(attributes.pop("d", "")) == pytest.approx(points(short.pop("d", "")), abs=0.02)
        assert attributes == short


def test_a_shape_without_a_fill_stays_black():
    hollow = '<path fill="none" d="M1,1" />'
    made = inner(f'<svg><g id="all"><g><path d="M1,1 C 1,1 1,1 2,2" /></g><g>{hollow}</g></g></svg>')
    assert made == '<svg><g id="all"><path d="M1 1c0 0 0 0 1 1"/><path fill="none" d="M1 1"/></g></svg>'
