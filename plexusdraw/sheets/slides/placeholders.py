"""Placeholders in the texts of an outline: {name} stands for a name, {{name}} for itself.

{name} and {Name}: what a step is repeated for; {plexus} and {Plexus}: the plexus.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_FOUND = re.compile(r"(\{*)\{([nN]ame|[pP]lexus)\}(\}*)")


def filled(text: str, values: Mapping[str, str]) -> str:
    """*text* with the *values* of its placeholders, once: what looks like one within a value is text."""

    def value(found: re.Match[str]) -> str:
        before, key, after = found.groups()
        if before and after:
            return f"{before[1:]}{{{key}}}{after[1:]}"
        return f"{before}{values.get(key, f'{{{key}}}')}{after}"

    return _FOUND.sub(value, text)


def kept(text: str) -> str:
    """A text that `filled` turns into *text*, whatever braces it has."""
    return _FOUND.sub(lambda found: f"{{{found[0]}}}", text)


def of_item(text: str) -> bool:
    """Whether a text has a placeholder for what a step is repeated for."""
    return any(key in ("name", "Name") and not (before and after) for before, key, after in _FOUND.findall(text))
