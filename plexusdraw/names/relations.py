"""Where on a segment words of place lead: "at spiral groove", "after dorsal scapular nerve", "proximal to elbow"."""

from __future__ import annotations

import re

from plexusdraw.model.entities import Exit, Group, Place, Segment
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.names.site import Site, beside, of, start
from plexusdraw.names.spelling import tokens

RELATION = re.compile(
    r" (?:just |immediately )?"
    r"(at the place of|distal to|proximal to|at|in|within|inside|above|below|before|after|beyond|past|to) "
)
_NEARER = {"above", "before", "proximal to"}
FARTHER = {"below", "after", "beyond", "past", "distal to"}
_STARTS = {"start", "origin", "its origin", "beginning", "proximal"}
_OWN = {"its", "all its", "its first"}


def true_of(plexus: Plexus, site: Site, clause: str) -> bool:
    """Whether "before X" or "beyond X" is true of a site: X leaves beyond it, or nearer to the roots."""
    plain = " ".join(tokens(clause))
    relation = RELATION.match(f" {plain} ")
    if relation is None:
        return False
    word, where = relation[1], _bare(f" {plain} "[relation.end() :])
    segment = plexus.segments[site.segment]
    if site.others:
        return any(true_of(plexus, Site(part, at, site.id, site.name), clause) for part, at in site.cuts)
    exits = [i for i, item in enumerate(segment.course) if isinstance(item, Exit)]
    ids = {item.to for item in segment.course if isinstance(item, Exit)}
    ids |= {group.id for group in plexus.groups.values() if ids & set(group.members)}
    found = names.matches(plexus, where, names.STRUCTURES, only=ids)
    if where in _OWN:
        ats = exits
    else:
        members = {m for id in found for m in (plexus.groups[id].members if id in plexus.groups else (id,))}
        ats = [i for i in exits if getattr(segment.course[i], "to", "") in members]
    if word in FARTHER:
        return max(ats) < site.at if ats else _left_above(plexus, segment, where)
    return bool(ats) and word in _NEARER and site.at <= min(ats)


def _bare(where: str) -> str:
    """ "triceps" of "triceps branches"."""
    return re.sub(r" branch(es)?$", "", where.strip())


def _left_above(plexus: Plexus, segment: Segment, where: str) -> bool:
    """Whether a structure of that name leaves a parent of the segment before the segment itself does."""
    for id in segment.parents:
        parent, leaving = plexus.segments[id], plexus.exit_of(id, segment.id)
        ids = {item.to for item in parent.course[:leaving] if isinstance(item, Exit)}
        if names.matches(plexus, where, names.STRUCTURES, only=ids) or _left_above(plexus, parent, where):
            return True
    return False


def related(plexus: Plexus, text: str) -> Site | None:
    """The site that "<segment> <at, above, after ...> <place or branch>" means."""
    plain = " ".join(tokens(text))
    for relation in RELATION.finditer(plain):
        segments = names.matches(plexus, plain[: relation.start()], ("segment",))
        if len(segments) != 1:
            continue
        segment = plexus.segment(segments[0])
        site = _placed(plexus, segment, relation[1], plain[relation.end() :], text)
        if site is not None:
            return site
    return None


def _placed(plexus: Plexus, segment: Segment, word: str, where: str, text: str) -> Site | None:
    if where in _STARTS:
        return start(plexus, segment.id)
    if segment.parts:
        return _placed_on_parts(plexus, segment, word, where, text)
    here = {item.to if isinstance(item, Exit) else item.id for item in segment.course}
    groups = {group.id for group in plexus.groups.values() if here & set(group.members)}
    found = names.matches(plexus, where, names.STRUCTURES, only=here | groups)
    found = found or names.matches(plexus, _bare(where), names.STRUCTURES, only=here | groups)
    if not found and word in FARTHER and _left_above(plexus, segment, _bare(where)):
        return start(plexus, segment.id)
    if not found:
        return _downstream(plexus, segment, word, where, text)
    id, *others = found
    if others:
        raise names.ambiguous(plexus, text, found)
    entity = plexus.entity(id)
    if isinstance(entity, Place):
        return _by_place(plexus, entity.id, word, where)
    members = entity.members if isinstance(entity, Group) else (entity.id,)
    ats = [segment.position_of(m) for m in members if m in here]
    if word in FARTHER:
        return beside(plexus, segment, entity.id, max(ats) + 1, "after")
    return beside(plexus, segment, entity.id, min(ats), "before")


def _placed_on_parts(plexus: Plexus, whole: Segment, word: str, where: str, text: str) -> Site | None:
    """A place on a whole: a place of it or of a nerve beyond it."""
    ids = {item.id for item in whole.course if isinstance(item, Place)}
    found = names.matches(plexus, where, ("place",), only=ids)
    if len(found) == 1:
        return _by_place(plexus, found[0], word, where)
    return _downstream(plexus, whole, word, where, text)


def _by_place(plexus: Plexus, id: str, word: str, where: str) -> Site:
    """At a place, or above or below it (then named as it was typed: a place may be called "above elbow")."""
    if word not in _NEARER | FARTHER:
        return of(plexus, id)
    side = "below" if word in FARTHER else "above"
    name = f"{plexus.places[id][1].name} {side} {where.removeprefix('the ')}"
    (segment, at), *others = ((part, at + (side == "below")) for part, at in plexus.cuts_at(id))
    return Site(segment, at, kebab(name), name, others=tuple(others))


def _downstream(plexus: Plexus, segment: Segment, word: str, where: str, text: str) -> Site | None:
    """A place of that name on a branch of the segment: "radial nerve at supinator arcade"; "hip nerve" is none."""
    if where.endswith((" nerve", " nerves")):
        return None
    beyond = _beyond(plexus, segment.id)
    places = {id for id, (_, owner, _) in plexus.places.items() if owner.id in beyond}
    found = names.matches(plexus, where, ("place",), only=places)
    if len(found) > 1:
        raise names.ambiguous(plexus, text, found)
    return _by_place(plexus, found[0], word, where) if found else None


def _beyond(plexus: Plexus, segment: str) -> set[str]:
    """Ids of all segments that come from one."""
    found: set[str] = set()
    todo = [child for part in plexus.members(segment) for child in plexus.children[part]]
    while todo:
        id = todo.pop()
        if id not in found:
            found.add(id)
            todo += plexus.children[id]
    return found
