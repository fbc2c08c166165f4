"""Ids from names."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_PLACE = re.compile(r"(above|below|before|after|beyond|between|proximal|distal|in|at|near)\b")
_ROOT = re.compile(r"[A-Z][A-Za-z]{0,2}\d{1,2}")


def plain(text: str) -> str:
    """Text without accents, lower case."""
    if text.isascii():
        return text.casefold()
    apart = unicodedata.normalize("NFKD", text)
    return "".join(c for c in apart if not unicodedata.combining(c)).casefold()


@lru_cache(maxsize=8192)
def kebab(name: str) -> str:
    """Kebab case without accents: "Upper trunk" → "upper-trunk". A root such as "C5" keeps its case."""
    if _ROOT.fullmatch(name):
        return name
    return re.sub(r"[\W_]+", "-", plain(name).replace("'", "")).strip("-")


def place_name(segment: str, place: str, synonyms: tuple[str, ...] = ()) -> str:
    """Name of a place with its segment's: "ulnar nerve at elbow".

    Without "at" where the place's name begins with such a word ("radial nerve above elbow"), or where a
    synonym has it so ("C5 preganglionic").
    """
    bare = f"{segment} {place}"
    return bare if _PLACE.match(place) or bare in synonyms else f"{segment} at {place}"
