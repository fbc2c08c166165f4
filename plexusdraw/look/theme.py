"""How things look: one YAML file a theme, read into frozen values. A theme carries no anatomy.

A file gives colours as "#rrggbb" (or ``none``), lengths in mm for an A4 page (they grow with larger pages),
dashes in strand widths. What it leaves out is as in the theme that it is ``based-on`` (``print`` where it
names none); mappings are merged key by key, and kinds not listed look like ``default``. Contrast is that of
WCAG 2.2.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args, get_origin, get_type_hints

from plexusdraw.errors import ModelError, ThemeError
from plexusdraw.look.paints import Areas, Fills, Tints
from plexusdraw.look.paints import Colour as Colour  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Dashes as Dashes  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Paint as Paint  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Share as Share  # noqa: PLC0414  # part of what a theme is
from plexusdraw.scene.view import State

if TYPE_CHECKING:
    from plexusdraw.yamlfile.document import Document, Faults

NOTHING, ALL = Share(0), Share(1)
ROOT = Colour("root")
"""In place of the text colour of a kind: the colour of the root's letters, where the entity is a root."""
DEFAULT_KIND = "default"
STATES: tuple[State, ...] = get_args(State)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How one root's strands look. ``core`` is a second tone along the middle, dashed by ``core_dash``."""

    strand: Colour
    text: Colour
    """The same hue for letters: 4.5:1 on the page."""
    core: Paint = None
    core_dash: Dashes = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """Column backdrops: fills used in turn, a rule between neighbours."""

    fills: Fills
    rule: Paint
    width: float
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """How a name of one kind looks: its plate (where it has one), its text, its supply lines."""

    fill: Paint
    stroke: Paint
    width: float
    radius: float
    """At most half the height is used: a large number makes round ends."""
    text: Colour
    soft: Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a state changes; ``None`` leaves it as it is."""

    strand: Paint = None
    mix: Share = NOTHING
    """Share of page colour mixed into strands and dots."""
    width: Share = ALL
    """Share of the strand's width."""
    dash: Dashes = ()
    hollow: Share = NOTHING
    """Share of the strand's width left blank along its middle."""
    text: Paint = None
    soft: Paint = None
    fill: Paint = None
    stroke: Paint = None
    behind: Paint = None
    """A plate behind names and rows."""
    word: Paint = None
    """The state in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """The box in place of a name, and the badge that numbers it (also beside the names of a key)."""

    fill: Colour
    stroke: Colour
    width: float
    radius: float
    badge: Colour
    number: Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Two bars across a bundle: colour, width, distance from middle to middle, reach beyond the bundle."""

    stroke: Colour
    width: float
    apart: float
    reach: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Thin lines: leaders, cells without a root, rings."""

    leader: Colour
    leader_width: float
    cell: Colour
    ring_width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """One look, whole."""

    name: str
    note: str
    page: Colour
    ink: Colour
    soft: Colour
    """Headings, notes, legend."""
    minor: Share
    """Share of the width left blank along the middle of a strand whose share is minor."""
    again: Dashes
    """Dash along the middle of the strands of roots beyond the last pen, in the page's colour."""
    panels: Panels
    rules: Rules
    blank: Blank
    cut: Cut
    roots: tuple[Pen, ...]
    kinds: Mapping[str, Kind]
    states: Mapping[str, Look]
    areas: Areas

    def pen(self, index: int) -> Pen:
        """Pen of the root with this index, cranial first; beyond the last pen they come again, marked."""
        round_, i = divmod(index, len(self.roots))
        pen = self.roots[i]
        return replace(pen, core=self.page, core_dash=self.again) if round_ else pen

    def kind(self, kind: str) -> Kind:
        """Look of a kind; that of ``default`` where the theme does not list it."""
        return self.kinds.get(kind, self.kinds[DEFAULT_KIND])

    def look(self, state: State) -> Look:
        """What a state changes."""
        return self.states[state]


def names() -> tuple[str, ...]:
    """Names of the themes that come with the package."""
    return tuple(sorted(path.stem for path in _folder().glob("*.yaml")))


