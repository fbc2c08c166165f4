"""A reader's own words on the picture: a YAML file of structure → text."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.yamlfile import reader

if TYPE_CHECKING:
    from plexusdraw.names.own_labels_schema import LabelsFile


def _form() -> type[LabelsFile]:
    from plexusdraw.names.own_labels_schema import LabelsFile  # noqa: PLC0415

    return LabelsFile


KIND = reader.Kind("label file", 'Write one structure a line, such as "radial nerve: N. radialis".', _form)


def read(plexus: Plexus, path: str | Path) -> dict[str, str]:
    """Texts by id, from a file with lines such as ``radial nerve: N. radialis``; any spelling of a structure will do.

    Raises:
        ModelError: the file is not such a file, or names what the plexus does not have; every fault with its line.
    """
    file = reader.read(KIND, path)
    found: dict[str, str] = {}
    if not file.value:
        file.fault((), "a label file without a label", KIND.start)
    for name, text in file.value.items():
        if file.faults.full:
            break
        with file.noting((name,)):
            id = names.find(plexus, name).id
            if id in found:
                file.fault((name,), f'"{name}" has a text already, under another spelling', "Keep one.")
            found[id] = " ".join(str(text).split())
    file.check()
    return found
