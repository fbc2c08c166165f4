"""Spellings of anatomical names brought to one form, so that what the trade calls the same is the same.

``exact`` only evens out case, accents and punctuation. ``canonical`` also drops words that carry no
distinction ("nerve", "of", "the"), writes abbreviations out, and takes superior for upper.
"""

from __future__ import annotations

import re
from functools import lru_cache

from plexusdraw.model.ids import plain

MAPPED = {
    "superior": "upper",
    "inferior": "lower",
    "r": "branch",
    "br": "branch",
    "ramus": "branch",
    "sup": "upper",
    "inf": "lower",
    "ant": "anterior",
    "post": "posterior",
    "lat": "lateral",
    "med": "medial",
    "cut": "cutaneous",
    "supf": "superficial",
    "ext": "extensor",
    "flex": "flexor",
    "abd": "abductor",
    "add": "adductor",
    "poll": "pollicis",
    "dig": "digitorum",
    "prof": "profundus",
    "div": "division",
    "tr": "trunk",
    "volar": "palmar",
    "big": "great",
    "ulnaris": "ulnar",
    "radialis": "radial",
    "peroneal": "fibular",
    "peroneus": "fibularis",
    "peronei": "fibulares",
}
_NERVE = {"n", "nn", "nerve", "nerves", "nervus", "nervi"}
_MUSCLE = {"m", "mm", "muscle", "muscles", "musculus", "musculi"}
SILENT = {"of", "the", "to", "in", "at", "and", "a", "an", "on"} | _NERVE | _MUSCLE

STEMS = (
    re.compile("^(interosse)"),
    re.compile("^(.*(?:ch|sh|x))es$"),
    re.compile("^(?!.*(?:ss|us|is|eps)$)(.{3,})s$"),
)
"""What is kept of a word, by the first that fits; the page's script reads them as well."""


@lru_cache(maxsize=8192)
def tokens(text: str) -> tuple[str, ...]:
    """Words of a text without case, accents, punctuation; "Erb's" is one word, "1-2" two."""
    return tuple(re.findall(r"[^\W_]+", re.sub(r"['’`´]", "", plain(text))))


@lru_cache(maxsize=8192)
def exact(text: str) -> str:
    """Case, accents, hyphens and punctuation evened out."""
    return " ".join(tokens(text))


@lru_cache(maxsize=8192)
def canonical(words: tuple[str, ...]) -> tuple[str, ...]:
    """Of the tokens of a name those that distinguish, in their order; all of them if none does."""
    found = tuple(_stem(MAPPED.get(word, word)) for word in words if word not in SILENT)
    return found or words


def initials(text: str) -> str:
    """First letters of a name up to a comma: "extensor carpi radialis longus" → "ecrl"."""
    silent = SILENT - _NERVE
    return "".join(word[0] for word in tokens(text.partition(",")[0]) if word not in silent)


def wanted(words: tuple[str, ...]) -> str:
    """ "nerve" or "muscle", whichever the tokens name first, else ""."""
    kinds = ("nerve" if word in _NERVE else "muscle" for word in words if word in _NERVE or word in _MUSCLE)
    return next(kinds, "")


def indirect(words: tuple[str, ...]) -> bool:
    """Whether a name speaks of a thing by way of another: "nerve to subclavius", "thenar muscles"."""
    return not _MUSCLE.isdisjoint(words) or (not _NERVE.isdisjoint(words) and "to" in words)


@lru_cache(maxsize=8192)
def _stem(word: str) -> str:
    """Plurals and the two spellings of interosseous fall together."""
    return next((found[1] for pattern in STEMS if (found := pattern.match(word))), word)


def capital(text: str) -> str:
    """A text with a capital at its start; the rest stays as it is."""
    return text[:1].upper() + text[1:]
