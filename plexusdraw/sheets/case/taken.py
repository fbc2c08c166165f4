"""What an injury takes, in words for a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plexusdraw import names
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, Outcome
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb import tones
from plexusdraw.names.grouped import grouped

HEADS = {Loss.WHOLE: "Paralysed", Loss.PART: "Weak", Loss.SLIGHT: "Slightly weak"}
NOTHING = "No route to a muscle or skin area runs through this place."


@dataclass(frozen=True, slots=True)
class Entry:
    """A heading and what stands under it, a paragraph for each nerve."""

    head: str
    lines: tuple[str, ...]


def entries(injury: Injury) -> Iterator[Entry]:
    """Everything that is lost: muscles by nerve, movements, skin, reflexes, signs."""
    for loss, head in HEADS.items():
        found = [o for o in injury.muscles.values() if o.loss is loss]
        if found:
            yield Entry(f"{head}: {len(found)} of {len(injury.muscles)} muscles", tuple(_by_nerve(injury, found)))
    for state in ("lost", "weak", "slight"):
        moves = [m.name for m in injury.movements.values() if m.state == state]
        if moves:
            yield Entry(f"Movements {'slightly weak' if state == 'slight' else state}", ("; ".join(moves),))
    for state in ("lost", "reduced"):
        own = skin(injury, state)
        if own:
            yield Entry(f"Skin {state}", ("; ".join(own),))
    if reflexes(injury):
        yield Entry("Reflexes", ("; ".join(reflexes(injury)),))
    if injury.signs:
        yield Entry("Signs", ("; ".join(sign.name for sign in injury.signs),))
    if not injury.broken:
        yield Entry("Nothing is lost", (NOTHING,))


def muscles(injury: Injury, loss: Loss, wording: Wording | None = None) -> list[str]:
    """Names of the muscles of one state, a group's in place of those of all its members."""
    states = {o.id: o.loss for o in injury.muscles.values()}
    ids = grouped(injury.plexus, [id for id, own in states.items() if own is loss], states)
    plexus = injury.plexus
    return [(wording or Wording()).of(plexus.muscles.get(id) or plexus.groups[id]) for id in ids]


def skin(injury: Injury, state: str) -> list[str]:
    """Names of the skin areas that are lost or reduced, dermatomes left aside."""
    areas = [o for id, o in injury.skin.items() if not injury.plexus.skin[id].dermatome]
    return [o.name for o in areas if o.loss and o.state == state]


def reflexes(injury: Injury) -> list[str]:
    """The reflexes that are not kept, with their state."""
    return [f"{o.name} {o.state}" for o in injury.reflexes.values() if o.state != "kept"]


def _by_nerve(injury: Injury, outcomes: Sequence[Outcome]) -> Iterator[str]:
    """A line for each nerve: its muscles."""
    plexus = injury.plexus
    found: dict[str, list[str]] = {}
    for outcome in outcomes:
        found.setdefault(tones.family(plexus, outcome.id), []).append(Wording().of(plexus.muscles[outcome.id]))
    for nerve in sorted(found, key=tones.families(plexus).index):
        own = names.display(plexus.segments[nerve], "short")
        yield f"{own}: {'; '.join(found[nerve])}"
