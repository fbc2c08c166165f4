"""Random staged models, and the models that the tests share."""

from __future__ import annotations

import json
import random
from functools import cache
from pathlib import Path
from typing import Any

from plexusdraw.model import Plexus, load
from plexusdraw.model.ids import kebab

MODELS = Path(__file__).parents[1] / "models"


@cache
def small(name: str) -> Plexus:
    """A model of tests/models."""
    return load(MODELS / f"{name}.yaml")


@cache
def brachial() -> Plexus:
    """The built-in model."""
    return load("brachial")


def rows(seed: int, *, roots: int = 4, stages: int = 4, width: int = 4) -> dict[str, Any]:
    """A random staged model as the rows of its file: a nerve off most segments, a muscle at most nerves' ends."""
    dice = random.Random(seed)
    names = [[f"R{i}" for i in range(1, roots + 1)]]
    names += [[f"part {stage} {i}" for i in range(dice.randint(2, width))] for stage in range(1, stages)]
    segments: list[dict[str, Any]] = []
    carried: dict[str, set[str]] = {}
    targets: dict[str, set[str]] = {}
    for stage, column in enumerate(names):
        for name in column:
            above = names[stage - 1]
            parents = sorted(dice.sample(above, dice.randint(1, min(2, len(above))))) if stage else []
            roots_here = {r for p in parents for r in carried[p]} if stage else {name}
            carried[name] = roots_here
            course = _course(dice, name, roots_here, segments, targets, last=stage == len(names) - 1)
            row = {"name": name, "stage": f"s{stage}", "from": [_id(p) for p in parents], "course": course}
            segments.append(row)
    return _file(seed, names, segments, targets, dice)


def _course(
    dice: random.Random,
    name: str,
    roots: set[str],
    segments: list[dict[str, Any]],
    targets: dict[str, set[str]],
    *,
    last: bool,
) -> list[Any]:
    course: list[Any] = []
    for i in range(dice.randint(1 if last else 0, 3)):
        muscle = f"muscle {i} of {name}"
        targets[muscle] = roots
        if dice.random() < 0.5 and last:
            course.append(_id(muscle))
        else:
            segments.append({"name": f"nerve {i} of {name}", "course": [_id(muscle)]})
            course.append(_id(f"nerve {i} of {name}"))
        if dice.random() < 0.3:
            course.append({"place": f"place {i}"})
    return course


def _file(
    seed: int,
    names: list[list[str]],
    segments: list[dict[str, Any]],
    targets: dict[str, set[str]],
    dice: random.Random,
) -> dict[str, Any]:
    muscles = []
    for name, roots in targets.items():
        listed = sorted(roots)
        minor = listed[1:] if dice.random() < 0.5 else []
        principal = [root for root in listed if root not in minor]
        muscles.append({"name": name, "roots": principal, "minor": minor, "movements": [f"move {len(name) % 3}"]})
    skin = [{"name": "all skin", "roots": names[0]}]
    # A nerve that every root reaches, so that no root is idle.
    segments.append({"name": "skin nerve", "from": names[0], "course": ["all-skin"]})
    stages = [{"id": f"s{i}", "name": f"parts {i}", "singular": f"part {i}"} for i in range(len(names))]
    return {
        "plexusdraw": 1,
        "id": f"random-{seed}",
        "name": "random plexus",
        "stages": stages,
        "segments": segments,
        "muscles": muscles,
        "skin": skin,
    }


def _id(name: str) -> str:
    return kebab(name)


def write(folder: Path, model: dict[str, Any]) -> Path:
    """A model as a file; JSON is YAML."""
    path = folder / "model.yaml"
    path.write_text(json.dumps(model, indent=1), "utf-8")
    return path


def random_plexus(folder: Path, seed: int, **size: int) -> Plexus:
    """A random staged model, loaded."""
    return load(write(folder, rows(seed, **size)))
