"""What a reader asks to see of a limb, as a view of its scene: highlight, hide, key, injure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from plexusdraw import names
from plexusdraw.clinic import deficits
from plexusdraw.clinic.findings import Finding, Kind
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import capital
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import strands_of
from plexusdraw.scene import Area, Label, Note, Scene
from plexusdraw.scene.view import LabelKey, State, View
from plexusdraw.views import blanks
from plexusdraw.views.injured import WORD
from plexusdraw.views.request import Request

STATE: dict[str, State] = {
    "paralysed": "lost",
    "weak": "weak",
    "slight": "slight",
    "lost": "lost",
    "reduced": "reduced",
}
"""State of a muscle or skin area → that of the view."""
ORDER = {"muscle": ("paralysed", "weak", "slight"), "skin": ("lost", "reduced")}
SWATCHES: dict[str, State] = {
    "legend-lost": "lost",
    "legend-weak": "weak",
    "legend-slight": "slight",
    "legend-reduced": "reduced",
    "legend-highlit": "highlit",
}
"""Entries of a legend look as what they tell."""
FOUND: dict[Kind, State] = {
    "paralysed": "lost",
    "numb": "lost",
    "weak": "weak",
    "moderate": "weak",
    "slight": "slight",
    "spared": "highlit",
    "feels": "highlit",
}
"""Finding → state of the muscles or areas that it is about; of two the one that stands first."""
LIGHT = "Not dimmed: what the fibres asked for reach."
HIDEABLE = {
    "labels": ("muscle", "skin"),
    "all": ("muscle", "skin"),
    "muscles": ("muscle",),
    "muscle": ("muscle",),
    "skin": ("skin",),
    "skin areas": ("skin",),
    "areas": ("skin",),
    "dermatomes": ("skin",),
}


def views(plexus: Plexus, fibres: Fibres, scenes: Sequence[Scene], request: Request) -> tuple[View, ...]:
    """The views of all pages; blanks are numbered through.

    Raises:
        UnknownNameError: a kind to hide that is not on a limb, or a stage to build up.
    """
    if request.upto:
        raise UnknownNameError("a limb has no stages to build up; leave them out")
    numbers = _numbered(scenes, request.hide)
    return tuple(_view(plexus, fibres, scene, request, numbers) for scene in scenes)


def _numbered(scenes: Sequence[Scene], hide: Sequence[str]) -> dict[LabelKey, int]:
    """A number for each name that is hidden, figure by figure, down each column."""
    wanted: set[str] = set()
    for word in hide:
        plain = word.strip().lower()
        if plain not in HIDEABLE:
            raise UnknownNameError(f'cannot hide "{word}" on a limb; choose from labels, muscles, skin')
        wanted.update(HIDEABLE[plain])
    keys = (
        (part.entity, "name")
        for scene in scenes
        for part in scene.read()
        if isinstance(part, Label) and part.kind in wanted
    )
    return {key: i for i, key in enumerate(dict.fromkeys(keys), start=1)}


def _view(plexus: Plexus, fibres: Fibres, scene: Scene, request: Request, numbers: dict[LabelKey, int]) -> View:
    entities: dict[str, State] = dict(SWATCHES)
    words: dict[str, str] = {}
    notes: dict[str, str | None] = {}
    drawn = list(dict.fromkeys(p.entity for p in scene.parts if isinstance(p, Area) and p.kind != "legend"))
    if request.highlight:
        found = lit(plexus, fibres, request.highlight)
        entities |= {id: "highlit" if id in found else "dimmed" for id in drawn}
        notes["legend"] = LIGHT
    if request.injury is None:
        notes |= {p.key: None for p in scene.parts if isinstance(p, Note) and p.role == "caution"}
    else:
        states = harmed(plexus, request.injury, drawn)
        entities |= {id: STATE[state] for id, state in states.items()}
        words = {id: WORD[state] for id, state in states.items()}
        notes |= _said(plexus, request.injury, scene, drawn, request.naming)
    if request.asks:
        notes |= {"legend": blanks.LEGEND, "variants": names.beneath(plexus, asks=True) or None}
    return View(
        asks=request.asks,
        title=request.title,
        entities=entities,
        words=words,
        notes=notes,
        blanks=numbers if request.asks else {},
        answers={} if request.asks else numbers,
        called=plexus.taught.words if plexus.taught else {},
    )


def asked(plexus: Plexus, fibres: Fibres, highlight: Sequence[Entity], injury: Injury | None) -> frozenset[str]:
    """Ids of the muscles and areas that a highlight reaches, or that an injury takes something of."""
    every = (*plexus.muscles, *plexus.skin)
    harm = harmed(plexus, injury, every) if injury else ()
    return frozenset((*harm, *(lit(plexus, fibres, highlight) if highlight else ())))


def lit(plexus: Plexus, fibres: Fibres, asked: Sequence[Entity]) -> set[str]:
    """Ids of the muscles, areas and dermatomes that what is asked for reaches."""
    found = strands_of(plexus, asked)
    reached = {target for target, _ in found.targets} | {entity.id for entity in asked}
    for area in plexus.skin.values():
        if area.dermatome and any((r.target, r.root) in found.targets for r in fibres.of(area.id)):
            reached.add(area.id)
    return reached


def harmed(plexus: Plexus, injury: Injury, drawn: Sequence[str]) -> dict[str, str]:
    """Muscle or area → its state, where something is lost."""
    known = [id for id in drawn if id in plexus.muscles or id in plexus.skin]
    states = {id: injury.outcome(id).state for id in known}
    return {id: state for id, state in states.items() if state in STATE}


def found(plexus: Plexus, findings: Iterable[Finding]) -> dict[str, State]:
    """Muscle or area → its state as findings have it; a movement, sign or reflex is no finding of one muscle."""
    rule = deficits.of(plexus)
    rank = list(FOUND)
    made: dict[str, Kind] = {}
    for finding in findings:
        if finding.kind in FOUND and not finding.movement:
            for id in finding.members(rule) & (plexus.muscles.keys() | plexus.skin.keys()):
                made[id] = min(finding.kind, made.get(id, finding.kind), key=rank.index)
    return {id: FOUND[made[id]] for id in (*plexus.muscles, *plexus.skin) if id in made}


def _said(
    plexus: Plexus, injury: Injury, scene: Scene, drawn: Sequence[str], naming: names.Style
) -> dict[str, str | None]:
    """The lines under the figures: how many of each state, and which."""
    muscles = any(isinstance(p, Area) and p.kind == "muscle" for p in scene.parts)
    kind = "muscle" if muscles else "skin"
    by_root = any(area.dermatome for id, area in plexus.skin.items() if id in drawn)
    areas = [injury.skin[id] for id, area in plexus.skin.items() if bool(area.dermatome) == by_root]
    outcomes = list(injury.muscles.values()) if muscles else areas
    found = {state: [o for o in outcomes if o.state == state] for state in ORDER[kind]}
    counts = [f"{len(os)} {WORD[state]}" for state, os in found.items()]
    rest = len(outcomes) - sum(map(len, found.values()))
    what = f"Of {len(outcomes)} {'muscles' if muscles else 'areas'}: {', '.join(counts)}, {rest} spared."
    of = plexus.muscles if muscles else plexus.skin
    listed = {s: "; ".join(names.listed(of[o.id], naming) for o in os) for s, os in found.items() if os}
    lines = [f"{capital(WORD[state])}: {text}." for state, text in listed.items()]
    first, *others = lines or [f"No {'muscle' if muscles else 'area'} loses anything."]
    return {"legend": what, "legend-1": first, "legend-2": " ".join(others) or None}
