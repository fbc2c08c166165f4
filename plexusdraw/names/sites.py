"""Where a nerve is injured: "radial nerve at spiral groove", "C5 after dorsal scapular nerve".

A site is a segment and a position on its course; a cut there breaks what leaves at that position or
beyond. A segment's name alone is its start, so a root's is before its first branch. The name of a scenario ("Erb
palsy") stands for its sites.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Exit, Group, Place, Scenario, Segment
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.names.spelling import tokens

_PLACES = ("segment", "place")
_RELATION = re.compile(
    r" (?:just |immediately )?"
    r"(at the place of|distal to|proximal to|at|in|within|inside|above|below|before|after|beyond|past|to) "
)
_NEARER = {"above", "before", "proximal to"}
_FARTHER = {"below", "after", "beyond", "past", "distal to"}
_TORN = {"preganglionic", "avulsion", "avulsed", "torn"}
_DISEASED = {"radiculopathy"}
_STARTS = {"start", "origin", "its origin", "beginning", "proximal"}
_OWN = {"its", "all its", "its first"}
_REMARK = re.compile(r"\s*\([^()]*\)")
_MOST_CLAUSES = 8
_PARTIAL = ":partial"
_JOINED = re.compile(r"\+|;|&|,|\band\b|\btogether with\b")
_ROOT_WORDS = re.compile(r"\b(?:spinal nerves?|nerve roots?|roots?|and|to)\b|[-–+,&/;]")


@dataclass(frozen=True, slots=True)
class Site:
    """A place on a segment: position on its course, and an id and a name that ``parse`` understands.

    ``partial``: a cut here spares some fibres.

    A place on a whole lies on all its parts: ``others`` are the further ones, as segments and positions.
    """

    segment: str
    at: int
    id: str
    name: str
    partial: bool = False
    others: tuple[tuple[str, int], ...] = ()

    @property
    def cuts(self) -> tuple[tuple[str, int], ...]:
        """Every segment that is cut there, and at which position."""
        return ((self.segment, self.at), *self.others)

    @property
    def text(self) -> str:
        """The name, and "(partial)" where it is."""
        return f"{self.name} (partial)" if self.partial else self.name


def parse(plexus: Plexus, text: str) -> Site:
    """The site that a text means; UnknownNameError, with near names or the choices, if it is not clear.

    A remark in brackets is left aside where the text is not understood with it; what follows a comma may
    name the place or must be true of the site: "ulnar nerve, elbow, before flexor carpi ulnaris". ":partial" at the
    end says that the cut spares some fibres.
    """
    whole, is_partial = _split_partial(text)
    if is_partial:
        return replace(parse(plexus, whole), partial=True)
    named = scenario(plexus, text)
    if named is not None:
        found = of_scenario(plexus, named)
        if len(found) > 1:
            listed = ", ".join(site.name for site in found)
            raise UnknownNameError(f'"{text}" is several sites: {listed}. Here one is wanted.', [s.name for s in found])
        return found[0]
    return _parse_remarked(plexus, text)


def scenario(plexus: Plexus, text: str) -> Scenario | None:
    """The scenario that a text names, with or without a remark in brackets."""
    for form in dict.fromkeys((text, _REMARK.sub(" ", text))) if plexus.scenarios else ():
        ids = names.matches(plexus, form, ("scenario",), names.STRICT)
        if len(ids) == 1:
            return plexus.scenarios[ids[0]]
    return None


def of_scenario(plexus: Plexus, named: Scenario) -> tuple[Site, ...]:
    """The sites of a scenario; UnknownNameError if one of its texts is no site."""
    return tuple(site for text in named.sites for site in _parse_all(plexus, text, _one))


def _parse_remarked(plexus: Plexus, text: str) -> Site:
    try:
        return _parse(plexus, text)
    except UnknownNameError as error:
        bare = _REMARK.sub(" ", text)
        clauses = [part for part in bare.split(",") if part.strip()]
        if not 1 <= len(clauses) <= _MOST_CLAUSES or (bare == text and len(clauses) == 1):
            raise
        site = _claused(plexus, clauses)
        if site is None:
            raise error from None
        return site


def parse_all(plexus: Plexus, text: str) -> tuple[Site, ...]:
    """The sites that a text means, cut together: "C5 + C6", "C8 and T1 roots", "C5-C7 preganglionic".

    A scenario stands for all its sites. ":partial" is for the part between two "+" at whose end it stands.
    UnknownNameError as for :func:`parse`.
    """
    if _PARTIAL in text.lower() and "+" in text:
        return tuple(site for part in text.split("+") if part.strip() for site in parse_all(plexus, part))
    whole, is_partial = _split_partial(text)
    if is_partial:
        return tuple(replace(site, partial=True) for site in parse_all(plexus, whole))
    named = scenario(plexus, text)
    return _parse_all(plexus, text, parse_all) if named is None else of_scenario(plexus, named)


def parts(text: str) -> list[str]:
    """A text at its joints: "C5 + axillary nerve" → two."""
    return [part for part in _JOINED.split(text) if part.strip()]


def _one(plexus: Plexus, text: str) -> tuple[Site, ...]:
    return (_parse_remarked(plexus, text),)


def _parse_all(plexus: Plexus, text: str, part: Callable[[Plexus, str], tuple[Site, ...]]) -> tuple[Site, ...]:
    """The site of a text, or those of its parts, each understood by *part*."""
    try:
        return (_parse_remarked(plexus, text),)
    except UnknownNameError as error:
        joined = _several_roots(plexus, text) or parts(text)
        if len(joined) < 2:
            raise
        try:
            return tuple(site for one in joined for site in part(plexus, one))
        except UnknownNameError as missing:
            raise (missing if "+" in text else error) from None


def _split_partial(text: str) -> tuple[str, bool]:
    """A text without ":partial" at its end, and whether it stood there."""
    whole = re.sub(rf"\s*{_PARTIAL}\s*$", "", text, flags=re.IGNORECASE)
    return whole, whole != text


def _parse(plexus: Plexus, text: str) -> Site:
    found = names.matches(plexus, text, _PLACES, names.STRICT)
    if len(found) == 1:
        return _of(plexus, found[0])
    if found:
        raise names.ambiguous(plexus, text, found)
    site = _torn_root(plexus, text) or _beyond_ganglion(plexus, text) or _related(plexus, text)
    if site is not None:
        return site
    found = names.matches(plexus, text, _PLACES)
    if len(found) == 1:
        return _of(plexus, found[0])
    raise names.ambiguous(plexus, text, found) if found else _unknown(plexus, text)


def all_sites(plexus: Plexus) -> tuple[Site, ...]:
    """Every place that has a name: starts, places, and after each branch beyond which something leaves."""
    found = [site for segment in plexus.segments.values() for site in _on(plexus, segment)]
    for whole in plexus.wholes.values():
        found += [
            start(plexus, whole.id),
            *(_of(plexus, place.id) for place in whole.course if isinstance(place, Place)),
        ]
    return tuple(found)


def start(plexus: Plexus, segment: str) -> Site:
    """The start of a segment. A root's is its anterior ramus, past the ganglion: what lies before it must be said."""
    if segment in plexus.wholes:
        return _on_parts(plexus, segment, plexus.wholes[segment].name)
    at = 0 if _torn_place(plexus, segment) is None else 1
    return Site(segment, at, segment, plexus.segments[segment].name)


