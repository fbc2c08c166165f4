"""What the page's questions and its search need: fair cases, right answers, and all names in one spelling.

What is fair is said by :mod:`plexusdraw.clinic.cases`, what is right by :mod:`plexusdraw.names.accepted`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from plexusdraw import names
from plexusdraw.clinic.cases import fair, sure
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import lookup, sites, spelling
from plexusdraw.names.accepted import accepted
from plexusdraw.scene import Label, Pill, Row, Scene

LOST, SPARED, UNSURE = "x", ".", "-"


def cases(plexus: Plexus) -> dict[str, str]:
    """Sites that make a case → for each muscle in model order whether it is surely paralysed, surely spared, or not."""
    found = {}
    for site in sites.all_sites(plexus):
        injury = Injury(plexus, [site])
        if not site.id.startswith(f"{site.segment}-after-") and fair(injury):
            outcomes = injury.muscles.values()
            found[site.id] = "".join((SPARED if o.loss is Loss.NONE else LOST) if sure(o) else UNSURE for o in outcomes)
    return found


def right(plexus: Plexus, scenes: Sequence[Scene]) -> dict[str, list[str]]:
    """For each structure that pictures name what is right as its name, in one spelling."""
    parts = (p for scene in scenes for p in scene.parts if isinstance(p, Label | Pill | Row))
    sheet = [plexus.entity(id) for id in dict.fromkeys(part.entity for part in parts)]
    return {e.id: _spelt([names.display(e), *accepted(plexus, e, sheet)]) for e in sheet}


def spellings(plexus: Plexus) -> dict[str, Any]:
    """Every name of every entity, evened out; and how the page brings such a text to one spelling."""
    entities = plexus.entities()
    return {
        "exact": {e.id: _unique(spelling.exact(text) for text in lookup.forms(plexus, e)) for e in entities},
        "mapped": spelling.MAPPED,
        "silent": sorted(spelling.SILENT),
        "stems": [pattern.pattern for pattern in spelling.STEMS],
    }


def _spelt(texts: Iterable[str]) -> list[str]:
    return _unique(" ".join(spelling.canonical(spelling.tokens(text))) for text in texts)


def _unique(texts: Iterable[str]) -> list[str]:
    return [text for text in dict.fromkeys(texts) if text]
