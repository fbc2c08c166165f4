"""The form of a model file, version 1, as pydantic models; its JSON Schema comes from them.

These rows say what may stand where. What the entries mean to each other is checked in
:mod:`plexusdraw.model.check`.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, StringConstraints, Tag, ValidationError

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

    from plexusdraw.yamlfile.document import Document, Faults

Text = Annotated[str, StringConstraints(min_length=1, max_length=2000)]
Ids = list[Text]


def _sources_form(value: object) -> str:
    return "<by part>" if isinstance(value, dict) else "<list>"


def _course_form(value: object) -> str:
    if not isinstance(value, dict):
        return "<name>"
    return "<level>" if "level" in value else "<branch>"


Sources = Annotated[
    Annotated[Ids, Tag("<list>")] | Annotated[dict[Text, Ids], Tag("<by part>")],
    Discriminator(_sources_form),
]
"""Ids of sources, or a list of them for each part of the entry (nerve, roots, movements)."""


class _Row(BaseModel):
    # Only the outermost row needs a validator of its own; building one for each row doubles the start.
    model_config = ConfigDict(extra="forbid", strict=True, defer_build=True)


class SourceRow(_Row):
    """A published source."""

    title: Text
    note: str = ""


class StageRow(_Row):
    """A column of the picture; the first holds the roots."""

    id: Text
    name: Text
    singular: Text
    order: Literal["given", "free"] = "given"
    latin: str = ""


class NamedRow(_Row):
    """What every entry may have."""

    name: Text
    id: Text | None = None
    latin: str = ""
    label: str = ""
    synonyms: Ids = []
    note: str = ""
    source: Sources = Field(default_factory=list)


class BranchRow(_Row):
    """What leaves a segment; ``roots`` and ``minor`` narrow what it brings to a muscle or skin area."""

    to: Text
    roots: Ids | None = None
    minor: Ids | None = None


class LevelRow(NamedRow):
    """A named place along a segment."""

    name: Text = Field(alias="level")


CourseRow = Annotated[
    Annotated[Text, Tag("<name>")] | Annotated[LevelRow, Tag("<level>")] | Annotated[BranchRow, Tag("<branch>")],
    Discriminator(_course_form),
]


class PartRow(NamedRow):
    """A part of a segment that keeps its fibres apart: where they come from and what leaves them."""

    parents: Ids = Field(default=[], alias="from")
    roots: Ids | None = None
    minor: Ids = []
    variable: dict[Text, str] = {}
    plane: Literal["posterior", "middle", "anterior"] = "middle"
    course: list[CourseRow] = []


class SegmentRow(PartRow):
    """A stretch of nerve: root, trunk, ... or, without a stage, a branch or a link."""

    stage: Text | None = None
    side: Literal["cranial", "caudal"] | None = None
    passes: Literal["behind"] | None = None
    drawn: bool = True
    parts: list[PartRow] = []


class TargetRow(NamedRow):
    """What a muscle and a skin area have in common."""

    roots: Ids = []
    minor: Ids = []
    variable: dict[Text, str] = {}
    outside: dict[Text, str] = {}
    outside_minor: Ids = []


class MuscleRow(TargetRow):
    """A muscle, or a part of one with a supply of its own; not ``testable``: it cannot be examined alone."""

    movements: Ids = []
    testable: bool = True


class SkinRow(TargetRow):
    """A skin area, or a dermatome (then ``dermatome`` is its root, and its routes are derived)."""

    area: str = ""
    dermatome: Text | None = None


class GroupRow(NamedRow):
    """A name for several muscles."""

    members: Annotated[Ids, Field(min_length=1)]


class OutsideRow(NamedRow):
    """A muscle or skin area that belongs to no nerve of this plexus."""

    kind: Literal["muscle", "skin"] = "muscle"
    nerve: str = ""
    roots: Ids = []
    minor: Ids = []
    movements: Ids = []


class ReflexRow(NamedRow):
    """A tendon reflex."""

    muscles: Annotated[Ids, Field(min_length=1)]
    roots: Annotated[Ids, Field(min_length=1)]
    minor: Ids = []


class RuleRow(_Row):
    """When a sign shows: every part that is given must hold."""

    lost: Ids = []
    weak: Ids = []
    spared: Ids = []
    cut: Ids = []
    all: list[RuleRow] = []
    any: list[RuleRow] = []


class SignRow(NamedRow):
    """A sign and its rule."""

    when: RuleRow


class ModelFile(_Row):
    """A whole model file."""

    plexusdraw: Literal[1]
    id: Text
    name: Text
    latin: str = ""
    limb: str = "limb"
    synonyms: Ids = []
    note: str = ""
    caution: str = ""
    sources: dict[Text, SourceRow] = {}
    stages: Annotated[list[StageRow], Field(min_length=2)]
    segments: Annotated[list[SegmentRow], Field(min_length=1)]
    muscles: list[MuscleRow] = []
    skin: list[SkinRow] = []
    groups: list[GroupRow] = []
    outside: list[OutsideRow] = []
    reflexes: list[ReflexRow] = []
    signs: list[SignRow] = []


def json_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of a model file, for editors that check while one types."""
    schema = ModelFile.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def check(document: Document, faults: Faults) -> None:
    """Note where a parsed file has another form than this."""
    try:
        ModelFile.model_validate(document.value)
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_input=True):
            if faults.full:
                break
            message, hint = _explain(detail, document)
            faults.add(document.line(detail["loc"]), message, hint)


