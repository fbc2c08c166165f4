"""Rules of signs where some of what they ask for is left out: the same rule, said of what still counts."""

from __future__ import annotations

from collections.abc import Iterable

from plexusdraw.courses.unseen import Unseen
from plexusdraw.model.entities import Rule
from plexusdraw.model.plexus import Plexus


def mapped(plexus: Plexus, rule: Rule, kept: frozenset[str], unseen: Unseen) -> Rule | None:
    """The rule of a sign; ``None`` if it cannot be told without what is left out: a nerve, a part of it, a reflex.

    A group of which a member is left out stands as its members: all lost is each lost, weak is one of them weak.
    """
    lost, weak, spared = (_ids(plexus, ids, kept) for ids in (rule.lost, rule.weak, rule.spared))
    parts = [mapped(plexus, part, kept, unseen) for part in rule.all]
    choices = [mapped(plexus, part, kept, unseen) for part in rule.any]
    asked = [id for table in (lost, weak, spared) for group in table for id in group]
    cut = {segment for id in rule.cut for segment, _ in plexus.cuts_at(id)}
    told = all(_is_told(plexus, id, kept, unseen) for id in asked) and kept.issuperset({*rule.cut, *cut})
    if not told or None in parts or None in choices:
        return None
    groups = tuple(Rule(any=tuple(Rule(weak=(unseen.id(id),)) for id in ids)) for ids in weak if len(ids) > 1)
    return Rule(
        lost=unseen.ids(id for ids in lost for id in ids),
        weak=unseen.ids(ids[0] for ids in weak if len(ids) == 1),
        spared=unseen.ids(id for ids in spared for id in ids),
        cut=rule.cut,
        all=(*(part for part in parts if part is not None), *groups),
        any=tuple(part for part in choices if part is not None),
    )


def _ids(plexus: Plexus, ids: Iterable[str], kept: frozenset[str]) -> list[tuple[str, ...]]:
    """Each id, a group that is not kept as its members."""
    return [plexus.groups[id].members if id in plexus.groups and id not in kept else (id,) for id in ids]


def _is_told(plexus: Plexus, id: str, kept: frozenset[str], unseen: Unseen) -> bool:
    if id in plexus.roots:  # it is lost with all that it reaches
        return id in kept and all(unseen.id(route.target) for route in unseen.fibres.through(id))
    return id in kept or bool(unseen.id(id))
