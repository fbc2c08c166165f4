"""What a picture of a limb shows."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import Paper, paper

Picture = Literal["skin", "muscles", "dermatomes"]
PICTURES: tuple[Picture, ...] = ("skin", "muscles", "dermatomes")
By = Literal["nerve", "root", "state"]
BYS: tuple[By, ...] = ("nerve", "root", "state")
Layers = Literal["both", "superficial", "deep"]
LAYERS: tuple[Layers, ...] = ("both", "superficial", "deep")


@dataclass(frozen=True, slots=True)
class LimbOptions:
    """``by``: what colour stands for. ``words``: room for the state of each muscle or area in words.

    ``layers``: of the muscles. ``asked``: ids of what a reader asks about: what an injury takes, or what is lit; where
    there is no room for all names, that of these alone. ``bare``: figures with their names alone, from edge to edge of
    the room, since the page on which they stand says the rest.
    """

    picture: Picture = "skin"
    layers: Layers = "both"
    by: By = "nerve"
    page: Paper = field(default_factory=paper)
    side: Literal["left", "right"] = "left"
    wording: Wording = field(default_factory=Wording)
    words: bool = False
    asked: frozenset[str] = frozenset()
    bare: bool = False
