"""Widths of typefaces that programs take in the place of one that they lack, thousandths of an em, " " to "~".

A deck holds its typeface; a program that cannot read it there takes one of these. Figures carry over from published
metrics, kerning left out:

- Arial: those of Helvetica, whose widths Arial, Liberation Sans and Arimo share. Adobe Systems, Adobe Font Metrics for
  the 14 core fonts (1997), Helvetica and Helvetica-Bold.
- DejaVu Sans: DejaVu Fonts 2.37 (2016), advance widths in the tables "hmtx" of DejaVu Sans and DejaVu Sans Bold.
"""

from __future__ import annotations

from dataclasses import dataclass

from plexusdraw import fonts
from plexusdraw.scene import MM_PER_PT

_FIRST = ord(" ")


def _widths(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split()))


@dataclass(frozen=True)
class Replacement:
    """A typeface by its widths, regular and bold."""

    name: str
    regular: tuple[int, ...]
    bold: tuple[int, ...]

    def width(self, string: str, size: float, bold: bool) -> float:
        """Advance width of a line of text of *size* pt, mm; what is not in the table counts as in our typeface."""
        table, total = self.bold if bold else self.regular, 0.0
        for sign in string:
            at = ord(sign) - _FIRST
            known = 0 <= at < len(table)
            total += table[at] / 1000 * size * MM_PER_PT if known else fonts.width(sign, size, bold)
        return total


_ARIAL = _widths(
    "278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 278 278 "
    "584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 722 667 611 722 667 944 "
    "667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 "
    "278 556 500 722 500 500 500 334 260 334 584"
)
_ARIAL_BOLD = _widths(
    "278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 333 333 "
    "584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722 611 833 722 778 667 778 722 667 611 722 667 944 "
    "667 667 611 333 278 333 584 556 333 556 611 556 611 556 333 611 611 278 278 556 278 889 611 611 611 611 389 556 "
    "333 611 556 778 556 556 500 389 280 389 584"
)
_DEJAVU = _widths(
    "318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 636 636 636 636 636 337 337 "
    "838 838 838 531 1000 684 686 698 770 632 575 775 752 295 295 656 557 863 748 787 603 787 695 635 611 732 684 989 "
    "685 611 685 390 337 390 838 500 500 613 635 550 635 615 352 635 634 278 278 579 278 974 634 612 635 635 411 521 "
    "392 634 592 818 592 592 525 636 337 636 838"
)
_DEJAVU_BOLD = _widths(
    "348 456 521 838 696 1002 872 306 457 457 523 838 380 415 380 365 696 696 696 696 696 696 696 696 696 696 400 400 "
    "838 838 838 580 1000 774 762 734 830 683 683 821 837 372 372 775 637 995 837 850 733 850 770 720 682 812 774 "
    "1103 771 724 725 457 365 457 838 500 500 675 716 593 716 678 435 716 712 343 343 665 343 1042 712 687 716 716 "
    "493 595 478 712 652 924 645 652 582 712 365 712 838"
)

ARIAL = Replacement("Arial", _ARIAL, _ARIAL_BOLD)
DEJAVU = Replacement("DejaVu Sans", _DEJAVU, _DEJAVU_BOLD)
