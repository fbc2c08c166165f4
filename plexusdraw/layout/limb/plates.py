"""The figures of a picture, each in chart units: every view, and their ends at a larger scale."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from plexusdraw import fonts
from plexusdraw.charts import partition
from plexusdraw.charts.chart import LAYERS, Chart, Layer, View
from plexusdraw.errors import ModelError
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb import shapes, tones
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Area, Box, Curve, Part, Point, Shape, Sinew, curves
from plexusdraw.scene.transform import Move

MOSTLY = 0.85
"""Share of an area beyond the start of the close-up from which on it is named there alone."""
WORTH = 0.05
"""Least share of the close-up's own area that makes an area worth a name there."""
LIMB_FROM = 0.3
"""Share of a figure's height from which on it is the limb alone, and no trunk."""
COARSE = 4
"""Points for each cubic where areas are weighed."""
FLIP = Move(0.0, flip=True)


@dataclass(frozen=True, slots=True)
class Named:
    """What is named on a figure, and the point that its leader goes to, percent of the limb's length."""

    entity: str
    kind: str
    at: Point


@dataclass(frozen=True)
class Plate:
    """One figure, as it is seen on the page; lengths are in percent of the limb's length.

    ``side``: id of the view. ``scale``: how many times larger than the whole limb. ``title``: the words over it.
    ``name``: finds what is named on it, which figures without names do not need.
    """

    heading: str
    title: str
    layer: str
    side: str
    close: bool
    parts: tuple[Part, ...]
    name: Callable[[], tuple[Named, ...]]
    outline: tuple[Point, ...]
    box: Box
    scale: float
    middle: float
    """x over which the title stands: the middle of the limb itself."""

    @cached_property
    def named(self) -> tuple[Named, ...]:
        """What is named on it."""
        return self.name()


def title(view: View, close: bool, what: str, wording: Wording) -> str:
    """Words over a figure: the side that is seen, or the name of its close-up, and what it shows."""
    latin = wording.style == "latin" and (view.close_latin if close else view.latin)
    heading = latin or (view.close if close else view.name)
    return f"{heading}, {wording.word(what)}" if what else heading


@fonts.measuring(32)
def plates(plexus: Plexus, chart: Chart, options: LimbOptions) -> tuple[tuple[Plate, ...], ...]:
    """Sets of figures that belong together: one of skin, one a layer of muscles.

    Raises:
        ModelError: the chart has no such areas.
    """
    if options.picture != "muscles":
        if options.picture not in chart.tilings:
            raise ModelError(f"{chart.path}: the chart has no {options.picture}. Give it some, or draw --limb skin.")
        return (tuple(_set(_Maker(plexus, chart, options, None))),)
    wanted = LAYERS if options.layers == "both" else (options.layers,)
    return tuple(tuple(_set(_Maker(plexus, chart, options, layer))) for layer in wanted)


def _set(maker: _Maker) -> Iterator[Plate]:
    for close in (False, True):
        for view in maker.chart.views:
            if not close or (maker.chart.closeup and view.close):
                yield maker.plate(view, close)


@dataclass(frozen=True, slots=True)
class _Piece:
    """What one entity shows: its area, where its name would point to, its tendons."""

    area: Area
    wish: Point
    sinews: tuple[Curve, ...] = ()


