"""Every length of the drawing from one number: the type size of nerve names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from plexusdraw.scene import MM_PER_PT

LEAST_BESIDE_EMS = 0.25


@dataclass(frozen=True, slots=True)
class Scale:
    """Sizes in pt, lengths in mm. No text is smaller than ``smallest`` pt; ``density`` shrinks all that is not text."""

    size: float
    smallest: float = 6.0
    density: float = 1.0
    care: float = 1.0
    """How small the steps are in which room is looked for: 1 quick, more is tighter and slower."""
    names: float = 0.0
    """Least type of names, pt, where it is more than ``smallest``."""
    plate_ems: float = 0.0
    """Width at which a name on a plate is broken, ems of its type; 0: never."""

    def pt(self, share: float) -> float:
        """A type size as a share of the base size, not under the smallest."""
        return max(self.smallest, round(share * self.size, 2))

    def name_pt(self, share: float) -> float:
        """A type size of names as a share of the base size, not under the smallest."""
        return max(self.names, self.pt(share))

    def mm(self, ems: float) -> float:
        """A length between things, in ems of the base size."""
        return ems * self.size * MM_PER_PT * self.density

    def text_mm(self, ems: float) -> float:
        """A length that follows the type, in ems of the base size."""
        return ems * self.size * MM_PER_PT

    def beside(self, ems: float) -> float:
        """A length between text and what it stands beside, in ems of the base size; some is left at any density."""
        return max(self.mm(ems), self.text_mm(min(ems, LEAST_BESIDE_EMS)))

    @property
    def strand(self) -> float:
        """Width of a strand of a staged segment, mm."""
        return self.mm(0.46)

    @property
    def pitch(self) -> float:
        """Distance between neighbouring strands of a staged segment, centre to centre, mm."""
        return self.mm(0.54)

    @property
    def thin(self) -> float:
        """Width of a strand of a side branch, mm."""
        return self.mm(0.27)

    @property
    def thin_pitch(self) -> float:
        """Distance between neighbouring strands of a side branch, mm."""
        return self.mm(0.345)

    @property
    def clear(self) -> float:
        """Least distance between text and anything that is not its own, mm."""
        return self.mm(0.25)

    @property
    def gap(self) -> float:
        """Blank paper on each side of a bundle that passes in front of another, mm."""
        return self.mm(0.16)

    @property
    def name(self) -> float:
        """Nerve names, pt."""
        return self.name_pt(1.0)

    @property
    def supply(self) -> float:
        """What a nerve supplies, pt."""
        return self.pt(0.84)

    @property
    def pill(self) -> float:
        """Names on plates, pt."""
        return self.name_pt(0.95)

    @property
    def small_pill(self) -> float:
        """Names on plates of stages whose order is free, pt."""
        return self.name_pt(0.84)

    @property
    def root(self) -> float:
        """Root letters, pt."""
        return self.name_pt(1.25)

    @property
    def heading(self) -> float:
        """Column headings, pt."""
        return self.pt(0.9)

    @property
    def title(self) -> float:
        """The title, pt."""
        return self.pt(1.7 if self.density == 1.0 else 1.35)

    @property
    def note(self) -> float:
        """Notes at the foot, pt."""
        return self.pt(0.84)

    @property
    def row(self) -> float:
        """Rows of the supply table, pt."""
        return self.pt(0.84)

    @property
    def tick(self) -> float:
        """Root letters over the dots of the table, pt."""
        return self.pt(0.72)


def half_width(count: int, width: float, pitch: float) -> float:
    """Half the width of a bundle of *count* strands, mm."""
    return ((count - 1) * pitch + width) / 2


Key = TypeVar("Key")


def offsets(strands: tuple[Key, ...], pitch: float) -> dict[Key, float]:
    """Offset of each strand from the middle of its bundle, the first one uppermost (positive), mm."""
    middle = (len(strands) - 1) / 2
    return {strand: (middle - i) * pitch for i, strand in enumerate(strands)}
