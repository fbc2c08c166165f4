"""Lines from nerves to the supply table, and the free corridors in which they run.

A branch that ends inside the drawing needs a corridor through the columns to its right: a dummy slot in each, placed
where its line crosses the fewest ties.
"""

from __future__ import annotations

from collections.abc import Mapping

from plexusdraw.layout.columns.across import label_start
from plexusdraw.layout.columns.bundles import Frame, branch_tip
from plexusdraw.layout.columns.plan import Branch, Plan
from plexusdraw.layout.columns.slots import Slot
from plexusdraw.layout.labels import Block
from plexusdraw.model.entities import Exit
from plexusdraw.scene import Curve, Leader, curves


def corridor(branch: str, column: int) -> str:
    """Id of the dummy slot that keeps a corridor free."""
    return f"~{branch}@{column}"


def reserve(plan: Plan) -> None:
    """Add the corridors of all inner branches to *plan*, those of upper branches first."""
    starts: dict[str, float] = {}
    inner = [b for b in plan.branches if not b.outer]
    for n, branch in enumerate(sorted(inner, key=lambda b: _rank(plan, b))):
        index = plan.columns[branch.column].index(branch.anchor)
        at = index + (0.5 if branch.side == "caudal" else -0.5) + n / (4 * len(inner))
        for column in range(branch.column + 1, len(plan.columns)):
            id = corridor(branch.id, column)
            plan.slots[id] = Slot(id, None, column, {})
            place = _best(plan, column, at, starts)
            plan.columns[column].insert(place, id)
            starts[id] = at
            at = float(place)


def _rank(plan: Plan, branch: Branch) -> tuple[int, float, float]:
    """Top to bottom: the outermost caudal branch of a slot is the leftmost and lowest, the cranial one highest."""
    index = plan.columns[branch.column].index(branch.anchor)
    course = [step.item for step in plan.slots[branch.anchor].course]
    order = next((i for i, item in enumerate(course) if isinstance(item, Exit) and item.to == branch.id), 0)
    caudal = branch.side == "caudal"
    return (branch.column, index + (0.5 if caudal else -0.5), -order if caudal else order)


def _best(plan: Plan, column: int, at: float, starts: Mapping[str, float]) -> int:
    """Where a line from height *at* (an index in the column before) enters *column* with the fewest crossings.

    *starts* are the heights, in the same terms, from which the corridors already there come.
    """
    before = {id: float(i) for i, id in enumerate(plan.columns[column - 1])}
    here = {id: i for i, id in enumerate(plan.columns[column])}
    ends = [(before[t.parent], here[t.child]) for t in plan.ties if t.child in here]
    ends += [(_now(plan, id, starts, before), i) for id, i in here.items() if id in starts]

    def cost(place: int) -> tuple[int, float]:
        crossed = sum(1 for start, end in ends if (start < at) != (end < place))
        return crossed, abs(place / (len(here) + 1) - (at + 0.5) / (len(before) + 1))

    return min(range(len(here) + 1), key=cost)


def _now(plan: Plan, id: str, starts: Mapping[str, float], before: Mapping[str, float]) -> float:
    """Height from which a corridor comes: its place in the column before, which may have shifted, or its branch's."""
    name, column = id[1:].rsplit("@", 1)
    return before.get(corridor(name, int(column) - 1), starts[id])


def lines(
    frame: Frame, blocks: Mapping[str, Block], channel: float, heights: Mapping[str, float], table_x: float
) -> list[Leader]:
    """A leader for each nerve in *heights* (id → height of its rows, mm), through the channel to *table_x*."""
    made: list[Leader] = []
    for branch in frame.plan.branches:
        if branch.id in heights:
            way = _way(frame, branch, blocks, channel)
            made.append(_leader(frame, branch.id, way, heights[branch.id], table_x))
    last = frame.xs.columns[-1]
    for id in frame.plan.columns[-1]:
        if id in heights:
            start = (last.x1 + frame.scale.mm(0.5) + frame.scale.clear + blocks[id].name_width, frame.ys[id])
            way = curves.line(start, (channel, frame.ys[id]))
            made.append(_leader(frame, id, way, heights[id], table_x))
    return made


def exit_height(frame: Frame, branch: Branch) -> float:
    """Height at which a branch's leader reaches the channel, mm."""
    if branch.outer or branch.column == len(frame.plan.columns) - 1:
        return frame.lanes[branch.id]
    return frame.ys[corridor(branch.id, len(frame.plan.columns) - 1)]


def _way(frame: Frame, branch: Branch, blocks: Mapping[str, Block], channel: float) -> Curve:
    y = frame.lanes[branch.id]
    here = (_name_end(frame, branch, blocks), y)
    pieces: list[Curve] = []
    if not branch.outer:
        kin = [b for b in frame.plan.branches if b.anchor == branch.anchor and not b.outer]
        there = (max(_name_end(frame, b, blocks) for b in kin), y)  # lines that turn at one x do not cross
        if there[0] > here[0]:
            pieces.append(curves.line(here, there))
        here = there
        for column in range(branch.column + 1, len(frame.plan.columns)):
            y = frame.ys[corridor(branch.id, column)]
            pieces.append(curves.sweep(here, (frame.xs.columns[column].x0, y)))
            here = (frame.xs.columns[column].x0, y)
            if column + 1 < len(frame.plan.columns):
                pieces.append(curves.line(here, (frame.xs.columns[column].x1, y)))
                here = (frame.xs.columns[column].x1, y)
    pieces.append(curves.line(here, (channel, y)))
    return curves.join(pieces)


def _name_end(frame: Frame, branch: Branch, blocks: Mapping[str, Block]) -> float:
    """x at which a branch's name ends."""
    x = label_start(frame.xs.columns[branch.column].risers[branch.id], branch, frame.scale)
    return max(x + blocks[branch.id].name_width, branch_tip(frame, branch)) + frame.scale.clear


def _leader(frame: Frame, id: str, way: Curve, height: float, table_x: float) -> Leader:
    end = curves.sweep(way[-1], (table_x, height))
    return Leader(id, frame.kind(id), curves.join([way, end]))
