"""Every kind of worksheet, in one table: its title, what it asks, and the module that makes its forms.

A new kind is a module with a ``Maker`` (made from a plexus and a ``Spec``, with ``form(number)``), and a line here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from importlib import import_module
from typing import TYPE_CHECKING, Protocol

from plexusdraw.errors import SheetError
from plexusdraw.model.plexus import Plexus

if TYPE_CHECKING:
    from plexusdraw.sheets.worksheet.spec import Form, Spec


class Maker(Protocol):
    """Makes the forms of one set, one at a time."""

    def form(self, number: int, first: int = 1) -> Form:
        """One form, counted from 1, whose questions are numbered from *first* on."""
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
    takes: frozenset[str] = frozenset()
    """Which of ``CHOICES`` can matter for its forms."""
    of_sites: bool = False
    """Whether ``only`` is the site of an injury."""
    one_of: bool = False
    """Whether ``only`` leaves one thing to ask, of which none can be chosen."""
    worded: bool = False
    """Whether answers are written in words, which other sections of a form may say."""
    own_words: bool = False
    """Whether a drawing has its names in the words of ``--names`` itself, and short ones stay short."""
    only: tuple[str, ...] = ("segment", "muscle", "skin", "place")
    """Kinds of structures that ``only`` may name."""
    as_drawn: bool = False
    """Whether it asks of the drawing alone, which a convention may draw otherwise than is computed."""
    joins: bool = True
    """Whether it may be a section of a form with others."""

    def make(self, plexus: Plexus, spec: Spec) -> Maker:
        """What makes the forms of this kind; nothing is laid out yet."""
        module = import_module(f"plexusdraw.sheets.worksheet.{self.module}")
        made: Maker = getattr(module, self.maker)(plexus.drawn if self.as_drawn else plexus, spec)
        return made


MATCHED = ("muscles", "movements", "skin")
CHOSEN = ("roots", "origins", "muscles", "movements", "skin", "injuries", "sites")
ON_LIMB = ("skin", "muscles", "dermatomes")
CARDS = ("roots", "origins", "muscles", "supply", "movements", "skin")

CHOICES = (
    *("ask", "count", "only", "level", "word_bank", "detail", "writing", "side", "naming"),
    *("sources", "prompt"),
    *("instructions", "key", "duplex"),
)
"""Choices that matter for some kinds and not for others."""
SETS = ("all", "same")
"""Choices of what the forms of a set have in common."""


def _takes(*names: str) -> frozenset[str]:
    unknown = {*names} - {*CHOICES, *SETS}
    assert not unknown, unknown
    return frozenset(names)


_PAPER = ("naming", "instructions", "key", "duplex")
_DRAWN = ("detail", "side", *_PAPER)
_CASES = _takes("only", "sources", "level", "same", *_DRAWN)
_ASKED = ("count", "level", *_PAPER, *SETS)

REGISTRY: Mapping[str, FormKind] = {
    kind.name: kind
    for kind in (
        FormKind(
            *("label", "name the parts", "label blanks", "labelling", "Labelling"),
            as_drawn=True,
            takes=_takes("ask", "only", "word_bank", "writing", *_DRAWN, *_ASKED),
            worded=True,
            one_of=True,
            own_words=True,
        ),
        FormKind(
            *("draw", "draw what is missing", "draw missing lines", "strands", "Strands"),
            as_drawn=True,
            takes=_takes("only", *_DRAWN, *_ASKED),
            one_of=True,
        ),
        FormKind(
            *("table", "complete the table", "complete a table", "tables", "Tables"),
            takes=_takes("only", *_ASKED),
            worded=True,
            one_of=True,
        ),
        FormKind(
            *("injury", "what an injury takes", "list what an injury takes", "cases", "Cases"),
            takes=_CASES,
            of_sites=True,
            worded=True,
            one_of=True,
        ),
        FormKind(
            *("site", "find the injury", "find its site", "cases", "Cases"),
            takes=_CASES,
            of_sites=True,
            worded=True,
            one_of=True,
        ),
        FormKind(
            *("recall", "from memory", "recall all", "recall", "Recall"), takes=_takes("level", "prompt", *_DRAWN)
        ),
        FormKind(
            *("match", "what belongs together", "match nerves with what they supply", "match", "Match"),
            topics=MATCHED,
            takes=_takes("ask", "only", *_ASKED),
        ),
        FormKind(
            *("choice", "choose the answer", "choose one answer of four", "choice", "Choices"),
            topics=CHOSEN,
            takes=_takes("ask", "only", *_ASKED),
        ),
        FormKind(
            *("cards", "flash cards", "cut out flash cards", "cards", "Cards"),
            topics=CARDS,
            takes=_takes("ask", "count", "only", "level", "naming"),
            joins=False,
        ),
        FormKind(
            *("shade", "shade what is lost", "shade the limb after an injury", "shade", "Shade"),
            takes=_takes("only", "same", "side", *_PAPER),
            of_sites=True,
            one_of=True,
        ),
        FormKind(
            *(
                "limb",
                "name what is numbered",
                "name skin, muscles or dermatomes on the limb",
                "limb_names",
                "LimbNames",
            ),
            topics=ON_LIMB,
            takes=_takes("ask", "only", "word_bank", "side", *_PAPER, *_ASKED),
            worded=True,
            one_of=True,
            own_words=True,
            only=("muscle", "skin"),
        ),
    )
}


def kind(name: str) -> FormKind:
    """The kind of this name.

    Raises:
        SheetError: there is none.
    """
    if name not in REGISTRY:
        near = get_close_matches(name, REGISTRY, n=2)
        meant = f" Did you mean {', '.join(near)}?" if near else ""
        raise SheetError(f'no worksheet of the kind "{name}"; choose from {", ".join(REGISTRY)}.{meant}')
    return REGISTRY[name]
