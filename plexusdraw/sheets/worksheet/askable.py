"""What may be asked: from a teacher's words to the labels of a scene."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.layout.columns.plan import Detail, Plan
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import Scene
from plexusdraw.scene.view import LabelKey
from plexusdraw.sheets.worksheet.spec import Spec
from plexusdraw.views.blanks import numbered

NERVES, MUSCLES, SUPPLY = "nerves", "muscles", "supply"


def words(plexus: Plexus) -> tuple[str, ...]:
    """What may stand after --ask."""
    return tuple(dict.fromkeys((*(stage.id for stage in plexus.stages), NERVES, MUSCLES, SUPPLY)))


def asked(plexus: Plexus, ask: Sequence[str]) -> tuple[str, ...]:
    """The words of *ask* as the model spells them, once each, "labels" written out; if none, the usual ones.

    Raises:
        UnknownNameError: one of them is none of :func:`words`.
    """
    if not ask:
        return (*(stage.id for stage in plexus.stages[1:-1] if stage.order == "given"), NERVES)
    known = {stage.name.lower(): stage.id for stage in plexus.stages}
    known |= {stage.singular.lower(): stage.id for stage in plexus.stages}
    known |= {form: word for word in words(plexus) for form in (word.lower().rstrip("s"), word.lower())}
    found: list[str] = []
    for text in ask:
        plain = text.strip().lower()
        if plain in ("labels", "all"):
            found += [w for w in words(plexus) if w not in (MUSCLES, SUPPLY)]
        elif plain in known:
            found.append(known[plain])
        else:
            raise UnknownNameError(f'cannot ask about "{text}"; choose from {", ".join(words(plexus))}')
    return tuple(dict.fromkeys(found))


def detail_for(spec: Spec, ask: Sequence[str]) -> Detail:
    """The detail at which all that is asked is drawn."""
    if spec.detail is not None:
        return spec.detail
    if MUSCLES in ask:
        return "muscles"
    return "nerves" if NERVES in ask or SUPPLY in ask or spec.only else "framework"


def singulars(plexus: Plexus, ask: Sequence[str]) -> tuple[str, ...]:
    """Kinds of entity whose names are asked; nerves are side branches and the last stage alike."""
    stages = {stage.id: stage.singular for stage in plexus.stages}
    kinds = [stages[word] for word in ask if word in stages]
    if NERVES in ask:
        kinds += ["nerve", plexus.stages[-1].singular]
    return tuple(dict.fromkeys(kinds))


def expected(made: Plan, ask: Sequence[str]) -> Iterator[LabelKey]:
    """The labels that :func:`keys` finds on a drawing, foreseen from its plan; not those of muscles."""
    plexus = made.plexus
    wanted = {*singulars(plexus, ask)}
    ends = made.ends()
    named = {s.id: s for s in (*(slot.segment for slot in made.slots.values()), *ends) if s is not None}
    yield from ((segment.id, "name") for segment in named.values() if segment.kind in wanted)
    yield from ((id, "name") for id in made.links() if plexus.segments[id].kind in wanted)
    if SUPPLY in ask:
        yield from ((segment.id, "supply") for segment in ends if supplied(plexus, segment.id))


def keys(plexus: Plexus, scenes: Sequence[Scene], ask: Sequence[str]) -> tuple[LabelKey, ...]:
    """The labels asked, in reading order, page by page.

    Raises:
        SheetError: none of them is drawn.
    """
    hide = [*singulars(plexus, ask), *(["muscles"] if MUSCLES in ask or SUPPLY in ask else [])]
    found = tuple(key for key in numbered(plexus, scenes, hide) if _wanted(plexus, key, ask))
    if not found:
        raise SheetError(f"nothing of {', '.join(ask)} is drawn at this detail; use --detail nerves or muscles")
    return found


def links_last(found: Iterable[LabelKey], links: Sequence[str]) -> tuple[LabelKey, ...]:
    """The labels with those of links at the end: these stand where there is room, which their order must not follow."""
    place = {id: i for i, id in enumerate(links, start=1)}
    return tuple(sorted(found, key=lambda key: place.get(key[0], 0)))


def _wanted(plexus: Plexus, key: LabelKey, ask: Sequence[str]) -> bool:
    entity, role = key
    if role == "supply":
        return SUPPLY in ask
    return MUSCLES in ask if entity in plexus.muscles else entity in plexus.segments or entity in plexus.wholes
