"""The outline of a lecture: a YAML file of steps, read into frozen values, and written to be edited.

``each`` repeats a step: "columns", "side branches" (of each column that has some), "nerves" (each terminal nerve, then
the side branches of each column, where they supply something), "column 1" (each structure in it), "injuries" (the
sites that the outline lists for the plexus). In such a step {name} and {Name} stand for the item; everywhere {plexus}
and {Plexus} stand for the plexus.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from plexusdraw import names
from plexusdraw.errors import PlexusdrawError, SheetError, UnknownNameError
from plexusdraw.model.plexus import Entity, Plexus, Stage
from plexusdraw.names.sites import Site
from plexusdraw.sheets.slides.things import Things, column, cut_at, lightable, nerves, side_branches, things
from plexusdraw.views import blanks
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import Faults

if TYPE_CHECKING:
    from plexusdraw.sheets.slides.outline_schema import OutlineFile

On = Literal["drawing", "table", "both", "limb"]
DEFAULT = Path(__file__).with_name("outline.yaml")
QUESTION = "What are the names?"
"""Asked where a step does not say what."""
MOST_STEPS = 2_000
LONGEST = 500
"""Most characters of a text, and of what is to say, so that placeholders cannot grow without end."""
LONGEST_SAID = 20_000

_LISTS = ("highlight", "hide", "injure", "show")
_Raw = dict[str, Any]
_Where = tuple[str | int, ...]


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
    """A lecture. *path*: of the file; empty for the outline that comes with the package."""

    path: str
    title: str
    steps: tuple[Step, ...]


def _form() -> type[OutlineFile]:
    from plexusdraw.sheets.slides.outline_schema import OutlineFile  # noqa: PLC0415

    return OutlineFile


KIND = reader.Kind("outline", 'It begins with "outline: 1".', _form, key="outline", error=SheetError)


def read(plexus: Plexus, path: str | Path | None = None, drawn: Collection[str] | None = None) -> Outline:
    """The outline in a file, or the one that comes with the package, with repeated steps written out.

    *drawn*: ids of what the drawing shows, by default all segments.

    Raises:
        SheetError: the file is wrong, or names what the plexus does not have: every fault with file and line.
    """
    file = reader.read(KIND, DEFAULT if path is None else path, trusted=path is None)
    found = _Reader(plexus, file, set(plexus.segments if drawn is None else drawn), given=path is None).outline()
    if path is None and file.faults.found:
        raise SheetError("\n".join(_unfit(plexus, fault.message, fault.hint) for fault in file.faults.found))
    file.check()
    return found


@dataclass(frozen=True, slots=True)
class _Item:
    """What a step is repeated for: its name, and how a list of names calls it."""

    name: str
    called: str


class _Reader:
    """Plain values → steps, noting every fault. *given*: the outline comes with the package."""

    def __init__(self, plexus: Plexus, file: reader.YamlFile, drawn: set[str], *, given: bool) -> None:
        self.plexus = plexus
        self.file = file
        self.drawn = drawn
        self.given = given
        self.section = ""

    def outline(self) -> Outline:
        """The outline; parts of it are wrong where faults are noted."""
        top = self.file.value
        made: list[Step] = []
        for where, raw in self.file.entries("steps"):
            made += self._steps(raw, where)
            if len(made) > MOST_STEPS:
                self.file.fault(("steps",), f"more than {MOST_STEPS} steps", "Leave some out.")
                break
        title = self._filled(str(top.get("title", "{Plexus}")))
        return Outline("" if self.given else self.file.faults.path, title, tuple(made))

    def _steps(self, raw: _Raw, where: _Where) -> Iterator[Step]:
        """The steps for which one entry of the file stands."""
        if self.file.faults.full:
            return
        self.section = self._filled(raw.get("section", self.section))
        each = raw.get("each")
        for item in [None] if each is None else self._items(each, where):
            yield self._step(raw, item, where)

    def _items(self, each: str, where: _Where) -> list[_Item]:
        """What a step is repeated for."""
        plexus, word = self.plexus, each.strip().lower()
        if word == "columns":
            return [self._column(stage) for stage in plexus.stages]
        if word == "side branches":
            return [self._column(stage) for stage in plexus.stages if side_branches(plexus, stage) & self.drawn]
        if word == "nerves":
            return [self._item(text) for text in nerves(plexus, self.drawn)]
        if word == "injuries":
            return self._injuries()
        number = word.removeprefix("column ").strip()
        if word.startswith("column ") and number.isdecimal() and 1 <= int(number) <= len(plexus.stages):
            return [self._item(segment.id) for segment in plexus.staged(plexus.stages[int(number) - 1].id)]
        choices = f"Choose from columns, side branches, nerves, injuries, column 1 to column {len(plexus.stages)}."
        self.file.fault((*where, "each"), f'each: "{each}" is not known', choices)
        return []

    def _column(self, stage: Stage) -> _Item:
        """A column, called by its name where that means no other."""
        alone = column(self.plexus, stage.name.lower()) is stage
        return _Item(stage.name, stage.name if alone else stage.id)

    def _item(self, text: str) -> _Item:
        """A segment by its id, called by its name where that means nothing else; or any other text."""
        segment = self.plexus.segments.get(text)
        if segment is None:
            return _Item(text, text)
        try:
            meant = names.find(self.plexus, segment.name).id
        except UnknownNameError:
            meant = ""
        alone = meant == segment.id and column(self.plexus, segment.name.lower()) is None
        return _Item(segment.name, segment.name if alone else segment.id)

    def _injuries(self) -> list[_Item]:
        """The sites listed for the plexus; of those that come with the package, what the plexus has."""
        id = self.plexus.id
        listed = (self.file.value.get("injuries") or {}) if self.file.sound(("injuries", id)) else {id: []}
        own = listed.get(id)
        if own is not None and self.given:
            own = [text for text in own if self._is_site(text)] or None
        if own is None:
            return [self._item(segment.id) for segment in self.plexus.staged(self.plexus.stages[1].id)]
        return [_Item(text, text) for text in own]

    def _is_site(self, text: str) -> bool:
        try:
            return bool(cut_at(self.plexus, text))
        except UnknownNameError:
            return False

    def _step(self, raw: _Raw, item: _Item | None, where: _Where) -> Step:
        texts = {key: tuple(self._filled(v, item, listed=True) for v in _list(raw.get(key))) for key in _LISTS}
        ask = raw.get("ask", False)
        question = QUESTION if ask is True else self._filled(ask or "", item)
        say = None if "say" not in raw else self._filled(raw["say"], item)
        if say is not None and len(say) > LONGEST_SAID:
            self.file.fault((*where, "say"), "say: is too long with its names filled in")
        return Step(
            section=self.section,
            title=self._filled(raw["title"], item),
            show=self._things(texts["show"], (*where, "show")),
            highlight=self._entities(texts["highlight"], (*where, "highlight")),
            hide=self._kinds(texts["hide"], (*where, "hide")),
            injure=self._sites(texts["injure"], (*where, "injure")),
            partial=raw.get("partial", False),
            ask=question,
            on=raw.get("on", "drawing"),
            say=say,
            line=self.file.line(where),
            texts={key: value for key, value in texts.items() if value},
        )

    def _filled(self, text: str, item: _Item | None = None, *, listed: bool = False) -> str:
        """*text* with its placeholders filled in; *listed*: it is looked up as a name."""
        values = {"plexus": self.plexus.name, "Plexus": _capital(self.plexus.name)}
        if item is not None:
            values |= {"name": item.called, "Name": item.called} if listed else {}
            values |= {} if listed else {"name": item.name, "Name": _capital(item.name)}
        for key, value in values.items():
            text = text.replace(f"{{{key}}}", value)
        return text

    def _things(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> Things:
        found = Things()
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found |= things(self.plexus, text, self.drawn)
        return found

    def _entities(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[Entity, ...]:
        found: list[Entity] = []
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found += lightable(self.plexus, text, self.drawn)
        return tuple(found)

    def _sites(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[Site, ...]:
        found: list[Site] = []
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found += cut_at(self.plexus, text)
        return tuple(found)

    def _kinds(self, texts: tuple[str, ...], where: tuple[str | int, ...]) -> tuple[str, ...]:
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                blanks.kinds(self.plexus, [text])
        return texts


def _list(value: Any) -> list[str]:  # noqa: ANN401
    return [value] if isinstance(value, str) else list(value or ())


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def fault(plexus: Plexus, outline: Outline, step: Step, message: str, hint: str) -> PlexusdrawError:
    """The error for a step that cannot be shown, with file and line."""
    if not outline.path:
        return SheetError(_unfit(plexus, message, "Use shorter names in the model."))
    faults = Faults(outline.path, SheetError)
    faults.add(step.line, message, hint)
    return SheetError("\n".join(faults.lines()))


def _unfit(plexus: Plexus, message: str, hint: str) -> str:
    """What is said where the outline that comes with the package does not suit a plexus: no file is wrong."""
    why = f"the lecture that comes with plexusdraw does not suit it: {message}"
    own = f"{hint} Or give" if hint else "Give"
    return f"{plexus.path or plexus.name}: {why}. {own} steps of your own with --outline FILE."