def on_drawing(plexus: Plexus, site: Site) -> Site:
    """The same place on the plexus that is drawn, where a convention draws it otherwise.

    What the convention lets leave there first, and what by nature leaves elsewhere, is not beyond the place.
    """
    if plexus.drawing is None:
        return site
    own, shown = plexus.segments[site.segment], plexus.drawn.segments[site.segment]
    beyond = [item.to if isinstance(item, Exit) else item.id for item in own.course[site.at :]]
    there = [item.to if isinstance(item, Exit) else item.id for item in shown.course]
    return replace(site, at=next((there.index(id) for id in beyond if id in there), len(there) if site.at else 0))


def torn(plexus: Plexus, segment: str) -> Site:
    """Where a root is torn from the cord: its place of that name, else its start."""
    if segment in plexus.wholes:
        return start(plexus, segment)
    place = _torn_place(plexus, segment)
    return start(plexus, segment) if place is None else _of(plexus, place.id)


def _torn_place(plexus: Plexus, segment: str) -> Place | None:
    first = next(iter(plexus.segments[segment].course), None)
    return first if isinstance(first, Place) and first.name in _TORN else None


def _on(plexus: Plexus, segment: Segment) -> Iterator[Site]:
    yield start(plexus, segment.id)
    exits = [i for i, item in enumerate(segment.course) if isinstance(item, Exit) and plexus.has(item.to)]
    goes_on = any(plexus.exit_of(segment.id, child) == len(segment.course) for child in plexus.children[segment.id])
    last = len(segment.course) if goes_on else max(exits, default=0)
    for at, item in enumerate(segment.course):
        if isinstance(item, Place):
            yield Site(segment.id, at, item.id, item.full_name)
        elif at < last and plexus.has(item.to) and isinstance((*segment.course, item)[at + 1], Exit):
            yield _beside(plexus, segment, item.to, at + 1, "after")


