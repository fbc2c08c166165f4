"""Worksheets that ask of the drawing follow a convention of drawing."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.model import load
from plexusdraw.scene import Strand
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Spec
from plexusdraw.sheets.worksheet.stamp import stamp


def form(plexus):
    spec = Spec()
    return next(class_set.forms(plexus, replace(spec, stamp=stamp(plexus, spec))))


def axillary(made):
    """Where the strands of the axillary nerve come from on a form."""
    parts = made.pages[0].scene.parts
    return {p.source for p in parts if isinstance(p, Strand) and p.entity == "axillary-nerve" and p.source}


def test_the_axillary_nerve_leaves_the_radial_where_a_convention_draws_it_so():
    plain, drawn = form(load("brachial")), form(load("brachial", ["axillary-from-radial"]))
    assert axillary(drawn) == {"radial-nerve"}
    assert axillary(plain) != axillary(drawn)
    assert plain.code != drawn.code
