"""Colours of a deck, given as changes of those of its theme: worked out again they are the colours meant."""

from __future__ import annotations

import re
from colorsys import hls_to_rgb, rgb_to_hls

import pytest

from plexusdraw.look import theme as themes
from plexusdraw.paint.pptx_theme import Palette

NEAR = 10
"""Of 255, rounding with it: hardly to be told apart."""


def shown(xml: str, slots: dict[str, str]) -> list[int]:
    """The colour that a reader makes of it (ECMA-376, 20.1.2.3: satMod, lumMod, lumOff), 0 to 255."""
    found = re.search(r'val="([0-9A-Fa-f]{6})"', xml)
    if found and "srgbClr" in xml:
        return [int(found[1][i : i + 2], 16) for i in (0, 2, 4)]
    name = re.search(r'schemeClr val="(\w+)"', xml)
    assert name, xml
    base = slots[name[1]]
    h, light, sat = rgb_to_hls(*(int(base[i : i + 2], 16) / 255 for i in (1, 3, 5)))
    change = {key: int(value) / 100_000 for key, value in re.findall(r'<a:(\w+) val="(-?\d+)"/>', xml)}
    light = min(1.0, light * change.get("lumMod", 1.0) + change.get("lumOff", 0.0))
    return [round(255 * v) for v in hls_to_rgb(h, light, min(1.0, sat * change.get("satMod", 1.0)))]


@pytest.mark.parametrize("name", ["print", "lecture", "grayscale"])
def test_every_colour_is_the_one_meant(name: str) -> None:
    look = themes.load(name)
    palette = Palette(look, 5)
    greys = [f"#{v:02x}{v:02x}{v:02x}" for v in range(0, 256, 5)]
    states = [tint.edge for tint in look.areas.states.values() if tint.edge]
    fills = [tint.fill for tint in look.areas.fills if tint.fill]
    assert "#ffffff" in states or name != "lecture"
    for colour in ["#ffffff", "#000000", *greys, *states, *fills]:
        meant = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
        got = shown(palette.colour(colour, None), palette.slots)
        assert max(abs(a - b) for a, b in zip(got, meant, strict=True)) <= NEAR, (colour, got)
