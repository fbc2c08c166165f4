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


def assert_attached(chart: Chart, id: str, origin: str, insertion: str) -> None:
    """Whether a muscle has these attachments, parts of the names of its landmarks, one of several between bars."""
    held = [m for m in chart.muscles if m.id == id]
    assert held
    for muscle in held:
        assert all(any(part in name for part in origin.split("|")) for name in muscle.origin)
        assert all(insertion in name for name in muscle.insertion)
