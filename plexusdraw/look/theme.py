"""How things look: one YAML file a theme, read into frozen values. A theme carries no anatomy.

A file gives colours as "#rrggbb" (or ``none``), lengths in mm for an A4 page (they grow with larger pages),
dashes in strand widths. What it leaves out is as in the theme that it is ``based-on`` (``print`` where it
names none); mappings are merged key by key, and kinds not listed look like ``default``. Contrast is that of
WCAG 2.2.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args, get_origin, get_type_hints

from plexusdraw.errors import ThemeError
from plexusdraw.look.paints import Areas, Fills
from plexusdraw.look.paints import Colour as Colour  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Dashes as Dashes  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Paint as Paint  # noqa: PLC0414  # part of what a theme is
from plexusdraw.look.paints import Share as Share  # noqa: PLC0414  # part of what a theme is
from plexusdraw.scene.view import State
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import is_yaml

if TYPE_CHECKING:
    from pydantic import BaseModel

NOTHING, ALL = Share(0), Share(1)
ROOT = Colour("root")
"""In place of the text colour of a kind: the colour of the root's letters, where the entity is a root."""
DEFAULT_KIND = "default"
NEUTRAL = "neutral"
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
class KindLook:
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
    planes: Mapping[str, Pen]
    """Pens where colour stands for the plane: anterior, posterior, both, neutral (which also stands for shared)."""
    kinds: Mapping[str, KindLook]
    states: Mapping[str, Look]
    areas: Areas

    def pen(self, index: int) -> Pen:
        """Pen of the root with this index, cranial first; beyond the last pen they come again, marked."""
        round_, i = divmod(index, len(self.roots))
        pen = self.roots[i]
        return replace(pen, core=self.page, core_dash=self.again) if round_ else pen

    def kind(self, kind: str) -> KindLook:
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
    if is_yaml(path) or _is_file(path):
        return _read(path)
    hint = f"{reader.close(text, names())} There are: {', '.join(names())}; or give the path of a .yaml file."
    raise ThemeError(f'unknown theme "{text}". {hint.lstrip()}')


@lru_cache(maxsize=1024)
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


def _form() -> type[BaseModel]:
    from plexusdraw.look.theme_schema import ThemeFile  # noqa: PLC0415

    return ThemeFile


KIND = reader.Kind("theme", 'A theme begins with "theme: 1".', _form, key="theme", error=ThemeError)
MOST_BASES = 20
"""Themes that are based on each other."""
_Value = Any
"""What a YAML file may hold."""


@cache
def _built_in(name: str) -> Theme:
    return _read(_folder() / f"{name}.yaml", trusted=True)


def _read(path: Path, *, trusted: bool = False) -> Theme:
    data = _values(path, (), trusted=trusted)
    theme = _made(Theme, {key: value for key, value in data.items() if key not in ("theme", "based-on")})
    assert isinstance(theme, Theme)
    return theme


def _values(path: Path, above: tuple[Path, ...], *, trusted: bool) -> dict[str, _Value]:
    """What the file says, over the values of the themes that it is based on; each is told its own faults."""
    file = reader.read(KIND, path, trusted=trusted)
    home = _folder() / "print.yaml"
    place = ("based-on",)
    name = file.value.get("based-on")
    if not file.sound(place) or (name is None and path.resolve() == home.resolve()):
        file.check()
        return file.value
    base = home if name is None else _beside(path, name)
    if base is None or not _is_file(base):
        file.fault(place, f'no theme "{name}"', reader.near(str(name), names()))
    elif base.resolve() in (path.resolve(), *above):
        file.fault(place, f'based on itself, by way of "{name}"')
    elif len(above) > MOST_BASES:
        file.fault(place, f"more than {MOST_BASES} themes based on each other")
    file.check()
    assert base is not None
    under = _values(base, (*above, path.resolve()), trusted=name is None or name in names())
    merged: dict[str, _Value] = _merged(under, file.value)
    return merged


def _beside(path: Path, name: str) -> Path | None:
    """A built-in theme, or a file in the same folder: a theme leads to no other place."""
    if name in names():
        return _folder() / f"{name}.yaml"
    return path.parent / name if is_yaml(name) and Path(name).name == name else None


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


def _made(kind: _Value, data: _Value, base: _Value = None) -> _Value:
    """Values of the form of :mod:`plexusdraw.look.theme_schema` → a dataclass above, or a value of one."""
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        given = {field.name: data.get(field.name.replace("_", "-")) for field in fields(kind)}
        values = {name: _made(hints[name], value) for name, value in given.items() if value is not None}
        return kind(**values) if base is None else replace(base, **values)  # type: ignore[operator]
    origin: _Value = get_origin(kind)
    if origin is Mapping:
        return _table(get_args(kind)[1], data)
    if origin is tuple:
        return tuple(_made(get_args(kind)[0], value) for value in data)
    if kind in (float, Share):
        return float(data)
    if kind == Paint and data == "none":
        return None
    return data if kind is str else Colour(data.lower())


def _table(kind: _Value, data: dict[str, _Value]) -> dict[str, _Value]:
    """Records by name; each takes what it lacks from the one called "default", where there is one."""
    if DEFAULT_KIND not in data:
        return {name: _made(kind, value) for name, value in data.items()}
    base = _made(kind, data[DEFAULT_KIND])
    return {DEFAULT_KIND: base} | {name: _made(kind, data[name], base) for name in data if name != DEFAULT_KIND}
