"""Where cases come from: the injuries asked about, of each sort in turn."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from itertools import zip_longest
from random import Random

from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites as site_names
from plexusdraw.names.sites import Site
from plexusdraw.sheets.worksheet import askable

NERVES, PLACES = "nerves", "places"


def words(plexus: Plexus) -> tuple[str, ...]:
    """What cases may come from: columns of the plexus, nerves and their branches, named places on them."""
    return tuple(dict.fromkeys((*(stage.id for stage in plexus.stages), NERVES, PLACES)))


def sources(plexus: Plexus, given: Sequence[str]) -> tuple[str, ...]:
    """The words of *given* as the model spells them; if none, roots, the columns whose order is anatomical, and nerves.

    Raises:
        UnknownNameError: one of them is none of :func:`words`.
    """
    if not given:
        return tuple(dict.fromkeys((plexus.stages[0].id, *askable.asked(plexus, ()), NERVES, PLACES)))
    known = {form: word for word in words(plexus) for form in (word.lower(), word.lower().rstrip("s"))}
    known |= {name.lower(): stage.id for stage in plexus.stages for name in (stage.name, stage.singular)}
    found = []
    for text in given:
        if text.strip().lower() not in known:
            raise UnknownNameError(f'no cases come from "{text}"; choose from {", ".join(words(plexus))}')
        found.append(known[text.strip().lower()])
    return tuple(dict.fromkeys(found))


def source(plexus: Plexus, site: Site) -> str | None:
    """The word of :func:`words` that takes in a site; None: it has no name of the trade."""
    if site.id in plexus.places:
        return PLACES
    if site.id not in (site.segment, plexus.segments[site.segment].whole):
        return None
    return plexus.segments[site.segment].stage or NERVES


def only(plexus: Plexus, text: str) -> tuple[Site, ...]:
    """The sites of one injury that a person types. UnknownNameError: it names none."""
    return site_names.parse_all(plexus, text)


def mixed(
    plexus: Plexus, given: Sequence[str], case: Callable[[Site], Hashable | None], rng: Random
) -> tuple[tuple[Site, ...], ...]:
    """The fair sites of each source in turn, by chance.

    *case*: what a site makes, None if nothing fair; of sites that make the same, one is asked.

    Raises:
        SheetError: no site makes a case. UnknownNameError: as for :func:`sources`.
    """
    wanted = sources(plexus, given)
    groups: dict[str, list[Site]] = {word: [] for word in wanted}
    known: set[Hashable] = set()
    for site in site_names.all_sites(plexus):
        word = source(plexus, site)
        words_of = {word, NERVES} if word == plexus.stages[-1].id else {word}
        group = next((g for g in wanted if g in words_of), None)
        made = case(site) if group else None
        if group and made is not None and made not in known:
            known.add(made)
            groups[group].append(site)
    found = [group for group in groups.values() if group]
    if not found:
        raise SheetError(f"no site of {', '.join(wanted)} makes a case with one right answer")
    for some in found:
        rng.shuffle(some)
    return tuple((site,) for site in _in_turn(found))


def _in_turn(groups: Sequence[Sequence[Site]]) -> Iterator[Site]:
    for round_of in zip_longest(*groups):
        yield from (site for site in round_of if site is not None)
