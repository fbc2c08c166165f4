"""The one step that all painters share: Scene × View × Theme → groups of marks. Every look is decided here.

A dot of the supply table takes its own state from the view as the strand ``(row, root, via, 0)``; where it
has none, it is lost with its row, else as the row is. Lengths of a theme are for a page whose longer side is
297 mm (A4), and grow with larger pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, replace
from functools import singledispatchmethod
from itertools import groupby
from operator import attrgetter

from plexusdraw.look import areas, hues, lines, strokes
from plexusdraw.look.marks import Disc, Group, Mark, Path, Plate
from plexusdraw.look.theme import Theme, mix
from plexusdraw.look.told import Told
from plexusdraw.scene import (
    MM_PER_PT,
    Area,
    Box,
    Curve,
    Dot,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Row,
    Scene,
    Shape,
    Sinew,
    Spot,
    Strand,
    Word,
)
from plexusdraw.scene.view import State, View

CLEAR_MM = 0.8
"""Room between text and the lines around it, on A4."""
_whose = attrgetter(*(field.name for field in fields(Group) if field.compare and field.name != "marks"))
"""All that neighbours must share to become one group: what they are of, and their place in reading."""


def marks(scene: Scene, view: View, theme: Theme) -> tuple[Group, ...]:
    """What to draw, back to front; neighbours of one entity, kind, state and label share a group."""
    return tuple(_merged(Maker(scene, view, theme).groups()))


def _merged(groups: Iterable[Group]) -> Iterator[Group]:
    for _, run in groupby(groups, key=_whose):
        first, *more = run
        if more:
            together = tuple(mark for group in (first, *more) for mark in group.marks)
            first = replace(first, marks=together, rank=min(group.rank for group in (first, *more)))
        yield first


class Maker(Told):
    """Makes the marks of one page, part by part; the page to click asks it for single parts in every state."""

    def groups(self) -> Iterator[Group]:
        """A group for each part that leaves a mark; cuts last, over everything."""
        parts = self.parts
        shown = (p for i, p in enumerate(parts) if not (isinstance(p, Gap) and not self.opens(i)))
        for part in self.whole(p for p in shown if not isinstance(p, Spot)):
            yield from self.group(part)
        for part in parts:
            if isinstance(part, Spot):
                yield from self.group(part)

    def whole(self, parts: Iterable[Part]) -> Iterator[Part]:
        """The parts, pieces of a strand that follow each other in one state joined."""
        held: Strand | None = None
        for part in parts:
            if not isinstance(part, Strand):
                if held:
                    yield held
                    held = None
                yield part
                continue
            joined = strokes.continued(held, part) if held else None
            if held and joined and self.state(held) == self.state(part):
                held = joined
                continue
            if held:
                yield held
            held = part
        if held:
            yield held

    def group(self, part: Part) -> Iterator[Group]:
        """The part's group, if it leaves a mark."""
        if isinstance(part, Note):
            made = tuple(self.draw(part))
            if made:
                yield Group("", part.role, "plain", "", made, self.rank(part))
            return
        state = self.view.entity(part.entity)
        if state == "hidden":  # with all that belongs to it, whatever state a strand of it has
            return
        made = tuple(self.draw(part))
        if made:
            shown: State = "blank" if self.number(part) else state
            names = self.names
            id = names.entity(part.entity) if part.entity else ""
            own = (id, names.kind(part.kind), shown, self.said(part))
            yield Group(*own, made, self.rank(part))

    def draw(self, part: Part) -> Iterator[Mark]:
        """Marks of one part, back to front."""
        how: Callable[[Maker, Part], Iterator[Mark]] = _HOW(
            type(part)
        )  # the method itself would wrap it anew each time
        return how(self, part)

    @singledispatchmethod
    def _draw(self, part: Part) -> Iterator[Mark]:
        raise TypeError(f"no look for {type(part).__name__}")

    @_draw.register
    def _panel(self, part: Panel) -> Iterator[Mark]:
        panels = self.theme.panels
        fill = panels.fills[part.index % len(panels.fills)] if panels.fills else None
        box = part.box
        if fill:
            yield Plate(box=box, radius=panels.radius * self.scale, fill=fill)
        if panels.rule and part.index:
            x = box.right if self.scene.side == "right" else box.x
            for top, bottom in self.clear(x, box.y, box.bottom):
                edge = strokes.line((x, top), (x, bottom))
                yield Path(curve=edge, stroke=panels.rule, width=panels.width * self.scale)

    def clear(self, x: float, top: float, bottom: float) -> Iterator[tuple[float, float]]:
        """The stretches of a vertical line that meet no text and no box to write in."""
        pad = CLEAR_MM * self.scale
        beside = (b for b in self.written if b.x - pad < x < b.right + pad and b.bottom + pad > top)
        taken = sorted((b.y - pad, b.bottom + pad) for b in beside if b.y - pad < bottom)
        for first, last in taken:
            if first > top:
                yield top, min(first, bottom)
            top = max(top, last)
        if top < bottom:
            yield top, bottom

    @_draw.register
    def _heading(self, part: Heading) -> Iterator[Mark]:
        look = self.look(part.entity)
        number = self.number(part)
        text = part.text
        if number:
            w = self.heading_width + 2 * text.size * MM_PER_PT
            box = Box(text.box.x + text.box.w / 2 - w / 2, text.box.y, w, text.box.h)
            yield from self.boxes.blank(box, (box.x, box.y + box.h / 2), number)
            return
        if not any((id, "name") in self.view.blanks for id in part.says):
            yield lines.words(text, look.soft or self.theme.soft)

    @_draw.register
    def _gap(self, part: Gap) -> Iterator[Mark]:
        yield Path(curve=part.curve, stroke=self.theme.page, width=part.width)

    @_draw.register
    def _strand(self, part: Strand) -> Iterator[Mark]:
        state = self.state(part)
        if state == "hidden":
            return
        yield from strokes.strand(
            part, self.pen(part.entity, part.root, part.source), self.theme, self.names.root(part.root), state
        )

    @_draw.register
    def _leader(self, part: Leader) -> Iterator[Mark]:
        rules, look = self.theme.rules, self.look(part.entity)
        width = rules.leader_width * self.scale
        wanted = look.dash if look.strand else ()  # only where strands are grey too
        curve = self._from_blank(part)
        dash, offset = strokes.dashed(wanted, 4 * width, curve)
        yield Path(curve=curve, stroke=look.strand or rules.leader, width=width, dash=dash, offset=offset)

    def _from_blank(self, part: Leader) -> Curve:
        """A leader's curve; where its name is blank it begins beside the blank, so that it tells no name's length."""
        if part.to == "strands":  # name and blank begin at one place
            return part.curve
        start, end = part.curve[0], part.curve[3]
        own = [label.blank for label in self.blanks if label.entity == part.entity]
        blank = min(own, key=lambda box: abs(box.y + box.h / 2 - start[1]) + abs(box.x - start[0]), default=None)
        if blank is None or start[0] == end[0]:  # a bracket beside the rows is no line from a name
            return part.curve
        pad = CLEAR_MM * self.scale
        x = min(blank.right + pad, end[0]) if start[0] < end[0] else max(blank.x - pad, end[0])
        rest = part.curve[3:] if start[1] == end[1] else part.curve
        return strokes.line((x, start[1]), rest[0]) + rest[1:]

    @_draw.register
    def _pill(self, part: Pill) -> Iterator[Mark]:
        look, kind = self.look(part.entity), self.theme.kind(part.kind)
        number = self.number(part)
        if number:
            yield from self.boxes.blank(part.box, part.badge, number)
            return
        yield Plate(
            box=part.box,
            radius=min(kind.radius * self.scale, part.box.h / 2, self.roundest[part.kind]),
            fill=look.fill or kind.fill,
            stroke=look.stroke or kind.stroke,
            width=kind.width * self.scale,
        )
        for line in part.lines:
            yield lines.words(line, self.ink(part, look))
        answer = self.view.answers.get((part.entity, "name"))
        if answer:
            r = self.boxes.badge_radius(part.box.h)
            yield from self.boxes.beside((part.box.x - 0.75 * r, part.box.y + part.box.h / 2), r, answer)

    @_draw.register
    def _label(self, part: Label) -> Iterator[Mark]:
        look, kind = self.look(part.entity), self.theme.kind(part.kind)
        number = self.number(part)
        if number:
            yield from self.boxes.blank(part.blank, part.badge, number)
            return
        if look.behind and part.role == "name" and part.lines:
            yield self.boxes.behind([line.box for line in part.lines], look.behind)
        for line in part.lines:
            name = part.role == "name"
            yield lines.words(line, self.ink(part, look) if name else look.soft or kind.soft)
        answer = self.view.answers.get((part.entity, part.role))
        if answer and part.lines:
            r = self.boxes.badge_radius(part.blank.h)
            first, pad = part.lines[0], r + 0.6 * self.scale
            x = first.box.right + pad if first.anchor == "end" else first.box.x - pad
            yield from self.boxes.beside((x, first.box.y + first.box.h / 2), r, answer)

    @_draw.register
    def _row(self, part: Row) -> Iterator[Mark]:
        yield from self.row_start(part)
        for dot in part.dots:
            yield from self.dot(part, dot)
        yield from self.row_name(part)
        yield from self.row_word(part)

    def row_start(self, part: Row) -> Iterator[Mark]:
        """What lies behind the dots of a row, and where it has none."""
        look = self.look(part.entity)
        if look.behind and not self.number(part):
            ends = [(d.x + d.r, d.y) for d in part.dots] + list(part.empty)
            boxes = [part.name.box, *(Box(x, part.name.box.y, 0.0, 0.0) for x, _ in ends)]
            yield self.boxes.behind(boxes, look.behind)
        r = min((d.r for d in part.dots), default=0.6 * self.scale)
        for x, y in part.empty:
            yield Disc(x=x, y=y, r=0.22 * r, fill=self.theme.rules.cell)

    def row_name(self, part: Row) -> Iterator[Mark]:
        """The name of a row or its blank, and its number."""
        number = self.number(part)
        if number:
            yield self.boxes.box(part.blank)
        else:
            yield lines.words(part.name, self.ink(part, self.look(part.entity)))
        badge = number or self.view.answers.get((part.entity, "name"))
        if badge:
            yield lines.words(replace(part.badge, string=str(badge), bold=True), self.theme.ink)

    def row_word(self, part: Row) -> Iterator[Mark]:
        """The word for the state of a row, if it has one."""
        word = replace(part.word, string=self.view.words.get(part.entity, part.word.string))
        if word.string:
            yield lines.words(word, self.look(part.entity).word or self.theme.soft)

    def dot(self, row: Row, dot: Dot) -> Iterator[Mark]:
        """A root of a row: a disc, a ring where the share is minor, a cross where it is lost."""
        key = (row.entity, dot.root, row.via, 0)
        state = self.view.strands.get(key)
        if state is None:
            own = self.view.entity(row.entity)
            state = "lost" if own == "lost" else self.view.strand(key)
        if state == "hidden":
            return
        look, theme = self.theme.look(state), self.theme
        if state == "lost":
            yield from strokes.cross(dot, look.soft or theme.soft)
            return
        pen = self.pen(row.entity, dot.root, row.nerve)
        colour = look.strand or mix(pen.strand, theme.page, look.mix)
        width = min(theme.rules.ring_width * self.scale, 0.5 * dot.r)
        inner = dot.r - width / 2
        hollow = dot.minor or look.hollow
        yield Disc(x=dot.x, y=dot.y, r=inner, fill=theme.page if hollow else colour, stroke=colour, width=width)

    @_draw.register
    def _area(self, part: Area) -> Iterator[Mark]:
        yield from areas.area(part, self.view.entity(part.entity), self.theme, self.pens, self.scale)

    @_draw.register
    def _sinew(self, part: Sinew) -> Iterator[Mark]:
        yield from areas.sinew(part, self.view.entity(part.entity), self.theme, self.scale)

    @_draw.register
    def _shape(self, part: Shape) -> Iterator[Mark]:
        yield from areas.shape(part, self.theme, self.scale, self.theme.ink)

    @_draw.register
    def _state_word(self, part: Word) -> Iterator[Mark]:
        string = self.view.words.get(part.entity, part.text.string)
        if string:
            yield lines.words(replace(part.text, string=string), self.look(part.entity).word or self.theme.soft)

    @_draw.register
    def _spot(self, part: Spot) -> Iterator[Mark]:
        if (part.entity, part.at) in self.cuts:
            yield from strokes.cut(part, self.theme.cut, self.theme.page, self.scale)

    @_draw.register
    def _note(self, part: Note) -> Iterator[Mark]:
        string = self.view.note(part)
        if not string and not (part.role == "legend" and self.view.hues):
            return
        theme = self.theme
        colour = theme.ink if part.role == "title" else theme.soft
        if part.role == "table-root":
            root = part.key if part.key in self.pens else string
            asked = self.view.blanks.get((root, "name"))
            if asked and part.key not in self.view.notes:
                string = str(asked)
            elif root in self.pens:
                colour = self.root_text(root)
        if part.role == "legend" and self.view.hues:
            yield from hues.legend(part, self.view, theme)
            return
        yield lines.words(lines.within(replace(part.text, string=string), part.room), colour)


_HOW = Maker.__dict__["_draw"].dispatcher.dispatch
"""Kind of part → how it is drawn."""
