"""The outline of a lecture: a YAML file of steps, read into frozen values, and written to be edited.

``each`` repeats a step: "columns", "side branches" (of each column that has some), "nerves" (each terminal nerve, then
the side branches of each column, where they supply something), "column 1" (each structure in it), "injuries" (the
sites that the outline lists for the plexus). In such a step {name} and {Name} stand for the item; everywhere {plexus}
and {Plexus} stand for the plexus.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args

from plexusdraw.errors import ModelError, PlexusdrawError, SheetError, UnknownNameError
from plexusdraw.model.plexus import Entity, Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site
from plexusdraw.scene import Scene
from plexusdraw.sheets.slides.things import Things, lightable, nerves, side_branches, things
from plexusdraw.views.request import numbered

if TYPE_CHECKING:
    from plexusdraw.yamlfile.document import Document, Faults

On = Literal["drawing", "table", "both"]
DEFAULT = Path(__file__).with_name("outline.yaml")
QUESTION = "What are the names?"
"""Asked where a step does not say what."""
MOST_STEPS = 2_000
MOST_NAMES = 200
"""In one list of a step."""
LONGEST = 500
"""Most characters of a text, and of what is to say, so that placeholders cannot grow without end."""
LONGEST_SAID = 20_000

_TEXT = {"section", "title", "say", "each", "on"}
_LISTS = {"show", "highlight", "hide", "injure"}
_SWITCHES = {"partial"}
_STEP = ("section", "title", "each", "show", "highlight", "hide", "injure", "partial", "ask", "on", "say")
_TOP = ("outline", "title", "injuries", "steps")
_Raw = dict[str, Any]
_NOTHING = Scene(1.0, 1.0, (), "", "", "left", ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. ``ask``: the question that is put first; empty for none. ``say`` None: worked out from the model."""

    section: str
    title: str
    show: Things = field(default_factory=Things)
    highlight: tuple[Entity, ...] = ()
    hide: tuple[str, ...] = ()
    injure: tuple[Site, ...] = ()
    partial: bool = False
    ask: str = ""
    on: On = "drawing"
    say: str | None = None
    line: int = 0
    """Line in the file, 1-based."""
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Names as the outline has them, by key."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A lecture."""

    path: str
    title: str
    steps: tuple[Step, ...]


def read(plexus: Plexus, path: str | Path | None = None, drawn: Collection[str] | None = None) -> Outline:
    """The outline in a file, or the one that comes with the package, with repeated steps written out.

    *drawn*: ids of what the drawing shows, by default all segments.

    Raises:
        SheetError: the file is wrong, or names what the plexus does not have: every fault with file and line.
    """
    from plexusdraw.yamlfile import document  # noqa: PLC0415

    place = DEFAULT if path is None else Path(path)
    try:
        doc = document.parse(document.read_text(place), str(place))
        faults = document.Faults(str(place))
        found = _Reader(plexus, doc, faults, set(plexus.segments if drawn is None else drawn)).outline()
        faults.check()
    except ModelError as error:
        raise SheetError(str(error)) from error
    return found


