"""A course file: a teacher's standing choices for worksheets, as YAML. What the command line says goes before it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.yamlfile import document

FIELDS: dict[str, type | tuple[type, ...]] = {
    "course": str,
    "title": str,
    "instructions": str,
    "kind": str,
    "ask": (list, str),
    "count": int,
    "level": int,
    "word-bank": bool,
    "paper": str,
    "side": str,
    "theme": str,
    "detail": str,
}
LONGEST = 2_000
_CHOICES = {
    "kind": tuple(REGISTRY),
    "side": ("left", "right"),
    "level": (1, 2, 3, 4),
    "detail": DETAILS,
}


def read(path: str | Path) -> dict[str, Any]:
    """The choices in a course file, by the names of the options with an underscore.

    Raises:
        ModelError: the file is not such a file; every fault with its line.
    """
    doc = document.parse(document.read_text(Path(path)), str(path))
    faults = document.Faults(str(path))
    if not isinstance(doc.value, dict):
        faults.add(1, "not a course file", f'Write lines such as "title: Week 3"; fields: {", ".join(FIELDS)}.')
        faults.check()
    found: dict[str, Any] = {}
    for name, value in doc.value.items():
        if faults.full:
            break
        line = doc.line((name,))
        kind = FIELDS.get(name)
        if kind is None:
            faults.add(line, f'unknown field "{name}"; fields are {", ".join(FIELDS)}')
        elif not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            faults.add(line, f'"{name}" cannot be {value!r}')
        elif name in _CHOICES and value not in _CHOICES[name]:
            faults.add(line, f'"{name}" must be one of {", ".join(map(str, _CHOICES[name]))}, not {value!r}')
        elif name == "count" and isinstance(value, int) and value < 1:
            faults.add(line, f'"{name}" must be at least 1')
        elif len(str(value)) > LONGEST:
            faults.add(line, f'"{name}" must have at most {LONGEST} characters')
        else:
            found[name.replace("-", "_")] = _flat(value) if name == "ask" else value
    faults.check()
    return found


def _flat(value: object) -> str:
    return ",".join(map(str, value)) if isinstance(value, list) else str(value)