class _Maker:
    """Makes the figures of one set."""

    def __init__(self, plexus: Plexus, chart: Chart, options: LimbOptions, layer: Layer | None) -> None:
        self.plexus, self.chart, self.options, self.layer = plexus, chart, options, layer
        self.outline = chart.outline("muscles" if layer else "skin")

    def plate(self, view: View, close: bool) -> Plate:
        """One figure."""
        chart, cut = self.chart, self.chart.closeup
        whole = self.outline.curve
        body = self.beyond(whole) if close else whole
        assert body is not None
        pieces = list(self.pieces(view.id))
        held = [p for p in (self.close(piece) for piece in pieces) if p] if close else pieces
        parts: list[Part] = [Shape("", "limb", "body", body)]
        parts += self.bones(view.id, close)
        for piece in held:
            parts += [Sinew(piece.area.entity, piece.area.kind, c, SINEW) for c in piece.sinews]
            parts += [piece.area] if piece.area.curves else []
        parts += self.lines(view.id, close)
        parts += [Shape("", "limb", "edge", c) for c in self.edges(self.outline.skin, close)]
        parts += [Shape("", "limb", "cut", c) for c in ([] if close else self.outline.cut)]
        if close and cut:
            parts.append(Shape("", "limb", "cut", self.across(body, cut.start)))
        if self.options.picture == "dermatomes":
            keys = [p for p in chart.points if p.view == view.id and (not close or (cut and p.at[1] > cut.start))]
            parts += [Shape(p.id, "skin", "key", (p.at,) * 4) for p in keys if not self.plexus.leaves_out(p.id)]
        flip = view.mirrored != (self.options.side == "right")
        ring = shapes.polygon(body)
        turned = [FLIP.point(p) for p in ring] if flip else ring
        frame = shapes.box(turned)
        low = frame.y + (0.0 if close else LIMB_FROM * frame.h)
        xs = [x for x, y in turned if y >= low]
        return Plate(
            heading=view.close if close else view.name,
            title=title(view, close, self.layer or "", self.options.wording),
            layer=self.layer or "",
            side=view.id,
            close=close,
            parts=tuple(FLIP.part(p) for p in parts) if flip else tuple(parts),
            name=lambda: tuple(replace(n, at=FLIP.point(n.at)) if flip else n for n in self.named(pieces, held, close)),
            outline=tuple(turned),
            box=frame,
            scale=cut.scale if close and cut else 1.0,
            middle=(min(xs) + max(xs)) / 2,
        )

    def pieces(self, view: str) -> Iterator[_Piece]:
        """Areas or bellies of one view, in paint order."""
        if self.layer is None:
            tiling = self.chart.tilings[self.options.picture][view]
            for patch in tiling.patches:
                if self.plexus.leaves_out(patch.id):
                    continue
                target = self.plexus.skin.get(patch.id)
                tone, roots, outside = tones.tone(self.plexus, target, self.options.by)
                yield _Piece(Area(patch.id, "skin", patch.pieces, tone, roots, outside, True), patch.at)
            return
        for muscle in self.chart.muscles:
            if muscle.view == view and muscle.layer == self.layer and muscle.id in self.plexus.muscles:
                tone, roots, outside = tones.tone(self.plexus, self.plexus.muscles[muscle.id], self.options.by)
                area = Area(muscle.id, "muscle", (muscle.shape.belly,), tone, roots, outside)
                yield _Piece(area, muscle.shape.middle, muscle.shape.sinews)

    def close(self, piece: _Piece) -> _Piece | None:
        """What of a piece the close-up shows."""
        held = tuple(c for c in map(self.beyond, piece.area.curves) if c)
        sinews = tuple(self.edges(piece.sinews, close=True))
        if not held and not sinews:
            return None
        return _Piece(replace(piece.area, curves=held), piece.wish, sinews)

    def named(self, pieces: Sequence[_Piece], held: Sequence[_Piece], close: bool) -> list[Named]:
        """What is named here: in the close-up what is seen there well, else what lies mostly outside it."""
        cut = self.chart.closeup
        rings = [[shapes.polygon(c, COARSE) for c in p.area.curves] for p in held]
        shares = self.shares(pieces) if cut else {}
        room = shapes.size(shapes.polygon(self.beyond(self.outline.curve) or self.outline.curve))
        found: dict[str, Named] = {}
        for i, piece in enumerate(held):
            entity = piece.area.entity
            if entity in found or not piece.area.curves:
                continue
            if cut:
                beyond, whole = shares[entity]
                mostly = beyond > MOSTLY * whole
                if close and not mostly and (piece.area.kind == "muscle" or beyond < WORTH * room):
                    continue
                if not close and mostly:
                    continue
            over = [r for k, rs in enumerate(rings) if k > i and held[k].area.entity != entity for r in rs]
            all_own = [rs for k, rs in enumerate(rings) if held[k].area.entity == entity and rs]
            seen = any(shapes.holds(rs[0], piece.wish) for rs in all_own)
            own = [rs[0] if seen else max(rs, key=shapes.size) for rs in all_own]
            wish = piece.wish if seen else None
            found[entity] = Named(entity, piece.area.kind, shapes.showing(own, over, wish))
        return list(found.values())

    def shares(self, pieces: Sequence[_Piece]) -> dict[str, tuple[float, float]]:
        """Entity → how much of it lies beyond the start of the close-up, and all of it, in square units."""
        found: dict[str, tuple[float, float]] = {}
        for piece in pieces:
            beyond, whole = found.get(piece.area.entity, (0.0, 0.0))
            for chain in piece.area.curves:
                own = shapes.size(shapes.polygon(chain, COARSE))
                far = self.beyond(chain)
                beyond += own if far is chain else shapes.size(shapes.polygon(far, COARSE)) if far else 0.0
                whole += own
            found[piece.area.entity] = (beyond, whole)
        return found

    def bones(self, view: str, close: bool) -> Iterator[Part]:
        """The bones behind the deep muscles."""
        if self.layer == "deep":
            for bone in self.chart.bones:
                curve = self.beyond(bone.curve) if close else bone.curve
                if view in bone.views and curve:
                    yield Shape("", "limb", "bone", curve)

    def lines(self, view: str, close: bool) -> Iterator[Part]:
        """Marks for orientation."""
        cut = self.chart.closeup
        kind = "muscles" if self.layer else "skin"
        for line in self.chart.lines:
            far = not close or (cut and min(y for _, y in line.curve) > cut.start)
            if far and line.view == view and line.of in ("all", kind) and self.layer != "deep":
                yield Shape("", "limb", "edge" if line.strong else "line", line.curve)

    def edges(self, chains: Sequence[Curve], close: bool) -> Iterator[Curve]:
        """Open chains, in the close-up what of them lies beyond its start."""
        for chain in chains:
            if not close:
                yield chain
            elif self.chart.closeup:
                yield from beyond_line(chain, self.chart.closeup.start)

    def beyond(self, chain: Curve) -> Curve | None:
        """The part of a closed chain beyond the start of the close-up."""
        return partition.below(chain, self.chart.closeup.start) if self.chart.closeup else None

    def across(self, body: Curve, level: float) -> Curve:
        """The straight edge of the close-up."""
        xs = [x for x, y in body if abs(y - level) < 1e-6]
        return curves.line((min(xs), level), (max(xs), level))


def beyond_line(chain: Curve, level: float) -> Iterator[Curve]:
    """The pieces of an open chain that lie beyond a level."""
    dots = curves.samples(chain, 12)
    start: float | None = 0.0 if dots[0][1] > level else None
    for i in range(1, len(dots)):
        a, b = dots[i - 1][1], dots[i][1]
        if (a > level) != (b > level):
            place = (i - 1 + (level - a) / (b - a)) / 12
            if start is None:
                start = place
            else:
                yield curves.part(chain, start, place)
                start = None
    if start is not None:
        yield curves.part(chain, start, (len(chain) - 1) / 3)


SINEW = 0.5
"""Width of a tendon, in chart units."""
