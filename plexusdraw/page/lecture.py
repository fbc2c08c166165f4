"""The lecture of :mod:`plexusdraw.sheets.slides` as steps that the page shows one after the other."""

from __future__ import annotations

from typing import Any

from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.scene import Scene
from plexusdraw.sheets.slides import composition, outline, say
from plexusdraw.sheets.slides.steps import PAGES, Step
from plexusdraw.sheets.slides.things import Things

Stop = dict[str, Any]


def stops(plexus: Plexus, scene: Scene) -> list[Stop]:
    """What comes after what: title, and, where there is something, what appears, is lit, cut, asked or said.

    A question stands before its step without what it asks. It is the long lecture: whoever clicks takes what he likes.
    """
    found: list[Stop] = []
    shown = Things()
    for step in outline.read(plexus.drawn, outline.LONG, composition.drawn(scene)).steps:
        if step.on in PAGES:
            continue
        new = step.show - shown
        shown |= step.show
        if step.ask:
            asked = {"section": step.section, "title": step.ask, "hide": _kind(plexus, step)}
            marks = [site.id for site in step.injure] if step.asked == "loss" else []
            found.append(asked | {"show": sorted(new.drawn), "marks": marks})
        found.append(
            {
                "section": step.section,
                "title": step.title,
                "show": [] if step.ask else sorted(new.drawn),
                "lit": [entity.id for entity in step.highlight],
                "cuts": [site.id for site in step.injure],
                "partial": step.partial,
                "say": say.lines(plexus, fibres.of(plexus), step, new),
            }
        )
    return [{key: value for key, value in stop.items() if value} for stop in found]


def _kind(plexus: Plexus, step: Step) -> str:
    """The kind of name that a question hides, as the page calls it; none where it asks no names."""
    if step.asked != "names":
        return ""
    words = {stage.name: stage.singular for stage in plexus.stages} | {"muscles": "muscle", "side branches": "nerve"}
    return words.get(step.hide[0], "labels") if step.hide else "labels"
