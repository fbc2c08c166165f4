"""Model files → checked plexuses."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw.errors import ModelError
from plexusdraw.model.build import Builder
from plexusdraw.model.check import check
from plexusdraw.model.plexus import Plexus
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import read_text

if TYPE_CHECKING:
    from plexusdraw.model.schema import ModelFile

_FOLDER = Path(__file__).parent.parent / "anatomy"
_SUFFIXES = (".yaml", ".yml")


def models() -> tuple[str, ...]:
    """Names of the built-in models, sorted."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))


def load(path_or_name: str | Path = "brachial") -> Plexus:
    """The plexus in a model file, or the built-in one of that name.

    A text without a folder and without .yaml or .yml is a name. The same text in the same process gives the
    same plexus. Raises ModelError with all faults, one a line, each "file.yaml:12: message. hint".
    """
    path = Path(path_or_name)
    if isinstance(path_or_name, str) and path.suffix not in _SUFFIXES and len(path.parts) < 2:
        return _built_in(path_or_name)
    return _plexus(read_text(path), str(path_or_name), trusted=False)


def _built_in(name: str) -> Plexus:
    if name not in models():
        known = ", ".join(models()) or "none"
        raise ModelError(f'no built-in model "{name}" (there are: {known}). A file name ends in .yaml.')
    return _plexus(read_text(_FOLDER / f"{name}.yaml"), f"{name}.yaml", trusted=True)


def _form() -> type[ModelFile]:
    from plexusdraw.model.schema import ModelFile  # noqa: PLC0415

    return ModelFile


KIND = reader.Kind(
    "model file", "It starts with plexusdraw: 1, then id, name, stages, segments.", _form, key="plexusdraw"
)


@lru_cache(maxsize=8)
def _plexus(text: str, path: str, trusted: bool) -> Plexus:
    file = reader.from_text(KIND, text, path, trusted=trusted)
    file.check()
    builder = Builder(file.document, file.faults)
    plexus = builder.plexus()
    check(plexus, builder.course_lines, file.faults)
    file.check()
    return plexus
