"""The speaker's notes, worked out from the model: what is new, what to point at, an exam question with its answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.report import caution
from plexusdraw.model.entities import Entity, Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import display
from plexusdraw.names.cited import plain
from plexusdraw.names.spelling import capital
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import reach, supplied
from plexusdraw.sheets.slides import opening
from plexusdraw.sheets.slides.steps import Step, listed
from plexusdraw.sheets.slides.things import Things

_MUSCLES = ((Loss.WHOLE, "Paralysed"), (Loss.PART, "Weak"), (Loss.SLIGHT, "Slightly weak"))
_OTHERS = ((Loss.WHOLE, "lost"), (Loss.PART, "reduced"))
MOST = 6
"""As many names are read out; of more it is said how many."""


def lines(plexus: Plexus, fibres: Fibres, step: Step, new: Things) -> str:
    """The step's own notes, else what the model says of what is new, lit or cut; a line for each."""
    if step.notes is not None:
        return step.notes.strip()
    return "\n".join(_sentence(line) for line in _found(plexus, fibres, step, new))


def _found(plexus: Plexus, fibres: Fibres, step: Step, new: Things) -> Iterator[str]:
    if step.on == "title":
        yield from _opening(plexus)
    elif step.on == "sources":
        yield "Facts come from these sources"
        yield from opening.titles(plexus)
    elif step.picture:
        yield f"Give the class a moment to read the picture: {step.title}"
    elif step.injure:
        yield from _injury(Injury(plexus, step.injure, step.partial))
    elif step.highlight:
        for entity in step.highlight:
            yield from _lit(plexus, fibres, entity)
    elif new.drawn:
        yield from _new(plexus, fibres, [s for s in plexus.segments.values() if s.id in new.drawn])
    elif new.supply:
        for id in (s for s in plexus.segments if s in new.supply):
            yield from _lit(plexus, fibres, plexus.segments[id])
    elif step.hide:
        yield "Ask column by column. The names come back on the next slide"
    else:
        yield "All that was built up, on one slide. Go through it once more from left to right"


def _opening(plexus: Plexus) -> Iterator[str]:
    yield f"Today: the {plexus.name}. We build it up in columns, from the spine outwards"
    yield f"The columns are: {_listed([stage.name for stage in plexus.stages])}"
    yield f"It has {len(plexus.roots)} roots, {_listed(plexus.roots)}. Each keeps one colour and one strand to the end"


def _new(plexus: Plexus, fibres: Fibres, segments: Sequence[Segment]) -> Iterator[str]:
    """What is new, and a question about one that has several parents, or else several roots."""
    yield f"New here: {_counted([display(s) for s in segments])}. Point at each, from top to bottom"
    for segment in segments[:MOST]:
        yield from _origin(plexus, fibres, segment)
    asked = next((s for s in segments if len(s.parents) > 1), next((s for s in segments if s.parents), None))
    if asked:
        yield f"Exam question: what forms the {asked.name}? Answer: {_parents(plexus, asked)}"
    elif segments:
        yield f"Exam question: how many are there? Answer: {len(segments)}"


def _origin(plexus: Plexus, fibres: Fibres, segment: Segment) -> Iterator[str]:
    if segment.parents:
        come = "comes" if not display(segment).endswith("s") else "come"
        carried = _roots(fibres, segment.id)
        yield f"{capital(_the(plexus, segment.id))} {come} from {_parents(plexus, segment)}, with fibres of {carried}"


def _parents(plexus: Plexus, segment: Segment) -> str:
    return _listed([_the(plexus, id) for id in segment.parents])


