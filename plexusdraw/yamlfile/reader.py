"""The one way in for a YAML file that a user writes: text → values of a known form, and the faults with their lines.

A room describes its kind of file (:class:`Kind`) and reads it; what the values mean to each other it checks itself,
and notes what is wrong in the same list of faults.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw.errors import ModelError, PlexusdrawError
from plexusdraw.yamlfile import kept
from plexusdraw.yamlfile.document import Document, Faults, Path_, Value, parse, read_text

if TYPE_CHECKING:
    from pydantic import BaseModel


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file."""

    name: str
    """As in "not a theme"."""
    start: str
    """What to write instead, where a file is of another kind."""
    form: Callable[[], type[BaseModel]]
    """Gives its form, which is imported late: a file that comes with the tool is not held against it."""
    key: str = ""
    """The key that holds the version of the form; empty where there is none."""
    version: int = 1
    error: type[PlexusdrawError] = ModelError


@dataclass
class YamlFile:
    """A file that is a mapping of its kind. What stands at a place that is not :meth:`sound` has another form."""

    document: Document
    faults: Faults
    wrong: frozenset[Path_] = frozenset()
    """Where the form is wrong."""

    @cached_property
    def _around(self) -> frozenset[Path_]:
        """All that holds something of which the form is wrong."""
        return frozenset(place[:end] for place in self.wrong for end in range(len(place)))

    @property
    def value(self) -> dict[str, Value]:
        """What the file holds."""
        found: dict[str, Value] = self.document.value
        return found

    def sound(self, where: Path_) -> bool:
        """Whether all that stands at a place has the form that it should have."""
        above = (where[:end] for end in range(len(where) + 1))
        return where not in self._around and self.wrong.isdisjoint(above)

    def entries(self, *where: str) -> Iterator[tuple[Path_, Value]]:
        """The sound entries of the list or mapping at a place, each with its own place; none where nothing stands.

        They end where so many faults are found that no more need be looked for.
        """
        value: Value = self.value
        for key in where:
            value = value.get(key) if isinstance(value, dict) else None
        steps = value if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
        for step in steps:
            if self.faults.full:
                return
            place: Path_ = (*where, step)
            if self.sound(place):
                yield place, value[step]

    def line(self, where: Path_ = ()) -> int:
        """Line of a place, 1-based."""
        return self.document.line(where)

    def fault(self, where: Path_, message: str, hint: str = "") -> None:
        """Note what is wrong at a place."""
        self.faults.add(self.line(where), message, hint)

    @contextmanager
    def noting(self, where: Path_) -> Iterator[None]:
        """Turns an error about what stands at a place, such as an unknown name, into a fault."""
        try:
            yield
        except PlexusdrawError as error:
            for told in str(error).splitlines():
                message, _, hint = told.partition(". ")
                self.fault(where, message.rstrip("."), hint)

    def check(self) -> None:
        """Raise the error of its kind if there are faults; the message has all of them."""
        self.faults.check()


def read(kind: Kind, path: str | Path, *, trusted: bool = False) -> YamlFile:
    """Read a file; see :func:`from_text`."""
    return from_text(kind, read_text(Path(path), kind.error), str(path), trusted=trusted)


def from_text(kind: Kind, text: str, path: str, *, trusted: bool = False, nodes: bool = False) -> YamlFile:
    """The file with this text; faults of form are noted, and raised by :meth:`YamlFile.check`.

    *trusted*: the file comes with the tool, so the tests check its form, and not each start anew. *nodes*: its nodes
    are needed, not its values and their lines alone.

    Raises:
        PlexusdrawError: of the kind's own class, where the text is no YAML, or that of another kind of file.
    """
    known = kept.document(text, path) if trusted and not nodes else None
    file = YamlFile(known or parse(text, path, kind.error), Faults(path, kind.error))
    value = file.document.value
    if not isinstance(value, dict) or (kind.key and kind.key not in value):
        file.faults.add(file.line() or 1, f"not {_with_article(kind.name)}", kind.start)
    elif kind.key and (type(value[kind.key]) is not int or value[kind.key] != kind.version):
        hint = f"The form that is known here is {kind.key}: {kind.version}."
        file.fault((kind.key,), f"{kind.key}: {shown(value[kind.key])} is not {kind.version}", hint)
    file.check()
    if not trusted:
        from plexusdraw.yamlfile import form  # noqa: PLC0415

        file.wrong = frozenset(form.check(kind.form(), file.document, file.faults))
    return file


def shown(value: Value) -> str:
    """A value as a message quotes it."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, (dict, list)):
        return "a mapping" if isinstance(value, dict) else "a list"
    return f'"{value[:60]}"' if isinstance(value, str) else str(value).lower()[:60]


def near(word: str, known: Collection[str]) -> str:
    """A hint: the known words that are near to one that is not, or all of them."""
    return close(word, known) or f"Known: {', '.join(known)}."


def close(word: str, known: Collection[str]) -> str:
    """A hint: the known words that are near to one that is not; empty if none is."""
    found = get_close_matches(word[:_LONGEST_WORD], known, n=3, cutoff=0.6)
    return f"Did you mean {', '.join(found)}?" if found else ""


_LONGEST_WORD = 200


def _with_article(name: str) -> str:
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"
