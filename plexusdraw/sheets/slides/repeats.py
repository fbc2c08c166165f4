"""What a step with ``each`` stands for: the items of a plexus, in the order in which they are taught.

"columns"; "side branches" (of each column that has some); "nerves" (each terminal nerve, then the side branches of each
column, where they supply something) and "main nerves"; "column 1" (each structure in it) and "widest root"; "injuries",
"main injuries" (the first of them) and "quiz injury" (the one after these); "plexus" (once). Of a plexus that is shown
in parts, each main nerve and injury comes with the first part that draws it, what is shown once with the last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Stage
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.routes.reach import supplied
from plexusdraw.sheets.slides.things import column, cut_at, nerves, side_branches

MAIN_NERVES = 5
MAIN_INJURIES = 3


@dataclass(frozen=True, slots=True)
class Item:
    """What a step is repeated for: its name, and how a list of names calls it."""

    name: str
    called: str
    latin: str = ""
    """The name in Latin; empty where there is none, and of a root, whose letters the drawings show."""

    def shown(self, style: names.Style) -> str:
        """The name in the language of the names."""
        return (self.latin if style == "latin" else "") or self.name


@dataclass(frozen=True, slots=True)
class Piece:
    """Which part of a plexus a lecture shows; ``before``: ids drawn in earlier parts. ``whole``: of which it is one."""

    first: bool = True
    last: bool = True
    before: frozenset[str] = frozenset()
    whole: Plexus | None = None


WHOLE = Piece()


class Repeats:
    """The items of one plexus. *sites*: of the injuries, as the outline has them; None where it has none for it."""

    def __init__(self, plexus: Plexus, drawn: set[str], piece: Piece, sites: list[str] | None) -> None:
        self.plexus, self.drawn, self.piece, self.sites = plexus, drawn, piece, sites
        self.whole = piece.whole or plexus
        self.ways: dict[str, Callable[[], list[Item]]] = {
            "columns": lambda: [self.column(stage) for stage in plexus.stages],
            "side branches": self.sides,
            "nerves": lambda: [self.item(text) for text in nerves(plexus, drawn)],
            "main nerves": self.main_nerves,
            "widest root": self.widest_root,
            "injuries": lambda: self._here(self.injuries()),
            "main injuries": self.main_injuries,
            "quiz injury": self.quiz_injury,
            "plexus": lambda: [Item(self.whole.name, self.whole.name)] if piece.last else [],
        }
        for number, stage in enumerate(plexus.stages, start=1):
            self.ways[f"column {number}"] = partial(self._staged, stage.id)

    def _staged(self, stage: str) -> list[Item]:
        return [self.item(s.id) for s in self.plexus.staged(stage)]

    def choices(self) -> str:
        """What may be repeated, in words."""
        named = [way for way in self.ways if not way.startswith("column ")]
        return f"{', '.join(named)}, column 1 to column {len(self.plexus.stages)}"

    def column(self, stage: Stage) -> Item:
        """A column, called by its name where that means no other."""
        alone = column(self.plexus, stage.name.lower()) is stage
        return Item(stage.name, stage.name if alone else stage.id, stage.latin)

    def item(self, text: str) -> Item:
        """A segment by its id, called by its name where that means nothing else; or any other text."""
        segment = self.plexus.segments.get(text)
        if segment is None:
            return self.site(text)
        try:
            meant = names.find(self.plexus, segment.name).id
        except UnknownNameError:
            meant = ""
        alone = meant == segment.id and column(self.plexus, segment.name.lower()) is None
        latin = "" if segment.id in self.plexus.roots else names.latin(segment)
        return Item(segment.name, segment.name if alone else segment.id, latin)

    def site(self, text: str) -> Item:
        """A site as it is typed."""
        try:
            cuts = cut_at(self.whole, text)
        except UnknownNameError:
            return Item(text, text)
        told = (text if site.segment in self.whole.roots else site.told("latin") for site in cuts)
        return Item(text, text, ", ".join(dict.fromkeys(told)))

    def sides(self) -> list[Item]:
        """Columns that side branches leave, of which some are drawn here for the first time."""
        new = self.drawn - self.piece.before
        return [self.column(stage) for stage in self.plexus.stages if side_branches(self.plexus, stage) & new]

    def main_nerves(self) -> list[Item]:
        """The nerves of the last column that supply most muscles, in anatomical order."""
        last = [s.id for s in self.whole.staged(self.whole.stages[-1].id)]
        many = {id: sum(t.kind == "muscle" for t in supplied(self.whole, id)) for id in last}
        main = sorted((id for id in last if supplied(self.whole, id)), key=lambda id: -many[id])[:MAIN_NERVES]
        return [self.item(id) for id in last if id in main and id in self.drawn - self.piece.before]

    def widest_root(self) -> list[Item]:
        """The root whose fibres run through most of what stands in columns; of several, the middle one."""
        if not self.piece.first:
            return []
        carried = fibres.of(self.plexus).carried
        columns = [s.id for s in self.plexus.segments.values() if s.stage and s.id in self.drawn]
        here = [root for root in self.plexus.roots if root in self.drawn]
        many = {root: sum(root in carried[id] for id in columns) for root in here}
        inner = {root: -abs(i - (len(here) - 1) / 2) for i, root in enumerate(here)}
        return [self.item(max(here, key=lambda root: (many[root], inner[root])))] if here else []

    def injuries(self) -> list[Item]:
        """The sites listed for the plexus; else each structure of its second column."""
        if self.sites is None:
            return [self.item(s.id) for s in self.whole.staged(self.whole.stages[1].id)]
        return [self.site(text) for text in self.sites]

    def main_injuries(self) -> list[Item]:
        """The first of the injuries that this part shows."""
        return self._here(self.injuries()[:MAIN_INJURIES])

    def quiz_injury(self) -> list[Item]:
        """The injury after the main ones, where there is one, else the first."""
        found = self.injuries()
        return self._here(found[MAIN_INJURIES : MAIN_INJURIES + 1] or found[:1])

    def _here(self, items: Iterable[Item]) -> list[Item]:
        """Those first drawn in this part; the last part has also what none draws."""
        drawn, before = self.drawn, self.piece.before
        found: list[Item] = []
        for item in items:
            ids = {site.segment for site in cut_at(self.whole, item.called)}
            if not ids & before and (ids & drawn or self.piece.last):
                found.append(item)
        return found
