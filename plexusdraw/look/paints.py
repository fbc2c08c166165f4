"""What colours, lengths and dashes of a theme are, and the looks of a limb's areas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NewType

Colour = NewType("Colour", str)
"""Like "#0072b2", lower case."""
Share = NewType("Share", float)
"""0 to 1."""
Dashes = tuple[float, ...]
Paint = Colour | None
Fills = tuple[Paint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tint:
    """A filled area: its fill, a pattern of lines over it, its edge; ``None`` leaves it as it is.

    ``pattern``: plain, dots, level, upright, rising, falling, crossed (rising and falling), squared (level, upright).
    """

    fill: Paint = None
    line: Paint = None
    pattern: str = "plain"
    edge: Paint = None
    edge_width: float = 0.0
    """mm; 0 leaves it as it is."""


Tints = tuple[Tint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Areas:
    """How a limb looks: its skin and bones, and the areas and muscles on it. Widths and gaps are mm on A4."""

    body: Colour
    """The skin under all."""
    edge: Colour
    edge_width: float
    cut_dash: Dashes
    """Where the limb is cut off."""
    line: Colour
    """Creases, and the edges of bones and tendons."""
    line_width: float
    bone: Colour
    sinew: Colour
    border: Colour
    """Between skin areas, and around muscles."""
    border_width: float
    muscle_edge: Colour
    outside: Colour
    """What no nerve of the plexus supplies."""
    plain: Colour
    """What is spared, where colour stands for the state."""
    root_tint: Share
    """Share of page colour mixed into a root's colour where it fills an area."""
    pattern_width: float
    pattern_gap: float
    fills: Tints
    """For one nerve after the other; beyond the last they come again."""
    states: Mapping[str, Tint]

    def fill(self, index: int) -> Tint:
        """The fill with this index."""
        return self.fills[index % len(self.fills)]
