"""What stands around the drawing of a worksheet: the line for name, date and score, title, instructions, word bank.

All of it is made of the parts of a scene: a text is a ``Note`` (role "orientation" at the head, "legend" at the
foot, so that it is read first and last), a rule is a ``Leader``, a box to write in a ``Label`` without lines.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace

from plexusdraw import fonts
from plexusdraw.layout import surround
from plexusdraw.layout.paper import Paper
from plexusdraw.layout.surround import LEGEND_STRANDS
from plexusdraw.scene import (
    MM_PER_PT,
    Area,
    Leader,
    Note,
    Panel,
    Part,
    Role,
    Scene,
    Shape,
    Sinew,
)
from plexusdraw.scene.curves import line
from plexusdraw.scene.transform import Move, changed

HEAD_PT = 9.0
TITLE_PT = 13.0
FOOT_PT = 8.0
SMALL_PT = 6.5
LEADING = 1.35
NAME_MM = 7.0
"""Height of the line for the name: room to write by hand."""
TITLE_BAND_MM = 6.0
LEGEND_BAND_MM = 3.8
"""Least heights of the bands over and under the panels of a scene, which a worksheet does not use."""
SCORE, KEY_HEAD = "score", "key-head"
"""Keys of the notes that say the points."""
BANK = "Word bank (not all are used):"
BANK_OF_ALL = "Word bank (all are used):"


@dataclass(frozen=True, slots=True)
class Frame:
    """The words around a form. ``points``: what the score is out of; ``bank``: the words of the word bank.

    ``named``: whether it has a line for name, date, score and code; a form on a slide has not.
    """

    title: str
    code: str
    points: int
    instructions: str
    orientation: str = ""
    course: str = ""
    bank: tuple[str, ...] = ()
    spare: bool = True
    """Whether some words of the bank are no answer."""
    caution: str = ""
    legend: str = LEGEND_STRANDS
    is_key: bool = False
    named: bool = True


@dataclass(frozen=True, slots=True)
class Strip:
    """Parts at the head or foot of a page and their height, mm."""

    parts: tuple[Part, ...]
    height: float


def step(size: float) -> float:
    """Distance of baselines, mm."""
    return size * MM_PER_PT * LEADING


def words(
    string: str, x: float, y: float, size: float, role: Role = "table-heading", *, key: str = "", bold: bool = False
) -> Note:
    """A line of text that starts at (x, y)."""
    text = fonts.text(string, x, y, size, bold=bold)
    return Note(role, key or f"text-{round(10 * x)}-{round(10 * y)}", text, text.box.w + 0.1)


def counted(number: int, what: str) -> str:
    """A number of things: "1 point", "2 points"."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def key_head(code: str, points: int) -> str:
    """How a key begins."""
    return f"Key to form {code} ({counted(points, 'point')})"


def rule(x0: float, y: float, x1: float) -> Leader:
    """A line to write on."""
    return Leader(f"rule-{round(10 * x0)}-{round(10 * y)}", "rule", line((x0, y), (x1, y)))


@fonts.measuring(64)
def head(frame: Frame, page: Paper) -> Strip:
    """Name, date, score and code; title and orientation; instructions."""
    left, right = page.margin, page.width - page.margin
    y = page.margin
    parts: list[Part] = []
    if frame.named:
        y += NAME_MM - 1.0
        parts += _name_line(frame, left, right, y)
        y += 2.2
    y += TITLE_PT * MM_PER_PT
    side = fonts.text(frame.orientation, right, y, FOOT_PT, "end")
    room = right - left - side.box.w - 4.0
    parts.append(Note("title", "title", fonts.text("", left, y, TITLE_PT, bold=True), room))
    if frame.orientation:
        parts.append(Note("orientation", "orientation", side, side.box.w + 0.1))
    for text in fonts.wrap(frame.instructions, right - left, HEAD_PT) if frame.instructions else []:
        y += step(HEAD_PT)
        parts.append(words(text, left, y, HEAD_PT, "orientation"))
    return Strip(tuple(parts), y + 2.2 - page.margin)


def _name_line(frame: Frame, left: float, right: float, y: float) -> list[Part]:
    code = fonts.text(f"Form {frame.code}", right, y, HEAD_PT, "end", bold=True)
    made: list[Part] = []
    if frame.is_key:
        made.append(words(key_head(frame.code, frame.points), left, y, HEAD_PT, "orientation", key=KEY_HEAD, bold=True))
    else:
        score = f"/ {frame.points}"
        fields = (("Name", 0.46), ("Date", 0.2), ("Score", 0.1))
        room = code.box.x - 4.0 - left - fonts.width(score, HEAD_PT) - 3.0
        x = left
        for name, share in fields:
            made.append(words(name, x, y, HEAD_PT, "orientation"))
            start = x + fonts.width(name, HEAD_PT) + 1.5
            x += room * share / 0.76
            made.append(rule(start, y + 0.8, x - 3.0))
        made.append(words(score, x - 1.5, y, HEAD_PT, "orientation", key=SCORE))
        made.append(Note("orientation", "code", code, code.box.w + 0.1))
    if frame.course:
        made.append(words(frame.course, left, y - NAME_MM + 1.0 + fonts.ascent(SMALL_PT), SMALL_PT, "orientation"))
    return made