def _beside(plexus: Plexus, segment: Segment, other: str, at: int, word: str) -> Site:
    name = names.display(plexus.entity(other))
    return Site(segment.id, at, f"{segment.id}-{word}-{other}", f"{segment.name} {word} {name}")


def _of(plexus: Plexus, id: str) -> Site:
    """The site of a segment, whole or place."""
    if id not in plexus.places:
        return start(plexus, id)
    place, segment, at = plexus.places[id]
    return _on_parts(plexus, id, place.full_name) if segment.parts else Site(segment.id, at, id, place.full_name)


def _on_parts(plexus: Plexus, id: str, name: str) -> Site:
    """A place on all parts of a whole."""
    (segment, at), *others = plexus.cuts_at(id)
    return Site(segment, at, id, name, others=tuple(others))


def _torn_root(plexus: Plexus, text: str) -> Site | None:
    """A root said to be torn or diseased: "T1 avulsion", "C5 root torn from the cord", "C7 radiculopathy".

    Torn, it is cut where it leaves the cord; diseased, at its start.
    """
    words = tokens(text.lower().replace("from the cord", ""))
    rest = " ".join(word for word in words if word not in _TORN | _DISEASED)
    if len(rest) == len(" ".join(words)):
        return None
    found = names.matches(plexus, rest, _PLACES, names.STRICT, plexus.roots)
    if len(found) != 1:
        return None
    return start(plexus, found[0]) if _TORN.isdisjoint(words) else torn(plexus, found[0])


def _beyond_ganglion(plexus: Plexus, text: str) -> Site | None:
    """ "lower trunk postganglionic": the trunk, as every nerve past the roots is."""
    words = tokens(text)
    if "postganglionic" not in words:
        return None
    rest = " ".join(word for word in words if word != "postganglionic")
    found = names.matches(plexus, rest, ("segment",), names.STRICT)
    return start(plexus, found[0]) if len(found) == 1 and found[0] not in plexus.roots else None


def _several_roots(plexus: Plexus, text: str) -> list[str]:
    """ "C5 to C7 preganglionic" as a text a root; nothing if other words stand between or before the roots."""
    roots = {root.lower(): root for root in plexus.roots}
    rest = _REMARK.sub(" ", text).lower()
    named = [root for root in re.findall(r"\w+", rest) if root in roots]
    if len(named) < 2:
        return []
    run = re.search(rf"\b{named[0]}\s*(?:-|–|to)\s*{named[-1]}\b", rest)
    for root in named:
        rest = re.sub(rf"\b{root}\b", " ", rest)
    words = " ".join(_ROOT_WORDS.sub(" ", rest).replace("all ", " ").split())
    if words and words not in _TORN | _DISEASED | {"postganglionic"}:
        return []
    if run and len(named) == 2:
        first, last = (list(roots).index(root) for root in named)
        named = list(roots)[first : last + 1]
    return [f"{roots[root]} {words}".strip() for root in named]


