"""Models to lay out: the brachial plexus, those of tests/models, random ones."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import staged

import plexusdraw
from plexusdraw.model.plexus import Plexus

MODELS = Path(__file__).parent.parent / "models"


@pytest.fixture(scope="session")
def brachial() -> Plexus:
    return plexusdraw.load("brachial")


@pytest.fixture(scope="session")
def random_plexus(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Plexus]:
    """Makes the random model of a seed and a shape."""
    folder = tmp_path_factory.mktemp("random")

    def make(seed: int, **shape: int | bool) -> Plexus:
        path = folder / f"{seed}-{'-'.join(str(int(v)) for v in shape.values())}.yaml"
        path.write_text(staged.model(seed, **shape), encoding="utf-8")  # type: ignore[arg-type]
        return plexusdraw.load(path)

    return make
