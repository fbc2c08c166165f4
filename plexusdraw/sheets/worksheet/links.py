"""Which links a label form asks: a rule of the plexus, not of what room one sheet happens to have.

A form with boxes to write in has less room for names than one with lines, and the page draws no sheet. So a link is
asked wherever its name has room on the plain picture and on the plainest sheet of its settings, both on A4; an
arrangement of a sheet that has no room for all of these is not taken while there is another.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from plexusdraw import fonts
from plexusdraw.api import fitting
from plexusdraw.layout.columns.plan import Detail, plan
from plexusdraw.layout.fit import Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.scene import Label, Scene
from plexusdraw.sheets.worksheet.drawing import bare, frame_of, laid_out, plainest, routes
from plexusdraw.sheets.worksheet.spec import Spec


def named(plexus: Plexus, detail: Detail, scenes: Iterable[Scene]) -> frozenset[str]:
    """The links of a drawing that have their names on it."""
    found = {part.entity for scene in scenes for part in scene.parts if isinstance(part, Label)}
    return _drawn(plexus, detail).intersection(found)


@lru_cache(maxsize=32)
def _drawn(plexus: Plexus, detail: Detail) -> frozenset[str]:
    """All links of a drawing, named or not."""
    return frozenset(plan(bare(plexus), routes(plexus), detail).links())


@fonts.measuring(32)
def asked(plexus: Plexus, detail: Detail, style: Style, said: str) -> frozenset[str]:
    """The links that forms of these settings ask, on any paper. *said*: the longest instructions of such a form."""
    return on_sheet(plexus, detail, style, said) & _on_picture(plexus, detail, style)


@fonts.measuring(32)
def on_sheet(plexus: Plexus, detail: Detail, style: Style, said: str) -> frozenset[str]:
    """Those that have room on the plainest sheet: numbers on the drawing, lines on pages of their own."""
    if not _drawn(plexus, detail):
        return frozenset()
    spec = Spec(detail=detail, wording=Wording(style))
    made = laid_out(plexus, plainest(spec, detail, frame_of(plexus, spec, "", 99, said)))
    return named(plexus, detail, made or ())


def _on_picture(plexus: Plexus, detail: Detail, style: Style) -> frozenset[str]:
    """Those that have room on the picture alone, as the page shows it: a table takes the room that it needs."""
    if not _drawn(plexus, detail):
        return frozenset()
    page = paper("fit" if detail == "muscles" else "a4")
    return named(plexus, detail, fitting(plexus, Options(detail, page, wording=Wording(style))) or ())
