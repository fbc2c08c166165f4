"""Model files → checked plexuses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plexusdraw.errors import ModelError, UnknownNameError
from plexusdraw.model.build import Builder
from plexusdraw.model.changes import applied
from plexusdraw.model.check import check
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import Document, Faults, is_yaml, read_text

if TYPE_CHECKING:
    from plexusdraw.model.schema import ModelFile

_FOLDER = Path(__file__).parent.parent / "anatomy"


def models() -> tuple[str, ...]:
    """Names of the built-in models, sorted."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))


def load(path_or_name: str | Path = "brachial", variants: Sequence[str] = ()) -> Plexus:
    """The plexus in a model file, or the built-in one of that name, with these of its variants.

    A text without a folder and without .yaml or .yml is a name. The same text in the same process gives the
    same plexus. A variant is named by its id, name or synonym.

    Raises:
        ModelError: the file is wrong, with all faults, one a line, each "file.yaml:12: message. hint"; or two of the
            variants do not combine.
        UnknownNameError: the model has no such variant.
    """
    wanted = tuple(variants)
    path = Path(path_or_name)
    if isinstance(path_or_name, str) and not is_yaml(path) and len(path.parts) < 2:
        return _built_in(path_or_name, wanted)
    return _plexus(read_text(path), str(path_or_name), wanted, trusted=False)


def _built_in(name: str, variants: tuple[str, ...]) -> Plexus:
    if name not in models():
        known = ", ".join(models()) or "none"
        raise ModelError(f'no built-in model "{name}" (there are: {known}). A file name ends in .yaml.')
    return _plexus(read_text(_FOLDER / f"{name}.yaml"), f"{name}.yaml", variants, trusted=True)


def _form() -> type[ModelFile]:
    from plexusdraw.model.schema import ModelFile  # noqa: PLC0415

    return ModelFile


NAMING = frozenset(("name", "latin", "label", "synonyms", "note", "source"))
"""Keys that say what a thing is called, and nothing of what it is."""
KIND = reader.Kind(
    "model file", "It starts with plexusdraw: 1, then id, name, stages, segments.", _form, key="plexusdraw"
)


@lru_cache(maxsize=16)
def _plexus(text: str, path: str, variants: tuple[str, ...], trusted: bool) -> Plexus:
    known = _file(text, path, trusted, nodes=bool(variants) or not trusted)
    file = replace(known, faults=Faults(path, KIND.error))
    if not variants:
        return _built(file.document, file.faults)
    chosen = sorted({_place(file, name) for name in variants})  # so that the same come out alike in any order
    rows = file.value["variants"]
    computed = [i for i in chosen if not _draws_only(rows[i])]
    made = replace(
        _varied(file, computed, trusted), applied=tuple(_id(rows[i]) for i in chosen), base_roots=_roots(file.value)
    )
    if len(computed) == len(chosen):
        return made
    drawing = replace(_varied(file, chosen, trusted), applied=made.applied, base_roots=made.base_roots)
    return replace(made, drawing=drawing)


@lru_cache(maxsize=4)
def _file(text: str, path: str, trusted: bool, nodes: bool) -> reader.YamlFile:
    """A file whose form is right: read once, for the plexus and for each of its variants."""
    file = reader.from_text(KIND, text, path, trusted=trusted, nodes=nodes)
    file.check()
    return file


def _varied(file: reader.YamlFile, chosen: Sequence[int], trusted: bool) -> Plexus:
    """The plexus with these of the file's variants; what they make of it is checked as any model is."""
    document = applied(file.document, chosen, file.faults)
    file.check()
    if not trusted and chosen:
        from plexusdraw.yamlfile import form  # noqa: PLC0415

        form.check(KIND.form(), document, file.faults)
        file.check()
    try:
        return _built(document, file.faults)
    except ModelError as error:
        names = "; ".join(file.value["variants"][i]["name"] for i in chosen)
        raise ModelError(f"{error}\n{file.faults.path}: so it is with {names}.") from None


def _built(document: Document, faults: Faults) -> Plexus:
    builder = Builder(document, faults)
    plexus = builder.plexus()
    check(plexus, builder.course_lines, faults)
    faults.check()
    return plexus


def _draws_only(row: Mapping[str, Any]) -> bool:
    """Whether a variant is a convention that draws otherwise; one that only names holds in all that is computed."""
    changes = row.get("changes", ())
    names = all("set" in change and set(change) - {"set"} <= NAMING for change in changes)
    return row.get("kind") == "convention" and not names


def _place(file: reader.YamlFile, name: str) -> int:
    """Place in the table of the variant that a text means."""
    rows = file.value.get("variants", ())
    known: dict[str, int] = {}
    for i, row in enumerate(rows):
        for text in (_id(row), row["name"], *row.get("synonyms", ())):
            known.setdefault(kebab(text), i)
    if kebab(name) in known:
        return known[kebab(name)]
    listed = [_id(row) for row in rows]
    hint = reader.near(name, listed) if listed else "It has none."
    raise UnknownNameError(f'the {file.value["name"]} has no variant "{name}". {hint}', listed)


def _id(row: Mapping[str, Any]) -> str:
    return str(row.get("id") or kebab(row["name"]))


def _roots(rows: Mapping[str, Any]) -> tuple[str, ...]:
    first = rows["stages"][0]["id"]
    return tuple(_id(row) for row in rows["segments"] if row.get("stage") == first)
