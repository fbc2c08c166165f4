"""Words beside names, in the language of the names: over tables and figures, and which limb a picture shows."""

from __future__ import annotations

from plexusdraw.model.plexus import Plexus
from plexusdraw.names.lookup import Style

LATIN = {
    "MUSCLES": "MUSCULI",
    "SKIN": "CUTIS",
    "MUSCLES AND SKIN": "MUSCULI ET CUTIS",
    "NERVE AND BRANCHES": "NERVUS ET RAMI",
    "PLACES": "LOCI",
    "muscles": "musculi",
    "skin": "cutis",
    "dermatomes": "dermatomata",
    "superficial": "superficialis",
    "deep": "profundus",
    "seen from the front": "aspectus anterior",
}
"""As the Latin nomenclature and atlases have them (common practice, no source)."""


def word(english: str, style: Style) -> str:
    """A word of anatomy in the language of the names; one without a Latin word stays."""
    return LATIN.get(english, english) if style == "latin" else english


def of_limb(plexus: Plexus, style: Style = "english", side: str = "") -> str:
    """The limb, of a side if one is given: "left upper limb"; Latin where asked for and known."""
    latin = plexus.limb_latin if style == "latin" else None
    if latin is None:
        return f"{side} {plexus.limb}".strip()
    return {"left": latin.left, "right": latin.right}.get(side, latin.name)


def from_front(plexus: Plexus, style: Style = "english", side: str = "") -> str:
    """The line at the head of a picture of a plexus: "left upper limb, seen from the front"."""
    told: Style = "latin" if style == "latin" and plexus.limb_latin else "english"
    return f"{of_limb(plexus, told, side)}, {word('seen from the front', told)}"