class _Reader:
    """Plain values → steps, noting every fault."""

    def __init__(self, plexus: Plexus, doc: Document, faults: Faults, drawn: set[str]) -> None:
        self.plexus = plexus
        self.doc = doc
        self.faults = faults
        self.drawn = drawn
        self.section = ""

    def outline(self) -> Outline:
        """The outline; parts of it are wrong where faults are noted."""
        top = self.doc.value
        if not isinstance(top, dict) or top.get("outline") != 1:
            self.faults.add(1, "not an outline of a form that is known here", 'It begins with "outline: 1".')
            return Outline(self.faults.path, "", ())
        self._known(top, _TOP, ())
        steps = top.get("steps")
        if not isinstance(steps, list) or not steps:
            self.faults.add(self.doc.line(("steps",)), "steps: must be a list of steps")
            steps = []
        made: list[Step] = []
        for step in (step for i, raw in enumerate(steps) for step in self._steps(raw, ("steps", i))):
            made.append(step)
            if len(made) > MOST_STEPS:
                self.faults.add(self.doc.line(("steps",)), f"more than {MOST_STEPS} steps", "Leave some out.")
                break
        title = top.get("title")
        if title is not None and not _short(title):
            wrong = "is too long" if isinstance(title, str) else "must be text"
            self.faults.add(self.doc.line(("title",)), f"title: {wrong}")
            title = None
        return Outline(self.faults.path, self._filled(str(title or "{Plexus}"), ""), tuple(made))

    def _known(self, data: _Raw, known: tuple[str, ...], where: tuple[str | int, ...]) -> None:
        for key in data:
            if key not in known:
                self.faults.add(self.doc.line((*where, key)), f'unknown key "{key}"', f"Known are: {', '.join(known)}.")

    def _steps(self, raw: Any, where: tuple[str | int, ...]) -> Iterator[Step]:  # noqa: ANN401
        """The steps for which one entry of the file stands."""
        if self.faults.full:
            return
        if not isinstance(raw, dict):
            self.faults.add(self.doc.line(where), "a step must be a mapping", 'Such as "title: The roots".')
            return
        if not self._sound(raw, where):
            return
        self.section = self._filled(str(raw.get("section", self.section)), "")
        if "title" not in raw:
            self.faults.add(self.doc.line(where), "title: is missing")
        each = raw.get("each")
        for name in [""] if each is None else self._items(each, where):
            yield self._step(raw, name, where)

    def _sound(self, raw: _Raw, where: tuple[str | int, ...]) -> bool:
        before = len(self.faults.found)
        self._known(raw, _STEP, where)
        for key, value in raw.items():
            listed = isinstance(value, str) or (isinstance(value, list) and all(isinstance(v, str) for v in value))
            wrong = (
                (key in _TEXT and not isinstance(value, str) and "must be text")
                or (key in _LISTS and not listed and "must be a list of names")
                or _too_long(key, value)
                or (key in _SWITCHES and not isinstance(value, bool) and "must be true or false")
                or (key == "ask" and not isinstance(value, str | bool) and "must be true, or a question")
                or (key == "on" and value not in get_args(On) and f"must be one of {', '.join(get_args(On))}")
            )
            if wrong:
                self.faults.add(self.doc.line((*where, key)), f"{key}: {wrong}")
        return len(self.faults.found) == before

    def _items(self, each: str, where: tuple[str | int, ...]) -> list[str]:
        """Names of what a step is repeated for."""
        plexus, word = self.plexus, each.strip().lower()
        if word == "columns":
            return [stage.name for stage in plexus.stages]
        if word == "side branches":
            return [stage.name for stage in plexus.stages if side_branches(plexus, stage) & self.drawn]
        if word == "nerves":
            return nerves(plexus, self.drawn)
        if word == "injuries":
            return self._injuries()
        number = word.removeprefix("column ").strip()
        if word.startswith("column ") and number.isdecimal() and 1 <= int(number) <= len(plexus.stages):
            return [segment.name for segment in plexus.staged(plexus.stages[int(number) - 1].id)]
        choices = f"Choose from columns, side branches, nerves, injuries, column 1 to column {len(plexus.stages)}."
        self.faults.add(self.doc.line((*where, "each")), f'each: "{each}" is not known', choices)
        return []

    def _injuries(self) -> list[str]:
        listed = self.doc.value.get("injuries") or {}
        own = listed.get(self.plexus.id) if isinstance(listed, dict) else None
        if own is None:
            return [segment.name for segment in self.plexus.staged(self.plexus.stages[1].id)]
        if not isinstance(own, list) or not all(map(_short, own)):
            self.faults.add(self.doc.line(("injuries", self.plexus.id)), "injuries: must be a list of sites")
            return []
        return own

    def _step(self, raw: _Raw, name: str, where: tuple[str | int, ...]) -> Step:
        texts = {key: tuple(self._filled(v, name) for v in _list(raw.get(key))) for key in sorted(_LISTS)}
        ask = raw.get("ask", False)
        question = QUESTION if ask is True else self._filled(ask or "", name)
        say = None if raw.get("say") is None else self._filled(raw["say"], name)
        if say is not None and not _short(say, "say"):
            self.faults.add(self.doc.line((*where, "say")), "say: is too long with its names filled in")
        return Step(
            section=self.section,
            title=self._filled(str(raw.get("title", "")), name),
            show=self._things(texts["show"], (*where, "show")),
            highlight=self._entities(texts["highlight"], (*where, "highlight")),
            hide=self._kinds(texts["hide"], (*where, "hide")),
            injure=self._sites(texts["injure"], (*where, "injure")),
            partial=bool(raw.get("partial", False)),
            ask=question,
            on=raw.get("on", "drawing"),
            say=say,
            line=self.doc.line(where),
            texts={key: value for key, value in texts.items() if value},
        )

    def _filled(self, text: str, name: str) -> str:
        """*text* with its placeholders filled in."""
        values = {"plexus": self.plexus.name, "Plexus": _capital(self.plexus.name)}
        values |= {"name": name, "Name": _capital(name)} if name else {}
        for key, value in values.items():
            text = text.replace(f"{{{key}}}", value)
        return text

    def _things(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> Things:
        found = Things()
        for i, text in enumerate(texts):
            with self._noted(where, i):
                found |= things(self.plexus, text, self.drawn)
        return found

    def _entities(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[Entity, ...]:
        found: list[Entity] = []
        for i, text in enumerate(texts):
            with self._noted(where, i):
                found += lightable(self.plexus, text, self.drawn)
        return tuple(found)

    def _sites(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[Site, ...]:
        found: list[Site] = []
        for i, text in enumerate(texts):
            with self._noted(where, i):
                found += sites.parse_all(self.plexus, text)
        return tuple(found)

    def _kinds(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[str, ...]:
        for i, text in enumerate(texts):
            with self._noted(where, i):
                numbered(self.plexus, _NOTHING, [text])
        return texts

    @contextmanager
    def _noted(self, where: tuple[str | int, ...], i: int) -> Iterator[None]:
        """Turns an unknown name into a fault."""
        try:
            yield
        except UnknownNameError as error:
            message, _, hint = str(error).partition(". ")
            self.faults.add(self.doc.line((*where, i)), message.rstrip("."), hint)


def _short(value: Any, key: str = "") -> bool:  # noqa: ANN401
    """Whether a value is text, and not longer than a text of this key may be."""
    return isinstance(value, str) and len(value) <= (LONGEST_SAID if key == "say" else LONGEST)


def _too_long(key: str, value: Any) -> str:  # noqa: ANN401
    """What is wrong where a text, a list or a text in it is too long; else empty."""
    if isinstance(value, list) and len(value) > MOST_NAMES:
        return f"must be a list of at most {MOST_NAMES} names"
    texts = value if isinstance(value, list) else [value]
    return "is too long" if any(isinstance(text, str) and not _short(text, key) for text in texts) else ""


def _list(value: Any) -> list[str]:  # noqa: ANN401
    return [value] if isinstance(value, str) else list(value or ())


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def fault(outline: Outline, step: Step, message: str, hint: str) -> PlexusdrawError:
    """The error for a step that cannot be shown, with file and line."""
    from plexusdraw.yamlfile.document import Faults  # noqa: PLC0415

    faults = Faults(outline.path)
    faults.add(step.line, message, hint)
    return SheetError("\n".join(faults.lines()))
