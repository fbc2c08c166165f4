"""Names beside a figure, joined to it by leaders that never cross.

Names stand in two columns, each in the order of the points that they go to; where two leaders would still cross, the
names change places or sides. A column keeps close to the silhouette, and so uses the room beside a narrow part of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import floor
from typing import Literal

from plexusdraw.layout.limb.plates import Plate
from plexusdraw.scene import Box, Point

Where = Literal["left", "right"]
STUB = 0.9
"""Level piece of a leader at its name, in ems."""
CLEAR = 1.5
"""From the stub to the silhouette at the height of the name, in ems."""
TRIES = 400


@dataclass(frozen=True, slots=True)
class Item:
    """A name to place: its size in mm, and the point that it belongs to, in mm from the figure's origin."""

    entity: str
    kind: str
    at: Point
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Placed:
    """A name in its place: the box of its text and the leader's three points, from the name on."""

    item: Item
    where: Where
    box: Box
    leader: tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True)
class Frame:
    """A figure with its names: what it takes, mm from the figure's origin."""

    placed: tuple[Placed, ...]
    box: Box
    crossings: int = 0


class Extents:
    """How far a silhouette reaches to either side at each height; looked up in steps of a unit."""

    def __init__(self, outline: Sequence[Point]) -> None:
        ys = [y for _, y in outline]
        self.top = floor(min(ys))
        count = floor(max(ys)) - self.top + 1
        self.low, self.high = [1e9] * count, [-1e9] * count
        for (ax, ay), (bx, by) in pairwise(outline):
            first, last = sorted((floor(ay) - self.top, floor(by) - self.top))
            for n in range(first, last + 1):
                self.low[n] = min(self.low[n], ax, bx)
                self.high[n] = max(self.high[n], ax, bx)

    def at(self, top: float, bottom: float) -> tuple[float, float] | None:
        """Least and largest x, mm, between two heights; None where there is nothing."""
        first, last = max(floor(top) - self.top, 0), floor(bottom) - self.top + 1
        if last <= 0 or first >= len(self.low):
            return None
        return min(self.low[first:last]), max(self.high[first:last])


def place(
    plate: Plate, extents: Extents, items: Sequence[Item], k: float, em: float, gap: float, mend: bool = True
) -> Frame:
    """Names around a figure of *k* mm a unit; *gap* mm between names. Without *mend* leaders may still cross."""
    sides = [_wish(plate, extents, item, k) for item in items]
    orders: dict[Where, list[int]] = {"left": [], "right": []}
    for i in sorted(range(len(items)), key=lambda i: (items[i].at[1], items[i].at[0])):
        orders[sides[i]].append(i)
    _even(plate, orders, items, gap, k)
    best: tuple[int, tuple[Placed, ...]] | None = None
    seen: set[tuple[tuple[int, ...], tuple[int, ...]]] = set()
    for _ in range(TRIES):
        placed = _set(plate, extents, orders, items, k, em, gap)
        crossed = _crossed(placed) if mend else []
        if best is None or len(crossed) < best[0]:
            best = (len(crossed), tuple(placed[i] for i in sorted(placed)))
        if not crossed:
            break
        if not _mend(orders, items, crossed, seen):
            break
    assert best is not None
    figure = Box(plate.box.x * k, plate.box.y * k, plate.box.w * k, plate.box.h * k)
    return Frame(best[1], _around([figure, *(p.box for p in best[1])]), best[0])


def _wish(plate: Plate, extents: Extents, item: Item, k: float) -> Where:
    """The side on which the silhouette is nearer."""
    x, y = item.at[0] / k, item.at[1] / k
    reach = extents.at(y - 1, y + 1) or (plate.box.x, plate.box.right)
    return "left" if x - reach[0] < reach[1] - x else "right"


def _even(plate: Plate, orders: Mapping[Where, list[int]], items: Sequence[Item], gap: float, k: float) -> None:
    """Where one column is higher than the figure and half of all names, those nearest to the other side move over."""
    height = max(plate.box.h * k, sum(item.height + gap for item in items) / 2)
    pairs: tuple[tuple[Where, Where], ...] = (("left", "right"), ("right", "left"))
    for full, other in pairs:
        while len(orders[full]) > 1 and sum(items[i].height + gap for i in orders[full]) > height:
            sign = -1 if full == "left" else 1
            i = min(orders[full], key=lambda i: sign * items[i].at[0])
            orders[full].remove(i)
            orders[other].append(i)
            orders[other].sort(key=lambda i: items[i].at[1])
            if sum(items[i].height + gap for i in orders[other]) > height:
                return


def _set(
    plate: Plate,
    extents: Extents,
    orders: Mapping[Where, list[int]],
    items: Sequence[Item],
    k: float,
    em: float,
    gap: float,
) -> dict[int, Placed]:
    top, bottom = plate.box.y * k, plate.box.bottom * k
    found: dict[int, Placed] = {}
    for where, order in orders.items():
        heights = [items[i].height + gap for i in order]
        ys = spread([items[i].at[1] for i in order], heights, top, bottom)
        edges = []
        for i, y in zip(order, ys, strict=True):
            half = items[i].height / 2 + 0.5 * em
            reach = extents.at((y - half) / k, (y + half) / k)
            at = reach or (items[i].at[0] / k,) * 2
            edges.append(at[0] * k - CLEAR * em if where == "left" else at[1] * k + CLEAR * em)
        for i, y, x in zip(order, ys, _stepped(edges, where, 5 * em), strict=True):
            found[i] = _placed(items[i], where, x, y, em)
    return found


def _placed(item: Item, where: Where, x: float, y: float, em: float) -> Placed:
    sign = -1 if where == "left" else 1
    start = (x + sign * STUB * em, y)
    pad = 0.3 * em
    left = start[0] - pad - item.width if where == "left" else start[0] + pad
    box = Box(left, y - item.height / 2, item.width, item.height)
    return Placed(item, where, box, (start, (x, y), item.at))


