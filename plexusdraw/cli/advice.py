"""What is no fault of a model, yet hardly meant: roots that reach nothing, nerves that no picture draws."""

from __future__ import annotations

from collections.abc import Iterator

from plexusdraw.layout.columns.plan import plan
from plexusdraw.model import Plexus, Segment
from plexusdraw.routes import fibres


def advice(plexus: Plexus) -> Iterator[tuple[int, str]]:
    """Line in the model file and what is said of it."""
    yield from _idle_roots(plexus)
    yield from _undrawn(plexus)


def _idle_roots(plexus: Plexus) -> Iterator[tuple[int, str]]:
    """Roots where they first enter a nerve without reaching anything, unless the entry itself names them."""
    ways = fibres.of(plexus)
    used = {id: {route.root for route in ways.through(id, unseen=True)} for id in plexus.segments}
    for segment in plexus.segments.values():
        named = {segment.id, *(segment.only_roots or ()), *segment.minor}
        idle = [root for root in ways.carried[segment.id] if root not in used[segment.id] and root not in named]
        first = [root for root in idle if any(root in used[parent] for parent in segment.parents)]
        if first and used[segment.id]:
            kept = ", ".join(root for root in ways.carried[segment.id] if root not in idle)
            yield (
                segment.line,
                f"{segment.name}: {', '.join(first)} enters it and reaches nothing. To narrow it: roots: [{kept}]",
            )


def _undrawn(plexus: Plexus) -> Iterator[tuple[int, str]]:
    """Nerves that neither the whole picture nor that of a nerve of the last stage draws."""
    made = plan(plexus.drawn, fibres.of(plexus.drawn), "nerves")
    slots = (part for slot in made.slots.values() if slot.segment for part in (slot.id, *slot.segment.parts))
    between = (via for tie in made.ties for via in tie.path)
    shown = {*slots, *(branch.segment.id for branch in made.branches), *between}
    for nerve in plexus.drawn.staged(plexus.stages[-1].id):
        shown |= set(_beyond(plexus.drawn, nerve))
    for segment in plexus.drawn.segments.values():
        if segment.drawn and segment.id not in shown:
            hint = "Let it leave a nerve that is drawn, give it a stage, or say drawn: false."
            yield segment.line, f"{segment.name}: no picture draws it. {hint}"


def _beyond(plexus: Plexus, segment: Segment) -> Iterator[str]:
    for child in plexus.children[segment.id]:
        yield child
        yield from _beyond(plexus, plexus.segments[child])
