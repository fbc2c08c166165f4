"""One try at a drawing: a plan at a given type size and stretch, with the room it takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import sqrt

from plexusdraw.layout import surround
from plexusdraw.layout.columns import across as columns
from plexusdraw.layout.columns import bundles as strands
from plexusdraw.layout.columns import down as rows
from plexusdraw.layout.columns import lanes, leaders
from plexusdraw.layout.columns.across import Xs
from plexusdraw.layout.columns.bundles import Bundle, Frame
from plexusdraw.layout.columns.down import Extent, Pull
from plexusdraw.layout.columns.lanes import Skyline, Tag
from plexusdraw.layout.columns.most import ANY, Most
from plexusdraw.layout.columns.plan import Branch, Plan
from plexusdraw.layout.labels import Block, Wording
from plexusdraw.layout.scale import Scale
from plexusdraw.scene import Box, curves

LEAST_GAP_EMS = 3.6
STEEPEST = 3.2
"""Most height of a tie as a multiple of the gap that it crosses."""
TRIES = 16
TOLERANCE_MM = 0.01
MORE_HEIGHT_EMS = 1.4
MORE_WIDTH_EMS = 1.0
"""Most room added at once: height is the cheaper on a page that is wider than high."""
KNOWN, KNOWN_SLOTS = 40, 2000
"""As many drafts of a picture are kept at most, and slots of them in all."""
IMPATIENCE = 1.25
"""Factor by which the height added grows from one try to the next."""


Inner = tuple[Branch, Block, str]
"""An inner branch, its label, and the slot up or down to which it has room."""


@dataclass(slots=True)
class Draft:
    """A drawing in its own coordinates, mm: x = 0 at the first slots, y = 0 anywhere."""

    frame: Frame
    blocks: Mapping[str, Block]
    top: float
    bottom: float
    crowded: bool
    """Whether a label found no free room."""
    spread: Spread
    """What it was before width to spare was shared out."""

    @property
    def bundles(self) -> list[Bundle]:
        """Everything that is drawn as strands."""
        return strands.slots(self.frame) + strands.ties(self.frame) + strands.branches(self.frame)

    @property
    def height(self) -> float:
        """Height of the drawing, mm."""
        return self.bottom - self.top

    @property
    def width(self) -> float:
        """Width of the drawing, root letters and last names included, mm."""
        return max(self.frame.xs.width, self.frame.xs.left + _rightmost(self.frame, self.blocks))


@dataclass(frozen=True, slots=True, eq=False)
class Recipe:
    """What stays the same through all tries of one picture."""

    plan: Plan
    wording: Wording
    with_leaders: bool
    known: dict[object, Draft] = field(default_factory=dict, repr=False)
    """Drafts made before; those given up were not wanted then."""


@dataclass(frozen=True, slots=True)
class Push:
    """How a drawing is spread: rows by a factor; gaps by mm in all, before labels find their room or after."""

    stretch: float = 1.0
    early: float = 0.0
    spare: float = 0.0


@dataclass(frozen=True, slots=True)
class Spread:
    """A drawing whose labels have found their room, before any width that is left over is shared out."""

    recipe: Recipe
    blocks: Mapping[str, Block]
    frame: Frame
    ties: list[Bundle]
    inner: Sequence[Sequence[Inner]]
    heights: Mapping[str, float]
    """Branch → least height of its end over (−) or under (+) its slot, mm."""
    extents: Mapping[str, Extent]
    stretch: float
    """Factor of the distances between rows, no length in mm."""
    short: bool
    """Whether a label found no free room."""
    least: float
    """A height that it takes at least, mm."""
    given_up: bool
    """Whether its labels might have found more room, had it not taken too much already."""

    def wanted(self, most: Most) -> bool:
        """Whether it was given up, but takes no more than *most* yet."""
        return self.given_up and not most.under(self.frame.xs.width, self.least)


def draft(recipe: Recipe, scale: Scale, blocks: Mapping[str, Block], push: Push, most: Most = ANY) -> Draft:
    """Place everything, as compact as labels allow and *push* asks; *most*: as in ``spread``.

    Forms and pages that come to the same lines of text in the same type have one draft.
    """
    plan, known = recipe.plan, recipe.known
    many = range(len(plan.columns)) if scale.plate_ems else ()
    plates = [tuple(map(tuple, columns.plates(plan, i, scale, recipe.wording).values())) for i in many]
    key = (replace(scale, plate_ems=0.0), *plates, *blocks.values(), push)
    found = known.pop(key, None)
    if found is None or (found.crowded and found.spread.wanted(most)):
        found = filled(spread(recipe, scale, blocks, push, most), push.spare)
    known[key] = found
    if len(known) > max(1, min(KNOWN, KNOWN_SLOTS // len(plan.slots))):
        del known[next(iter(known))]
    return found


def spread(recipe: Recipe, scale: Scale, blocks: Mapping[str, Block], push: Push, most: Most = ANY) -> Spread:
    """Rows and gaps as wide as labels need; what *push* asks to spare is not added yet.

    A drawing that takes more than *most* is not wanted: its labels may find no room. It only grows from turn to turn.
    """
    plan, stretch = recipe.plan, push.stretch
    xs = _closest(recipe, scale, blocks)
    gaps = xs.gaps
    order = lanes.inner_order(plan, xs)
    inner = _inner(plan, order, blocks)
    heights, extents = lanes.inner(plan, xs, blocks, scale, order)
    place = _Placing(plan, scale, xs, _pulls(plan, heights, scale), stretch)
    frame, ties = place.settled(extents, gaps)
    if push.early:
        gaps = _early(plan, frame.xs.gaps, push.early)
        frame, ties = place.settled(extents, gaps, frame.ys)
    crowded, overrun = inner_labels(recipe, frame, inner, ties, heights)
    given_up = False
    for turn in range(round(TRIES * scale.care)):
        if not (crowded or overrun):
            break
        if given_up := most.under(frame.xs.width, place.least(extents)):
            break
        for (slot, side), short in crowded.items():
            more = min(
                short, scale.mm(MORE_HEIGHT_EMS) / scale.care * IMPATIENCE ** (turn / scale.care)
            ) / rows.room_stretch(stretch)
            extents[slot] = lanes.grown(extents[slot], side, more + scale.mm(0.1))
        gaps = [g + overrun.get(i, 0.0) for i, g in enumerate(frame.xs.gaps)]
        frame, ties = place.settled(extents, gaps, frame.ys)
        crowded, overrun = inner_labels(recipe, frame, inner, ties, heights)
    short, least = bool(crowded or overrun), place.least(extents)
    return Spread(recipe, blocks, frame, ties, inner, heights, extents, stretch, short, least, given_up)


def _closest(recipe: Recipe, scale: Scale, blocks: Mapping[str, Block]) -> Xs:
    """Columns with gaps as small as what stands in them and over them allows."""
    plan = recipe.plan
    gaps = [scale.mm(LEAST_GAP_EMS)] * (len(plan.columns) - 1)
    xs = columns.place(plan, scale, recipe.wording, blocks, gaps)
    return xs.apart(_for_headings(recipe, xs, gaps, scale))


def filled(found: Spread, spare: float) -> Draft:
    """The drawing with *spare* mm of width shared out among its gaps, and what stands outside."""
    recipe, blocks, frame, ties, short = found.recipe, found.blocks, found.frame, found.ties, found.short
    plan, scale = recipe.plan, frame.scale
    if spare or recipe.with_leaders:
        total = sum(frame.xs.gaps) or 1.0
        gaps = [g + spare * g / total for g in frame.xs.gaps]
        ends = {b.id: frame.lanes[b.id] - frame.ys[b.anchor] for b in plan.branches if b.id in found.heights}
        pulls = _pulls(plan, ends, scale)
        frame, ties = _Placing(plan, scale, frame.xs, pulls, found.stretch).settled(found.extents, gaps, frame.ys)
        crowded, overrun = inner_labels(recipe, frame, found.inner, ties, found.heights)
        short = bool(crowded or overrun)
    top, bottom = _outer(found, frame, ties)
    return Draft(frame, blocks, top, bottom, short, found)


def _early(plan: Plan, gaps: list[float], more: float) -> list[float]:
    """Gaps with *more* mm shared out among those into which labels of inner branches reach."""
    inner = [b.column for b in plan.branches if not b.outer]
    return [g + more * inner.count(i) / max(1, len(inner)) for i, g in enumerate(gaps)]


class _Placing:
    """Rows, then gaps wide enough for them, then the ties between: again and again, with ever more room."""

    def __init__(self, plan: Plan, scale: Scale, xs: Xs, pulls: Mapping[str, Sequence[Pull]], stretch: float) -> None:
        self._plan, self._scale, self._xs, self._stretch = plan, scale, xs, stretch
        self._rows = rows.Rows(plan, pulls)
        clear = scale.mm(1.2)
        self._bends = [
            (plan.slots[t.parent].column, t.parent, t.child, lanes.slot_half(plan.slots[t.child], scale) + clear)
            for t in plan.ties
        ]

    def settled(
        self, extents: Mapping[str, Extent], gaps: Sequence[float], near: Mapping[str, float] | None = None
    ) -> tuple[Frame, list[Bundle]]:
        """A frame with these *gaps* at least, and its ties; *near*: heights to start from. All mm."""
        ys = self._rows.settle(extents, self._scale.mm(0.8), self._stretch, near)
        wide = list(map(max, gaps, self._least_gaps(ys, len(gaps))))
        frame = Frame(self._plan, self._scale, self._xs.apart(wide), ys, {})
        return frame, strands.ties(frame)

    def least(self, extents: Mapping[str, Extent]) -> float:
        """A height that what was settled with these *extents* takes at least, mm."""
        return self._rows.least(extents)

    def _least_gaps(self, ys: Mapping[str, float], many: int) -> list[float]:
        """Widths at which no tie between two columns bends tighter than its bundle or climbs too steeply.

        A sweep of width g and height h with handles s g has the radius 1.5 (s g)^2 / h at its ends.
        """
        need = [0.0] * many
        for column, parent, child, radius in self._bends:
            h = abs(ys[child] - ys[parent])
            need[column] = max(need[column], sqrt(radius * h / (1.5 * curves.SWEEP**2)), h / STEEPEST)
        return need


def _inner(plan: Plan, order: Mapping[str, Sequence[Branch]], blocks: Mapping[str, Block]) -> list[list[Inner]]:
    """The inner branches of each slot in this *order*, made ready for their labels to be placed."""
    return [[(b, blocks[b.id], lanes.next_slot(plan, b)) for b in own] for own in order.values() if own]


def inner_labels(
    recipe: Recipe,
    frame: Frame,
    inner: Sequence[Sequence[Inner]],
    ties: list[Bundle],
    heights: Mapping[str, float],
) -> tuple[dict[tuple[str, str], float], dict[int, float]]:
    """Put every inner branch's end where its label is free, nearest to its slot first; writes ``frame.lanes``.

    Returns how many mm of height are short on a (slot, side), and how many of width in a gap.
    """
    crowded: dict[tuple[str, str], float] = {}
    overrun: dict[int, float] = {}
    taken: list[Box] = []
    between = _by_column(frame, ties)
    edges = [column.x0 - frame.scale.mm(2.2 if recipe.with_leaders else 0.6) for column in frame.xs.columns[1:]]
    for own in inner:
        passed: list[Tag] = []
        for branch, block, beyond in own:
            tag = lanes.tag(frame, branch, block)
            least = max([heights[branch.id], *_beyond(frame, tag, passed)], key=abs)
            column = branch.column
            if column < len(edges) and tag.right > edges[column]:
                overrun[column] = max(overrun.get(column, 0.0), tag.right - edges[column] + 0.1)
            near = _reached(between, tag)
            y, short = lanes.free_height(frame, tag, least, lanes.room_of(frame, tag, beyond), near, taken)
            if short > TOLERANCE_MM:
                narrow = lanes.narrow_by(frame, tag, least, near)
                more = min(narrow, frame.scale.mm(MORE_WIDTH_EMS) / frame.scale.care)
                overrun[column] = max(overrun.get(column, 0.0), more)
                crowded[branch.anchor, branch.side] = short  # the outermost comes last and needs the most
            frame.lanes[branch.id] = y
            taken.append(tag.box(y))
            passed.append(tag)
    return crowded, {i: more for i, more in overrun.items() if more > TOLERANCE_MM}


def _by_column(frame: Frame, ties: Sequence[Bundle]) -> list[tuple[float, float, list[Bundle]]]:
    """The ties from each column to the next, and between which x (mm) a label may come near to them."""
    found: list[list[Bundle]] = [[] for _ in frame.plan.columns]
    for tie, bundle in zip(frame.plan.ties, ties, strict=True):
        found[frame.plan.slots[tie.parent].column].append(bundle)
    apart = frame.scale.mm(lanes.BEFORE_EMS)
    return [
        (min(b.centre[0][0] - b.half for b in own) - apart, max(b.centre[-1][0] for b in own) + apart, own)
        for own in found
        if own
    ]


def _reached(between: Sequence[tuple[float, float, list[Bundle]]], tag: Tag) -> list[Bundle]:
    """The ties of every two columns between which a label reaches."""
    return [bundle for left, right, own in between if left < tag.right and tag.x < right for bundle in own]


def _beyond(frame: Frame, mine: Tag, passed: Sequence[Tag]) -> list[float]:
    """Heights (from its slot) that a branch must pass so as to end further out than those to its right, *passed*."""
    found = []
    for tag in passed:
        if tag.sign == mine.sign:
            toward, away = (mine.above, tag.below) if mine.sign > 0 else (mine.below, tag.above)
            height = abs(frame.lanes[tag.branch.id] - frame.ys[mine.branch.anchor])
            found.append(mine.sign * (height + away + frame.scale.clear + toward))
    return found


LOOP_PULL = 8.0
"""How hard each end pulls a loop, which is to stand halfway between them."""


def _pulls(plan: Plan, heights: Mapping[str, float], scale: Scale) -> dict[str, list[Pull]]:
    made: dict[str, list[Pull]] = {id: [] for id in plan.slots}

    def tie(a: str, b: str, shift: float, weight: float) -> None:
        made[a].append(Pull(b, shift, weight))
        made[b].append(Pull(a, -shift, weight))

    for t in plan.ties:
        here, there = plan.slots[t.parent].offsets(scale.pitch), plan.slots[t.child].offsets(scale.pitch)
        shift = sum(there[t.arrives(r)] - here[t.leaves(r)] for r in t.roots) / len(t.roots)
        tie(t.parent, t.child, shift, LOOP_PULL if plan.loops(t) else float(len(t.roots)))
    for b in plan.branches:
        before, shift = b.anchor, heights.get(b.id, 0.0)
        for column in range(b.column + 1, len(plan.columns)):
            id = leaders.corridor(b.id, column)
            if id in plan.slots:
                tie(before, id, shift, 0.5)
                before, shift = id, 0.0
    return made


def _for_headings(recipe: Recipe, xs: Xs, gaps: list[float], scale: Scale) -> list[float]:
    """Gaps so wide that all headings have room one beside the other, each over its column and the gaps beside it."""
    wide = list(gaps)
    rooms = surround.heading_rooms(recipe.plan, scale, recipe.wording)
    border, moved = -xs.left, 0.0
    for i, (column, room) in enumerate(zip(xs.columns, rooms, strict=True)):
        border = max(border + room, column.x1 + moved)
        if i < len(wide):
            end = column.x1 + moved + wide[i]
            wide[i] += max(0.0, border - end)
            moved += max(0.0, border - end)
        elif wide:
            wide[-1] += max(0.0, border - (column.x1 + moved + xs.right))
    return wide


def _outer(found: Spread, frame: Frame, ties: list[Bundle]) -> tuple[float, float]:
    """Put the outer branches over or under all else; writes ``frame.lanes``. Top and bottom, mm."""
    xs, scale, blocks, extents = frame.xs, frame.scale, found.blocks, found.extents
    channel = xs.columns[-1].x1 + xs.right if found.recipe.with_leaders else None
    sky = Skyline(-xs.left, max(xs.columns[-1].x1 + xs.right, _rightmost(frame, blocks)) + 1)
    for level in strands.slots(frame):
        (x0, y), (x1, _) = level.centre[0], level.centre[-1]
        sky.add(x0 - level.half, x1 + level.half, y - level.half, y + level.half)
    for tie in ties:
        sky.trace(tie.trace, tie.half)
    for slot in frame.plan.slots.values():
        column, y, extent = xs.columns[slot.column], frame.ys[slot.id], extents[slot.id]
        end = column.x1 + (xs.right if slot.column == len(xs.columns) - 1 else 0.0)
        start = column.x0 - (xs.left if slot.column == 0 else 0.0)
        sky.add(start, end, y - extent.above, y + extent.below)
    for branch in frame.plan.branches:
        if not branch.outer:
            x = columns.label_start(xs.columns[branch.column].risers[branch.id], branch, scale)
            y, block = frame.lanes[branch.id], blocks[branch.id]
            sky.add(x, x + block.width, y - lanes.name_above(block), y + lanes.name_below(block))
    frame.lanes.update(lanes.outer(frame.plan, xs, frame.ys, blocks, scale, sky, channel))
    top = min((v for v in sky.top if v < float("inf")), default=0.0)
    bottom = max((v for v in sky.bottom if v > float("-inf")), default=0.0)
    top = min([top, *(frame.lanes[b.id] - lanes.name_above(blocks[b.id]) for b in frame.plan.branches)])
    bottom = max([bottom, *(frame.lanes[b.id] + lanes.name_below(blocks[b.id]) for b in frame.plan.branches)])
    return top, bottom


def _rightmost(frame: Frame, blocks: Mapping[str, Block]) -> float:
    return max(
        (
            columns.label_start(frame.xs.columns[b.column].risers[b.id], b, frame.scale) + blocks[b.id].width
            for b in frame.plan.branches
        ),
        default=0.0,
    )
