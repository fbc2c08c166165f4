"""Names: any spelling of a structure or a place → its id, and the name to show for it."""

from plexusdraw.names.lookup import (
    EVERYTHING,
    LOOSEST,
    STRICT,
    STRUCTURES,
    Style,
    ambiguous,
    beneath,
    called,
    display,
    find,
    matches,
    of_plexus,
    of_variants,
    suggestions,
    unknown,
    variant,
)

__all__ = [
    "EVERYTHING",
    "LOOSEST",
    "STRICT",
    "STRUCTURES",
    "Style",
    "ambiguous",
    "beneath",
    "called",
    "display",
    "find",
    "matches",
    "of_plexus",
    "of_variants",
    "suggestions",
    "unknown",
    "variant",
]
