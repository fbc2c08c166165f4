"""Every kind of worksheet, in one table: its title, what it asks, and the module that makes its forms.

A new kind is a module with a ``Maker`` (made from a plexus and a ``Spec``, with ``form(number)``), and a line here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Protocol

from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus

if TYPE_CHECKING:
    from plexusdraw.sheets.worksheet.spec import Form, Spec


class Maker(Protocol):
    """Makes the forms of one set, one at a time."""

    def form(self, number: int) -> Form:
        """One form, counted from 1."""
        ...


@dataclass(frozen=True, slots=True)
class FormKind:
    """One kind of form. ``title`` stands after the name of the plexus; ``asks`` says in the help what is asked."""

    name: str
    title: str
    asks: str
    module: str
    maker: str
    topics: tuple[str, ...] = ()
    """What may stand after --ask, where that is not the kinds of names on the drawing."""

    def make(self, plexus: Plexus, spec: Spec) -> Maker:
        """What makes the forms of this kind; nothing is laid out yet."""
        module = import_module(f"plexusdraw.sheets.worksheet.{self.module}")
        made: Maker = getattr(module, self.maker)(plexus, spec)
        return made


MATCHED = ("muscles", "movements", "skin")
CHOSEN = ("roots", "origins", "muscles", "movements", "skin", "injuries", "sites")
CARDS = ("roots", "origins", "muscles", "supply", "movements", "skin")

REGISTRY: Mapping[str, FormKind] = {
    kind.name: kind
    for kind in (
        FormKind("label", "name the parts", "label blanks", "labelling", "Labelling"),
        FormKind("draw", "draw what is missing", "draw missing lines", "strands", "Strands"),
        FormKind("table", "complete the table", "complete a table", "tables", "Tables"),
        FormKind("injury", "what an injury takes", "list what an injury takes", "cases", "Cases"),
        FormKind("site", "find the injury", "find its site", "cases", "Cases"),
        FormKind("recall", "from memory", "recall all", "recall", "Recall"),
        FormKind("match", "what belongs together", "match nerves with what they supply", "match", "Match", MATCHED),
        FormKind("choice", "choose the answer", "choose one answer of four", "choice", "Choices", CHOSEN),
        FormKind("cards", "flash cards", "cut out flash cards", "cards", "Cards", CARDS),
    )
}


def kind(name: str) -> FormKind:
    """The kind of this name.

    Raises:
        SheetError: there is none.
    """
    if name not in REGISTRY:
        raise SheetError(f'no worksheet of the kind "{name}"; choose from {", ".join(REGISTRY)}')
    return REGISTRY[name]
