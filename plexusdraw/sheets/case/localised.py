"""Findings on one page: the leading places on the plexus, the limb as it was found, what each place would take.

The table of what each would take stands on a second page where the first has no room for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import Answer, Result
from plexusdraw.errors import FitError
from plexusdraw.layout import paper as papers
from plexusdraw.layout.fit import Limb
from plexusdraw.layout.limb.strip import Figure
from plexusdraw.scene import Area, Note, Part
from plexusdraw.scene.view import Page, State, View
from plexusdraw.sheets.case import bands, marks, taken
from plexusdraw.sheets.case.frame import GAP_MM, Frame, step
from plexusdraw.sheets.case.table import Cell, Table
from plexusdraw.views.limb import SWATCHES, found

TITLE = "Findings, and the places that explain them"
FOUND_PT = 9.0
SHARES = (1.0, 0.9, 0.8, 0.72)
"""Of the usual height of plexus and limb, tried where the table does not fit."""
ALIKE = 4
"""As many places that look the same at the bedside are named beside the commonest."""
SAID: dict[State, str] = {
    "lost": "no power; numb",
    "weak": "weak",
    "slight": "slightly weak",
    "highlit": "found normal",
    "plain": "not examined",
}
NONE_FOUND = "No abnormal finding: nothing to explain."


def pages(result: Result, side: Limb = "left", paper: str = "a4 portrait") -> tuple[Page, ...]:
    """The pages: one, or two where the table needs its own.

    Raises:
        ModelError: the model has no chart. FitError: the paper is too small.
    """
    return tuple(_Maker(result, side, paper).pages())


class _Maker:
    """Makes the pages of one result."""

    def __init__(self, result: Result, side: Limb, paper: str) -> None:
        self.result, self.plexus = result, result.plexus
        self.answers = result.leading
        self.whole = Frame(self.plexus, TITLE, papers.paper(paper), side)
        self.frame = self.whole
        self.states = found(self.plexus, result.findings)

    def pages(self) -> Iterator[Page]:
        """The pages in order: one, with smaller figures if that makes room for the table."""
        whole, brief = (self.places(), self.tests()), (self.brief(), self.tests())
        ways = [(tables, share) for tables in (whole, brief) for share in SHARES]
        for tables, share in ways:
            self.frame = replace(self.whole, share=share)
            first = self.page(tables, last=(tables, share) == ways[-1])
            if first:
                yield first
                break
        if tables is brief:
            table = self.alone((whole[0],))
            yield Page(self.frame.scene(table, "what each would take"), View(asks=False, title=TITLE))

    def page(self, tables: Sequence[Table], *, last: bool = False) -> Page | None:
        """The first page with some tables; None where they do not fit, unless it is the *last* way."""
        frame = self.frame
        try:
            numbers = marks.numbered(self.plexus, frame.drawing, [answer.cuts for answer in self.answers])
        except FitError:
            if last:
                raise
            return None
        told, y = self.told(frame.top)
        drawn, y = frame.plexus_at(y, marks.plates(frame.drawing, numbers))
        limb = bands.joined(frame, bands.Set(self.figures(), self.figures(ends=True), self.legend()))
        room = bands.shared(frame, limb, y, lambda size: self.drawn(tables, 0.0, size)[1])
        if room.size is None and not last:
            return None
        figures, y = bands.drawn(frame, limb, y, room)
        words = self.drawn(tables, y, room.size)[0] if room.size else []
        cuts = tuple((spot.entity, spot.at) for spot in numbers)
        view = View(asks=False, title=TITLE, entities={**self.states, **SWATCHES}, cuts=cuts)
        what = "the leading places on the plexus, the limb as found, what to examine next"
        return Page(frame.scene((*told, *drawn, *figures, *words), what), view)

    def told(self, y: float) -> tuple[list[Part], float]:
        """The findings in words."""
        text = f"Found: {'; '.join(f.text for f in self.result.findings)}."
        lines = fonts.wrap(text, self.frame.width, FOUND_PT)
        down = step(FOUND_PT)
        parts: list[Part] = []
        for i, line in enumerate(lines):
            place = fonts.text(line, self.frame.page.margin, y + (i + 1) * down - fonts.descent(FOUND_PT), FOUND_PT)
            parts.append(Note("legend", f"found-{i}", place, self.frame.width))
        return parts, y + len(lines) * down + 0.5 * GAP_MM

    def figures(self, *, ends: bool = False) -> Sequence[Figure]:
        """The figures that show what was examined; none where it was signs, reflexes or movements alone."""
        every = self.frame.figures(("muscles", "skin", "dermatomes"), ends=ends)
        if ends:
            return bands.changed(every, self.states)
        return [f for f in every if any(isinstance(p, Area) and p.entity in self.states for p in f.plate.parts)]

    def legend(self) -> list[tuple[str, str]]:
        """What the patterns stand for, of those that the page has."""
        shown = set(self.states.values())
        return [(state, words) for state, words in SAID.items() if state in shown or state == "plain"]

    def places(self) -> Table:
        """What each leading place explains and would take."""
        rows = [(self.place(n, answer), *self.loss(answer)) for n, answer in enumerate(self.answers, start=1)]
        if not rows:
            rows = [((self.none(),), (), (), ())]
        heads = ("Place", "Would paralyse", "Would weaken", "Skin, reflexes, signs")
        return Table("places", heads, (0.26, 0.2, 0.24, 0.3), rows)

    def brief(self) -> Table:
        """The leading places alone."""
        rows = [self.place(n, answer) for n, answer in enumerate(self.answers, start=1)]
        half = -(-len(rows) // 2)
        pairs = [(rows[i], rows[half + i] if half + i < len(rows) else ()) for i in range(half)]
        return Table("brief", ("Places; what each would take: overleaf", ""), (0.5, 0.5), pairs)

    def none(self) -> str:
        """Why there is no place."""
        if self.result.unexplained:
            return f"No place of the {self.plexus.name} explains: {_listed(f.text for f in self.result.unexplained)}."
        return NONE_FOUND

    def place(self, number: int, answer: Answer) -> Cell:
        """An answer: its name, how good it is, what speaks for and against it."""
        marks = [f"score {answer.score:.2f}", f"{answer.plausible.word} place"]
        lines: list[str | tuple[str, bool]] = [(f"{number}  {answer.name}", True)]
        lines.append(", ".join([*marks, *(["partial injury"] if answer.partial else [])]))
        more = answer.places[1:]
        told = (("or", more[:ALIKE]), ("unexplained:", answer.unexplained), ("against it:", answer.contradicted))
        lines += [f"{word} {_listed(texts)}" for word, texts in told if texts]
        return lines

    def loss(self, answer: Answer) -> tuple[Cell, Cell, Cell]:
        """What an answer would take: paralysed, weak, and the rest."""
        injury = Injury(self.plexus, answer.cuts, answer.partial)
        rest = [
            f"{head}: {_listed(own)}"
            for head, own in (
                ("lost", taken.skin(injury, "lost")),
                ("reduced", taken.skin(injury, "reduced")),
                ("reflexes", taken.reflexes(injury)),
                ("signs", [sign.name for sign in injury.signs]),
            )
            if own
        ]
        whole, part = (_listed(taken.muscles(injury, loss)) or "no muscle" for loss in (Loss.WHOLE, Loss.PART))
        slight = sum(o.loss is Loss.SLIGHT for o in injury.muscles.values())
        return (whole,), (part, *([f"slightly: {slight} more"] if slight else [])), tuple(rest)

    def tests(self) -> Table:
        """What to examine next; leading places by their numbers."""
        number = {answer.name: str(n) for n, answer in enumerate(self.answers, start=1)}
        rows = [
            (
                (test.name,),
                (test.kind,),
                *(
                    (_listed(number.get(name, name) for name in names) or "none",)
                    for names in (test.normal, test.changed)
                ),
                (test.word,),
            )
            for test in self.result.next_tests
        ]
        heads = ("To examine next", "", "Normal after", "Not normal after", "")
        return Table("tests", heads, (0.28, 0.1, 0.2, 0.2, 0.22), rows)

    def alone(self, tables: Sequence[Table]) -> list[Part]:
        """Tables on a page of their own, in the largest type that fits."""
        top, bottom = self.frame.top, self.frame.bottom
        sizes = bands.SIZES_PT
        size = next((size for size in sizes if self.drawn(tables, top, size)[1] <= bottom), sizes[-1])
        return self.drawn(tables, top, size)[0]

    def drawn(self, tables: Sequence[Table], top: float, size: float) -> tuple[list[Part], float]:
        """Tables that have rows under each other in one type; and where they end."""
        parts: list[Part] = []
        for table in (t for t in tables if t.rows):
            made, y = table.drawn(self.frame.page.margin, top, self.frame.width, size)
            parts += made
            top = y + 0.5 * GAP_MM
        return parts, top - 0.5 * GAP_MM


def _listed(words: Iterable[str]) -> str:
    return "; ".join(words)
