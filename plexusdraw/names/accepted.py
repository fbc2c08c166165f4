"""Every spelling of a structure that is a right answer: keys, exports and quizzes take it from here.

Right are the trade's names of the structure: its name, short and Latin form, synonyms, a nerve without the word
"nerve", and the kind's own word with its side ("anterior division"). A bare side ("anterior") is right only where no
other structure on the sheet begins with it. Names of lesions are no names of structures, and stand in none of these.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from plexusdraw.model.entities import Entity, Group, Place
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup, sites
from plexusdraw.names.sites import Site
from plexusdraw.names.spelling import exact


@dataclass(frozen=True, slots=True)
class Together:
    """A name that stands for several of the answers at once ("triceps", "interossei")."""

    spellings: tuple[str, ...]
    members: tuple[str, ...]
    """Ids of all that it stands for."""


def accepted(plexus: Plexus, entity: Entity, sheet: Iterable[Entity], own: str = "") -> tuple[str, ...]:
    """Other spellings of an entity that are right; *sheet*: all structures that are on the same sheet.

    *own*: the reader's own word for it, if any; then the usual name is another right spelling.
    """
    shown = own or lookup.display(entity)
    found = list(dict.fromkeys(text for text in (*_full(plexus, entity), *_bare(plexus, entity, sheet)) if text))
    known, kept = {exact(shown)}, []
    for text in found:
        if exact(text) not in known:
            known.add(exact(text))
            kept.append(text)
    return tuple(kept)


def accepted_site(plexus: Plexus, site: Site, sheet: Iterable[Entity]) -> tuple[str, ...]:
    """Every spelling of a site: its own, those of a place, and at its start those of the segment."""
    found = [site.name]
    if site.id in plexus.places:
        place = plexus.entity(site.id)
        found += [lookup.display(place), *filter(None, [lookup.latin(place)]), *place.synonyms]
    elif site == sites.start(plexus, site.segment):
        found += accepted(plexus, plexus.segments[site.segment], sheet)
    elif site.id in plexus.wholes:
        found += accepted(plexus, plexus.wholes[site.id], sheet)
    return tuple(dict.fromkeys(found))


def together(plexus: Plexus, wanted: Collection[str]) -> tuple[Together, ...]:
    """The groups all of whose members are among the ids *wanted*, with their spellings."""
    return tuple(
        Together((group.name, *accepted(plexus, group, ())), group.members)
        for group in plexus.groups.values()
        if len(group.members) > 1 and set(group.members) <= set(wanted)
    )


def _full(plexus: Plexus, entity: Entity) -> Iterator[str]:
    """Names that stand for this structure wherever they are written."""
    yield lookup.display(entity)
    yield lookup.display(entity, "short")
    yield lookup.latin(entity)
    yield from entity.synonyms
    if isinstance(entity, Place):
        yield entity.name
    if entity.label and not isinstance(entity, Group) and _is_side(entity):
        yield f"{entity.label} {entity.kind}"


def _is_side(entity: Entity) -> bool:
    """Whether the label is the side alone: one word, with which the name begins, of a longer name with its kind."""
    words = exact(entity.name).split()
    return exact(entity.label) == words[0] and exact(entity.kind) in words


def _bare(plexus: Plexus, entity: Entity, sheet: Iterable[Entity]) -> Iterator[str]:
    """Shorter forms, right where nothing else on the sheet begins with the same words."""
    shorter = [entity.label]
    if entity.kind == "nerve" or entity.kind == plexus.stages[-1].singular:
        shorter.append(entity.name.removesuffix(" nerve"))
    others = [exact(form) for other in sheet if other.id != entity.id for form in (other.name, other.label)]
    for text in shorter:
        words = exact(text)
        if words and not any(form == words or form.startswith(f"{words} ") for form in others):
            yield text