def _lit(plexus: Plexus, fibres: Fibres, entity: Entity) -> Iterator[str]:
    """A root followed outwards, or a nerve traced back, with what it supplies."""
    found = reach(plexus, entity)
    name = capital(_the(plexus, entity.id) if entity.id in plexus.segments else entity.name)
    if entity.id in plexus.roots:
        ends = [s for s in plexus.staged(plexus.stages[-1].id) if entity.id in fibres.carried[s.id]]
        yield f"Follow {name} with your finger, from left to right"
        yield f"On its way it runs in {_counted([_the(plexus, s.id) for s in ends])}"
        yield f"It reaches {len(found.muscles)} muscles"
        answer = _listed([_the(plexus, s.id) for s in ends])
        yield f"Exam question: which nerves hold fibres of {name}? Answer: {answer}"
        return
    passed = dict.fromkeys(s for path in found.paths for s in path if s in plexus.segments and s != entity.id)
    way = [_the(plexus, s) for s in passed if s not in plexus.roots]
    small = found.roots_minor if plexus.shows_minor else ()
    minor = f", and small shares of {_listed(small)}" if small else ""
    yield f"{name} carries {_listed(found.roots)}{minor}"
    if way:
        yield f"Point back along its way: {_listed(list(reversed(way)))}"
    targets = supplied(plexus, entity.id) if entity.id in plexus.segments else ()
    muscles = [t.name for t in targets if t.kind == "muscle"]
    skin = [t.name for t in targets if t.kind != "muscle"]
    if muscles:
        yield f"Muscles: {_counted(muscles)}"
    if skin:
        yield f"Skin: {_counted(skin)}"
    yield f"Exam question: which roots does it carry? Answer: {_listed(found.roots)}{minor}"


def _injury(injury: Injury) -> Iterator[str]:
    where = _listed([s.name if injury.partial else s.text for s in injury.sites])
    yield f"{'Partial cut' if injury.partial else 'Cut'}: {where}. Point at the mark, then at what is broken beyond it"
    for loss, word in _MUSCLES:
        hit = [o.name for o in injury.muscles.values() if o.loss is loss]
        if hit:
            yield f"{word}: {_counted(hit)}"
    for loss, word in _MUSCLES[:2]:
        moves = [m.name for m in injury.movements.values() if m.loss is loss]
        if moves:
            yield f"Movements {'lost' if word == 'Paralysed' else 'weak'}: {_counted(moves)}"
    for loss, word in _OTHERS:
        for what, found in (("Skin", injury.skin), ("Reflexes", injury.reflexes)):
            names = [o.name for o in found.values() if o.loss is loss]
            if names:
                yield f"{what} {word}: {_counted(names)}"
    for sign in injury.signs:
        yield f"Look for this sign: {sign.name}" + (f". {plain(injury.plexus, sign.note)}" if sign.note else "")
    whole = [m.name for m in injury.movements.values() if m.loss is Loss.WHOLE]
    if whole:
        yield f"Exam question: which movements are lost? Answer: {_counted(whole)}"
    yield caution(injury.plexus)


def _roots(fibres: Fibres, id: str) -> str:
    main = [root for root, minor in fibres.shown[id].items() if not minor]
    minor = [root for root, minor in fibres.shown[id].items() if minor]
    return _listed(main) + (f" (a small share of {_listed(minor)})" if minor else "")


def _counted(names: Sequence[str]) -> str:
    """Names as a list; of many the first, and how many more."""
    rest = len(names) - MOST
    return _listed(names) if rest <= 1 else f"{_mark(names).join(names[:MOST])} and {rest} more"


def _listed(names: Iterable[str]) -> str:
    words = list(names)
    return listed(words, _mark(words))


def _mark(names: Iterable[str]) -> str:
    """What parts the names of a list: semicolons where one has a comma itself."""
    return "; " if any("," in name for name in names) else ", "


def _the(plexus: Plexus, id: str) -> str:
    """A structure in a sentence: a root goes without an article."""
    return display(plexus.segments[id]) if id in plexus.roots else f"the {display(plexus.segments[id])}"


def _sentence(text: str) -> str:
    """A line with one stop at its end."""
    text = text.strip()
    return text if not text or text[-1] in ".?!:" else f"{text}."
