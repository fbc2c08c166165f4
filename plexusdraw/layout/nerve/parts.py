"""The parts of the picture of one long nerve, in paint order: what leaves it first, then the nerve over it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.layout import surround
from plexusdraw.layout.columns.compose import Head, label, middle
from plexusdraw.layout.nerve.across import (
    LANE_EMS,
    OUT_EMS,
    Across,
    letters_width,
    name_x,
    panels,
    parent_blank,
    parent_names,
    root_text,
)
from plexusdraw.layout.nerve.measure import Heights, Ruler, arrivals, letter_step
from plexusdraw.layout.nerve.tree import Stem, Stop
from plexusdraw.layout.scale import offsets
from plexusdraw.layout.surround import Bands
from plexusdraw.layout.table import rows as table
from plexusdraw.scene import MM_PER_PT, Box, Curve, Gap, Label, Leader, Part, Point, Spot, Strand, curves

HAIR = 0.1
"""Overlap of consecutive pieces, mm: no seam shows."""
TICK_EMS = 0.45
"""How far the line at a place stands out over its nerve."""
Way = Callable[[str, float], Curve]
"""Root and how far its strand lies above the middle line → where it runs."""
Arriving = dict[str, list[tuple[str | None, Curve, bool]]]
"""Root → where its strands come from, on which way, and whether it is a minor share there."""


class Drawing:
    """Makes the parts of one nerve; (dx, dy) is where the drawing stands on the page."""

    def __init__(self, ruler: Ruler, heights: Heights, places: Across, dx: float, dy: float) -> None:
        self.ruler, self.scale = ruler, ruler.scale
        self.xs = tuple(x + dx for x in places.stems)
        self.letters, self.parents = places.letters + dx, places.parents + dx
        self.rows_x = places.rows + dx
        self.rows = {key: y + dy for key, y in heights.rows.items()}
        self.spots = {key: y + dy for key, y in heights.spots.items()}
        self.ends = {id: y + dy for id, y in heights.ends.items()}
        self.head, self.start = heights.head + dy, heights.start + dy

    def parts(self) -> list[Part]:
        """Everything of the drawing, back to front."""
        made: list[Part] = [*self.brackets(), *self.stem(self.ruler.stem)]
        made += [spot for stem in self.ruler.stem.stems() for spot in self.stem_spots(stem)]
        made += [*self.place_marks(), *self.root_letters(), *self.parent_labels(), *self.texts()]
        return made

    # ---- strands

    def stem(self, stem: Stem, lead: Way | None = None, source: str = "") -> Iterator[Part]:
        """A nerve with all that leaves it; *lead* is the way of its strands from the nerve *source* to its own line."""
        for stop in stem.stops:
            yield from self.leaving(stem, stop)
        segment, (width, pitch) = stem.segment, self.ruler.strand(stem.depth)
        arriving = self.coming(stem) if lead is None else self.branching(stem, lead, source)
        for root in stem.roots:  # a casing of each strand's own: it ends with it, and shows what leaves there
            down = _down(self.xs[stem.depth] + self.side(stem)[root], self.first(stem), self.strand_end(stem, root))
            curve = curves.join([arriving[root][0][1], down]) if root in arriving else down
            yield Gap(segment.id, segment.kind, curve, 2 * pitch - width)
        for root, minor in stem.roots.items():  # root by root: a painter joins pieces that follow each other
            for parent, curve, minor_there in arriving.get(root, ()):
                yield Strand(segment.id, segment.kind, root, parent, -1, curve, width, minor_there)
            yield from self.pieces(stem, root, minor)

    def top(self, stem: Stem) -> float:
        """Where a nerve begins to run down, mm."""
        if stem.depth == 0:
            return self.start
        slot = next(s for s in self.ruler.slots if s.stop.stem is stem)
        return self.rows[slot.stem.key(slot.stop)] + self.ruler.turn(stem)

    def leaves(self, stem: Stem, stop: Stop) -> float:
        """Height at which strands turn off to a stop, mm."""
        return self.rows[stem.key(stop)] - self.ruler.drop(stop)

    def strand_end(self, stem: Stem, root: str) -> float:
        """Where a root's strand ends, mm: at the last stop that it goes to."""
        stop = next((s for s in stem.stops if s.at == stem.last[root]), None)
        if stop is None or stop.what == "place":
            return self.ends[stem.segment.id]
        return self.leaves(stem, stop)

    def side(self, stem: Stem) -> dict[str, float]:
        """How far each strand of a nerve lies from its middle, mm."""
        return offsets(tuple(stem.roots), self.ruler.strand(stem.depth)[1])

    def first(self, stem: Stem) -> float:
        """Height of the first position of a course, mm."""
        return self.spots[stem.segment.id, stem.stops[0].at]

    def branching(self, stem: Stem, lead: Way, source: str) -> Arriving:
        """The strands of a branch from the nerve *source* to its own first position."""
        side, x, top, low = self.side(stem), self.xs[stem.depth], self.top(stem), self.first(stem) + HAIR
        shares = self.ruler.fibres.between(source, stem.segment.id)
        return {
            root: [(source, curves.join([lead(root, side[root]), _down(x + side[root], top, low)]), minor)]
            for root, minor in shares.items()
        }

    def pieces(self, stem: Stem, root: str, minor: bool) -> Iterator[Strand]:
        """One strand of a nerve, cut at every position of its course."""
        segment, x = stem.segment, self.xs[stem.depth] + self.side(stem)[root]
        width, end = self.ruler.strand(stem.depth)[0], self.strand_end(stem, root)
        stops = [stop for stop in stem.stops if stop.at <= stem.last[root]]
        tops = [self.spots[segment.id, stop.at] for stop in stops]
        for stop, top, bottom in zip(stops, tops, [*(y + HAIR for y in tops[1:]), end], strict=True):
            if bottom > top:
                yield Strand(segment.id, segment.kind, root, None, stop.at, _down(x, top, bottom), width, minor)

    def leaving(self, stem: Stem, stop: Stop) -> Iterator[Part]:
        """What leaves at a stop, to its end."""
        if stop.what == "place":
            return
        if stop.stem is not None:
            yield from self.stem(stop.stem, self.into_branch(stem, stop), stem.segment.id)
        elif stop.segment is None and stop.entry is not None:
            kind = stop.entry.target.kind
            yield from self.bundle(stop.id, kind, stem.segment.id, stop, self.off(stem, stop, self.rows_x))
        else:
            yield from self.line(stem, stop)

    def line(self, stem: Stem, stop: Stop) -> Iterator[Part]:
        """A branch in one line: to its name, and from there to what it supplies."""
        assert stop.segment is not None
        id, kind, scale = stop.id, stop.segment.kind, self.scale
        x = name_x(self.ruler, self.xs, stem, stop) - scale.mm(0.35)
        half, y = x - scale.mm(0.9), self.rows[stem.key(stop)]
        near = [*self.bundle(id, kind, stem.segment.id, stop, self.off(stem, stop, half + HAIR))]
        far = [*self.bundle(id, kind, None, stop, _place(half, x, y), at=0)]
        yield near[0]
        yield from (part for pair in zip(near[1:], far[1:], strict=True) for part in pair)
        yield Spot(id, kind, 0, half, y, 0.0, self.ruler.twig_half(stop))
        if stop.entry is not None:
            begin = x + scale.mm(0.35 + 0.45) + self.ruler.longest
            beyond = replace(stop, roots=stop.entry.roots)
            target = stop.entry.target
            yield from self.bundle(target.id, target.kind, id, beyond, _place(begin, self.rows_x, y))

    def bundle(self, entity: str, kind: str, source: str | None, stop: Stop, way: Way, at: int = -1) -> Iterator[Part]:
        """Thin strands of all roots of a stop along a *way*."""
        width, pitch = self.ruler.twig(stop)
        side = offsets(tuple(stop.roots), pitch)
        if not stop.roots:
            yield Leader(entity, kind, way("", 0.0))
            return
        yield Gap(entity, kind, way("", 0.0), 2 * self.ruler.twig_half(stop))
        for root, minor in stop.roots.items():
            yield Strand(entity, kind, root, source, at, way(root, side[root]), width, minor)

    def off(self, stem: Stem, stop: Stop, end: float) -> Way:
        """The way from a nerve to the right: a quarter turn behind it, then place to *end*."""
        x, y, top = self.xs[stem.depth], self.rows[stem.key(stop)], self.leaves(stem, stop)
        out = x + self.ruler.half(stem) + self.scale.mm(OUT_EMS)
        side = self.side(stem)

        def way(root: str, rise: float) -> Curve:
            a, b = (x + side.get(root, 0.0), top), (out, y - rise)
            return curves.join([_quarter(a, b, down_first=True), curves.line(b, (max(end, out + HAIR), b[1]))])

        return way

    def into_branch(self, stem: Stem, stop: Stop) -> Way:
        """The way from a nerve to the right and down into a branch's own line."""
        assert stop.stem is not None
        x, y, turn = self.xs[stop.stem.depth], self.rows[stem.key(stop)], self.ruler.turn(stop.stem)
        off = self.off(stem, stop, x - turn)

        def way(root: str, rise: float) -> Curve:
            return curves.join(
                [off(root, rise), _quarter((x - turn, y - rise), (x + rise, y + turn), down_first=False)]
            )

        return way

    def coming(self, stem: Stem) -> Arriving:
        """The strands from their letters into the nerve."""
        side, x = self.side(stem), self.xs[0]
        begin, bend = self.letters + self.scale.mm(0.35), x - self.ruler.turn(stem)
        found: Arriving = {}
        for (parent, root), y in zip(arrivals(self.ruler), self.letter_heights(), strict=True):
            b, corner = (bend, self.head - side[root]), (x + side[root], self.start)
            down = _down(corner[0], self.start, self.first(stem) + HAIR)
            curve = curves.join([curves.sweep((begin, y), b), _quarter(b, corner, down_first=False), down])
            minor = self.ruler.fibres.between(parent, stem.segment.id)[root] if parent else False
            found.setdefault(root, []).append((parent, curve, minor))
        return found

    def letter_heights(self) -> list[float]:
        """Middle line of each root letter, mm."""
        step, count = letter_step(self.ruler), len(arrivals(self.ruler))
        return [self.head + (i - (count - 1) / 2) * step for i in range(count)]

    def stem_spots(self, stem: Stem) -> Iterator[Spot]:
        """Where cuts of a nerve can be marked."""
        for stop in stem.stops:
            y, half = self.spots[stem.segment.id, stop.at], self.ruler.half(stem)
            yield Spot(stem.segment.id, stem.segment.kind, stop.at, self.xs[stem.depth], y, 90.0, half)

    # ---- words

    def root_letters(self) -> Iterator[Label]:
        """The letters at which the strands begin."""
        ruler, scale = self.ruler, self.scale
        width, height = letters_width(ruler), letter_step(ruler) - scale.mm(0.2)
        for (_, root), y in zip(arrivals(ruler), self.letter_heights(), strict=True):
            segment = ruler.plexus.segments[root]
            text = fonts.text(root_text(ruler, root), self.letters, middle(y, scale.name), scale.name, "end", True)
            blank = Box(self.letters - width, y - height / 2, width, height)
            yield Label(root, segment.kind, "name", (text,), blank, (self.letters + scale.mm(0.4), y))

    def groups(self) -> Iterator[tuple[str, float, float]]:
        """Each named parent, with the heights of its first and last letter, mm."""
        rows = list(zip(arrivals(self.ruler), self.letter_heights(), strict=True))
        for parent in parent_names(self.ruler):
            mine = [y for (id, _), y in rows if id == parent]
            if mine:
                yield parent, mine[0], mine[-1]

    def brackets(self) -> Iterator[Leader]:
        """A line beside the letters that come from one parent."""
        reach = self.scale.mm(0.45)
        x = self.parents + self.scale.mm(0.75)
        for parent, first, last in self.groups():
            kind = self.ruler.plexus.segments[parent].kind
            yield Leader(parent, kind, curves.line((x, first - reach), (x, last + reach)))

    def parent_labels(self) -> Iterator[Label]:
        """What the nerve comes from."""
        scale, size, (width, height) = self.scale, self.ruler.text.supply, parent_blank(self.ruler)
        texts = parent_names(self.ruler)
        for parent, first, last in self.groups():
            y, x = (first + last) / 2, self.parents + scale.mm(0.4)
            text = fonts.text(texts[parent], x, middle(y, size), size, "end")
            blank = Box(x - width, y - height / 2, width, height)
            kind = self.ruler.plexus.segments[parent].kind
            yield Label(parent, kind, "name", (text,), blank, (x + scale.mm(0.3), y))

    def place_marks(self) -> Iterator[Part]:
        """A line across the nerve at each place, and its name: on the left, or right of a branch."""
        scale, size, (wide, high) = self.scale, self.ruler.text.supply, self.ruler.place_blank
        for stem in self.ruler.stem.stems():
            x, half, tick = self.xs[stem.depth], self.ruler.half(stem), scale.mm(TICK_EMS)
            for stop in stem.stops:
                if stop.place is None:
                    continue
                y, lane = self.spots[stem.segment.id, stop.at], half + scale.mm(LANE_EMS)
                left = stem.depth == 0
                at = x - lane if left else x + lane
                name = self.ruler.place_text(stop.place)
                text = fonts.text(name, at, middle(y, size), size, "end" if left else "start")
                ends = (-lane + scale.mm(0.3), half + tick) if left else (-half - tick, lane - scale.mm(0.3))
                yield Leader(stop.id, "place", curves.line((x + ends[0], y), (x + ends[1], y)))
                blank = Box(at - wide if left else at, y - high / 2, wide, high)
                yield Label(stop.id, "place", "name", (text,), blank, (at + (0.4 if left else -0.4) * scale.mm(1), y))

    def texts(self) -> Iterator[Part]:
        """Names of the nerve and its branches, and the rows of what they supply."""
        ruler, scale = self.ruler, self.scale
        segment = ruler.stem.segment
        edge = self.xs[0] + ruler.half(ruler.stem)
        top = self.head - ruler.name.height / 2
        yield from label(
            segment.id, segment.kind, ruler.name, (edge + scale.mm(0.4), self.head), edge + scale.mm(0.8), top
        )
        for slot in ruler.slots:
            y, stop = self.rows[slot.stem.key(slot.stop)], slot.stop
            if slot.block is not None and stop.segment is not None:
                x = name_x(ruler, self.xs, slot.stem, stop)
                top = y - slot.block.height / 2
                yield from label(stop.id, stop.segment.kind, slot.block, (x - scale.mm(0.35), y), x, top)
            if stop.entry is not None:
                one = replace(ruler.grid, rows=(table.Rows(ruler.stem.segment, (stop.entry,), ruler.wording),))
                step = min(slot.height, 1.9 * ruler.text.row * MM_PER_PT)
                row = table.build(one, self.rows_x, y - step / 2, step, loose=9.0)[0][0]
                yield replace(row, via=stop.id if stop.segment else slot.stem.segment.id)


