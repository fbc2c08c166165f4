"""Paint order of bundles: highlit fibres come to the front of dimmed ones, so that they show from end to end."""

from __future__ import annotations

from collections.abc import Sequence

from plexusdraw.scene import Gap, Part, Strand
from plexusdraw.scene.view import View, strand_key


def lit_in_front(parts: Sequence[Part], view: View) -> tuple[Part, ...]:
    """*parts* with the bundles that hold a highlit strand after those that hold none; otherwise as they were."""
    runs = _runs(parts)
    lit = [any(isinstance(p, Strand) and view.strand(strand_key(p)) == "highlit" for p in run) for run in runs]
    moving = [i for i, run in enumerate(runs) if isinstance(run[0], Gap | Strand)]
    if not any(lit):
        return tuple(parts)
    order = sorted(moving, key=lambda i: lit[i])
    placed = dict(zip(moving, order, strict=True))
    return tuple(part for i in range(len(runs)) for part in runs[placed.get(i, i)])


def _runs(parts: Sequence[Part]) -> list[list[Part]]:
    """Bundles (gaps, then strands) and single other parts."""
    runs: list[list[Part]] = []
    for part in parts:
        before = runs[-1][-1] if runs else None
        begins = isinstance(part, Gap) and not isinstance(before, Gap)
        if isinstance(part, Gap | Strand) and isinstance(before, Gap | Strand) and not begins:
            runs[-1].append(part)
        else:
            runs.append([part])
    return runs