def _claused(plexus: Plexus, clauses: list[str]) -> Site | None:
    """The site that the first clauses name, if all that follow are true of it."""
    for many in range(len(clauses), 0, -1):
        head, *more = clauses[:many]
        for joint in (" ", " at ") if more else ("",):
            try:
                site = _parse(plexus, joint.join((head, *(part.strip() for part in more))))
            except UnknownNameError:
                continue
            if all(_true_of(plexus, site, clause) for clause in clauses[many:]):
                return site
    return None


def _true_of(plexus: Plexus, site: Site, clause: str) -> bool:
    """Whether "before X" or "beyond X" is true of a site: X leaves beyond it, or nearer to the roots."""
    plain = " ".join(tokens(clause))
    relation = _RELATION.match(f" {plain} ")
    if relation is None:
        return False
    word, where = relation[1], _bare(f" {plain} "[relation.end() :])
    segment = plexus.segments[site.segment]
    if site.others:
        return any(_true_of(plexus, Site(part, at, site.id, site.name), clause) for part, at in site.cuts)
    exits = [i for i, item in enumerate(segment.course) if isinstance(item, Exit)]
    ids = {item.to for item in segment.course if isinstance(item, Exit)}
    ids |= {group.id for group in plexus.groups.values() if ids & set(group.members)}
    found = names.matches(plexus, where, names.STRUCTURES, only=ids)
    if where in _OWN:
        ats = exits
    else:
        members = {m for id in found for m in (plexus.groups[id].members if id in plexus.groups else (id,))}
        ats = [i for i in exits if getattr(segment.course[i], "to", "") in members]
    if word in _FARTHER:
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


def _related(plexus: Plexus, text: str) -> Site | None:
    """The site that "<segment> <at, above, after ...> <place or branch>" means."""
    plain = " ".join(tokens(text))
    for relation in _RELATION.finditer(plain):
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
    if not found and word in _FARTHER and _left_above(plexus, segment, _bare(where)):
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
    if word in _FARTHER:
        return _beside(plexus, segment, entity.id, max(ats) + 1, "after")
    return _beside(plexus, segment, entity.id, min(ats), "before")


def _placed_on_parts(plexus: Plexus, whole: Segment, word: str, where: str, text: str) -> Site | None:
    """A place on a whole: a place of it or of a nerve beyond it."""
    ids = {item.id for item in whole.course if isinstance(item, Place)}
    found = names.matches(plexus, where, ("place",), only=ids)
    if len(found) == 1:
        return _by_place(plexus, found[0], word, where)
    return _downstream(plexus, whole, word, where, text)


def _by_place(plexus: Plexus, id: str, word: str, where: str) -> Site:
    """At a place, or above or below it (then named as it was typed: a place may be called "above elbow")."""
    if word not in _NEARER | _FARTHER:
        return _of(plexus, id)
    side = "below" if word in _FARTHER else "above"
    name = f"{plexus.places[id][1].name} {side} {where.removeprefix('the ')}"
    (segment, at), *others = ((part, at + (side == "below")) for part, at in plexus.cuts_at(id))
    return Site(segment, at, kebab(name), name, others=tuple(others))


def _downstream(plexus: Plexus, segment: Segment, word: str, where: str, text: str) -> Site | None:
    """A place of that name on a branch of the segment: "radial nerve at supinator arcade"."""
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


def _unknown(plexus: Plexus, text: str) -> UnknownNameError:
    """The error for a text that is no site: a muscle is told its nerves, a known segment its places."""
    for target in names.matches(plexus, text, ("muscle", "skin"), names.STRICT):
        entity = plexus.entity(target)
        nerves = ", ".join(plexus.segments[id].name for id in plexus.nerves_of.get(entity.id, ()))
        return UnknownNameError(f'"{text}" is a {entity.kind}: name a place on its nerve ({nerves or "none"}).')
    for relation in _RELATION.finditer(" ".join(tokens(text))):
        segments = names.matches(plexus, " ".join(tokens(text))[: relation.start()], ("segment",))
        if len(segments) == 1:
            segment = plexus.segment(segments[0])
            places = tuple(site.name for site in all_sites(plexus) if site.cuts[0][0] in plexus.members(segment.id))
            return UnknownNameError(f'"{text}": no such place on {segment.name}. Known: {", ".join(places)}.', places)
    return names.unknown(plexus, text, _PLACES)
