"""What stands where from left to right in the picture of one nerve, and the panels behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from plexusdraw import fonts, names
from plexusdraw.layout.nerve.measure import Ruler
from plexusdraw.layout.nerve.tree import Stem, Stop
from plexusdraw.layout.surround import Bands
from plexusdraw.layout.table import rows as table
from plexusdraw.scene import MM_PER_PT, Anchor, Box, Heading, Note, Panel

FAN_EMS = 2.6
"""Width in which the strands come together from their letters."""
OUT_EMS = 0.6
"""Distance from a nerve's border at which what leaves it runs place."""
STUB_EMS = 1.9
"""Length of a branch, past that, before its name."""
RUN_EMS = 1.6
"""Least length of the strands between a name and its row."""
LANE_EMS = 1.1
"""Distance of a place's name from its nerve."""
MOST_SPARE_EMS = 9.0
"""Most width given to the gap before the rows."""
NERVES = "NERVE AND BRANCHES"
PLACES = "PLACES"


@dataclass(frozen=True, slots=True)
class Across:
    """Distances from the left edge of the drawing, mm. ``stems``: middle of the nerves of each depth."""

    parents: float
    letters: float
    stems: tuple[float, ...]
    rows: float
    width: float


def across(ruler: Ruler, spare: float = 0.0) -> Across:
    """Place everything from left to right; *spare* mm more than it needs may be used."""
    scale, stem = ruler.scale, ruler.stem
    letters = letters_width(ruler)
    named = max((fonts.width(t, ruler.text.supply) for t in parent_names(ruler).values()), default=0.0)
    named = max(named, parent_blank(ruler)[0]) + scale.mm(1.1) if parent_names(ruler) else 0.0
    lead = named + letters + scale.mm(0.35 + FAN_EMS) + ruler.turn(stem)
    lane = ruler.place_room + scale.mm(LANE_EMS) + ruler.half(stem)
    left_word, nerve_word, _ = headings(ruler)
    lane = max(lane, heading_width(ruler, left_word) + scale.mm(0.6) + ruler.half(stem))
    xs = [max(lead, lane)]
    deepest = max(s.depth for s in stem.stems())
    for depth in range(1, deepest + 1):
        before = max(ruler.half(s) for s in stem.stems() if s.depth == depth - 1)
        turn = max(ruler.turn(s) for s in stem.stems() if s.depth == depth)
        xs.append(xs[-1] + before + scale.mm(OUT_EMS + 0.5) + turn)
    names_end = max(_label_end(ruler, xs), xs[0] + ruler.half(stem) + heading_width(ruler, nerve_word) + scale.mm(1.0))
    rows = names_end + max(0.0, min(spare * 0.6, scale.mm(MOST_SPARE_EMS)))
    title = xs[0] + ruler.half(stem) + scale.mm(0.8) + ruler.name.width
    end = xs[0] - ruler.turn(stem) - scale.mm(0.35 + FAN_EMS) - letters
    return Across(end - scale.mm(1.1), end + letters, tuple(xs), rows, max(rows + ruler.grid.width, title))


def _label_end(ruler: Ruler, xs: Sequence[float]) -> float:
    """Where the rows may begin: right of every name, with room for strands."""
    scale, end = ruler.scale, xs[-1] + scale_run(ruler)
    for slot in ruler.slots:
        x = name_x(ruler, xs, slot.stem, slot.stop)
        if slot.stop.place is not None:
            end = max(end, x + ruler.place_width(slot.stop.place) + scale.mm(0.5))
        elif slot.stop.what == "line":
            end = max(end, x + ruler.longest + scale.mm(0.45 + RUN_EMS))
        elif slot.block is not None:
            end = max(end, x + slot.block.width + scale.mm(0.5))
    return end


def scale_run(ruler: Ruler) -> float:
    """Least length of a twig from the deepest nerve to its row, mm."""
    return max(ruler.half(s) for s in ruler.stem.stems()) + ruler.scale.mm(OUT_EMS + RUN_EMS)


