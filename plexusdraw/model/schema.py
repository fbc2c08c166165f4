"""The form of a model file, version 1, as pydantic models; its JSON Schema comes from them.

These rows say what may stand where. What the entries mean to each other is checked in
:mod:`plexusdraw.model.check`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Discriminator, Field, Tag

from plexusdraw.yamlfile import form
from plexusdraw.yamlfile.form import Ids, Name, Named, Row, Said, Text, ToldError, tag

LISTED, BY_PART = tag("list"), tag("by part")
NAME, PLACE, BRANCH = tag("name"), tag("place"), tag("branch")


def _sources_form(value: object) -> str:
    return BY_PART if isinstance(value, dict) else LISTED


def _course_form(value: object) -> str:
    if not isinstance(value, dict):
        return NAME
    return PLACE if "place" in value else BRANCH


Sources = Annotated[
    Annotated[Ids, Tag(LISTED)] | Annotated[dict[Text, Ids], Tag(BY_PART)],
    Discriminator(_sources_form),
]
"""Ids of sources, or a list of them for each part of the entry (nerve, roots, movements)."""


Names = list[Name]
Dermatome = Annotated[
    Annotated[Text, Tag(NAME)] | Annotated[Annotated[Ids, Field(min_length=1)], Tag(LISTED)],
    Discriminator(lambda value: LISTED if isinstance(value, list) else NAME),
]
"""The root of a dermatome, or several."""


class SourceRow(Row):
    """A published source."""

    title: Text
    note: Said = ""


class StageRow(Row):
    """A column of the picture; the first holds the roots."""

    id: Text
    name: Name
    singular: Name
    order: Literal["given", "free"] = "given"
    latin: Named = ""


class LimbRow(Row):
    """The limb in Latin: alone, and as that of a side, whose word agrees with it."""

    name: Name
    left: Name
    right: Name


class NamedRow(Row):
    """What every entry may have."""

    name: Name
    id: Text | None = None
    latin: Named = ""
    label: Named = ""
    synonyms: Ids = []
    note: Said = ""
    source: Sources = Field(default_factory=list)


class BranchRow(Row):
    """What leaves a segment; ``roots`` and ``minor`` narrow what it brings to a muscle or skin area."""

    to: Text
    roots: Ids | None = None
    minor: Ids | None = None


class PlaceRow(NamedRow):
    """A named place along a segment; its Latin, as its name, without the segment's: "in canali carpi"."""

    name: Name = Field(alias="place")
    variable: dict[Text, str] = {}


CourseRow = Annotated[
    Annotated[Text, Tag(NAME)] | Annotated[PlaceRow, Tag(PLACE)] | Annotated[BranchRow, Tag(BRANCH)],
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
    offshoot: bool = False
    loop: bool = False
    parts: list[PartRow] = []
    reaches: Ids = []


class TargetRow(NamedRow):
    """What a muscle and a skin area have in common."""

    roots: Ids = []
    minor: Ids = []
    variable: dict[Text, str] = {}
    outside: dict[Text, str] = {}
    outside_minor: Ids = []
    examine: Said = ""


class MuscleRow(TargetRow):
    """A muscle, or a part of one with a supply of its own; not ``testable``: it cannot be examined alone."""

    movements: Names = []
    testable: bool = True
    trick: Said = ""


class SkinRow(TargetRow):
    """A skin area, or a dermatome (then ``dermatome`` is its root or roots, and its routes are derived)."""

    area: Named = ""
    dermatome: Dermatome | None = None
    areas: Ids = []


class GroupRow(NamedRow):
    """A name for several muscles."""

    members: Annotated[Ids, Field(min_length=1)]


class RegionRow(NamedRow):
    """A part of the plexus that may be drawn alone: its nerves."""

    nerves: Annotated[Ids, Field(min_length=1)]


class OutsideRow(NamedRow):
    """A muscle or skin area that belongs to no nerve of this plexus."""

    kind: Literal["muscle", "skin"] = "muscle"
    nerve: Named = ""
    nerve_latin: Named = ""
    roots: Ids = []
    minor: Ids = []
    movements: Names = []
    cut: Ids = []


class ReflexRow(NamedRow):
    """A tendon reflex."""

    muscles: Annotated[Ids, Field(min_length=1)]
    roots: Annotated[Ids, Field(min_length=1)]
    minor: Ids = []


class RuleRow(Row):
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


class AlternativeRow(Row):
    """What some sources mean by a scenario's name instead."""

    sites: Annotated[Ids, Field(min_length=1)]
    note: Said = ""


class ScenarioRow(NamedRow):
    """A name for an injury at one or several sites, each as a user types it."""

    sites: Annotated[Ids, Field(min_length=1)]
    usually: Literal["partial", "complete"] | None = None
    alternatives: list[AlternativeRow] = []


class RemarkRow(Row):
    """What is worth knowing of all places of one name."""

    place: Text
    note: Text
    source: Ids = []


class PrevalenceRow(Row):
    """How often a variant was found: the figure as published, in whom, by whom."""

    value: Text
    where: Said = ""
    source: Sources = Field(default_factory=list)


def _one_verb(value: dict[str, Any]) -> dict[str, Any]:
    verbs = [verb for verb in VERBS if verb in value]
    if len(verbs) != 1 or not isinstance(value[verbs[0]], str):
        raise ToldError(f"a change says one of {', '.join(VERBS)}, and of what", "Such as: set: ID.")
    return value


VERBS = ("set", "add", "remove")
Change = Annotated[dict[Text, Any], AfterValidator(_one_verb)]
"""What it makes of the model is checked as any model is."""


class VariantRow(NamedRow):
    """A named set of changes: to the body (variant), or to how it is drawn or named (convention)."""

    kind: Literal["variant", "convention"] = "variant"
    prevalence: list[PrevalenceRow] = []
    changes: Annotated[list[Change], Field(min_length=1)]


class ModelFile(Row):
    """A whole model file."""

    plexusdraw: Literal[1]
    id: Text
    name: Name
    latin: Named = ""
    limb: Named = "limb"
    limb_latin: LimbRow | None = None
    chart: Said = ""
    synonyms: Ids = []
    note: Said = ""
    caution: Said = ""
    sources: dict[Text, SourceRow] = {}
    stages: Annotated[list[StageRow], Field(min_length=2)]
    segments: Annotated[list[SegmentRow], Field(min_length=1)]
    muscles: list[MuscleRow] = []
    skin: list[SkinRow] = []
    groups: list[GroupRow] = []
    outside: list[OutsideRow] = []
    regions: list[RegionRow] = []
    reflexes: list[ReflexRow] = []
    signs: list[SignRow] = []
    scenarios: list[ScenarioRow] = []
    remarks: list[RemarkRow] = []
    variants: list[VariantRow] = []


def json_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of a model file, for editors that check while one types."""
    return form.json_schema(ModelFile)
