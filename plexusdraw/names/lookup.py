"""From what a person types to the structure that is meant, and from a structure to the name shown.

Ways of matching are tried from strict to loose; the first that finds something decides:

0. id, name or Latin name, then a synonym, whatever its case, accents and hyphens
1. the same without "nerve", "of the", with abbreviations written out, plural or not, superior for upper
2. the same words in another order
3. the short label of the picture, a place without its nerve, initials
4. some of the words of a name
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from difflib import get_close_matches
from functools import cached_property, lru_cache
from typing import Literal

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Entity, Group, Place, Variant
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import canonical, capital, exact, indirect, initials, tokens, wanted

Style = Literal["english", "latin", "short"]

STRUCTURES = ("segment", "place", "muscle", "skin", "group", "outside")
EVERYTHING = (*STRUCTURES, "reflex", "sign")
SELECTION = "A selection"
"""Stands on every sheet from which a course leaves something out."""
LOOSEST = 4
STRICT = 2
_MANY = 8


def find(plexus: Plexus, text: str, among: Collection[str] = EVERYTHING) -> Entity:
    """The entity that *text* means; *among* limits the tables that are looked at.

    UnknownNameError names the nearest spellings, or the choices where several are meant alike. Structures
    come before reflexes and signs: "biceps" is the muscle.
    """
    first = [table for table in among if table in STRUCTURES]
    later = [table for table in among if table not in STRUCTURES]
    for tables in (first, later):
        ids = matches(plexus, text, tables) if tables else ()
        if len(ids) == 1:
            return plexus.entity(ids[0])
        if ids:
            raise ambiguous(plexus, text, ids)
    raise unknown(plexus, text, among)


def matches(
    plexus: Plexus,
    text: str,
    among: Collection[str] = EVERYTHING,
    loosest: int = LOOSEST,
    only: Collection[str] | None = None,
) -> tuple[str, ...]:
    """Ids that *text* may mean, in model order, by the strictest way that finds any; empty if none does.

    ``only`` limits the ids. An id means what has it, whatever else is called so. A group stands for its members where
    both match.
    """
    index = _index(plexus)
    wish = wanted(tokens(text))
    for way in range(loosest + 1):
        ids = [id for id in index.look(way, text) if index.table[id] in among and (only is None or id in only)]
        if way > 0 and wish:
            ids = [id for id in ids if _fits(index.table[id], wish)]
        if text in ids:
            return (text,)
        if ids:
            return _without_members(plexus, index.named(ids, text) if way == 0 else ids)
    return ()


def table(plexus: Plexus, id: str) -> str:
    """The table in which an id stands: "muscle"."""
    return _index(plexus).table[id]


def display(entity: Entity, style: Style = "english") -> str:
    """Name to show: English, Latin (English where there is none), or with n. and m. for nerve and muscle."""
    name = entity.full_name if isinstance(entity, Place) and entity.full_name else entity.name
    if style == "latin":
        return latin(entity) or name
    if style == "short":
        words = {"nerve": "n.", "nerves": "nn.", "muscle": "m.", "muscles": "mm."}
        return " ".join(words.get(word, word) for word in name.split(" "))
    return name


def listed(entity: Entity, style: Style) -> str:
    """Name in a list of a legend, which has room for it: Latin where names are, else the full English one."""
    return display(entity, "latin" if style == "latin" else "english")


def latin(entity: Entity) -> str:
    """The Latin name, of a place with its nerve's; empty where there is none."""
    return entity.full_latin if isinstance(entity, Place) else entity.latin


def called(plexus: Plexus) -> dict[str, str]:
    """Id → name to show, of all whose id does not say it: own words of a course, capitals, commas."""
    found = ((entity.id, display(entity)) for entity in plexus.entities())
    return {id: name for id, name in found if name != id.replace("-", " ")}


def of_plexus(plexus: Plexus, style: Style = "english") -> str:
    """Name of the plexus itself: Latin where asked for and known."""
    return (plexus.latin if style == "latin" else "") or plexus.name


def variant(plexus: Plexus, text: str) -> Variant:
    """The variant that a text means; UnknownNameError if the model has none of that name."""
    for one in plexus.variants.values():
        if kebab(text) in map(kebab, (one.id, one.name, *one.synonyms)):
            return one
    near = get_close_matches(kebab(text), plexus.variants, n=3)
    hint = f"Did you mean {', '.join(near)}?" if near else f"Known: {', '.join(plexus.variants) or 'none'}."
    raise UnknownNameError(f'the {plexus.name} has no variant "{text}". {hint}', near)