@fonts.measuring(64)
def foot(frame: Frame, page: Paper) -> Strip:
    """Word bank, legend and caution, from the bottom of the page upwards."""
    left, room = page.margin, page.width - 2 * page.margin
    rows: list[tuple[str, float, bool]] = []
    if frame.bank:
        rows += _bank(frame.bank, room, frame.spare)
    small = max(SMALL_PT, page.smallest)
    rows += [(text, small, False) for text in fonts.wrap(frame.legend, room, small) if frame.legend]
    if frame.caution:
        rows += [(text, small, False) for text in fonts.wrap(frame.caution, room, small)]
    height = sum(step(size) for _, size, _ in rows) + (1.2 if rows else 0.0)
    y = page.height - page.margin - height + 1.2
    made: list[Part] = []
    for text, size, bold in rows:
        y += step(size)
        made.append(words(text, left, y - fonts.descent(size), size, "legend", bold=bold))
    return Strip(tuple(made), height)


def _bank(bank: Sequence[str], room: float, spare: bool) -> list[tuple[str, float, bool]]:
    items = [f"{item}\u00a0\u00a0·" for item in bank[:-1]] + [bank[-1]]
    lines = fonts.wrap([BANK if spare else BANK_OF_ALL, *items], room, FOOT_PT)
    return [(text, FOOT_PT, False) for text in lines]


def drawing_paper(page: Paper, around: float) -> Paper:
    """The paper to lay a drawing out for, so that its panels fill the page less *around* mm of head and foot."""
    height = page.height - around + TITLE_BAND_MM + LEGEND_BAND_MM
    return replace(page, name=f"{page.name}, less {around:.1f} mm", height=height)


def composed(
    scene: Scene,
    page: Paper,
    frame: Frame,
    shown: Frame | None = None,
    answers: Sequence[Part] = (),
    low: float | None = None,
) -> Scene:
    """The drawing of *scene* between head and foot, on one page.

    *shown*: the words to set instead of those of *frame*, which says where the drawing stands (a key). *answers*: what
    stands beside the drawing or under it; *low*: where the drawing then ends, mm from the top of the page.
    """
    top, bottom = head(frame, page), foot(frame, page)
    panels = [p.box for p in scene.parts if isinstance(p, Panel)]
    room = (page.height - page.margin - bottom.height if low is None else low) - page.margin - top.height
    start = min(b.y for b in panels)
    tall = max(b.bottom for b in panels) - start
    moved = _moved(scene, page.margin + top.height + max(0.0, room - tall) / 2 - start)
    words = shown or frame
    if words.legend == LEGEND_STRANDS:
        words = replace(words, legend=" ".join(surround.legend(scene.parts, words.legend)))
    return _around(added(moved, answers) if answers else moved, page, words, below=False)


def added(scene: Scene, parts: Sequence[Part]) -> Scene:
    """A page with more *parts*, read last."""
    first = len(scene.parts)
    worded = (first + i for i, part in enumerate(parts) if not isinstance(part, Leader))
    return replace(scene, parts=(*scene.parts, *parts), reading=(*scene.reading, *worded))


_LAST_MOVED: deque[tuple[Scene, float, Scene]] = deque(maxlen=8)
"""Drawings, how far they were moved, and what came of it: the forms of a set share them."""


def _moved(scene: Scene, down: float) -> Scene:
    """A drawing without its notes, *down* mm lower."""
    for known, far, made in _LAST_MOVED:
        if known is scene and far == down:
            return made
    move = Move(0.0, down)
    made = changed(scene, lambda p: None if isinstance(p, Note) and not p.role.startswith("table") else move.part(p))
    _LAST_MOVED.append((scene, down, made))
    return made


def blank_page(page: Paper, frame: Frame, parts: Sequence[Part], roots: tuple[str, ...] = ()) -> Scene:
    """A page without a drawing: head, *parts* as they are read, foot."""
    return _around(free_page(page, parts, roots), page, frame, below=True)


def free_page(page: Paper, parts: Sequence[Part], roots: tuple[str, ...] = ()) -> Scene:
    """A page of *parts* alone, as they are read."""
    words = tuple(i for i, part in enumerate(parts) if not isinstance(part, Leader | Area | Shape | Sinew))
    return Scene(
        width=page.width,
        height=page.height,
        margin=page.margin,
        medium="paper",
        table="none",
        parts=tuple(parts),
        reading=words,
        description="",
        side="left",
        roots=roots,
    )


def _around(body: Scene, page: Paper, frame: Frame, *, below: bool) -> Scene:
    """Head and foot around a *body*, read first and last, the title before all; *below*: the head is painted first."""
    top, bottom = head(frame, page).parts, foot(frame, page).parts
    parts = (*top, *body.parts, *bottom) if below else (*body.parts, *top, *bottom)
    to_top, to_body = (0, len(top)) if below else (len(body.parts), 0)
    notes = [(part.role != "title", to_top + i) for i, part in enumerate(top) if isinstance(part, Note)]
    first = (place for _, place in sorted(notes))
    rest = (to_body + i for i in body.reading)
    last = range(len(top) + len(body.parts), len(parts))
    return replace(
        body,
        width=page.width,
        height=page.height,
        margin=page.margin,
        parts=parts,
        reading=(*first, *rest, *last),
        description="",
    )


def room(page: Paper, frame: Frame) -> tuple[float, float]:
    """Top and bottom of the room between head and foot, mm."""
    return page.margin + head(frame, page).height, page.height - page.margin - foot(frame, page).height
