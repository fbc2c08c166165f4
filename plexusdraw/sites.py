"""Where a nerve is injured: "radial nerve at spiral groove", "C5 after dorsal scapular nerve".

A site is a segment and a position on its course; a cut there breaks what leaves at that position or
beyond. A segment's name alone is its start, so a root's is before its first branch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Exit, Group, Level, Plexus, Segment
from plexusdraw.spelling import tokens

_PLACES = ("segment", "level")
_RELATION = re.compile(
    r" (?:just |immediately )?"
    r"(at the level of|distal to|proximal to|at|in|within|inside|above|below|before|after|beyond|past|to) "
)
_NEARER = {"above", "before", "proximal to"}
_FARTHER = {"below", "after", "beyond", "past", "distal to"}
_TORN = {"preganglionic", "avulsion", "avulsed", "torn"}


@dataclass(frozen=True, slots=True)
class Site:
    """A place on a segment: position on its course, and an id and a name that ``parse`` understands."""

    segment: str
    at: int
    id: str
    name: str


def parse(plexus: Plexus, text: str) -> Site:
    """The site that a text means; UnknownNameError, with near names or the choices, if it is not clear."""
    found = names.matches(plexus, text, _PLACES, names.STRICT)
    if len(found) == 1:
        return _of(plexus, found[0])
    if found:
        raise names.ambiguous(plexus, text, found)
    site = _torn_root(plexus, text) or _related(plexus, text)
    if site is not None:
        return site
    found = names.matches(plexus, text, _PLACES)
    if len(found) == 1:
        return _of(plexus, found[0])
    raise names.ambiguous(plexus, text, found) if found else _unknown(plexus, text)


def all_sites(plexus: Plexus) -> tuple[Site, ...]:
    """Every place that has a name: starts, levels, and after each branch beyond which something leaves."""
    return tuple(site for segment in plexus.segments.values() for site in _on(plexus, segment))


def start(plexus: Plexus, segment: str) -> Site:
    """The start of a segment. A root's is its anterior ramus, past the ganglion: what lies before it must be said."""
    first = next(iter(plexus.segments[segment].course), None)
    at = 1 if isinstance(first, Level) and first.name in _TORN else 0
    return Site(segment, at, segment, plexus.segments[segment].name)


def _on(plexus: Plexus, segment: Segment) -> Iterator[Site]:
    yield start(plexus, segment.id)
    exits = [i for i, item in enumerate(segment.course) if isinstance(item, Exit)]
    goes_on = any(plexus.exit_of(segment.id, child) == len(segment.course) for child in plexus.children[segment.id])
    last = len(segment.course) if goes_on else max(exits, default=0)
    for at, item in enumerate(segment.course):
        if isinstance(item, Level):
            yield Site(segment.id, at, item.id, item.place)
        elif at < last and (at + 1 == len(segment.course) or isinstance(segment.course[at + 1], Exit)):
            yield _beside(plexus, segment, item.to, at + 1, "after")


def _beside(plexus: Plexus, segment: Segment, other: str, at: int, word: str) -> Site:
    name = names.display(plexus.entity(other))
    return Site(segment.id, at, f"{segment.id}-{word}-{other}", f"{segment.name} {word} {name}")


def _of(plexus: Plexus, id: str) -> Site:
    """The site of a segment or level."""
    if id in plexus.segments:
        return start(plexus, id)
    level, segment, at = plexus.levels[id]
    return Site(segment.id, at, id, level.place)


def _torn_root(plexus: Plexus, text: str) -> Site | None:
    """ "T1 avulsion" in a model that names no such level: the root before its first branch."""
    words = tokens(text)
    rest = " ".join(word for word in words if word not in _TORN)
    if len(rest) == len(" ".join(words)):
        return None
    found = names.matches(plexus, rest, _PLACES, names.STRICT, plexus.roots)
    return start(plexus, found[0]) if len(found) == 1 else None


def _related(plexus: Plexus, text: str) -> Site | None:
    """The site that "<segment> <at, above, after ...> <level or branch>" means."""
    plain = " ".join(tokens(text))
    for relation in _RELATION.finditer(plain):
        segments = names.matches(plexus, plain[: relation.start()], ("segment",))
        if len(segments) != 1:
            continue
        segment = plexus.segments[segments[0]]
        site = _placed(plexus, segment, relation[1], plain[relation.end() :], text)
        if site is not None:
            return site
    return None


def _placed(plexus: Plexus, segment: Segment, word: str, place: str, text: str) -> Site | None:
    here = {item.to if isinstance(item, Exit) else item.id for item in segment.course}
    groups = {group.id for group in plexus.groups.values() if here & set(group.members)}
    found = names.matches(plexus, place, names.STRUCTURES, only=here | groups)
    if not found:
        return _downstream(plexus, segment, word, place, text)
    id, *others = found
    if others:
        raise names.ambiguous(plexus, text, found)
    entity = plexus.entity(id)
    if isinstance(entity, Level):
        return _by_level(plexus, entity.id, word, place)
    members = entity.members if isinstance(entity, Group) else (entity.id,)
    ats = [segment.position_of(m) for m in members if m in here]
    if word in _FARTHER:
        return _beside(plexus, segment, entity.id, max(ats) + 1, "after")
    return _beside(plexus, segment, entity.id, min(ats), "before")


def _by_level(plexus: Plexus, id: str, word: str, place: str) -> Site:
    """At a level, or above or below it (then named as it was typed: a level may be called "above elbow")."""
    _, segment, at = plexus.levels[id]
    if word not in _NEARER | _FARTHER:
        return _of(plexus, id)
    side = "below" if word in _FARTHER else "above"
    name = f"{segment.name} {side} {place.removeprefix('the ')}"
    return Site(segment.id, at + (side == "below"), kebab(name), name)


def _downstream(plexus: Plexus, segment: Segment, word: str, place: str, text: str) -> Site | None:
    """A level of that name on a branch of the segment: "radial nerve at supinator arcade"."""
    beyond = _beyond(plexus, segment.id)
    levels = {id for id, (_, owner, _) in plexus.levels.items() if owner.id in beyond}
    found = names.matches(plexus, place, ("level",), only=levels)
    if len(found) > 1:
        raise names.ambiguous(plexus, text, found)
    return _by_level(plexus, found[0], word, place) if found else None


def _beyond(plexus: Plexus, segment: str) -> set[str]:
    """Ids of all segments that come from one."""
    found: set[str] = set()
    todo = list(plexus.children[segment])
    while todo:
        id = todo.pop()
        if id not in found:
            found.add(id)
            todo += plexus.children[id]
    return found


def _unknown(plexus: Plexus, text: str) -> UnknownNameError:
    """The error for a text that is no site: a muscle is told its nerves, a known segment its places."""
    for target in names.matches(plexus, text, ("muscle", "skin"), names.STRICT):
        entity = plexus.entity(target)
        nerves = ", ".join(plexus.segments[id].name for id in plexus.nerves_of.get(entity.id, ()))
        return UnknownNameError(f'"{text}" is a {entity.kind}: name a place on its nerve ({nerves or "none"}).')
    for relation in _RELATION.finditer(" ".join(tokens(text))):
        segments = names.matches(plexus, " ".join(tokens(text))[: relation.start()], ("segment",))
        if len(segments) == 1:
            segment = plexus.segments[segments[0]]
            places = tuple(site.name for site in _on(plexus, segment))
            return UnknownNameError(f'"{text}": no such place on {segment.name}. Known: {", ".join(places)}.', places)
    return names.unknown(plexus, text, _PLACES)