def of_variants(plexus: Plexus) -> str:
    """The variants and conventions that a plexus has: "Variant: prefixed; convention: axillary from radial"."""
    chosen = [plexus.variants[id] for id in plexus.applied]
    lists = ((kind, [one.name for one in chosen if one.kind == kind]) for kind in ("variant", "convention"))
    text = "; ".join(f"{kind}: {', '.join(found)}" for kind, found in lists if found)
    return capital(text)


def beneath(plexus: Plexus, *, asks: bool = False) -> str:
    """What stands under a title: that it is a selection; the variants, unless it *asks*, as they may be answers."""
    parts = (SELECTION if plexus.is_selection else "", "" if asks else of_variants(plexus))
    return ". ".join(part for part in parts if part)


KINDS = {"segment": "nerve", "outside": "muscle of another nerve", "skin": "skin area"}
"""Table or kind of an entity → the word for it, where that is another one."""


def ambiguous(plexus: Plexus, text: str, ids: Iterable[str]) -> UnknownNameError:
    """The error for a text that means several things; with its id what the same text would mean again."""
    entities = [plexus.entity(id) for id in ids]
    shown = [exact(display(one)) for one in entities]
    unclear = {exact(text), *(name for name in shown if shown.count(name) > 1)}
    pairs = zip(entities, shown, strict=True)
    names = [f"{display(one)} ({one.id})" if name in unclear else display(one) for one, name in pairs]
    more = f" and {len(names) - _MANY} more" if len(names) > _MANY else ""
    listed = ", ".join(names[:_MANY])
    return UnknownNameError(f'"{text}" may mean {listed}{more}. Say which.', names)


def unknown(plexus: Plexus, text: str, among: Collection[str] = EVERYTHING) -> UnknownNameError:
    """The error for a text that means nothing here, or something of another kind."""
    other = matches(plexus, text, (*EVERYTHING, "scenario"), STRICT)
    if other:
        entity = plexus.entity(other[0])
        wish = " or ".join(dict.fromkeys(KINDS.get(table, table) for table in among))
        kind = KINDS.get(entity.kind, entity.kind)
        return UnknownNameError(f'"{text}": {display(entity)} is a {kind}; here a {wish} is wanted.')
    for variant in plexus.variants.values():
        if exact(text) in map(exact, variant.adds):
            with_it = f'the {variant.kind} "{variant.name}". Add --variant {variant.id}.'
            return UnknownNameError(f'"{text}" is in the {plexus.name} only with {with_it}')
    names = suggestions(plexus, text, among)
    hint = f" Did you mean {', '.join(names)}?" if names else ' "list" shows what there is.'
    return UnknownNameError(f'nothing in the {plexus.name} is called "{text}".{hint}', names)


def suggestions(plexus: Plexus, text: str, among: Collection[str] = EVERYTHING) -> tuple[str, ...]:
    """Up to three names whose spelling is near to the text."""
    index = _index(plexus)
    keys = {key: ids for key, ids in index.exact.items() if any(index.table[id] in among for id in ids)}
    near = get_close_matches(exact(text), keys, n=8, cutoff=0.7)
    ids = dict.fromkeys(id for key in near for id in keys[key] if index.table[id] in among)
    return tuple(dict.fromkeys(display(plexus.entity(id)) for id in ids))[:3]


def _fits(table: str, wish: str) -> bool:
    return table in (("segment", "place") if wish == "nerve" else ("muscle", "group", "outside"))


def _without_members(plexus: Plexus, ids: Collection[str]) -> tuple[str, ...]:
    """A group alone where all the others are its members."""
    for id in ids:
        group = plexus.groups.get(id)
        if group is not None and all(other == id or _within(plexus, other, group) for other in ids):
            return (id,)
    return tuple(ids)


def _within(plexus: Plexus, id: str, group: Group) -> bool:
    inner = plexus.groups.get(id)
    return id in group.members or (inner is not None and set(inner.members) < set(group.members))


