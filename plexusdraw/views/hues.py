"""What the colour of a strand stands for: its root, the plane that its fibres came by, or the nerve that they form."""

from __future__ import annotations

from collections.abc import Container
from typing import Literal, get_args

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres, planes
from plexusdraw.scene import Row, Scene, Strand
from plexusdraw.scene.view import Hue, Hues

By = Literal["root", "plane", "nerve"]
CHOICES: tuple[By, ...] = get_args(By)
SAID = {
    "anterior": "anterior divisions",
    "posterior": "posterior divisions",
    "both": "fibres of both",
    "neutral": "undivided",
}
SHARED = "fibres of several nerves; each nerve has a colour of its own"


def hues(plexus: Plexus, scene: Scene, by: str, hidden: Container[str] = ()) -> Hues | None:
    """The hue of every strand and dot of a page; None where it is the root's.

    The legend speaks of those that are seen: not of what is *hidden*.

    Raises:
        UnknownNameError: colour stands for no such thing.
    """
    if by not in CHOICES:
        raise UnknownNameError(f'colour cannot stand for "{by}"; choose from {", ".join(CHOICES)}')
    if by == "root":
        return None
    find = _by_plane(plexus) if by == "plane" else _by_nerve(plexus)
    found: dict[tuple[str, str, str | None], Hue] = {}
    seen: set[Hue] = set()
    for part in scene.parts:
        if isinstance(part, Strand):
            entity = part.entity if part.entity in plexus.segments else part.source or part.entity
            source = part.source if part.entity in plexus.segments else None
            hue = found[part.entity, part.root, part.source] = find(entity, part.root, source)
            seen |= set() if part.entity in hidden else {hue}
        elif isinstance(part, Row):
            for dot in part.dots:
                hue = found[part.entity, dot.root, part.nerve] = find(part.nerve, dot.root, None)
                seen |= set() if part.entity in hidden else {hue}
    said = SAID if by == "plane" else {"neutral": SHARED}
    return Hues(found, tuple((hue, text) for hue, text in said.items() if hue in seen))


class _by_plane:  # noqa: N801  # a function with a memory
    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.planes = plexus, planes.of(plexus)

    def __call__(self, entity: str, root: str, source: str | None) -> Hue:
        arriving = source is not None and source in self.plexus.segments and entity in self.plexus.segments
        found = self.planes.arriving(entity, root, source or "") if arriving else self.planes.of(entity, root)
        return "both" if len(found) > 1 else next(iter(found), "neutral")


class _by_nerve:  # noqa: N801
    """The nerve that all fibres of a strand form: one of the last stage, or a side branch."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus, self.fibres = plexus, fibres.of(plexus)
        last = plexus.stages[-1].id
        ends = [s.id for s in plexus.segments.values() if s.stage == last or self._is_side(s.id)]
        self.index = {id: i for i, id in enumerate(ends)}
        self.known: dict[tuple[str, str], frozenset[str]] = {}

    def __call__(self, entity: str, root: str, source: str | None) -> Hue:
        ends = self._ends(entity, root) if entity in self.plexus.segments else frozenset()
        return self.index[next(iter(ends))] if len(ends) == 1 else "neutral"

    def _is_side(self, id: str) -> bool:
        """Whether it leaves a segment of a stage before the last and leads to none of a stage."""
        segment, last = self.plexus.segments[id], self.plexus.stages[-1].id
        if segment.stage is not None or any(self.plexus.segments[c].stage for c in self.plexus.children[id]):
            return False
        return any(self.plexus.segments[p].stage not in (None, last) for p in segment.parents)

    def _ends(self, id: str, root: str) -> frozenset[str]:
        """The nerves that a root's fibres in a segment reach, or that they are in."""
        if (id, root) not in self.known:
            if id in self.index:
                found = frozenset({id})
            else:
                here = self.plexus.children[id]
                found = frozenset[str]().union(*(self._ends(c, root) for c in here if self._goes(id, c, root)))
                found = found or self._above(id)
            self.known[id, root] = found
        return self.known[id, root]

    def _goes(self, parent: str, child: str, root: str) -> bool:
        return root in self.fibres.between(parent, child)

    def _above(self, id: str) -> frozenset[str]:
        """The nerves of which a segment is a branch."""
        parents = self.plexus.segments[id].parents
        return frozenset[str]().union(*(frozenset({p}) if p in self.index else self._above(p) for p in parents))
