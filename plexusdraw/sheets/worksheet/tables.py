"""Complete the table: nerve, roots, muscles, with cells left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from plexusdraw import fonts, names
from plexusdraw.errors import SheetError
from plexusdraw.model.entities import Segment
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import Leader, Part
from plexusdraw.scene.curves import line
from plexusdraw.scene.view import LabelKey, Page, View
from plexusdraw.sheets.worksheet import form_page, texts
from plexusdraw.sheets.worksheet.drawing import frame_of, routes
from plexusdraw.sheets.worksheet.form_page import HEAD_PT, Frame, rule, step, words
from plexusdraw.sheets.worksheet.pool import lists
from plexusdraw.sheets.worksheet.shared_answers import groups, with_shared
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec, points

COLUMNS = ("nerve", "roots", "muscles")
SHARES = (0.25, 0.17, 0.58)
"""Width of each column as a share of the page."""
MOST_MUSCLES = 4
"""So many muscles of a nerve are asked for at most."""
INSTRUCTIONS = f"Complete the table. Roots: all of the nerve. Muscles: all of it, or {MOST_MUSCLES} if there are more."

CELL_PT = 9.0
LEAST_MM = 14.0
"""Least height of a row: a number, and room to write by hand."""
PAD_MM = 1.6
NUMBER_MM = 6.5
MOST_SPARE_MM = 6.0
DEFAULT_ROWS = 8
BLANK_SHARE = {1: 0.34, 2: 0.5, 3: 0.67, 4: 0.67}
"""Level → share of the cells that are left out; at least one cell of a row stays."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One row: a nerve, its roots, its muscles by name."""

    nerve: Segment
    roots: tuple[str, ...]
    muscles: tuple[str, ...]

    def cell(self, column: str) -> str:
        """What stands in a cell when it is given."""
        if column == "nerve":
            return self.nerve.name
        return ", ".join(self.roots) if column == "roots" else "; ".join(self.muscles)


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of one form; ``blanks``: column → what is asked in its cell."""

    entry: Entry
    blanks: Mapping[str, Question]


@dataclass(frozen=True)
class Tables:
    """Makes the forms of one set."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """All nerves that supply a muscle: the last stage and the side branches of the plexus."""
        plexus, carried = self.plexus, routes(self.plexus).carried
        last = plexus.stages[-1].id
        found = []
        for segment in plexus.segments.values():
            side = segment.stage is None and any(plexus.segments[p].stage not in (None, last) for p in segment.parents)
            muscles = tuple(t.name for t in supplied(plexus, segment.id) if t.kind == "muscle")
            if (segment.stage == last or side) and muscles and segment.drawn:
                found.append(Entry(segment, tuple(carried[segment.id]), muscles))
        if not found:
            raise SheetError(f"no nerve of the {plexus.name} supplies a muscle, so a table would have no row")
        if not self.spec.only:
            return tuple(found)
        id = names.find(plexus, self.spec.only, ("segment",)).id
        only = tuple(e for e in found if e.nerve.id == id)
        if not only:
            raise SheetError(f"{plexus.entity(id).name} is no row of the table; rows are nerves that supply muscles")
        return only

    def form(self, number: int, first: int = 1) -> Form:
        """One form of the set, counted from 1, with its questions from *first* on."""
        spec, rng = self.spec, self.spec.picker(number, "table")
        picked = spec.chosen(self.entries, number, "rows", DEFAULT_ROWS)
        spec.rng(number, "order of rows").shuffle(picked)
        blanks = self._blanks(picked, rng, first)
        questions = with_shared([self.question(picked[row], column, n) for (row, column), n in blanks.items()])
        asked = dict(zip(blanks, questions, strict=True))
        rows = [_Row(entry, {c: asked[i, c] for c in COLUMNS if (i, c) in asked}) for i, entry in enumerate(picked)]
        code = spec.code(number)
        frame = replace(frame_of(self.plexus, spec, code, points(questions), INSTRUCTIONS), orientation="", legend="")
        pages = _pages(spec, frame, rows)
        key = _pages(spec, frame, rows, replace(frame, is_key=True))
        key += texts.marking_pages(spec.page, frame, questions)
        return Form(code, tuple(pages), tuple(key), tuple(questions))

    def _blanks(self, picked: Sequence[Entry], rng: Random, first: int) -> dict[tuple[int, str], int]:
        """Number of each cell left out. What is left in a row tells which nerve it is."""
        cells: list[tuple[int, str]] = []
        share = BLANK_SHARE[self.spec.level]
        for row, entry in enumerate(picked):
            free = [c for c in COLUMNS if self._fair(entry, c)]
            many = 2 if rng.random() < 3 * share - 1 else 1
            chosen = rng.sample(free, min(len(free), many))
            if "nerve" in chosen and not self._told(entry, [c for c in COLUMNS if c not in chosen]):
                chosen = ["nerve"] if self._told(entry, ["roots", "muscles"]) else [c for c in chosen if c != "nerve"]
            cells += [(row, c) for c in COLUMNS if c in chosen]
        return {cell: n for n, cell in enumerate(cells, start=first)}

    def _fair(self, entry: Entry, column: str) -> bool:
        """Whether a cell has one right answer: not roots on which the sources differ."""
        return column != "roots" or not entry.nerve.variable

    def _told(self, entry: Entry, given: Sequence[str]) -> bool:
        """Whether the cells given belong to one nerve alone."""
        return sum(all(e.cell(c) == entry.cell(c) for c in given) for e in self.entries) == 1

    def question(self, entry: Entry, column: str, number: int) -> Question:
        """What is asked in one cell."""
        key: LabelKey = (f"cell-{number}", "name")
        if column == "nerve":
            also = accepted(self.plexus, entry.nerve, [e.nerve for e in self.entries])
            return Question(number, "Name the nerve of this row.", (entry.nerve.name,), 1, (also,), key)
        if column == "roots":
            choice = lists.of_roots(self.plexus, entry.nerve.id, "Roots of the nerve in this row")
            said = "Give the roots of this nerve."
            return Question(number, said, entry.roots, len(entry.roots), (), key, choice=choice)
        by_name = {m.name: m for m in self.plexus.muscles.values()}
        wanted = min(MOST_MUSCLES, len(entry.muscles))
        muscles = [by_name[name] for name in entry.muscles]
        spelled = tuple(accepted(self.plexus, muscle, muscles) for muscle in muscles)
        several = groups(self.plexus, [muscle.id for muscle in muscles])
        prompt = f"Give the muscles of this nerve: all, or {MOST_MUSCLES} if there are more."
        choice = lists.of_supply(self.plexus, entry.nerve.id, muscles, "Muscles of the nerve in this row")
        return Question(number, prompt, entry.muscles, wanted, spelled, key, together=several, choice=choice)


def _pages(spec: Spec, frame: Frame, rows: Sequence[_Row], shown: Frame | None = None) -> list[Page]:
    """The table on as many pages as it needs; *shown*: the frame of the key, with every cell filled in."""
    top, bottom = form_page.room(spec.page, frame)
    widths = [share * (spec.page.width - 2 * spec.page.margin) for share in SHARES]
    first = top + step(HEAD_PT) + 1.5
    groups: list[list[_Row]] = [[]]
    y = first
    for row in rows:
        if y + _height(row.entry, widths) > bottom and groups[-1]:
            groups.append([])
            y = first
        groups[-1].append(row)
        y += _height(row.entry, widths)
    view = View(asks=shown is None, title=frame.title)
    made = []
    for group in groups:
        spare = (bottom - first - sum(_height(row.entry, widths) for row in group)) / len(group)
        parts = [*_heads(spec.page.margin, top, widths)]
        y = first
        for row in group:
            tall = _height(row.entry, widths) + min(max(spare, 0.0), MOST_SPARE_MM)
            parts += _cells(row, spec.page.margin, y, widths, tall, shown is not None)
            y += tall
        parts += _uprights(spec.page.margin, top, y, widths)
        made.append(Page(form_page.blank_page(spec.page, shown or frame, parts), view))
    return made


def _heads(x: float, top: float, widths: Sequence[float]) -> Iterator[Part]:
    y = top + step(HEAD_PT)
    for column, wide in zip(COLUMNS, widths, strict=True):
        yield words(column.upper(), x + PAD_MM, y - 0.8, HEAD_PT, bold=True)
        x += wide
    yield rule(x - sum(widths), y + 1.5, x)


def _uprights(x: float, top: float, bottom: float, widths: Sequence[float]) -> Iterator[Part]:
    for i, wide in enumerate(widths[:-1]):
        x += wide
        yield Leader(f"upright-{i}", "rule", line((x, top), (x, bottom)))


def _lines(text: str, wide: float, bold: bool = True) -> list[str]:
    return fonts.wrap(text, wide - 2 * PAD_MM - NUMBER_MM, CELL_PT, bold)


def _height(entry: Entry, widths: Sequence[float]) -> float:
    """Height of a row, the same whether its cells are given or not."""
    most = max(len(_lines(entry.cell(c), w)) for c, w in zip(COLUMNS, widths, strict=True))
    return max(LEAST_MM, most * step(CELL_PT) + 2 * PAD_MM)


def _cells(row: _Row, x: float, y: float, widths: Sequence[float], tall: float, filled: bool) -> Iterator[Part]:
    """One row: text where a cell is given, its number where it is left out, a rule underneath."""
    start = x
    for column, wide in zip(COLUMNS, widths, strict=True):
        question = row.blanks.get(column)
        base = y + PAD_MM + 0.72 * step(CELL_PT)
        if question:
            yield words(str(question.number), x + PAD_MM, base, HEAD_PT, bold=True)
        if filled or not question:
            for i, text in enumerate(_lines(row.entry.cell(column), wide, bool(question))):
                at = base + i * step(CELL_PT)
                yield words(text, x + PAD_MM + NUMBER_MM, at, CELL_PT, bold=bool(question))
        x += wide
    yield rule(start, y + tall, x)
