"""A course file → the plexus that it teaches. What it names is looked up here; every fault is told with its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw import names
from plexusdraw.courses import keeping, left_out, words
from plexusdraw.errors import ModelError, PlexusdrawError, UnknownNameError
from plexusdraw.model import load, models
from plexusdraw.model.plexus import Default, Plexus, Taught
from plexusdraw.names.spelling import exact
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import is_yaml

if TYPE_CHECKING:
    from plexusdraw.courses.schema import CourseFile

COMMANDS = ("worksheet", "slides")
"""Commands whose options may have defaults in a course file."""


def _form() -> type[CourseFile]:
    from plexusdraw.courses.schema import CourseFile  # noqa: PLC0415

    return CourseFile


KIND = reader.Kind(
    "course file", 'It starts with "course: 1", then name, based-on, keep or leave-out.', _form, "course"
)


def plexus(text: str, path: str, variants: tuple[str, ...] = ()) -> Plexus:
    """The plexus that the course file with this text teaches; *variants* hold beside its own.

    Raises:
        ModelError: the file, or the model on which it is based, is wrong; every fault with its line.
        UnknownNameError: the model has no such variant as one of *variants*.
    """
    file = reader.from_text(KIND, text, path)
    base = _base(file, path, variants)
    if base is None:
        file.check()
        raise AssertionError("a course without a base has a fault")
    if file.faults.found:
        _kept(file, words.renamed(base, _names(file, base)))  # all faults are told at once
        file.check()
    return _on_base(text, path, base)


@lru_cache(maxsize=16)
def _on_base(text: str, path: str, base: Plexus) -> Plexus:
    """What the file makes of the model on which it is based; worked out once."""
    file = reader.from_text(KIND, text, path)
    plain, base = base, words.renamed(base, _names(file, base))
    kept = _kept(file, base)
    file.check()
    taught = Taught(
        name=file.value["name"],
        path=path,
        of_file=is_yaml(file.value.get("based-on", "")),
        left_out=left_out.ids(base) - kept,
        keeps="keep" in file.value,
        minor=file.value.get("minor") != "hidden",
        words={id: word for id, word in words.changed(plain, base).items() if id in kept},
        defaults={command: _defaults(file, command) for command in COMMANDS},
    )
    return left_out.cut(base, kept, taught) if taught.left_out else _taught(base, taught)


def _taught(plexus: Plexus, taught: Taught) -> Plexus:
    drawing = plexus.drawing and replace(plexus.drawing, taught=taught)
    return replace(plexus, taught=taught, drawing=drawing)


def _base(file: reader.YamlFile, path: str, variants: tuple[str, ...]) -> Plexus | None:
    """The model on which the course is based, with its variants; faults are noted."""
    place = ("based-on",)
    based_on = file.value.get("based-on", "brachial")
    if not file.sound(place):
        return None
    if is_yaml(based_on):
        if Path(based_on).name != based_on:  # a course leads to no other folder
            file.fault(place, f'based-on: "{based_on}" must lie beside the course', "Give its name alone.")
            return None
        based_on = str(Path(path).parent / based_on)
    elif based_on not in models():
        file.fault(place, f'based-on: no built-in model "{based_on}"', reader.near(based_on, models()))
        return None
    try:
        plain = load(based_on)
    except ModelError as error:
        file.fault(place, f"based-on: {based_on} cannot be taken", "Mend it first:")
        first, *_ = file.faults.lines()
        raise ModelError(f"{first}\n{error}") from None
    wanted = [name for place, name in file.entries("variants") if _is_variant(file, place, name, plain, based_on)]
    try:
        return load(based_on, (*wanted, *variants)) if wanted or variants else plain
    except UnknownNameError:
        raise
    except PlexusdrawError as error:
        if not wanted:
            raise
        raise ModelError(f"{path}:{file.line(('variants',))}: so it is with these variants:\n{error}") from None


def _is_variant(file: reader.YamlFile, place: tuple[str | int, ...], name: str, plain: Plexus, based_on: str) -> bool:
    before = len(file.faults.found)
    with file.noting(place):
        names.variant(plain, name)
    return len(file.faults.found) == before


def _names(file: reader.YamlFile, base: Plexus) -> Mapping[str, str]:
    """Id → the teacher's word."""
    found: dict[str, str] = {}
    places: dict[str, tuple[str | int, ...]] = {}
    for place, word in file.entries("names"):
        with file.noting(place):
            id = keeping.one(base, str(place[-1])).id
            if id in found:
                file.fault(place, f'"{place[-1]}" has a word already, under another spelling', "Keep one.")
            found[id] = " ".join(str(word).split())
            places[id] = place
    called = {entity.id: exact(found.get(entity.id, entity.name)) for entity in base.entities()}
    for id, word in found.items():
        if file.faults.full:
            break
        other = next((other for other, name in called.items() if other != id and name == exact(word)), None)
        if other is not None:
            both = f"{base.entity(id).name} and {base.entity(other).name}"
            file.fault(places[id], f'"{word}" would mean both {both}', "Choose another word.")
    return found


def _kept(file: reader.YamlFile, base: Plexus) -> frozenset[str]:
    """Ids of all that is kept, what it needs included."""
    every = left_out.ids(base)
    keep, leave = (dict(_named(file, base, key)) for key in ("keep", "leave-out"))
    if "keep" in file.value and "leave-out" in file.value:
        file.fault(("leave-out",), "keep and leave-out stand in one course", "Choose one: keep says all that is shown.")
    kept = every
    if keep:
        kept = keeping.with_needs(base, frozenset().union(*keep.values()))
    elif leave:
        kept = keeping.without(base, every, frozenset().union(*leave.values()))
    place = ("keep",) if keep else ("leave-out",)
    if not file.faults.found and not keeping.has_nerves(base, kept):
        hint = f"Keep something beyond the {base.stages[0].name}."
        file.fault(place, f"{place[0]}: no nerve is left", hint)
    return kept


def _named(file: reader.YamlFile, base: Plexus, key: str) -> Iterator[tuple[tuple[str | int, ...], frozenset[str]]]:
    """Place in the file of each text and the ids that it means; unknown names are noted, each with its line."""
    for place, text in file.entries(key):
        with file.noting(place):
            yield place, keeping.meant(base, text)


def _defaults(file: reader.YamlFile, command: str) -> Mapping[str, Default]:
    value = file.value.get(command) or {}
    return {key: Default(value[key], file.line((command, key))) for key in value}
