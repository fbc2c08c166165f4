"""A chart of a limb: its outline, skin areas, dermatomes and muscles in limb coordinates. Data, no page.

Limb coordinates: how far down (0 at the tip of the shoulder or hip, 100 at the tip of the longest digit) and how far
across (from the axis of the limb, lateral positive), both in percent of the limb's length. All views share one
silhouette: that from behind is that from the front, mirrored.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from plexusdraw.charts.splines import Knot, Spindle
from plexusdraw.scene import Curve, Point

Layer = Literal["superficial", "deep"]
LAYERS: tuple[Layer, Layer] = ("superficial", "deep")


@dataclass(frozen=True, slots=True)
class Patch:
    """A skin area: its pieces, and a point in the first one for its label. ``name``: if it is none of the model's."""

    id: str
    name: str
    pieces: tuple[Curve, ...]
    at: Point
    latin: str = ""


@dataclass(frozen=True, slots=True)
class Tiling:
    """Areas of one view, without gap or overlap."""

    patches: tuple[Patch, ...]


@dataclass(frozen=True, slots=True)
class Muscle:
    """One spindle of a muscle on one view; a muscle may have several. ``origin`` and ``insertion``: landmarks."""

    id: str
    view: str
    layer: Layer
    shape: Spindle
    origin: tuple[str, ...]
    insertion: tuple[str, ...]
    path: tuple[Point, ...]
    sources: tuple[str, ...]
    across: bool
    """It runs across the limb: its origin is no nearer to the trunk than its insertion."""


@dataclass(frozen=True, slots=True)
class Line:
    """A mark for orientation: a crease, a nail, the edge of a bone; ``strong`` as that of an ear."""

    view: str
    curve: Curve
    of: str
    strong: bool


@dataclass(frozen=True, slots=True)
class Bone:
    """A bone behind the deep muscles."""

    id: str
    views: tuple[str, ...]
    curve: Curve


@dataclass(frozen=True, slots=True)
class KeyPoint:
    """A place at which a dermatome is examined."""

    id: str
    name: str
    view: str
    at: Point


@dataclass(frozen=True, slots=True)
class Outline:
    """The silhouette of one kind of picture: closed, its skin edges, its edges where the limb is cut off."""

    curve: Curve
    skin: tuple[Curve, ...]
    cut: tuple[Curve, ...]
    knots: tuple[Knot, ...] = ()


@dataclass(frozen=True, slots=True)
class View:
    """A view of the limb: its name, that of its close-up (empty: none), and whether left and right change places."""

    id: str
    name: str
    close: str = ""
    mirrored: bool = False
    latin: str = ""
    close_latin: str = ""


VIEWS = (View("front", "Front", latin="Anterior"), View("back", "Back", mirrored=True, latin="Posterior"))
"""The views of a chart that names none."""


@dataclass(frozen=True, slots=True)
class Closeup:
    """The end of the limb, drawn once more at a larger scale: all beyond ``start`` down."""

    start: float
    scale: float


class Tilings(Mapping[str, Mapping[str, Tiling]]):
    """The areas of several *pictures*, those of each *cut* out of the outline when they are first asked for."""

    def __init__(self, pictures: Sequence[str], cut: Callable[[str], Mapping[str, Tiling]]) -> None:
        self._pictures, self._cut = tuple(pictures), cut
        self._made: dict[str, Mapping[str, Tiling]] = {}

    def __getitem__(self, picture: str) -> Mapping[str, Tiling]:
        if picture not in self._pictures:
            raise KeyError(picture)
        if picture not in self._made:
            self._made[picture] = self._cut(picture)
        return self._made[picture]

    def __iter__(self) -> Iterator[str]:
        return iter(self._pictures)

    def __len__(self) -> int:
        return len(self._pictures)


@dataclass(frozen=True, eq=False)
class Chart:
    """A whole chart. Compared by identity."""

    id: str
    name: str
    path: str
    views: tuple[View, ...]
    landmarks: Mapping[str, Point]
    outlines: Mapping[str, Outline]
    tilings: Mapping[str, Mapping[str, Tiling]]
    """Areas by picture ("skin", "dermatomes") and view."""
    muscles: tuple[Muscle, ...]
    bones: tuple[Bone, ...]
    lines: tuple[Line, ...]
    points: tuple[KeyPoint, ...]
    closeup: Closeup | None
    absent: Mapping[str, str]
    """Muscle that is not drawn → why."""
    sources: Mapping[str, str] = field(default_factory=dict)
    """Id of a source → its title."""

    def outline(self, picture: str) -> Outline:
        """The silhouette of a picture: its own, else that of the skin."""
        return self.outlines.get(picture) or self.outlines["skin"]
