"""Strands left out of a drawing, to be drawn in by the student."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from random import Random

from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Pill, Scene, Strand
from plexusdraw.scene.view import State, StrandKey
from plexusdraw.sheets.worksheet.spec import Question


def candidates(plexus: Plexus, scene: Scene) -> tuple[str, ...]:
    """Segments of which the strands that arrive are drawn; a link stands for the segment to which it leads."""
    arriving = {p.entity for p in scene.parts if isinstance(p, Strand) and p.source is not None}
    return tuple(
        id
        for id, segment in plexus.segments.items()
        if id in arriving and not all(_is_link(plexus, parent) for parent in segment.parents)
    )


def _is_link(plexus: Plexus, id: str) -> bool:
    """Whether a segment without a stage leads to one that has a stage."""
    return plexus.segments[id].stage is None and any(plexus.segments[c].stage for c in plexus.children[id])


def chosen(ids: Sequence[str], count: int, rng: Random) -> tuple[str, ...]:
    """*count* of *ids* at random, in their order."""
    picked = set(rng.sample(list(ids), min(count, len(ids))))
    return tuple(id for id in ids if id in picked)


def hidden(scene: Scene, segments: Collection[str], whole: bool = False) -> Mapping[StrandKey, State]:
    """The strands that reach the *segments*, not shown; *whole*: the segments' own strands neither."""
    sources = {p.source for p in scene.parts if isinstance(p, Strand)}
    places = {p.entity for p in scene.parts if isinstance(p, Pill)}
    links = {id for id in segments if id in sources and id not in places}  # drawn as part of what they lead to
    whole_ones = {*segments, *_led_to(scene, links)} if whole else set()
    return {
        (p.entity, p.root, p.source, p.at): "hidden"
        for p in scene.parts
        if isinstance(p, Strand)
        and ((p.entity in segments and p.source is not None) or p.source in links or p.entity in whole_ones)
    }


def _led_to(scene: Scene, links: Collection[str]) -> set[str]:
    """Segments that nothing reaches but by *links*."""
    sources: dict[str, set[str]] = {}
    for p in scene.parts:
        if isinstance(p, Strand) and p.source is not None:
            sources.setdefault(p.entity, set()).add(p.source)
    return {id for id, found in sources.items() if found <= set(links)}


def question(plexus: Plexus, fibres: Fibres, segments: Sequence[str], number: int) -> Question:
    """One question for all that was left out, a point for each stretch."""
    answers = tuple(_stretch(plexus, fibres, id, parent) for id in segments for parent in plexus.segments[id].parents)
    many = len(answers)
    prompt = f"Draw what is left out: {many} {'stretch' if many == 1 else 'stretches'}, a strand for each root."
    return Question(number, prompt, answers, wanted=many, drawn=True)


def _stretch(plexus: Plexus, fibres: Fibres, child: str, parent: str) -> str:
    roots = " ".join(fibres.between(parent, child))
    names = plexus.segments
    return f"{names[parent].name} to {names[child].name} ({roots})"
