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
from plexusdraw.names.grouped import grouped
from plexusdraw.names.spelling import capital
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import reach, supplied
from plexusdraw.sheets.slides import opening
from plexusdraw.sheets.slides.steps import Step, listed
from plexusdraw.sheets.slides.things import Things

_MUSCLES = ((Loss.WHOLE, "Paralysed"), (Loss.PART, "Weak"), (Loss.SLIGHT, "Slightly weak"))
_OTHERS = ((Loss.WHOLE, "lost"), (Loss.PART, "reduced"))
_WAITING = {
    "names": "Go through the numbers one by one; let the class say each name before you go on.",
    "way": "Let somebody come forward and show the way with a finger.",
    "supply": "Ask for muscles first, then for skin.",
    "loss": "Ask for muscles first, then for movements, then for skin.",
    "site": "Ask what the lost muscles have in common, and where one cut would take them all.",
}
_WORDS = dict(zip(range(3, 11), ["three", "four", "five", "six", "seven", "eight", "nine", "ten"], strict=True))
FEW = 2
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
        yield "Read the names out once more, column by column" if step.ask else "Ask for the names, column by column"
    else:
        yield "All that was built up, on one slide. Go through it once more from left to right"


def _opening(plexus: Plexus) -> Iterator[str]:
    yield f"Today: the {plexus.name}. We build it up in columns, from the spine outwards"
    yield f"The columns are: {_listed([stage.name for stage in plexus.stages])}"
    yield f"It has {len(plexus.roots)} roots: {_listed(plexus.roots)}. Each keeps its colour to the end"


def asking(step: Step) -> str:
    """What to do while a question waits for its answer."""
    return f"{_WAITING[step.asked]} The answer is on the next slide."


def _new(plexus: Plexus, fibres: Fibres, segments: Sequence[Segment]) -> Iterator[str]:
    """What is new, from what it comes, and a question about one that has several parents, or else one."""
    together: dict[tuple[str, ...], list[Segment]] = {}
    for segment in segments:
        together.setdefault(segment.parents, []).append(segment)
    first = together.pop((), [])
    if first:
        yield f"New here: {_counted([display(s) for s in first])}. Point at each, from top to bottom"
    elif len(segments) > FEW:
        yield f"{len(segments)} names are new. Point at each, from top to bottom"
    for parents, found in together.items():
        yield _origin(plexus, fibres, parents, found)
    asked = next((s for s in segments if len(s.parents) > 1), next((s for s in segments if s.parents), None))
    if asked:
        what = "forms" if _joined(asked) else "is the origin of"
        yield f"Exam question: what {what} {_the(plexus, asked.id)}? Answer: {_parents(plexus, asked.parents)}"
    elif segments:
        column = next((stage.name for stage in plexus.stages if {s.stage for s in segments} == {stage.id}), "of them")
        yield f"Exam question: how many {column} are there? Answer: {len(segments)}"


def _joined(segment: Segment) -> bool:
    """Whether its parents become it; side branches merely come from them."""
    return len(segment.parents) > 1 and segment.stage is not None


def _origin(plexus: Plexus, fibres: Fibres, parents: tuple[str, ...], segments: Sequence[Segment]) -> str:
    """What comes from *parents*, each with its roots where the parents do not say them."""

    def child(segment: Segment) -> str:
        told = set(fibres.shown[segment.id]) == set(parents)
        return _the(plexus, segment.id) + ("" if told else f" ({_roots(fibres, segment.id)})")

    children = _listed([child(segment) for segment in segments])
    if len(parents) == 1:
        return f"From {_parents(plexus, parents)}: {children}"
    verb = "join to form" if all(map(_joined, segments)) else "give"
    return f"{capital(_parents(plexus, parents))} {verb} {children}"


def _parents(plexus: Plexus, ids: Sequence[str]) -> str:
    return _listed([_the(plexus, id) for id in ids])


