"""Paper sizes: ISO 216 (A series), ANSI/ASME Y14.1 (Letter), and screens at 13.33 in wide.

Sizes are portrait, mm; a page is landscape unless asked otherwise, since a plexus is wider than high.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from plexusdraw.errors import FitError

SIZES: dict[str, tuple[float, float]] = {
    "a5": (148, 210),
    "a4": (210, 297),
    "a3": (297, 420),
    "a2": (420, 594),
    "a1": (594, 841),
    "a0": (841, 1189),
    "letter": (215.9, 279.4),
    "legal": (215.9, 355.6),
    "tabloid": (279.4, 431.8),
    "16:9": (190.5, 338.67),
    "4:3": (254.0, 338.67),
    "square": (210, 210),
    "poster": (594, 841),
}
TURNS = ("portrait", "landscape")
UNTURNED = {"fit": "is as large as what it holds", "square": "is as wide as it is high"}
"""Papers that cannot be turned, and why."""
LADDER = ("a4", "a3", "a2", "a1", "a0")
"""Papers offered, small to large, when a picture does not fit."""

MOST_TEXT = 4.0
LARGEST_MM = 10_000.0
SMALLEST_PT = 6.0
"""No text on paper is smaller."""
SCREENS = ("16:9", "4:3")
SMALLEST_SCREEN_PT = 14.0
"""No text on a slide is smaller: slides are seen from the back row."""
NAMES_SCREEN_PT = 18.0
"""No name on the drawing of a slide is smaller where it fits so; else in smaller steps down to the smallest."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A page: size and margin in mm, the smallest text in pt, and whether it grows to fit."""

    name: str
    width: float
    height: float
    margin: float = 10.0
    smallest: float = SMALLEST_PT
    grows: bool = False
    screen: bool = False
    """Whether it is a slide: little room, large type."""
    text: float = 1.0
    """Size of text as a multiple of the usual."""
    names: float = 0.0
    """The smallest name on the drawing, pt, where it is more than ``smallest``."""


def paper(text: str = "a4", orientation: str | None = None) -> Paper:
    """The page named by *text*: "a4", "letter portrait", "16:9", "square", "250x180" (mm) or "fit".

    Raises:
        FitError: the name is unknown or the size impossible; the message lists the names.
    """
    words = text.lower().replace("×", "x").split()
    turns = [w for w in words if w in TURNS]
    turn = orientation or next(iter(turns), None)
    name = " ".join(w for w in words if w not in TURNS) or "a4"
    if len(turns) > 1:
        raise FitError(f'paper "{text}" is turned twice: leave one of {" and ".join(turns)} out')
    if turns and name in UNTURNED:
        raise FitError(f'paper "{text}": {name} {UNTURNED[name]}, so leave {turns[0]} out')
    if name == "fit":
        return Paper("fit", LARGEST_MM, LARGEST_MM, grows=True)
    size = SIZES.get(name)
    if size is None:
        return _custom(name, turn)
    short, long = size
    w, h = (short, long) if turn == "portrait" else (long, short)
    label = f"{name} {turn}" if turn else name
    if name in SCREENS:
        return Paper(label, w, h, margin=6.0, smallest=SMALLEST_SCREEN_PT, screen=True, names=NAMES_SCREEN_PT)
    return Paper(label, w, h)


def with_text(page: Paper, share: float) -> Paper:
    """The page with text *share* times the usual size, the smallest too.

    Raises:
        FitError: the share is not between 1 and 4.
    """
    if not 1.0 <= share <= MOST_TEXT:
        raise FitError(f"text can be 1 to {MOST_TEXT:g} times its usual size, not {share:g}")
    return replace(page, text=share, smallest=page.smallest * share, names=page.names * share)


def _custom(name: str, turn: str | None) -> Paper:
    match = re.fullmatch(r"(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)(?:\s*mm)?", name)
    if match is None:
        raise FitError(f'unknown paper "{name}"; try {", ".join(SIZES)}, fit, or a size in mm such as 250x180')
    w, h = float(match[1]), float(match[2])
    if not (50 <= w <= LARGEST_MM and 50 <= h <= LARGEST_MM):
        raise FitError(f'paper "{name}": each side must be between 50 and {LARGEST_MM:.0f} mm')
    if (turn == "portrait" and w > h) or (turn == "landscape" and h > w):
        w, h = h, w
    return Paper(f"{w:g}x{h:g} mm", w, h)
