"""The sites that a text means: "radial nerve at spiral groove", "C5 after dorsal scapular nerve", "Erb palsy".

A segment's name alone is its start, so a root's is before its first branch. The name of a scenario stands for its
sites. What a site is: :mod:`plexusdraw.names.site`; the words between a nerve and a place: ``relations``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from difflib import get_close_matches

from plexusdraw.errors import FindingsError, UnknownNameError
from plexusdraw.model.entities import Scenario
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup as names
from plexusdraw.names.relations import RELATION, related, true_of
from plexusdraw.names.site import TORN, Site, all_sites, of, on_drawing, start, torn
from plexusdraw.names.spelling import tokens

__all__ = [
    "Site",
    "all_sites",
    "of_scenario",
    "on_drawing",
    "parse",
    "parse_all",
    "parts",
    "scenario",
    "start",
    "together",
    "torn",
]

_PLACES = ("segment", "place")
DISEASED = {"radiculopathy"}
_REMARK = re.compile(r"\s*\([^()]*\)")
_MOST_CLAUSES = 8
_PARTIAL = ":partial"
_JOINED = re.compile(r"\+|;|&|,|\band\b|\btogether with\b")
RUN = r"\bFIRST\s*(?:-|–|to)\s*LAST\b"
"""From the first root that is named to the last; the page's script reads it as well, and the words of roots."""
ROOT_WORDS = re.compile(r"\b(?:spinal nerves?|nerve roots?|roots?|and|to)\b|[-–+,&/;]")


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


def together(found: Iterable[Site]) -> tuple[Site, ...]:
    """Sites that are cut at once, each place once.

    Raises:
        FindingsError: one place is cut wholly and in part.
    """
    held: dict[tuple[tuple[str, int], ...], Site] = {}
    for site in found:
        known = held.setdefault(site.cuts, site)
        if known.partial != site.partial:
            raise FindingsError(f'"{known.text}" and "{site.text}" cannot both be true. Leave one of them out.')
    return tuple(held.values())


def parts(text: str) -> list[str]:
    """A text at its joints: "C5 + axillary nerve" → two."""
    return [part for part in _JOINED.split(text) if part.strip()]


def _one(plexus: Plexus, text: str) -> tuple[Site, ...]:
    return (_parse_remarked(plexus, text),)


def _parse_all(plexus: Plexus, text: str, part: Callable[[Plexus, str], tuple[Site, ...]]) -> tuple[Site, ...]:
    """The site of a text, or those of its parts, each understood by *part*. Several roots are no loop of theirs."""
    roots = _several_roots(plexus, text)
    if roots and not names.matches(plexus, text, _PLACES, loosest=0):
        return tuple(site for root in roots for site in part(plexus, root))
    try:
        return (_parse_remarked(plexus, text),)
    except UnknownNameError as error:
        joined = parts(text)
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
        return of(plexus, found[0])
    if found:
        raise names.ambiguous(plexus, text, found)
    site = _torn_root(plexus, text) or _beyond_ganglion(plexus, text) or related(plexus, text)
    if site is not None:
        return site
    found = names.matches(plexus, text, _PLACES)
    if len(found) == 1:
        return of(plexus, found[0])
    raise names.ambiguous(plexus, text, found) if found else _unknown(plexus, text)


def _torn_root(plexus: Plexus, text: str) -> Site | None:
    """A root said to be torn or diseased: "T1 avulsion", "C5 root torn from the cord", "C7 radiculopathy".

    Torn, it is cut where it leaves the cord; diseased, at its start.
    """
    words = tokens(text.lower().replace("from the cord", ""))
    rest = " ".join(word for word in words if word not in TORN | DISEASED)
    if len(rest) == len(" ".join(words)):
        return None
    found = names.matches(plexus, rest, _PLACES, names.STRICT, plexus.roots)
    if len(found) != 1:
        return None
    return start(plexus, found[0]) if TORN.isdisjoint(words) else torn(plexus, found[0])


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
    run = re.search(RUN.replace("FIRST", named[0]).replace("LAST", named[-1]), rest)
    for root in named:
        rest = re.sub(rf"\b{root}\b", " ", rest)
    words = " ".join(ROOT_WORDS.sub(" ", rest).replace("all ", " ").split())
    if words and words not in TORN | DISEASED | {"postganglionic"}:
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
            if all(true_of(plexus, site, clause) for clause in clauses[many:]):
                return site
    return None


def _unknown(plexus: Plexus, text: str) -> UnknownNameError:
    """The error for a text that is no site: a muscle is told its nerves, a known segment its places."""
    for target in names.matches(plexus, text, ("muscle", "skin"), names.STRICT):
        entity = plexus.entity(target)
        nerves = ", ".join(plexus.segments[id].name for id in plexus.nerves_of.get(entity.id, ()))
        kind = names.KINDS.get(entity.kind, entity.kind)
        return UnknownNameError(f'"{text}" is a {kind}: name a place on its nerve ({nerves or "none"}).')
    for relation in RELATION.finditer(" ".join(tokens(text))):
        segments = names.matches(plexus, " ".join(tokens(text))[: relation.start()], ("segment",))
        if len(segments) == 1:
            segment = plexus.segment(segments[0])
            places = tuple(site.name for site in all_sites(plexus) if site.cuts[0][0] in plexus.members(segment.id))
            near = get_close_matches(" ".join(tokens(text)), places, n=3, cutoff=0.85)
            meant = f"Did you mean {', '.join(near)}? " if near else ""
            return UnknownNameError(
                f'"{text}": no such place on {segment.name}. {meant}Known: {", ".join(places)}.', places
            )
    return names.unknown(plexus, text, _PLACES)
