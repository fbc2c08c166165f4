"""Charts as polygons, for the tests of charts."""

from __future__ import annotations

from shapely import Polygon, union_all

from plexusdraw.charts.chart import Chart
from plexusdraw.scene import Curve, curves

FINE = 24
HAIR = 1e-4
"""Share of an area that flattening curves may cost."""


def shape(curve: Curve) -> Polygon:
    """A closed chain as a polygon, percent of the limb's length."""
    return Polygon(curves.samples(curve, FINE))


def patches(chart: Chart, picture: str, view: str) -> dict[str, Polygon]:
    """Area → all of its pieces."""
    found = chart.tilings[picture][view].patches
    return {patch.id: union_all([shape(piece) for piece in patch.pieces]) for patch in found}