class _Index:
    """Spellings of all entities of one plexus; each way of matching is made ready when first needed."""

    def __init__(self, plexus: Plexus) -> None:
        self.plexus = plexus
        self.entities = plexus.entities()
        self.order = {entity.id: i for i, entity in enumerate(self.entities)}
        self.table = dict(_tables(plexus))
        self.forms = [(entity.id, tokens(form)) for entity in self.entities for form in forms(plexus, entity)]

    def look(self, way: int, text: str) -> list[str]:
        """Ids found by one way of matching, in model order."""
        words = tokens(text)
        core = canonical(words)
        if not words and way:
            found = []
        elif way == LOOSEST:
            found = self._with_words(frozenset(core))
        elif way == 3:
            found = [*self.short.get(" ".join(words), ()), *self.short.get(" ".join(core), ())]
        elif way == 0:
            found = self.exact.get(" ".join(words), []) if words else self.signs.get(text.strip(), [])
        else:
            keys, key = (self.core, core) if way == 1 else (self.unordered, tuple(sorted(core)))
            pairs = keys.get(key, [])
            # What is named directly goes before what is named by way of it, unless the text says which.
            best = min((far for _, far in pairs), default=False)
            found = [id for id, far in pairs if far == best or wanted(words)]
        return sorted(dict.fromkeys(found), key=self.order.__getitem__)

    def named(self, ids: list[str], text: str) -> list[str]:
        """Of those that a text calls the ones of which it is a name, if it is that of any: other ways come after it."""
        wish = exact(text)
        own = [id for id in ids if wish in map(exact, own_names(self.plexus.entity(id)))]
        return own or ids

    @cached_property
    def exact(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for id, words in self.forms:
            if words:
                found.setdefault(" ".join(words), []).append(id)
        return found

    @cached_property
    def signs(self) -> dict[str, list[str]]:
        """What is called by signs alone, such as "***"."""
        found: dict[str, list[str]] = {}
        for entity in self.entities:
            for form in forms(self.plexus, entity):
                if not tokens(form):
                    found.setdefault(form.strip(), []).append(entity.id)
        return found

    @cached_property
    def core(self) -> dict[tuple[str, ...], list[tuple[str, bool]]]:
        found: dict[tuple[str, ...], list[tuple[str, bool]]] = {}
        for id, words in self.forms:
            if words:
                found.setdefault(canonical(words), []).append((id, indirect(words)))
        return found

    @cached_property
    def unordered(self) -> dict[tuple[str, ...], list[tuple[str, bool]]]:
        found: dict[tuple[str, ...], list[tuple[str, bool]]] = {}
        for core, pairs in self.core.items():
            found.setdefault(tuple(sorted(core)), []).extend(pairs)
        return found

    @cached_property
    def short(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for entity in self.entities:
            for form in _short_forms(entity):
                found.setdefault(form, []).append(entity.id)
        return found

    def _with_words(self, wish: frozenset[str]) -> list[str]:
        if not any(len(word) > 2 for word in wish):
            return []
        return [id for core, pairs in self.core.items() if wish.issubset(core) for id, _ in pairs]


@lru_cache(maxsize=16)
def _index(plexus: Plexus) -> _Index:
    return _Index(plexus)


def _tables(plexus: Plexus) -> Iterator[tuple[str, str]]:
    yield from ((id, "segment") for id in (*plexus.segments, *plexus.wholes))
    yield from ((id, "place") for id in plexus.places)
    yield from ((id, "muscle") for id in plexus.muscles)
    yield from ((id, "skin") for id in plexus.skin)
    yield from ((id, "group") for id in plexus.groups)
    yield from ((id, "outside") for id in plexus.outside)
    yield from ((id, "reflex") for id in plexus.reflexes)
    yield from ((id, "sign") for id in plexus.signs)
    yield from ((id, "scenario") for id in plexus.scenarios)


def forms(plexus: Plexus, entity: Entity) -> Iterator[str]:
    """Full names of an entity."""
    yield from own_names(entity)
    yield from entity.synonyms
    if entity.id in plexus.roots:
        for word in (entity.kind, "spinal nerve", "ramus", "anterior ramus", "ventral ramus"):
            yield f"{entity.name} {word}"


def own_names(entity: Entity) -> Iterator[str]:
    """Id, name and Latin name."""
    yield entity.id
    yield entity.full_name if isinstance(entity, Place) else entity.name
    if latin(entity):
        yield latin(entity)


def _short_forms(entity: Entity) -> Iterator[str]:
    """Label, place without its nerve, initials."""
    if entity.label:
        yield exact(entity.label)
    if isinstance(entity, Place):
        yield " ".join(canonical(tokens(entity.name)))
        if entity.latin:
            yield " ".join(canonical(tokens(entity.latin)))
    elif len(tokens(entity.name)) > 1:
        yield initials(entity.name)