def _stepped(edges: Sequence[float], where: Where, step: float) -> list[float]:
    """Edges of a column in few steps: neighbours that nearly agree stand on one line."""
    outer = min if where == "left" else max
    runs: list[list[float]] = []
    for edge in edges:
        if runs and abs(edge - outer(runs[-1])) < step:
            runs[-1].append(edge)
        else:
            runs.append([edge])
    return [outer(run) for run in runs for _ in run]


def spread(wishes: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> list[float]:
    """Middles, mm, of stacked things, in order, as near to their wishes as their heights allow (least squares).

    They keep to *top* and *bottom* as far as there is room for all of them.
    """
    blocks: list[tuple[float, int, float]] = []  # mean of the shifted wishes, how many, height
    shift = 0.0
    shifts = []
    for wish, height in zip(wishes, heights, strict=True):
        shifts.append(shift + height / 2)
        blocks.append((wish - shifts[-1], 1, height))
        shift += height
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            (a, n, h), (b, m, g) = blocks[-2:]
            blocks[-2:] = [((a * n + b * m) / (n + m), n + m, h + g)]
    starts = [a for a, n, _ in blocks for _ in range(n)]
    slack = bottom - top - shift
    kept = [min(max(a, top), top + max(slack, 0.0)) for a in starts]
    return [a + s for a, s in zip(kept, shifts, strict=True)]


def _crossed(placed: Mapping[int, Placed]) -> list[tuple[int, int]]:
    """Pairs whose leaders cross, or where one's leader runs through the other's name."""
    ids = list(placed)
    return [(a, b) for n, a in enumerate(ids) for b in ids[n + 1 :] if cross(placed[a], placed[b])]


def cross(a: Placed, b: Placed) -> bool:
    """Whether two leaders cross, or one runs through the other's name."""
    if max(a.leader[1][1], a.leader[2][1]) + a.box.h < min(b.leader[1][1], b.leader[2][1]) - b.box.h:
        return False
    if max(b.leader[1][1], b.leader[2][1]) + b.box.h < min(a.leader[1][1], a.leader[2][1]) - a.box.h:
        return False
    for p, q in pairwise(a.leader):
        if _through(b.box, p, q):
            return True
        for r, s in pairwise(b.leader):
            if _meet(p, q, r, s):
                return True
    return any(_through(a.box, r, s) for r, s in pairwise(b.leader))


def _meet(p: Point, q: Point, r: Point, s: Point) -> bool:
    """Whether two stretches cross."""
    ux, uy, vx, vy = q[0] - p[0], q[1] - p[1], s[0] - r[0], s[1] - r[1]
    dx, dy = r[0] - p[0], r[1] - p[1]
    a, b = ux * dy - uy * dx, ux * (dy + vy) - uy * (dx + vx)
    if (a < 0) == (b < 0) or not a or not b:
        return False
    c, d = vy * dx - vx * dy, vy * (dx - ux) - vx * (dy - uy)
    return (c < 0) != (d < 0) and bool(c) and bool(d)


def _through(box: Box, p: Point, q: Point) -> bool:
    """Whether a stretch touches the inside of a box."""
    left, right = (p[0], q[0]) if p[0] < q[0] else (q[0], p[0])
    top, bottom = (p[1], q[1]) if p[1] < q[1] else (q[1], p[1])
    x1, y1 = box.x + box.w, box.y + box.h
    if right <= box.x or left >= x1 or bottom <= box.y or top >= y1:
        return False
    if top == bottom or left == right:
        return True
    slope = (q[1] - p[1]) / (q[0] - p[0])
    ends = [p[1] + slope * (min(max(x, left), right) - p[0]) for x in (box.x, x1)]
    return max(ends) > box.y and min(ends) < y1


def _mend(
    orders: dict[Where, list[int]],
    items: Sequence[Item],
    crossed: Sequence[tuple[int, int]],
    seen: set[tuple[tuple[int, ...], tuple[int, ...]]],
) -> bool:
    """Change places or sides of one pair that crosses, into an order not tried yet; False if there is none."""
    for a, b in crossed:
        for changed in _changes(orders, items, a, b):
            key = (tuple(changed["left"]), tuple(changed["right"]))
            if key not in seen:
                seen.add(key)
                orders.update(changed)
                return True
    return False


def _changes(orders: Mapping[Where, list[int]], items: Sequence[Item], a: int, b: int) -> list[dict[Where, list[int]]]:
    made: list[dict[Where, list[int]]] = []
    for order in orders.values():
        if a in order and b in order:
            swapped = {w: [b if i == a else a if i == b else i for i in o] for w, o in orders.items()}
            made.append(swapped)
    pairs: tuple[tuple[Where, Where], ...] = (("left", "right"), ("right", "left"))
    for i in (a, b):
        for here, there in pairs:
            if i in orders[here]:
                moved = {here: [j for j in orders[here] if j != i], there: [*orders[there], i]}
                moved[there].sort(key=lambda j: items[j].at[1])
                made.append(moved)
    return made


def _around(boxes: Sequence[Box]) -> Box:
    x, y = min(b.x for b in boxes), min(b.y for b in boxes)
    return Box(x, y, max(b.right for b in boxes) - x, max(b.bottom for b in boxes) - y)


def moved(placed: Placed, dx: float, dy: float) -> Placed:
    """A name moved on the page."""
    box = replace(placed.box, x=placed.box.x + dx, y=placed.box.y + dy)
    a, b, c = ((x + dx, y + dy) for x, y in placed.leader)
    return replace(placed, box=box, leader=(a, b, c))
