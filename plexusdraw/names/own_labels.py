"""A reader's own words on the picture: a YAML file of structure → text."""

from __future__ import annotations

from pathlib import Path

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.yamlfile import document

LONGEST = 120


def read(plexus: Plexus, path: str | Path) -> dict[str, str]:
    """Texts by id, from a file with lines such as ``radial nerve: N. radialis``; any spelling of a structure will do.

    Raises:
        ModelError: the file is not such a file, or names what the plexus does not have; every fault with its line.
    """
    place = Path(path)
    doc = document.parse(document.read_text(place), str(path))
    faults = document.Faults(str(path))
    found: dict[str, str] = {}
    if not isinstance(doc.value, dict):
        faults.add(1, "not a label file", 'Write one structure a line, such as "radial nerve: N. radialis".')
        faults.check()
    for name, text in doc.value.items():
        if faults.full:
            break
        line = doc.line((name,))
        if not isinstance(text, str) or not text.strip() or len(text) > LONGEST:
            faults.add(line, f'the text for "{name}" must be 1 to {LONGEST} characters')
            continue
        try:
            id = names.find(plexus, name).id
        except UnknownNameError as error:
            message, _, hint = str(error).partition(". ")
            faults.add(line, message.rstrip("."), hint)
            continue
        if id in found:
            faults.add(line, f'"{name}" has a text already, under another spelling', "Keep one.")
        found[id] = " ".join(text.split())
    faults.check()
    return found
