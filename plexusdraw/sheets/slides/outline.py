"""The outline of a lecture: a YAML file of steps, read into frozen values.

``each`` repeats a step (``repeats.py``). In such a step {name} and {Name} stand for the item; everywhere {plexus} and
{Plexus} stand for the plexus (``placeholders.py``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plexusdraw.errors import PlexusdrawError, SheetError, UnknownNameError
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.names.sites import Site, together
from plexusdraw.names.spelling import capital
from plexusdraw.sheets.slides import clashes, placeholders, steps
from plexusdraw.sheets.slides.repeats import WHOLE, Item, Piece, Repeats
from plexusdraw.sheets.slides.steps import LONGEST_SAID, Outline, Picture, Step
from plexusdraw.sheets.slides.things import Things, cut_at, lightable, things
from plexusdraw.views import blanks
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import Faults

if TYPE_CHECKING:
    from plexusdraw.sheets.slides.outline_schema import OutlineFile

DEFAULT = Path(__file__).with_name("outline.yaml")
LONG = Path(__file__).with_name("long.yaml")
OWN = (DEFAULT, LONG)
MOST_STEPS = 2_000

_LISTS = ("highlight", "hide", "injure", "show")
_Raw = dict[str, Any]
_Where = tuple[str | int, ...]


def _form() -> type[OutlineFile]:
    from plexusdraw.sheets.slides.outline_schema import OutlineFile  # noqa: PLC0415

    return OutlineFile


KIND = reader.Kind("outline", 'It begins with "outline: 1".', _form, key="outline", error=SheetError)


def read(
    plexus: Plexus,
    path: str | Path = DEFAULT,
    drawn: Collection[str] | None = None,
    piece: Piece = WHOLE,
    style: Style = "english",
) -> Outline:
    """The outline in a file, with repeated steps written out.

    *drawn*: ids of what the drawing shows, by default all segments. *piece*: the part of the plexus that it shows.
    *style*: of the names that titles are filled with.

    Raises:
        SheetError: the file is wrong, or names what the plexus does not have: every fault with file and line.
    """
    given = path in OWN
    file = reader.read(KIND, path, trusted=given)
    here = set(plexus.segments if drawn is None else drawn)
    found = _Reader(plexus, file, here, piece, given=given, style=style).outline()
    if given and file.faults.found:
        raise SheetError("\n".join(_unfit(plexus, fault.message, fault.hint) for fault in file.faults.found))
    file.check()
    return found


class _Reader:
    """Plain values → steps, noting every fault. *given*: the outline comes with the package."""

    def __init__(
        self, plexus: Plexus, file: reader.YamlFile, drawn: set[str], piece: Piece, *, given: bool, style: Style
    ) -> None:
        self.plexus = plexus
        self.file = file
        self.drawn = drawn
        self.piece = piece
        self.whole = piece.whole or plexus
        self.given = given
        self.style = style
        self.section = ""
        self.repeats = Repeats(plexus, drawn, piece, self._sites_listed())

    def outline(self) -> Outline:
        """The outline; parts of it are wrong where faults are noted."""
        top = self.file.value
        made: list[Step] = []
        for where, raw in self.file.entries("steps"):
            made += self._steps(raw, where)
            if len(made) > MOST_STEPS:
                self.file.fault(("steps",), f"more than {MOST_STEPS} steps", "Leave some out.")
                break
        self._whole(made)
        name = {"plexus": self.whole.name, "Plexus": capital(self.whole.name)}
        title, *beneath = (
            placeholders.filled(str(top.get(key, usual)), name)
            for key, usual in (("title", "{Plexus}"), ("subtitle", ""), ("occasion", ""))
        )
        return Outline("" if self.given else self.file.faults.path, title, tuple(made), *beneath)

    def _whole(self, steps: list[Step]) -> None:
        """Note what no slide can show."""
        if self.given or self.file.faults.found:
            return
        titled = any(step.on == "title" for step in steps)
        for key in ("subtitle", "occasion"):
            if self.file.value.get(key) and not titled:
                self.file.fault((key,), f"{key}: no slide shows it", "Add a step with on: title.")
        if not steps:
            self.file.fault(("steps",), "steps: there is nothing to repeat them for", "Add a step without each.")

    def _steps(self, raw: _Raw, where: _Where) -> Iterator[Step]:
        """The steps for which one entry of the file stands."""
        if self.file.faults.full:
            return
        self.section = self._filled(raw.get("section", self.section))
        on = raw.get("on")
        if (on == "title" and not self.piece.first) or (on == "sources" and not self.piece.last):
            return
        clashes.check(self.file, raw, where)
        each = raw.get("each")
        for item in [None] if each is None else self._items(each, where):
            yield self._step(raw, item, where)

    def _items(self, each: str, where: _Where) -> list[Item]:
        """What a step is repeated for."""
        way = self.repeats.ways.get(" ".join(each.lower().split()))
        if way is None:
            hint = reader.close(each, self.repeats.ways) or f"Choose from {self.repeats.choices()}."
            self.file.fault((*where, "each"), f'each: "{each}" is not known', hint)
            return []
        return way()

    def _sites_listed(self) -> list[str] | None:
        """The sites listed for the plexus; of those that come with the package, what the plexus has."""
        id = self.plexus.id
        listed = (self.file.value.get("injuries") or {}) if self.file.sound(("injuries", id)) else {id: []}
        own = listed.get(id) if isinstance(listed, dict) else []
        if self.given:
            return [text for text in own or () if self._is_site(text)] or None
        for name in listed if isinstance(listed, dict) else ():
            hint = "" if name in self.models else reader.close(name, self.models)
            if hint:
                self.file.fault(("injuries", name), f'injuries: no plexus is called "{name}"', hint)
        for i, text in enumerate(own or ()):
            with self.file.noting(("injuries", id, i)):
                cut_at(self.whole, text)
        return None if own is None else [text for text in own if self._is_site(text)]

    @property
    def models(self) -> set[str]:
        """Ids of this plexus and of those that are built in."""
        from plexusdraw.model import models  # noqa: PLC0415

        return {self.plexus.id, *models()}

    def _is_site(self, text: str) -> bool:
        try:
            return bool(cut_at(self.whole, text))
        except UnknownNameError:
            return False

    def _step(self, raw: _Raw, item: Item | None, where: _Where) -> Step:
        texts = {key: tuple(self._filled(v, item, listed=True) for v in _list(raw.get(key))) for key in _LISTS}
        notes = None if "notes" not in raw else self._filled(raw["notes"], item)
        if notes is not None and len(notes) > LONGEST_SAID:
            self.file.fault((*where, "notes"), "notes: is too long with its names filled in")
        step = Step(
            section=self.section,
            title=self._filled(raw["title"], item),
            subtitle=self._filled(raw.get("subtitle", ""), item),
            show=self._things(texts["show"], (*where, "show")),
            highlight=self._entities(texts["highlight"], (*where, "highlight")),
            hide=self._kinds(texts["hide"], (*where, "hide")),
            injure=self._sites(texts["injure"], (*where, "injure")),
            partial=raw.get("partial", False),
            on=raw.get("on", "drawing"),
            picture=self._picture(raw.get("picture"), item, (*where, "picture")),
            theme=self._theme(raw.get("theme", ""), (*where, "theme")),
            notes=notes,
            line=self.file.line(where),
            texts={key: value for key, value in texts.items() if value},
        )
        ask = raw.get("ask", False)
        step = replace(step, asked=raw.get("asked") or steps.usual(step))
        return replace(step, ask=steps.question(step) if ask is True else self._filled(ask or "", item))

    def _filled(self, text: str, item: Item | None = None, *, listed: bool = False) -> str:
        """*text* with its placeholders filled in; *listed*: it is looked up as a name."""
        values = {"plexus": self.plexus.name, "Plexus": capital(self.plexus.name)}
        if item is not None:
            values |= {"name": item.called, "Name": item.called} if listed else {}
            shown = item.shown(self.style)
            values |= {} if listed else {"name": shown, "Name": capital(shown)}
        return placeholders.filled(text, values)

    def _theme(self, text: str, where: _Where) -> str:
        if text:
            from plexusdraw.look import theme  # noqa: PLC0415

            with self.file.noting(where):
                theme.load(text)
        return text

    def _picture(self, raw: _Raw | None, item: Item | None, where: _Where) -> Picture | None:
        """Another picture of the tool; what it is of is looked up, so that a fault has its line."""
        if raw is None:
            return None
        given = {key: value for key, value in raw.items() if value not in (None, False, "")}
        if len(given) != 1:
            self.file.fault(where, "picture: is one of nerve, limb, table and worksheet", "Give one of them.")
            return None
        ((kind, value),) = given.items()
        made = Picture(kind, "" if value is True else self._filled(str(value), item, listed=True))
        from plexusdraw.sheets.slides import any_picture  # noqa: PLC0415

        with self.file.noting((*where, kind)):
            any_picture.check(self.plexus, made)
        return made

    def _things(self, texts: tuple[str, ...], where: _Where) -> Things:
        found = Things()
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found |= things(self.plexus, text, self.drawn)
        return found

    def _entities(self, texts: tuple[str, ...], where: _Where) -> tuple[Entity, ...]:
        found: list[Entity] = []
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found += lightable(self.plexus, text, self.drawn)
        return tuple(found)

    def _sites(self, texts: tuple[str, ...], where: _Where) -> tuple[Site, ...]:
        found: list[Site] = []
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                found += cut_at(self.whole, text)
        with self.file.noting(where):
            return together(found)
        return tuple(found)

    def _kinds(self, texts: tuple[str, ...], where: _Where) -> tuple[str, ...]:
        for i, text in enumerate(texts):
            with self.file.noting((*where, i)):
                blanks.kinds(self.plexus, [text])
        return texts


def _list(value: Any) -> list[str]:  # noqa: ANN401
    return [value] if isinstance(value, str) else list(value or ())


def fault(plexus: Plexus, outline: Outline, step: Step, message: str, hint: str) -> PlexusdrawError:
    """The error for a step that cannot be shown, with file and line."""
    if not outline.path:
        return SheetError(_unfit(plexus, message, hint))
    faults = Faults(outline.path, SheetError)
    faults.add(step.line, message, hint)
    return SheetError("\n".join(faults.lines()))


def _unfit(plexus: Plexus, message: str, hint: str) -> str:
    """What is said where the outline that comes with the package does not suit a plexus: no file is wrong."""
    why = f"the lecture that comes with plexusdraw does not suit it: {message}"
    own = f"{hint} Or give" if hint else "Give"
    return f"{plexus.path or plexus.name}: {why}. {own} steps of your own with --outline FILE."