def name_x(ruler: Ruler, xs: Sequence[float], stem: Stem, stop: Stop) -> float:
    """Left edge of the name that stands on the right of a nerve at a stop, mm."""
    scale = ruler.scale
    if stop.stem is not None:
        return xs[stop.stem.depth] + ruler.half(stop.stem) + scale.mm(0.5)
    side = xs[stem.depth] + ruler.half(stem)
    return side + scale.mm(LANE_EMS if stop.what == "place" else OUT_EMS + STUB_EMS)


def letters_width(ruler: Ruler) -> float:
    """Width of the column of root letters, blank or not, mm."""
    scale, wording = ruler.scale, ruler.wording
    asked = wording.room(ruler.plexus.stages[0].singular)[0]
    texts = [root_text(ruler, root) for root in ruler.stem.roots]
    return max(scale.mm(2.2), asked, *(fonts.width(t, scale.name, bold=True) for t in texts))


def root_text(ruler: Ruler, root: str) -> str:
    """Letters of a root: its English name in Latin too, where it is a sentence."""
    segment = ruler.plexus.segments[root]
    own = dict(ruler.wording.own).get(root)
    return own or (names.display(segment) if ruler.wording.style == "latin" else ruler.wording.of(segment))


def parent_names(ruler: Ruler) -> dict[str, str]:
    """Names of the segments that the nerve comes from, but for roots, whose letters stand there anyway."""
    found: dict[str, str] = {}
    for parent in ruler.stem.segment.parents:
        segment = ruler.plexus.segments[parent]
        if parent not in ruler.plexus.roots:
            own = dict(ruler.wording.own).get(parent)
            found[parent] = own or names.display(segment, ruler.wording.style)
    return found


def parent_blank(ruler: Ruler) -> tuple[float, float]:
    """Width and height of the blank of a parent's name, mm."""
    kinds = [ruler.plexus.segments[p].kind for p in ruler.stem.segment.parents]
    asked = [ruler.wording.room(kind) for kind in kinds]
    wide, high = max((w for w, _ in asked), default=0.0), max((h for _, h in asked), default=0.0)
    return max(ruler.scale.mm(7.5), wide), max(ruler.scale.mm(1.15), high)


def headings(ruler: Ruler) -> tuple[str, str, str]:
    """Words over the three panels."""
    wording = ruler.wording
    roots = wording.column(ruler.plexus.stages[0])
    placed = any(s.place for s in ruler.stem.stops)
    left = f"{roots}, {wording.word(PLACES)}" if placed else roots
    return left, wording.word(NERVES), wording.word(table.BOTH)


def heading_width(ruler: Ruler, text: str) -> float:
    """Width of a panel's heading, mm."""
    return fonts.width(text, ruler.text.heading, bold=True)


def panels(ruler: Ruler, places: Across, page: Bands, dx: float) -> Iterator[Panel | Heading | Note]:
    """A panel and a heading for the places, the nerve and the rows, and the root letters over the dots."""
    scale, paper = ruler.scale, page.paper
    half = ruler.half(ruler.stem)
    left, right = min(paper.margin, dx), max(paper.width - paper.margin, dx + places.width)
    borders = [left, dx + places.stems[0] - half - scale.mm(0.75), dx + places.rows - scale.mm(0.2), right]
    for i, (a, b) in enumerate(pairwise(borders)):
        yield Panel(f"course-{i}", "course", Box(a, page.top, b - a, page.bottom - page.top), i)
    base = page.top + scale.heading * MM_PER_PT * 1.55
    left_word, right_word, last_word = headings(ruler)
    sides: list[tuple[str, float, Anchor]] = [(left_word, -0.4, "end"), (right_word, 0.4, "start")]
    for i, (word, ems, anchor) in enumerate(sides):
        text = fonts.text(word, borders[1] + scale.mm(ems), base, ruler.text.heading, anchor, bold=True)
        yield Heading(f"course-{i}", "course", text)
    if not ruler.grid.rows:
        return
    x = dx + places.rows
    text = fonts.text(last_word, x + ruler.grid.name_x, base, ruler.text.heading, bold=True)
    yield Note("table-heading", "table-heading", text, ruler.grid.name)
    yield from table.root_heads(ruler.grid, x, base)
