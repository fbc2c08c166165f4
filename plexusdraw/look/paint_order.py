"""Paint order of bundles: highlit fibres come to the front of dimmed ones, so that they show from end to end."""

from __future__ import annotations

from collections.abc import Sequence

from plexusdraw.scene import Gap, Part, Strand
from plexusdraw.scene.view import View, strand_key


def lit_in_front(parts: Sequence[Part], view: View) -> tuple[Part, ...]:
    """*parts* with the bundles that hold a highlit strand after those that hold none; otherwise as they were."""
    if "highlit" not in (*view.strands.values(), *view.entities.values()):
        return tuple(parts)
    groups = runs(parts)
    lit = [any(isinstance(p, Strand) and view.strand(strand_key(p)) == "highlit" for p in run) for run in groups]
    moving = [i for i, run in enumerate(groups) if isinstance(run[0], Gap | Strand)]
    if not any(lit):
        return tuple(parts)
    order = sorted(moving, key=lambda i: lit[i])
    placed = dict(zip(moving, order, strict=True))
    return tuple(part for i in range(len(groups)) for part in groups[placed.get(i, i)])


def runs(parts: Sequence[Part]) -> list[list[Part]]:
    """Bundles (gaps, then strands) and single other parts."""
    found: list[list[Part]] = []
    for part in parts:
        before = found[-1][-1] if found else None
        begins = isinstance(part, Gap) and not isinstance(before, Gap)
        if isinstance(part, Gap | Strand) and isinstance(before, Gap | Strand) and not begins:
            found[-1].append(part)
        else:
            found.append([part])
    return found
