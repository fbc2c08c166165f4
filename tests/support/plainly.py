"""What an injury takes, worked out a second time: plain walks and sets after the words of README and DESIGN.

Slow and short; nothing of it is taken from the package but the model itself. A cut is (segment, position); it breaks
what leaves the segment at that position or beyond.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from plexusdraw.model.entities import Exit

NONE, SLIGHT, PART, WHOLE = range(4)


class Way(NamedTuple):
    """One way of a root's fibres to a target: the segments, each with where it is left."""

    root: str
    target: str
    steps: tuple[tuple[str, int], ...]
    minor: bool

    def cut_by(self, cuts):
        return any(segment == cut and at >= place for segment, at in self.steps for cut, place in cuts)


@lru_cache(maxsize=64)
def into(plexus, id):
    """Every way from a root into a segment, as (root, steps)."""
    segment = plexus.segments[id]
    if not segment.parents:
        return ((id, ()),) if id in plexus.roots else ()
    found = []
    for parent in segment.parents:
        course = [i.to if isinstance(i, Exit) else i.id for i in plexus.segments[parent].course]
        leaves = course.index(id) if id in course else len(course)
        for root, steps in into(plexus, parent):
            if segment.only_roots is None or root in segment.only_roots:
                found.append((root, (*steps, (parent, leaves))))
    return tuple(found)


def ways(plexus, target):
    """Every way to a muscle or skin area; of a dermatome those of its roots to the areas that it covers."""
    if target.dermatome:
        return tuple(way for area in covered(plexus, target) for way in area)
    return _by_nerves(plexus, target.id)


@lru_cache(maxsize=512)
def _by_nerves(plexus, id):
    target, found = plexus.target(id), []
    for nerve in plexus.segments.values():
        for at, item in enumerate(nerve.course):
            if not isinstance(item, Exit) or item.to != target.id:
                continue
            for root, steps in into(plexus, nerve.id):
                mine = root in target.roots or root in target.minor
                brought = item.roots is None or root in item.roots or root in (item.minor or ())
                passed = [plexus.segments[id].reaches for id, _ in steps] + [nerve.reaches]
                if mine and brought and all(not only or target.id in only for only in passed):
                    minor = root in target.minor or root in (item.minor or ())
                    found.append(Way(root, target.id, (*steps, (nerve.id, at)), minor))
    return tuple(found)


def covered(plexus, dermatome):
    """The ways of a dermatome's roots to each of its areas that has some."""
    areas = dermatome.areas or [id for id, area in plexus.skin.items() if not area.dermatome]
    by_area = [[w for w in ways(plexus, plexus.target(id)) if w.root in dermatome.dermatome] for id in areas]
    return [area for area in by_area if area]


def loss(plexus, target, cuts):
    """Of a muscle or skin area after whole cuts."""
    every = ways(plexus, target)
    principal = [w for w in every if not w.minor]
    minor = [w for w in every if w.minor]
    from_outside = [root for root in target.outside if root not in target.outside_minor]
    if not principal and not from_outside:
        principal, minor = minor, []
    gone = [w for w in principal if w.cut_by(cuts)]
    left_minor = [w for w in minor if not w.cut_by(cuts)]
    if gone and len(gone) == len(principal) and not from_outside:
        stands_in = bool(left_minor or target.outside_minor)
        sole = len({w.root for w in principal if not w.minor} | set(from_outside)) == 1
        if stands_in and (target.kind == "skin" or sole):
            return PART
        return WHOLE
    if gone:
        return PART
    return SLIGHT if len(left_minor) < len(minor) else NONE


def dermatome_loss(plexus, dermatome, cuts):
    """Lost or reduced only where a root of it is hit on its way to every area."""
    found = loss(plexus, dermatome, cuts)
    areas = covered(plexus, dermatome)
    for root in dermatome.dermatome:
        mine = [[w for w in area if w.root == root] for area in areas]
        mine = [area for area in mine if area]
        if mine and all(any(w.cut_by(cuts) for w in area) for area in mine):
            return found
    return min(found, SLIGHT) if areas else found


def of_skin(plexus, area, cuts):
    return (dermatome_loss if area.dermatome else loss)(plexus, area, cuts)


def remaining(plexus, target, cuts):
    """Share of the supply that is left after whole cuts; a minor way weighs a quarter."""
    every = ways(plexus, target)
    outside = sum(1 if root in target.outside_minor else 4 for root in target.outside)
    if not [w for w in every if not w.minor] and not set(target.outside) - set(target.outside_minor):
        every = [w._replace(minor=False) for w in every]
    quarters = [(1 if w.minor else 4, w.cut_by(cuts)) for w in every]
    whole = outside + sum(weight for weight, _ in quarters)
    return (outside + sum(weight for weight, gone in quarters if not gone)) / whole if whole else 1.0


def together(losses):
    """Of a movement or a group: wholly lost where all are, else partly where one is at least that."""
    losses = list(losses)
    return WHOLE if min(losses) == WHOLE else min(max(losses), PART)


def with_partial(rule, whole, some):
    """What whole cuts take, or all cuts together, but then no more than a part."""
    return max(rule(whole), min(rule([*whole, *some]), PART))


def alive(plexus, segment, root, at, cuts):
    """How many of the ways of a root into a segment still run at a position of it, and how many there are."""
    mine = [steps for one, steps in into(plexus, segment) if one == root]
    here = [(*steps, (segment, at)) for steps in mine]
    return sum(not Way(root, "", steps, False).cut_by(cuts) for steps in here), len(mine)
