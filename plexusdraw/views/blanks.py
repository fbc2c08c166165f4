"""Which labels are blank, and their numbers."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Stage
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Label, Part, Pill, Row, Scene
from plexusdraw.scene.view import LabelKey

LEGEND = "Write the names. All blanks of a kind have one width."


def numbered(plexus: Plexus, scenes: Sequence[Scene], hide: Sequence[str]) -> dict[LabelKey, int]:
    """A number for each label that is hidden, in reading order, through all pages.

    Raises:
        UnknownNameError: a kind that the model does not have.
    """
    wanted = kinds(plexus, hide)
    keys = (_label_key(part, wanted) for scene in scenes for part in scene.read())
    return {key: i for i, key in enumerate(dict.fromkeys(key for key in keys if key is not None), start=1)}


def _label_key(part: Part, kinds: Collection[str]) -> LabelKey | None:
    if isinstance(part, Pill) and part.kind in kinds:
        return (part.entity, "name")
    if isinstance(part, Label):
        kind = part.kind if part.role == "name" else "muscle"
        return (part.entity, part.role) if kind in kinds else None
    if isinstance(part, Row) and "muscle" in kinds:
        return (part.entity, "name")
    return None


def kinds(plexus: Plexus, hide: Sequence[str]) -> set[str]:
    """Kinds meant by words such as "labels", "trunks", "nerves".

    Raises:
        UnknownNameError: a word that means none.
    """
    found: set[str] = set()
    for word in hide:
        plain = word.strip().lower()
        match = [stage.singular for stage in plexus.stages if plain in _spellings(stage)]
        if plain in ("labels", "all"):
            found |= {*(stage.singular for stage in plexus.stages), "nerve", "muscle", "place"}
        elif plain in ("nerves", "nerve"):  # as anyone means it: those of the last column too
            found |= {"nerve", plexus.stages[-1].singular}
        elif plain in ("side branches", "side branch"):
            found.add("nerve")
        elif match:
            found.add(match[0])
        elif plain in ("muscles", "muscle", "places", "place"):
            found.add(plain.rstrip("s"))
        else:
            kinds = ("labels", *(s.id for s in plexus.stages), "nerves", "side branches", "muscles", "places")
            raise UnknownNameError(f'cannot hide "{word}"; choose from {", ".join(dict.fromkeys(kinds))}')
    return found


def _spellings(stage: Stage) -> set[str]:
    """What its labels may be called, in lower case."""
    return {word.lower() for word in (stage.id, stage.name, stage.singular, f"{stage.singular}s")}
