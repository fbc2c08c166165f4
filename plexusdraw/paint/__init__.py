"""Painters: Scene × View × Theme → bytes. ``marks`` decides every look; painters write marks down.

``FORMATS`` is the one list of formats. What a command writes, the endings that it takes, the options of a format and
what help texts say of it come from there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any, Literal

from plexusdraw.look.theme import Theme
from plexusdraw.scene import Scene
from plexusdraw.scene.view import View

Pages = Sequence[tuple[Scene, View]]
Painter = Callable[..., bytes]
Option = Any
"""What a keyword of a painter takes."""
Use = Literal["picture", "slides", "picture of a slide", "worksheet", "picture of a form", "case sheet"]
"""What is written: what ``draw`` makes; a file of slides, one slide in a folder; forms with keys, what a form shows; a
case on one page."""


@dataclass(frozen=True, slots=True)
class Format:
    """A file format. ``options``: keyword of its painter → what it is where nobody says otherwise."""

    name: str
    media_type: str
    painter: Painter
    uses: frozenset[Use]
    many_pages: bool = False
    options: Mapping[str, Option] = field(default_factory=dict)
    note: str = ""
    """What a help text says of it in brackets."""

    @property
    def ending(self) -> str:
        """Ending of its files."""
        return f".{self.name}"

    def taken(self, **options: Option) -> dict[str, Option]:
        """Those of *options* that it takes."""
        return {name: value for name, value in options.items() if name in self.options}


def _late(module: str, function: str = "paint") -> Painter:
    """A painter that is imported when it is called."""

    def painter(pages: Pages, theme: Theme, **options: Option) -> bytes:
        found: Painter = getattr(import_module(f"plexusdraw.paint.{module}"), function)
        return found(pages, theme, **options)

    return painter


_SVG_USES: frozenset[Use] = frozenset(("picture", "picture of a slide", "picture of a form", "case sheet"))
_LISTED = (
    Format(
        "pptx",
        "application/vnd.openxmlformats-officedocument.presentationml.presentation",
        _late("pptx"),
        frozenset(("slides",)),
        many_pages=True,
        note="native shapes, speaker notes",
    ),
    Format(
        "svg",
        "image/svg+xml",
        _late("svg"),
        _SVG_USES,
        options={"embed_fonts": True, "debug": False, "together": False},
    ),
    Format(
        "pdf",
        "application/pdf",
        _late("typeset", "pdf"),
        frozenset(("picture", "slides", "worksheet", "case sheet")),
        many_pages=True,
        options={"together": False},
    ),
    Format(
        "png",
        "image/png",
        _late("typeset", "png"),
        frozenset(("picture", "picture of a slide", "case sheet")),
        options={"ppi": 200.0, "together": False},
    ),
    Format("dot", "text/vnd.graphviz", _late("dot"), frozenset(("picture",)), note="Graphviz, positions pinned"),
)
FORMATS: dict[str, Format] = {format.name: format for format in _LISTED}
"""Name → format, in the order in which they are offered; names and media types as IANA lists them."""


def names(use: Use) -> tuple[str, ...]:
    """The formats for a use."""
    return tuple(format.name for format in FORMATS.values() if use in format.uses)


def endings(use: Use, notes: bool = False) -> str:
    """The endings for a use, in words: ".svg, .pdf, or .png"; with *notes*, what is said of each."""
    found = [FORMATS[name] for name in names(use)]
    *first, last = [f"{f.ending} ({f.note})" if notes and f.note else f.ending for f in found]
    if not first:
        return last
    return f"{', '.join(first)}{',' if len(first) > 1 else ''} or {last}"


def paint(format: str, pages: Pages, theme: Theme, **options: Option) -> bytes:
    """The *pages* in *format*; the options are those of the format. ``together``: one under the other, on one page.

    Raises:
        KeyError: no such format.
        TypeError: an option that the format does not take.
        ValueError: no page, or more than one in a format that holds one.
    """
    wanted = FORMATS[format]
    if not pages or (len(pages) > 1 and not wanted.many_pages and not options.get("together")):
        raise ValueError(f"{format} holds one page, not {len(pages)}" if pages else "no page to paint")
    return wanted.painter(pages, theme, **{**wanted.options, **options})