def load(name_or_path: str | Path = "print") -> Theme:
    """The theme with this name, or in this file.

    Raises:
        ThemeError: no such theme, or the file is wrong; the message holds every fault with file and line.
    """
    text = str(name_or_path)
    if text in names():
        return _built_in(text)
    path = Path(text)
    if path.suffix in (".yaml", ".yml") or _is_file(path):
        return _read(path)
    hint = _nearest(text, names())
    known = ", ".join(names())
    raise ThemeError(f'unknown theme "{text}".{hint} There are: {known}; or give the path of a .yaml file.')


def mix(colour: Colour, other: Colour, share: float) -> Colour:
    """*colour* with *share* (0 to 1) of *other* mixed in, in sRGB."""
    pairs = zip(_channels(colour), _channels(other), strict=True)
    return Colour("#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs))


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: Colour) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    r, g, b = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in _channels(colour))
    )
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _channels(colour: Colour) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _folder() -> Path:
    """Folder of the built-in themes: in the package once installed, beside it in a source checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent / "themes"


@cache
def _built_in(name: str) -> Theme:
    return _read(_folder() / f"{name}.yaml")


def _read(path: Path) -> Theme:
    try:
        source, data = _source(path, ())
        reader = _Reader(*source)
        theme = reader.theme(data)
        reader.faults.check()
    except ModelError as error:
        raise ThemeError(str(error)) from error
    assert isinstance(theme, Theme)
    return theme


_Value = Any
"""What a YAML file may hold."""
MOST_BASES = 20
"""Themes that are based on each other."""
MOST_PAIRS = 8
"""Of dashes and gaps."""
MOST_LISTED = 200
_Source = tuple["Document", "Faults"]
_Where = tuple[str | int, ...]


def _source(path: Path, above: tuple[Path, ...]) -> tuple[_Source, dict[str, Any]]:
    """What the file says (for lines and faults), and its values merged over those it is based on."""
    from plexusdraw.yamlfile import document  # noqa: PLC0415

    doc = document.parse(document.read_text(path), str(path))
    faults = document.Faults(str(path))
    data = doc.value
    if not isinstance(data, dict) or data.get("theme") != 1:
        faults.add(1, "not a theme of a form that is known here", 'A theme begins with "theme: 1".')
    faults.check()
    home = _folder() / "print.yaml"
    name = data.get("based-on")
    if name is None and path.resolve() == home.resolve():
        return (doc, faults), data
    base = home if name is None else _beside(path, str(name))
    if base is None or not _is_file(base):
        faults.add(doc.line(("based-on",)), f'no theme "{name}"', _nearest(str(name), names()).strip())
    elif base.resolve() in (path.resolve(), *above):
        faults.add(doc.line(("based-on",)), f'based on itself, by way of "{name}"')
    elif len(above) > MOST_BASES:
        faults.add(doc.line(("based-on",)), f"more than {MOST_BASES} themes based on each other")
    faults.check()
    assert base is not None
    _, under = _source(base, (*above, path.resolve()))
    return (doc, faults), _merged(under, data)


def _beside(path: Path, name: str) -> Path | None:
    """A built-in theme, or a file in the same folder: a theme leads to no other place."""
    if name in names():
        return _folder() / f"{name}.yaml"
    return path.parent / name if name.endswith((".yaml", ".yml")) and Path(name).name == name else None


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name that no file can have
        return False


def _merged(under: _Value, over: _Value) -> _Value:
    """*over*, and what it leaves out of mappings from *under*."""
    if not (isinstance(under, dict) and isinstance(over, dict)):
        return over
    kept = {key: value for key, value in under.items() if key not in over}
    return kept | {key: _merged(under.get(key), value) for key, value in over.items()}


class _Reader:
    """Plain values → the dataclasses above, noting every fault. A value that is wrong becomes None."""

    def __init__(self, doc: Document, faults: Faults) -> None:
        self.doc = doc
        self.faults = faults

    def theme(self, data: dict[str, Any]) -> _Value:
        """The theme; wrong or None where there are faults."""
        own = {key: value for key, value in data.items() if key not in ("theme", "based-on")}
        theme = self.record(Theme, own, ())
        states = own.get("states")
        if isinstance(states, dict):
            for state in [s for s in states if s not in STATES and not self.faults.full]:
                self.unknown(("states", state), STATES)
            for state in [s for s in STATES if s not in states]:
                self.fault(("states", state), "is missing")
        if own.get("roots") == []:
            self.fault(("roots",), "must hold at least one pen")
        return theme

    def fault(self, where: _Where, message: str, hint: str = "") -> None:
        """Note what is wrong with the value at *where*."""
        self.faults.add(self.doc.line(where), f"{'.'.join(map(str, where))}: {message}", hint)

    def unknown(self, where: _Where, known: Iterable[str]) -> None:
        """Note a key that means nothing."""
        hint = _nearest(str(where[-1]), known).strip() or f"Known are: {', '.join(known)}."
        self.fault(where, "unknown key", hint)

    def record(self, cls: type[Any], data: _Value, where: _Where, base: _Value = None) -> _Value:
        """A dataclass from a mapping, the rest from *base*; keys are the field names with hyphens."""
        if not isinstance(data, dict):
            return self.fault(where, "must be a mapping")
        hints = get_type_hints(cls)
        known = {field.name.replace("_", "-"): field for field in fields(cls)}
        for key in data:
            if key not in known and not self.faults.full:
                self.unknown((*where, key), known)
        values = {
            f.name: self.value(hints[f.name], data[key], (*where, key)) for key, f in known.items() if key in data
        }
        if base is not None:
            return replace(base, **values)
        missing = [key for key, field in known.items() if field.default is MISSING and key not in data]
        for key in missing:
            self.fault((*where, key), "is missing")
        return None if missing else cls(**values)

    def table(self, kind: type[Any], data: _Value, where: _Where) -> _Value:
        """Records by name; each takes what it lacks from the one called "default", where there is one."""
        if not isinstance(data, dict):
            return self.fault(where, "must be a mapping")
        base = None
        if DEFAULT_KIND in data:
            base = self.record(kind, data[DEFAULT_KIND], (*where, DEFAULT_KIND))
        elif where == ("kinds",):
            self.fault(where, f'lacks "{DEFAULT_KIND}"')
        rest = {key: value for key, value in data.items() if key != DEFAULT_KIND}
        found = {key: self.record(kind, value, (*where, key), base) for key, value in rest.items()}
        return found if base is None else {DEFAULT_KIND: base, **found}

    def value(self, kind: _Value, data: _Value, where: _Where) -> _Value:
        """*data* as *kind* wants it."""
        if is_dataclass(kind):
            return self.record(kind, data, where)  # type: ignore[arg-type]
        origin: _Value = get_origin(kind)
        if origin is Mapping:
            return self.table(get_args(kind)[1], data, where)
        if origin is tuple:
            if not isinstance(data, list) or len(data) > MOST_LISTED:
                return self.fault(where, "must be a list" if not isinstance(data, list) else "is too long")
            if kind == Dashes and (len(data) % 2 or len(data) > 2 * MOST_PAIRS):
                return self.fault(where, f"must be up to {MOST_PAIRS} pairs of a dash and a gap", "Such as [2, 1].")
            if kind == Tints and not data:
                return self.fault(where, "must hold at least one fill")
            return tuple(self.value(get_args(kind)[0], value, (*where, i)) for i, value in enumerate(data))
        return self.scalar(kind, data, where)

    def scalar(self, kind: _Value, data: _Value, where: _Where) -> _Value:
        """A colour, a number or a text."""
        if kind in (float, Share):
            most = 1.0 if kind is Share else 100.0
            fine = isinstance(data, int | float) and not isinstance(data, bool) and 0 <= data <= most
            return float(data) if fine else self.fault(where, f"must be a number from 0 to {most:g}")
        if kind is str:
            return data if isinstance(data, str) else self.fault(where, "must be text")
        if data == "none" and kind == Paint:
            return None
        if data == ROOT and where[0] == "kinds":
            return ROOT
        if isinstance(data, str) and re.fullmatch("#[0-9a-fA-F]{6}", data):
            return Colour(data.lower())
        return self.fault(where, f"{data!r} is no colour", 'Write it like "#0072b2", in quotes.')


def _nearest(word: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f' Did you mean "{close[0]}"?' if close else ""
