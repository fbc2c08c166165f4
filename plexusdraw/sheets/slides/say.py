"""What there is to say on a step, worked out from the model: plain sentences for the speaker's notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.report import caution
from plexusdraw.model.plexus import Plexus, Segment
from plexusdraw.names import display
from plexusdraw.names.cited import plain
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import reach, supplied
from plexusdraw.sheets.slides.steps import Step
from plexusdraw.sheets.slides.things import Things

_MUSCLES = ((Loss.WHOLE, "Paralysed"), (Loss.PART, "Weak"), (Loss.SLIGHT, "Slightly weak"))
_OTHERS = ((Loss.WHOLE, "lost"), (Loss.PART, "reduced"))


def lines(plexus: Plexus, fibres: Fibres, step: Step, new: Things) -> str:
    """The step's own lines, else what the model says of what is new, lit or cut; a line for each."""
    if step.notes is not None:
        return step.notes.strip()
    if step.injure:
        found = _injury(Injury(plexus, step.injure, step.partial))
    elif new.supply:
        found = _supply(plexus, fibres, new.supply)
    elif step.highlight:
        found = (_lit(plexus, entity.id) for entity in step.highlight)
    elif new.drawn:
        found = (_origin(plexus, fibres, s) for s in plexus.segments.values() if s.id in new.drawn)
    else:
        found = _opening(plexus)
    return "\n".join(found)


def _opening(plexus: Plexus) -> Iterator[str]:
    yield f"Columns, from the spine outwards: {_listed(stage.name for stage in plexus.stages)}."
    yield f"Roots: {_listed(plexus.roots)}. One colour and one strand for each, kept to the end."


def _origin(plexus: Plexus, fibres: Fibres, segment: Segment) -> str:
    roots = _roots(fibres, segment.id)
    if not segment.parents:
        return f"{display(segment)}: {segment.latin}." if segment.latin else f"{display(segment)}."
    parents = _listed(display(plexus.segments[id]) for id in segment.parents)
    return f"{_capital(display(segment))}: from {parents}; carries {roots}."


def _supply(plexus: Plexus, fibres: Fibres, nerves: Iterable[str]) -> Iterator[str]:
    wanted = set(nerves)
    for segment in plexus.segments.values():
        if segment.id not in wanted:
            continue
        yield f"{_capital(display(segment))} ({_roots(fibres, segment.id)}) supplies:"
        for target in supplied(plexus, segment.id):
            ways = [route for route in fibres.through(segment.id) if route.target == target.id]
            main = {route.root for route in ways if not route.minor}
            minor = {route.root for route in ways} - main
            minor = minor if plexus.shows_minor else set()
            shown = [root if root in main else f"({root})" for root in plexus.roots if root in main | minor]
            kind = "" if target.kind == "muscle" else "skin: "
            yield f"  {kind}{target.name}: {' '.join(shown)}"


def _lit(plexus: Plexus, id: str) -> str:
    entity = plexus.entity(id)
    found = reach(plexus, entity)
    passed = dict.fromkeys(s for path in found.paths for s in path if s in plexus.segments and s != id)
    name = _capital(display(entity))
    if id in plexus.roots:
        return f"Fibres of {name} reach {_listed(plexus.entity(m).name for m in found.muscles) or 'skin only'}."
    way = _listed(display(plexus.segments[s]) for s in passed)
    small = found.roots_minor if plexus.shows_minor else ()
    minor = f", small shares of {_listed(small)}" if small else ""
    return f"{name}: {_listed(found.roots)}{minor}" + (f"; by way of {way}." if way else ".")


def _injury(injury: Injury) -> Iterator[str]:
    partial = "Partial cut" if injury.partial else "Cut"
    yield f"{partial}: {_listed(s.name if injury.partial else s.text for s in injury.sites)}."
    for loss, word in _MUSCLES:
        hit = [o.name for o in injury.muscles.values() if o.loss is loss]
        if hit:
            yield f"{word}: {_listed(hit)}."
    moves = [(word, [m.name for m in injury.movements.values() if m.loss is loss]) for loss, word in _MUSCLES[:2]]
    for word, names in moves:
        if names:
            yield f"Movements {'lost' if word == 'Paralysed' else 'weak'}: {_listed(names)}."
    for loss, word in _OTHERS:
        skin = [o.name for o in injury.skin.values() if o.loss is loss]
        reflexes = [o.name for o in injury.reflexes.values() if o.loss is loss]
        if skin:
            yield f"Skin {word}: {_listed(skin)}."
        if reflexes:
            yield f"Reflexes {word}: {_listed(reflexes)}."
    for sign in injury.signs:
        yield f"Sign: {sign.name}" + (f": {plain(injury.plexus, sign.note)}" if sign.note else "") + "."
    yield caution(injury.plexus)


def _roots(fibres: Fibres, id: str) -> str:
    return " ".join(f"({root})" if minor else root for root, minor in fibres.shown[id].items())


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
