"""The form of a chart file, version 1, as pydantic models.

A place is [down, across]; a third item says "corner" (no smooth bend) or "cut" (the limb ends here, to the next one).
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Discriminator, Field, Tag

from plexusdraw.yamlfile.form import Ids, Name, Named, Row, Said, Text, ToldError, Wanted, between, tag

PLACE, DIGIT, RUN, NAME = tag("place"), tag("digit"), tag("run"), tag("name")
_TWO = Wanted("two numbers, down and across", "Like [40.5, -4.8].", min_length=2, max_length=2)
Coordinate = Annotated[float, Field(ge=-1000, le=1000)]
"""In percent of the limb's length; what lies further off would be no number once it is computed with."""
Place = Annotated[list[Coordinate], _TWO]
Width = Annotated[float, between(0, 100)]
"""In percent of the limb's length too."""
_MORE = Wanted("a place", 'Like [40.5, -4.8], or [40.5, -4.8, cut], "corner" or "cut".', min_length=2, max_length=3)


def _numbers_first(place: list[float | str]) -> list[float | str]:
    if [isinstance(part, str) for part in place] not in ([False, False], [False, False, True]):
        raise ToldError("must be two numbers, down and across, and perhaps a word", 'Like [40.5, -4.8, "cut"].')
    return place


OutlinePlace = Annotated[list[Coordinate | Literal["corner", "cut"]], _MORE, AfterValidator(_numbers_first)]
Share = Annotated[float, between(0, 1)]


def _item(value: object) -> str:
    if isinstance(value, dict):
        return DIGIT if "digit" in value else RUN
    return PLACE


def _stop(value: object) -> str:
    return NAME if isinstance(value, str) else PLACE


class SourceRow(Row):
    """A published source."""

    title: Text
    note: Said = ""


class DigitRow(Row):
    """A digit: places along its axis, the tip last, and half its width at each but the tip."""

    axis: Annotated[list[Place], Field(min_length=2)]
    half: list[Width]


class RunRef(Row):
    """A run of places that several outlines share."""

    run: Text


class DigitRef(Row):
    """The edge of a digit."""

    digit: Text


OutlineItem = Annotated[
    Annotated[OutlinePlace, Tag(PLACE)] | Annotated[DigitRef, Tag(DIGIT)] | Annotated[RunRef, Tag(RUN)],
    Discriminator(_item),
]
Stop = Annotated[Annotated[Text, Tag(NAME)] | Annotated[Place, Tag(PLACE)], Discriminator(_stop)]


class OutlinesRow(Row):
    """The silhouette of each kind of picture."""

    skin: list[OutlineItem]
    muscles: list[OutlineItem] = []


class LineRow(Row):
    """A mark for orientation in pictures of one kind; ``strong``: drawn as the edge of the limb is."""

    of: Literal["skin", "muscles", "all"] = "all"
    view: Text = ""
    places: Annotated[list[Place], Field(min_length=2)]
    closed: bool = False
    strong: bool = False


class BoneRow(Row):
    """A bone: a spindle from place to place, or an outline."""

    bone: Text
    view: Text = ""
    path: list[Place] = []
    widths: list[Width] = []
    outline: list[OutlinePlace] = []


class AreaRow(Row):
    """A skin area: a place in each of its pieces; the label points to the first."""

    area: Text
    name: Named = ""
    latin: Named = ""
    at: Annotated[list[Place], Field(min_length=1)]


class TilingRow(Row):
    """Lines that cut the outline, and the areas that they leave."""

    borders: list[Annotated[list[Place], Field(min_length=2)]]
    areas: list[AreaRow]


class ViewRow(Row):
    """A view: its name, and that of its close-up, both also in Latin; from behind it is ``mirrored``."""

    name: Name
    latin: Named = ""
    close: Named = ""
    close_latin: Named = ""
    mirrored: bool = False


class PointRow(Row):
    """A place at which a dermatome is examined."""

    area: Text
    name: Name
    view: Text
    at: Place
    source: Ids


class MuscleRow(Row):
    """A spindle of a muscle: origin and insertion are landmarks (two: as wide as they are apart)."""

    muscle: Text
    view: Text
    layer: Literal["superficial", "deep"]
    origin: Annotated[Ids, Field(min_length=1, max_length=2)] = Field(alias="from")
    insertion: Annotated[Ids, Field(min_length=1, max_length=2)] = Field(alias="to")
    via: list[Place] = []
    widths: list[Width] = []
    edges: Annotated[list[list[Place]], Field(min_length=2, max_length=2)] = Field(default=[[], []])
    lead: Share = 0
    tendon: Share = 0
    tendons: list[list[Stop]] = []
    label: Share = 0.5
    across: bool = False
    source: Ids


class AbsentRow(Row):
    """A muscle that is not drawn."""

    muscle: Text
    why: Text


class CloseupRow(Row):
    """The end of the limb at a larger scale."""

    start: Coordinate = Field(alias="from")
    scale: Annotated[float, between(1, 5)]


class ChartFile(Row):
    """A whole chart file."""

    version: Literal[1] = Field(alias="plexusdraw-chart")
    id: Text
    name: Name
    note: Said = ""
    sources: dict[Text, SourceRow] = {}
    views: dict[Text, ViewRow] = {}
    landmarks: dict[Text, Place]
    digits: dict[Text, DigitRow] = {}
    runs: dict[Text, list[OutlineItem]] = {}
    outlines: OutlinesRow
    closeup: CloseupRow | None = None
    lines: list[LineRow] = []
    bones: list[BoneRow] = []
    skin: dict[Text, TilingRow]
    dermatomes: dict[Text, TilingRow] = {}
    points: list[PointRow] = []
    muscles: list[MuscleRow] = []
    absent: list[AbsentRow] = []
