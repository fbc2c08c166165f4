"""How much a drawing may take before it is given up: no page asked for would hold it, however it goes on."""

from __future__ import annotations

from dataclasses import dataclass

ROUNDING = 1e-6
"""Share of an area that may be the last digits of sums."""


@dataclass(frozen=True, slots=True)
class Most:
    """What a drawing may take for it to be wanted: width (mm), and width times height (mm²)."""

    width: float = float("inf")
    area: float = float("inf")

    def under(self, width: float, height: float) -> bool:
        """Whether this is less than *width* and *height*, mm, come to: a drawing that takes as much is not wanted."""
        return width > self.width or width * height > self.area * (1 + ROUNDING)


ANY = Most()
