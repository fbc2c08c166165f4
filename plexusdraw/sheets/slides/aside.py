"""Side branches that a part of a plexus has no room for: on a slide of their own, with what feeds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw.model import regions
from plexusdraw.model.entities import Region
from plexusdraw.model.plexus import Plexus
from plexusdraw.sheets.slides.steps import Step
from plexusdraw.sheets.slides.things import things

SIDES = "side branches"


def alone(plexus: Plexus, region: Region) -> Plexus | None:
    """The plexus drawn as the side branches of one of its parts; None where the part names none."""
    sides = tuple(id for id in region.nerves if id in plexus.segments and plexus.segments[id].stage is None)
    return regions.drawn_alone(plexus, replace(region, nerves=sides)) if sides else None


def step(plexus: Plexus, drawn: frozenset[str], steps: Sequence[Step]) -> Step | None:
    """All side branches as one step, after the *steps* that show them column by column; None where none does."""
    told = [s for s in steps if any(text.startswith(SIDES) for text in s.texts.get("show", ()))]
    if not told:
        return None
    title = f"{told[0].section}: {plexus.name}"
    return replace(told[0], title=title, show=things(plexus, SIDES, drawn), aside=True)


def put_in(steps: Sequence[Step], made: Step) -> tuple[Step, ...]:
    """The steps with one more, after those that build up the drawing."""
    building = [i for i, s in enumerate(steps) if s.show and s.on == "drawing" and not s.highlight]
    after = max(building, default=-1) + 1
    return (*steps[:after], made, *steps[after:])


def begun_sooner(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps of a later part, of which the first two build up the drawing on one slide: its roots are known."""
    first, second, *rest = steps
    if any(not s.show or s.highlight or s.ask or s.on != "drawing" for s in (first, second)):
        return tuple(steps)
    title = f"{first.title} and {second.title[:1].lower()}{second.title[1:]}"
    return (replace(second, title=title, show=first.show | second.show), *rest)
