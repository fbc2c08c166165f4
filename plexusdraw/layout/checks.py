"""What must hold of every scene, measured on the scene itself: nothing collides, nothing leaves the page.

Used by the tests and by the table of measures in the gallery; the layout does not depend on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

from plexusdraw import fonts
from plexusdraw.scene import (
    Area,
    Box,
    Curve,
    Heading,
    Label,
    Leader,
    Note,
    Part,
    Pill,
    Point,
    Row,
    Scene,
    Shape,
    Strand,
    Text,
    Word,
    curves,
)

CELL_MM = 10.0
SLACK_MM = 0.02
"""Rounding allowed before a touch counts."""


@dataclass(frozen=True, slots=True)
class Worded:
    """A box that holds text, or may (a blank, room for a word): who it belongs to, what it says."""

    owner: str
    what: str
    box: Box


def worded(scene: Scene) -> list[Worded]:
    """Every box of text on the page, blanks included."""
    return [w for part in scene.parts for w in _boxes(part)]


def _boxes(part: Part) -> Iterator[Worded]:
    if isinstance(part, Pill):
        yield Worded(part.entity, " ".join(line.string for line in part.lines), part.box)
    elif isinstance(part, Label):
        owner = f"{part.entity}/{part.role}"
        yield from (Worded(owner, line.string, line.box) for line in part.lines)
        yield Worded(owner, "blank", part.blank)
    elif isinstance(part, Row):
        owner = f"row/{part.entity}"
        yield Worded(owner, part.name.string, part.name.box)
        yield Worded(owner, "word", part.word.box)
        yield Worded(owner, "blank", part.blank)
    elif isinstance(part, Word):
        yield Worded(f"{part.entity}/name", "word", _room(part))
    elif isinstance(part, Heading):
        yield Worded(f"heading/{part.entity}", part.text.string, part.text.box)
    elif isinstance(part, Note) and part.role == "title":
        yield Worded("note/title", "title", replace(part.text.box, w=part.room))  # whatever the view says there
    elif isinstance(part, Note) and part.text.string:
        owner = "foot" if part.role in ("legend", "caution") else part.key  # a view shows one or the other
        box = replace(part.text.box, w=min(part.text.box.w, part.room))  # painters keep a note to its room
        yield Worded(f"note/{owner}", part.text.string, box)


LONGEST_WORD = "slightly weak"


def _room(part: Word) -> Box:
    """The room of the longest word for a state."""
    text = part.text
    return fonts.text(LONGEST_WORD, text.x, text.y, text.size, text.anchor, text.bold).box


def texts(scene: Scene) -> list[Text]:
    """Every line of text."""
    found: list[Text] = []
    for part in scene.parts:
        if isinstance(part, Word):
            found.append(replace(part.text, string=LONGEST_WORD))
        elif isinstance(part, Heading | Note):
            found.append(part.text)
        elif isinstance(part, Pill | Label):
            found += part.lines
        elif isinstance(part, Row):
            found.append(part.name)
    return [t for t in found if t.string]


def faults(scene: Scene) -> list[str]:
    """Everything that is wrong with a page, in words; empty when it is right."""
    boxes = worded(scene)
    where = (_outside(scene, boxes), _on_text(boxes), _on_strands(scene, boxes), _on_limbs(scene, boxes))
    return [*(fault for found in where for fault in found), *_unread(scene)]


def _unread(scene: Scene) -> Iterator[str]:
    """What carries words is read once, and only that."""
    worded = [i for i, part in enumerate(scene.parts) if isinstance(part, Pill | Label | Row | Heading | Note | Word)]
    if sorted(scene.reading) != worded:
        yield f"not read once: parts {sorted(set(worded) ^ set(scene.reading)) or 'read twice'}"


def _outside(scene: Scene, boxes: Iterable[Worded]) -> Iterator[str]:
    for w in boxes:
        b = w.box
        if b.x < -SLACK_MM or b.y < -SLACK_MM or b.right > scene.width + SLACK_MM or b.bottom > scene.height + SLACK_MM:
            yield f'"{w.what}" of {w.owner} leaves the page'
    for part in scene.parts:
        if isinstance(part, Pill) and any(t.box.x < part.box.x or t.box.right > part.box.right for t in part.lines):
            yield f"the name of {part.entity} is wider than its plate"
        if isinstance(part, Area | Shape):
            chains = part.curves if isinstance(part, Area) else (part.curve,)
            if any(not (0 <= x <= scene.width and 0 <= y <= scene.height) for chain in chains for x, y in chain):
                yield f"a shape of {part.entity or part.kind} leaves the page"
    for strand in _strands(scene):
        if any(not (0 <= x <= scene.width and 0 <= y <= scene.height) for x, y in strand.curve):
            yield f"a strand of {strand.entity} leaves the page"


def _on_text(boxes: list[Worded]) -> Iterator[str]:
    for a, b in _pairs(boxes):
        if a.owner != b.owner and a.box.meets(b.box, -SLACK_MM):
            yield f'"{a.what}" of {a.owner} meets "{b.what}" of {b.owner}'


def _pairs(boxes: list[Worded]) -> Iterator[tuple[Worded, Worded]]:
    """Pairs in a common cell of a grid, each once."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    for i, w in enumerate(boxes):
        for cell in _cells(w.box):
            cells[cell].append(i)
    seen: set[tuple[int, int]] = set()
    for members in cells.values():
        for n, i in enumerate(members):
            for j in members[n + 1 :]:
                if (i, j) not in seen:
                    seen.add((i, j))
                    yield boxes[i], boxes[j]


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    for cx in range(int(box.x // CELL_MM), int(box.right // CELL_MM) + 1):
        for cy in range(int(box.y // CELL_MM), int(box.bottom // CELL_MM) + 1):
            yield cx, cy


def _strands(scene: Scene) -> list[Strand]:
    return [p for p in scene.parts if isinstance(p, Strand)]


def _on_strands(scene: Scene, boxes: list[Worded]) -> Iterator[str]:
    """Text over a strand that is not its own. A plate stands on its own strands; a name never stands on any."""
    cells: dict[tuple[int, int], list[Worded]] = defaultdict(list)
    for w in boxes:
        for cell in _cells(w.box):
            cells[cell].append(w)
    said: set[tuple[str, str]] = set()
    for strand in _strands(scene):
        r = strand.width / 2
        for x, y in dense(strand.curve):
            for w in cells.get((int(x // CELL_MM), int(y // CELL_MM)), ()):
                if w.owner not in (strand.entity, strand.whole) and _near(w.box, x, y) < r - SLACK_MM:
                    key = (w.owner, strand.entity)
                    if key not in said:
                        said.add(key)
                        yield f'"{w.what}" of {w.owner} stands on a strand of {strand.entity}'


def _on_limbs(scene: Scene, boxes: list[Worded]) -> Iterator[str]:
    """Text over a limb or a leader of another name; leaders that cross."""
    bodies = [curves.samples(p.curve, 12) for p in scene.parts if isinstance(p, Shape) and p.role == "body"]
    if not bodies:
        return
    for w in boxes:
        if any(_touches(w.box, a, b) for body in bodies for a, b in pairwise(body)):
            yield f'"{w.what}" of {w.owner} stands on a limb'
    leaders = [p for p in scene.parts if isinstance(p, Leader)]
    ways = [[p.curve[0], *p.curve[3::3]] for p in leaders]
    for i, one in enumerate(leaders):
        for w in boxes:
            if w.owner != f"{one.entity}/name" and any(_touches(w.box, a, b) for a, b in pairwise(ways[i])):
                yield f'the leader of {one.entity} runs through "{w.what}" of {w.owner}'
        for k in range(i + 1, len(leaders)):
            if any(_cross(a, b, c, d) for a, b in pairwise(ways[i]) for c, d in pairwise(ways[k])):
                yield f"the leaders of {one.entity} and {leaders[k].entity} cross"


def _touches(box: Box, p: Point, q: Point) -> bool:
    """Whether a stretch enters a box."""
    if max(p[0], q[0]) <= box.x or min(p[0], q[0]) >= box.right:
        return False
    if max(p[1], q[1]) <= box.y or min(p[1], q[1]) >= box.bottom:
        return False
    corners = [(box.x, box.y), (box.right, box.y), (box.right, box.bottom), (box.x, box.bottom)]
    inside = any(box.x < x < box.right and box.y < y < box.bottom for x, y in (p, q))
    return inside or any(_cross(p, q, a, b) for a, b in pairwise([*corners, corners[0]]))


def _cross(p: Point, q: Point, r: Point, s: Point) -> bool:
    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return side(p, q, r) * side(p, q, s) < 0 and side(r, s, p) * side(r, s, q) < 0


def _near(box: Box, x: float, y: float) -> float:
    """Distance of a point from a box."""
    dx = max(box.x - x, 0.0, x - box.right)
    dy = max(box.y - y, 0.0, y - box.bottom)
    return hypot(dx, dy)


def dense(curve: Curve, step: float = 0.4) -> list[Point]:
    """Points along a chain about *step* mm apart."""
    found: list[Point] = [curve[0]]
    for c in curves.cubics(curve):
        length = hypot(c[3][0] - c[0][0], c[3][1] - c[0][1])
        n = max(2, int(length / step) + 1)
        found.extend(curves.point(c, i / n) for i in range(1, n + 1))
    return found
