"""Model files and what is in them: ``load`` reads and checks one, ``models`` names the built-in ones."""

from plexusdraw.model.entities import (
    CourseItem,
    Entity,
    Exit,
    Group,
    Outside,
    Place,
    Reflex,
    Remark,
    Rule,
    Scenario,
    Segment,
    Sign,
    Source,
    Stage,
    Target,
    Variant,
)
from plexusdraw.model.loader import load, models
from plexusdraw.model.plexus import Plexus

__all__ = [
    "CourseItem",
    "Entity",
    "Exit",
    "Group",
    "Outside",
    "Place",
    "Plexus",
    "Reflex",
    "Remark",
    "Rule",
    "Scenario",
    "Segment",
    "Sign",
    "Source",
    "Stage",
    "Target",
    "Variant",
    "load",
    "models",
]
