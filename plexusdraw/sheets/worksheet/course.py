"""A course file: a teacher's standing choices for worksheets, as YAML. What the command line says goes before it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from plexusdraw.layout.paper import paper
from plexusdraw.look import theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.sheets.worksheet import askable
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.yamlfile import reader

if TYPE_CHECKING:
    from plexusdraw.sheets.worksheet.course_schema import CourseFile


def _form() -> type[CourseFile]:
    from plexusdraw.sheets.worksheet.course_schema import CourseFile  # noqa: PLC0415

    return CourseFile


KIND = reader.Kind("course file", 'Write lines such as "title: Week 3".', _form)


def read(plexus: Plexus, path: str | Path) -> dict[str, Any]:
    """The choices in a course file, by the names of the options with an underscore.

    Raises:
        ModelError: the file is not such a file, or names what there is not; every fault with its line.
    """
    file = reader.read(KIND, path)
    found = {key.replace("-", "_"): value for key, value in file.value.items()}
    if "ask" in found and file.sound(("ask",)):
        found["ask"] = found["ask"] if isinstance(found["ask"], str) else ",".join(found["ask"])
        with file.noting(("ask",)):
            own = {topic for kind in REGISTRY.values() for topic in kind.topics}
            words = (word for word in found["ask"].split(",") if word.strip())
            askable.asked(plexus, [word for word in words if word.strip().lower() not in own])
    for key, known in (("paper", paper), ("theme", theme.load)):
        if key in found and file.sound((key,)):
            with file.noting((key,)):
                known(found[key])
    file.check()
    return found