def _explain(detail: ErrorDetails, document: Document) -> tuple[str, str]:
    """Message and hint in the words of the file's author for one pydantic fault."""
    path, kind = detail["loc"], detail["type"]
    place = _place(path, document)
    last = str(path[-1]) if path else ""
    if kind == "missing":
        return f'{_place(path[:-1], document)} has no "{last}"', f"Add {last}: ..."
    if kind == "extra_forbidden":
        return f'unknown key "{last}" in {_place(path[:-1], document)}', _near(last, _keys_near(path, document))
    if kind == "literal_error":
        allowed = str(detail.get("ctx", {}).get("expected", "")).replace("'", "")
        hint = _near(str(detail["input"]), allowed.replace(" or ", ", ").split(", "))
        return f"{place}: {_shown(detail['input'])} is not {allowed}", hint
    if kind in _WANTED:
        hint = "Put it in quotes." if kind == "string_type" and detail["input"] is not None else ""
        return f"{place} must be {_WANTED[kind]}, not {_shown(detail['input'])}", hint
    return f"{place}: {str(detail['msg'])[:1].lower()}{str(detail['msg'])[1:]}", ""


_WANTED = {
    "string_type": "text",
    "list_type": "a list",
    "dict_type": "a mapping",
    "model_type": "a mapping",
    "model_attributes_type": "a mapping",
    "bool_type": "true or false",
    "string_too_short": "text",
    "too_short": "a longer list",
}


def _shown(value: object) -> str:
    if value is None or value == "":
        return "nothing"
    if isinstance(value, (dict, list)):
        return "a mapping" if isinstance(value, dict) else "a list"
    return f'"{str(value)[:60]}"' if isinstance(value, str) else str(value).lower()


def _place(path: tuple[str | int, ...], document: Document) -> str:
    """The keys that lead to a place, an entry of a list by its name: "segments, upper trunk, course"."""
    words: list[str] = []
    value: object = document.value
    for step in path:
        value = _step(value, step)
        if isinstance(step, str):
            words += [] if step.startswith("<") else [step]
        else:
            name = value.get("name", value.get("level")) if isinstance(value, dict) else None
            words.append(name if isinstance(name, str) else f"entry {step + 1}")
    return ", ".join(words) or "the file"


def _step(value: object, step: str | int) -> object:
    if isinstance(step, str) and step.startswith("<"):
        return value
    if isinstance(value, dict):
        return value.get(step)
    return value[step] if isinstance(value, list) and isinstance(step, int) and step < len(value) else None


_ROWS: dict[str, type[BaseModel]] = {
    "stages": StageRow,
    "segments": SegmentRow,
    "parts": PartRow,
    "muscles": MuscleRow,
    "skin": SkinRow,
    "groups": GroupRow,
    "outside": OutsideRow,
    "reflexes": ReflexRow,
    "signs": SignRow,
    "sources": SourceRow,
    "<level>": LevelRow,
    "<branch>": BranchRow,
    "when": RuleRow,
}


def _keys_near(path: tuple[str | int, ...], document: Document) -> list[str]:
    """The keys that may stand where an unknown one stands."""
    row: type[BaseModel] = ModelFile
    for step in path[:-1]:
        row = _ROWS.get(str(step), row)
    return [field.alias or name for name, field in row.model_fields.items()]


def _near(word: str, allowed: list[str]) -> str:
    close = get_close_matches(word, allowed, n=3, cutoff=0.6)
    return f"Did you mean {', '.join(close)}?" if close else f"Known: {', '.join(allowed)}."
