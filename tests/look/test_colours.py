"""Root colours can be told apart with any kind of colour vision, and on paper without colour.

Simulation: Machado, Oliveira and Fernandes 2009, "A Physiologically-based Model for Simulation of Color Vision
Deficiency", by the library colorspacious. Difference: CAM02-UCS (Luo, Cui and Li 2006), in which 1 is just
noticeable. The threshold of 7 for every pair is ours: well above noticeable, met by five strands side by side.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from plexusdraw.look import theme

colorspacious = pytest.importorskip("colorspacious", reason="test extra not installed")

LEAST = 7.0
ROOTS = 5
"""Roots of the brachial plexus; beyond five, letters and order tell more than colour."""
VISION = {
    "full": None,
    "protan": {"name": "sRGB1+CVD", "cvd_type": "protanomaly", "severity": 100},
    "deutan": {"name": "sRGB1+CVD", "cvd_type": "deuteranomaly", "severity": 100},
    "tritan": {"name": "sRGB1+CVD", "cvd_type": "tritanomaly", "severity": 100},
}


def rgb(colour: str) -> np.ndarray:
    return np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])


def seen(colour: str, vision: str) -> np.ndarray:
    space = VISION[vision]
    simulated = rgb(colour) if space is None else colorspacious.cspace_convert(rgb(colour), space, "sRGB1")
    return colorspacious.cspace_convert(np.clip(simulated, 0, 1), "sRGB1", "CAM02-UCS")


@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("name", [n for n in theme.names() if n != "grayscale"])
def test_every_pair_of_root_colours_differs(name, vision):
    pens = [theme.load(name).pen(i).strand for i in range(ROOTS)]
    for a, b in combinations(pens, 2):
        assert np.linalg.norm(seen(a, vision) - seen(b, vision)) >= LEAST, (a, b)


def lightness(colour: str) -> float:
    """CIE L* of the colour turned to gray by its luminance (WCAG 2.2, relative luminance)."""
    y = theme.luminance(theme.Colour(colour))
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


def test_grayscale_tells_neighbours_apart_by_tone_or_core():
    """After conversion to gray, every pair differs by 15 L* in tone, or in the core that runs along it."""
    looks = theme.load("grayscale")
    pens = [looks.pen(i) for i in range(ROOTS)]
    for a, b in combinations(pens, 2):
        tone = abs(lightness(a.strand) - lightness(b.strand))
        assert tone >= 15 or (a.core, a.core_dash) != (b.core, b.core_dash)


def test_grayscale_has_no_colour():
    looks = theme.load("grayscale")
    for i in range(ROOTS):
        pen = looks.pen(i)
        assert all(len({c[1:3], c[3:5], c[5:7]}) == 1 for c in (pen.strand, pen.text, pen.core or "#000000"))