def _lit(plexus: Plexus, fibres: Fibres, entity: Entity) -> Iterator[str]:
    """A root followed outwards, or a nerve traced back, with what it supplies."""
    found = reach(plexus, entity)
    name = capital(_the(plexus, entity.id) if entity.id in plexus.segments else entity.name)
    if entity.id in plexus.roots:
        ends = [s for s in plexus.staged(plexus.stages[-1].id) if entity.id in fibres.carried[s.id]]
        answer = _listed([_the(plexus, s.id) for s in ends])
        yield f"Follow {name} with your finger, from left to right"
        yield f"At the end it runs in {answer}"
        yield f"Its fibres reach {len(found.muscles)} muscles in all"
        yield f"Exam question: which nerves hold fibres of {name}? Answer: {answer}"
        return
    passed = {s for path in found.paths for s in path if s in plexus.segments and s != entity.id}
    small = found.roots_minor if plexus.shows_minor else ()
    share = "a small share" if len(small) == 1 else "small shares"
    minor = f", and {share} of {_listed(small)}" if small else ""
    yield f"{name} carries {_listed(found.roots)}{minor}"
    way = list(_back(plexus, passed - set(plexus.roots)))
    if way:
        yield f"Trace it back with your finger: through {', then '.join(way)}, to the roots"
    targets = supplied(plexus, entity.id) if entity.id in plexus.segments else ()
    muscles = _muscles(plexus, [t.id for t in targets if t.kind == "muscle"])
    skin = [t.name for t in targets if t.kind != "muscle"]
    if muscles:
        yield f"Muscles: {_counted(muscles)}"
    if skin:
        yield f"Skin: {_counted(skin)}"
    yield f"Exam question: which roots does it carry? Answer: {_listed(found.roots)}{minor}"


def _back(plexus: Plexus, passed: set[str]) -> Iterator[str]:
    """Columns on the way back, the nearest first: their names, of more than two how many there are."""
    for stage in reversed(plexus.stages):
        found = [s for s in plexus.staged(stage.id) if s.id in passed]
        if len(found) > FEW:
            yield f"{_WORDS.get(len(found), str(len(found)))} {stage.name}"
        elif found:
            yield _listed([_the(plexus, s.id) for s in found])


def _muscles(plexus: Plexus, ids: Sequence[str]) -> list[str]:
    """Names of muscles, a group's in place of those of all its members."""
    found = grouped(plexus, ids)
    return [plexus.groups[id].name if id in plexus.groups else plexus.target(id).name for id in found]


def _injury(injury: Injury) -> Iterator[str]:
    where = _listed([s.name if injury.partial else s.text for s in injury.sites])
    yield f"{'Partial cut' if injury.partial else 'Cut'}: {where}. Point at the mark, then at what is broken beyond it"
    for loss, word in _MUSCLES:
        hit = [o.id for o in injury.muscles.values() if o.loss is loss]
        if hit and loss is Loss.SLIGHT:
            yield f"{word}: {len(hit)} more, of which only a small share is lost"
        elif hit:
            yield f"{word}: {_counted(_muscles(injury.plexus, hit))}"
    lost, weak = ([m.name for m in injury.movements.values() if m.loss is loss] for loss in (Loss.WHOLE, Loss.PART))
    if lost:
        yield f"Movements lost: {_counted(lost)}" + (f". {len(weak)} others are weak" if weak else "")
    elif weak:
        yield f"Movements weak: {_counted(weak)}"
    for what, outcomes in (("Skin", injury.skin), ("Reflexes", injury.reflexes)):
        for loss, word in _OTHERS:
            names = [o.name for o in outcomes.values() if o.loss is loss]
            if names:
                yield f"{what} {word}: {_counted(names)}"
    yield from _signs(injury)
    if lost:
        yield f"Exam question: which movements are lost? Answer: {_counted(lost)}"
    yield caution(injury.plexus)


def _signs(injury: Injury) -> Iterator[str]:
    """The first signs, with what is seen; of the others the names."""
    for sign in injury.signs[:FEW]:
        yield f"Look for {sign.name}" + (f". {plain(injury.plexus, sign.note)}" if sign.note else "")
    rest = [sign.name for sign in injury.signs[FEW:]]
    if rest:
        yield f"Other signs: {_counted(rest)}"


def _roots(fibres: Fibres, id: str) -> str:
    main = [root for root, minor in fibres.shown[id].items() if not minor]
    minor = [root for root, minor in fibres.shown[id].items() if minor]
    return _listed(main) + (f", little of {_listed(minor)}" if minor else "")


def _counted(names: Sequence[str]) -> str:
    """Names as a list; of many the first, and how many more."""
    rest = len(names) - MOST
    return _listed(names) if rest <= 1 else f"{_mark(names).join(names[:MOST])} and {rest} more"


def _listed(names: Iterable[str]) -> str:
    words = list(names)
    return listed(words, _mark(words))


def _mark(names: Sequence[str]) -> str:
    """What parts the names of a list of more than two: semicolons where one has a comma or an "and" itself."""
    return "; " if any("," in name or " and " in name for name in names) else ", "


def _the(plexus: Plexus, id: str) -> str:
    """A structure in a sentence: a root goes without an article."""
    return display(plexus.segments[id]) if id in plexus.roots else f"the {display(plexus.segments[id])}"


def _sentence(text: str) -> str:
    """A line with one stop at its end."""
    text = text.strip()
    return text if not text or text[-1] in ".?!:" else f"{text}."
