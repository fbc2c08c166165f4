"""The form of a chart file, version 1, as pydantic models.

A place is [down, across]; a third item says "corner" (no smooth bend) or "cut" (the limb ends here, to the next one).
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Number = float | int
Place = tuple[Number, Number]
OutlinePlace = tuple[Number, Number] | tuple[Number, Number, Literal["corner", "cut"]]
Text = Annotated[str, Field(min_length=1, max_length=400)]
Side = Literal["front", "back"]


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True)


class SourceRow(_Row):
    """A published source."""

    title: Text
    note: str = ""


class DigitRow(_Row):
    """A digit: places along its axis, the tip last, and half its width at each but the tip."""

    axis: Annotated[list[Place], Field(min_length=2)]
    half: list[Number]


class RunRow(_Row):
    """A run of places that several outlines share."""

    run: Text


class DigitRef(_Row):
    """The edge of a digit."""

    digit: Text


class LineRow(_Row):
    """A mark for orientation in pictures of one kind."""

    of: Literal["skin", "muscles", "all"] = "all"
    view: Side | Literal["both"] = "both"
    places: Annotated[list[Place], Field(min_length=2)]
    closed: bool = False


class BoneRow(_Row):
    """A bone: a spindle from place to place, or an outline."""

    bone: Text
    view: Side | Literal["both"] = "both"
    path: list[Place] = []
    widths: list[Number] = []
    outline: list[OutlinePlace] = []


class AreaRow(_Row):
    """A skin area: a place in each of its pieces; the label points to the first."""

    area: Text
    name: str = ""
    at: Annotated[list[Place], Field(min_length=1)]


class TilingRow(_Row):
    """Lines that cut the outline, and the areas that they leave."""

    borders: list[Annotated[list[Place], Field(min_length=2)]]
    areas: list[AreaRow]


class SidesRow(_Row):
    """The areas of both views."""

    front: TilingRow
    back: TilingRow


class PointRow(_Row):
    """A place at which a dermatome is examined."""

    area: Text
    name: Text
    view: Side
    at: Place
    source: list[Text]


class MuscleRow(_Row):
    """A spindle of a muscle: origin and insertion are landmarks (two: as wide as they are apart)."""

    muscle: Text
    view: Side
    layer: Literal["superficial", "deep"]
    origin: list[Text] = Field(alias="from", min_length=1, max_length=2)
    insertion: list[Text] = Field(alias="to", min_length=1, max_length=2)
    via: list[Place] = []
    widths: list[Number] = []
    edges: Annotated[list[list[Place]], Field(min_length=2, max_length=2)] | None = None
    lead: Number = 0
    tendon: Number = 0
    tendons: list[list[Place | Text]] = []
    label: Number = 0.5
    across: bool = False
    source: list[Text]


class AbsentRow(_Row):
    """A muscle that is not drawn."""

    muscle: Text
    why: Text


class CloseupRow(_Row):
    """The end of the limb at a larger scale."""

    front: Text
    back: Text
    start: Number = Field(alias="from")
    scale: Annotated[Number, Field(gt=1, le=5)]


class ChartFile(_Row):
    """A whole chart file."""

    plexusdraw_chart: Literal[1] = Field(alias="plexusdraw-chart")
    id: Text
    name: Text
    note: str = ""
    sources: dict[Text, SourceRow] = {}
    landmarks: dict[Text, Place]
    digits: dict[Text, DigitRow] = {}
    runs: dict[Text, list[OutlinePlace | DigitRef]] = {}
    outlines: dict[Literal["skin", "muscles"], list[OutlinePlace | DigitRef | RunRow]]
    closeup: CloseupRow | None = None
    lines: list[LineRow] = []
    bones: list[BoneRow] = []
    skin: SidesRow
    dermatomes: SidesRow | None = None
    points: list[PointRow] = []
    muscles: list[MuscleRow] = []
    absent: list[AbsentRow] = []