def parts(ruler: Ruler, heights: Heights, places: Across, page: Bands, head: Head) -> list[Part]:
    """Everything on the page."""
    paper = page.paper
    dx = paper.margin + max(0.0, (paper.width - 2 * paper.margin - places.width) / 2)
    dy = page.content + max(0.0, (page.room - heights.total) / 3)
    made: list[Part] = list(panels(ruler, places, page, dx))
    made += Drawing(ruler, heights, places, dx, dy).parts()
    legend = surround.legend(made, surround.LEGEND_STRANDS, surround.LEGEND_DOTS, head.remark)
    return made + list(surround.notes(page, ruler.scale, head.orientation, head.caution, legend))


def _down(x: float, top: float, bottom: float) -> Curve:
    return curves.line((x, top), (x, bottom))


def _place(x0: float, x1: float, y: float) -> Way:
    return lambda _root, rise: curves.line((x0, y - rise), (x1, y - rise))


def _quarter(a: Point, b: Point, down_first: bool) -> Curve:
    """A quarter of an ellipse from *a* to *b* that leaves *a* downwards, or place."""
    k = curves.ARC
    if down_first:
        return (a, (a[0], a[1] + (b[1] - a[1]) * k), (b[0] - (b[0] - a[0]) * k, b[1]), b)
    return (a, (a[0] + (b[0] - a[0]) * k, a[1]), (b[0], b[1] - (b[1] - a[1]) * k), b)
