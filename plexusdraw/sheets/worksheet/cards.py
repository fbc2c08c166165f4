"""Flash cards: eight a page, fronts and backs on the two sides of a sheet, with marks to cut along."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from plexusdraw import fonts, names
from plexusdraw.clinic import supply
from plexusdraw.clinic.supply import Supply
from plexusdraw.errors import SheetError
from plexusdraw.layout.paper import Paper
from plexusdraw.model.entities import Entity, Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.accepted import accepted
from plexusdraw.names.spelling import capital
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import MM_PER_PT, Leader, Part
from plexusdraw.scene.curves import line
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import pool
from plexusdraw.sheets.worksheet.form_page import SMALL_PT, free_page, words
from plexusdraw.sheets.worksheet.registry import CARDS, kind
from plexusdraw.sheets.worksheet.shared_answers import groups, helpful
from plexusdraw.sheets.worksheet.spec import Form, Question, Spec

USUAL = ("roots", "muscles", "skin")
SIDE_MM, HEAD_MM = 12.0, 16.0
"""Free edge beside the cards, and over and under them: the same on both sides of a sheet, so that they match."""
MARK_MM = (5.0, 10.0)
"""Where the marks begin and end, from the edge of the page: what a school printer prints."""
CROSS_MM = 1.2
PAD_MM = 5.0
FRONT_PT, BACK_PT, ALSO_PT, CAPTION_PT = 14.0, 14.0, 8.0, 8.0
LEAST_PT = 6.5
SHORT, LONG = 2, 4
"""Cards along the short and the long side of the page."""
NOTE = "Print on both sides, turned on the long edge; cut along the marks."


@dataclass(frozen=True)
class Cards:
    """Makes the decks of one set."""

    plexus: Plexus
    spec: Spec

    @cached_property
    def supply(self) -> Supply:
        """Who supplies what."""
        return supply.of(self.plexus)

    @cached_property
    def all(self) -> tuple[Question, ...]:
        """Every card that may be printed, numbered.

        Raises:
            SheetError: there is none. UnknownNameError: ``spec.ask`` or ``spec.only`` names nothing.
        """
        topics = pool.topics(self.spec.ask, CARDS, USUAL)
        found = [card for topic in topics for card in self._topic(topic)]
        if self.spec.only:
            id = names.find(self.plexus, self.spec.only, ("segment", "muscle", "skin")).id
            found = [card for card in found if card[0] == id]
        if not found:
            raise SheetError(f"no cards of the {self.plexus.name} about this")
        return tuple(card for _, card in found)

    def form(self, number: int, first: int = 1) -> Form:
        """One deck of the set, counted from 1, with its cards from *first* on; it is its own key."""
        spec = self.spec
        chosen: Sequence[Question] = spec.chosen(self.all, number, "cards") if spec.count else self.all
        cards = tuple(_numbered(card, i) for i, card in enumerate(chosen, start=first))
        code = spec.code(number)
        title = spec.title or f"{capital(self.plexus.name)}: {kind(spec.kind).title}"
        return Form(code, tuple(_sheets(spec.page, cards, title, code)), (), cards)

    def _topic(self, topic: str) -> Iterator[tuple[str, Question]]:
        """Cards of a topic, each with the id that it is about."""
        fine = self.spec.level > 2
        if topic in ("muscles", "skin"):
            for target in self.supply.targets:
                nerve = self.supply.nerve(target, fine)
                if nerve and target.kind == ("muscle" if topic == "muscles" else "skin"):
                    yield target.id, self._nerve_of(target, nerve)
        elif topic == "movements":
            for muscle in self.plexus.muscles.values():
                if muscle.movements:
                    front = f"What does the {muscle.name} do?"
                    yield muscle.id, _card("movements of a muscle", front, muscle.movements)
        else:
            for nerve in self.supply.nerves(fine):
                if card := self._about_nerve(topic, nerve):
                    yield nerve.id, card

    def _nerve_of(self, target: Target, nerve: Segment) -> Question:
        part = "the " if target.kind == "muscle" else "the skin of the "
        ways = {id for r in self.supply.fibres.of(target.id) for id in r.path[r.path.index(nerve.id) + 1 :]}
        branches = [e for id, e in self.plexus.segments.items() if id in ways]
        also = [text for e in (nerve, *branches) for text in self._spelled(e) if text != names.display(nerve)]
        what = "nerve of a muscle" if target.kind == "muscle" else "nerve of a skin area"
        return _card(what, f"Which nerve supplies {part}{target.name}?", [names.display(nerve)], [also])

    def _spelled(self, entity: Entity) -> tuple[str, ...]:
        return (names.display(entity), *accepted(self.plexus, entity, self.plexus.segments.values()))

    def _about_nerve(self, topic: str, nerve: Segment) -> Question | None:
        shown = names.display(nerve)
        if topic == "roots":
            shares = self.supply.fibres.shown[nerve.id]
            held = [f"({root})" if minor else root for root, minor in shares.items()]
            also = [", ".join(shares), ", ".join(root for root, minor in shares.items() if not minor)]
            also = [text for text in also if text and text != ", ".join(held)]
            return _card("roots of a nerve", f"Roots of the {shown}?", [", ".join(held)], [also])
        if topic == "origins":
            parents = [self.plexus.segments[id] for id in nerve.parents]
            spelled = [self._spelled(p)[1:] for p in parents]
            return _card("origin of a nerve", f"What gives rise to the {shown}?", [p.name for p in parents], spelled)
        targets = supplied(self.plexus, nerve.id)
        spelled = [(*([t.name] if t.kind == "skin" else []), *accepted(self.plexus, t, targets)) for t in targets]
        back = [f"skin of the {t.name}" if t.kind == "skin" else t.name for t in targets]
        card = _card("supply of a nerve", f"What does the {shown} supply?", back, spelled)
        several = groups(self.plexus, [t.id for t in targets])
        return Question(1, card.prompt, card.answers, card.wanted, card.accepted, together=several, card=card.card)


def _card(what: str, front: str, back: Sequence[str], also: Sequence[Sequence[str]] = ()) -> Question:
    return Question(1, front, tuple(back), len(back), tuple(tuple(dict.fromkeys(a)) for a in also), card=what)


def _numbered(card: Question, number: int) -> Question:
    return Question(
        number, card.prompt, card.answers, card.wanted, card.accepted, together=card.together, card=card.card
    )


def _sheets(page: Paper, cards: Sequence[Question], title: str, code: str) -> Iterator[Page]:
    """Fronts and backs of each sheet of paper."""
    per = SHORT * LONG
    many = -(-len(cards) // per)
    for sheet in range(many):
        here = cards[sheet * per : (sheet + 1) * per]
        for back in (False, True):
            side = f"{'backs' if back else 'fronts'} {sheet + 1} of {many}"
            parts = [*_marks(page), words(f"{title} · {code} · {side}. {NOTE}", SIDE_MM, HEAD_MM - 3.0, SMALL_PT)]
            for place, card in enumerate(here):
                x, y, w, h = _place(page, place, back)
                parts += _back(card, x, y, w, h) if back else _front(card, x, y, w, h)
            yield Page(free_page(page, parts), View(asks=True, title=title))


def _grid(page: Paper) -> tuple[int, int]:
    """Columns and rows."""
    return (SHORT, LONG) if page.height > page.width else (LONG, SHORT)


def _place(page: Paper, place: int, back: bool) -> tuple[float, float, float, float]:
    """Left, top, width and height of a card, mm. A sheet turned on its long edge is mirrored about it."""
    columns, rows = _grid(page)
    row, column = divmod(place, columns)
    if back and page.height > page.width:
        column = columns - 1 - column
    elif back:
        row = rows - 1 - row
    w, h = (page.width - 2 * SIDE_MM) / columns, (page.height - 2 * HEAD_MM) / rows
    return SIDE_MM + column * w, HEAD_MM + row * h, w, h


def _marks(page: Paper) -> Iterator[Part]:
    """Short lines at the edge of the page where to cut, and crosses where cuts meet."""
    columns, rows = _grid(page)
    _, _, w, h = _place(page, 0, False)
    xs, ys = [SIDE_MM + i * w for i in range(columns + 1)], [HEAD_MM + i * h for i in range(rows + 1)]
    near, far = MARK_MM
    for i, x in enumerate(xs):
        for j, (a, b) in enumerate(((near, far), (page.height - far, page.height - near))):
            yield Leader(f"cut-x{i}-{j}", "rule", line((x, a), (x, b)))
    for i, y in enumerate(ys):
        for j, (a, b) in enumerate(((near, far), (page.width - far, page.width - near))):
            yield Leader(f"cut-y{i}-{j}", "rule", line((a, y), (b, y)))
    for i, x in enumerate(xs[1:-1]):
        for j, y in enumerate(ys[1:-1]):
            yield Leader(f"cross-{i}-{j}-a", "rule", line((x - CROSS_MM, y), (x + CROSS_MM, y)))
            yield Leader(f"cross-{i}-{j}-b", "rule", line((x, y - CROSS_MM), (x, y + CROSS_MM)))


def _front(card: Question, x: float, y: float, w: float, h: float) -> Iterator[Part]:
    yield _centred(card.card, x + w / 2, y + PAD_MM + fonts.ascent(CAPTION_PT), CAPTION_PT)
    yield from _middle([card.prompt], x, y, w, h, FRONT_PT)


def _back(card: Question, x: float, y: float, w: float, h: float) -> Iterator[Part]:
    yield _centred(card.card, x + w / 2, y + PAD_MM + fonts.ascent(CAPTION_PT), CAPTION_PT)
    others = [text for text in card.spellings() if text not in card.answers]
    also = helpful(card.answers[0], others) if len(card.answers) == 1 else ()
    shown = fonts.wrap(f"also: {'; '.join(also)}", w - 2 * PAD_MM, ALSO_PT) if also else []
    foot = len(shown) * ALSO_PT * MM_PER_PT * 1.25
    yield from _middle(card.answers, x, y, w, h - foot, BACK_PT)
    for i, text in enumerate(shown):
        base = y + h - PAD_MM - foot + (i + 1) * ALSO_PT * MM_PER_PT * 1.25
        yield _centred(text, x + w / 2, base - fonts.descent(ALSO_PT), ALSO_PT)


def _middle(items: Sequence[str], x: float, y: float, w: float, h: float, size: float) -> Iterator[Part]:
    """Texts in the middle of a card, as large as it has room for; what has none at the least size is counted."""
    room_w, room_h = w - 2 * PAD_MM, h - 2 * PAD_MM - 2 * CAPTION_PT * MM_PER_PT - 2.0
    while True:
        lines = [text for item in items for text in fonts.wrap(item, room_w, size, bold=True)]
        tall = size * MM_PER_PT * 1.3
        if len(lines) * tall <= room_h or size <= LEAST_PT:
            break
        size -= 0.5
    most = int(room_h / tall)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"and {len(lines) - most + 1} more"]
    top = y + PAD_MM + CAPTION_PT * MM_PER_PT + 2.0 + (room_h - len(lines) * tall) / 2
    for i, text in enumerate(lines):
        yield _centred(text, x + w / 2, top + i * tall + fonts.ascent(size) + 0.1 * tall, size, bold=True)


def _centred(text: str, middle: float, y: float, size: float, bold: bool = False) -> Part:
    return words(text, middle - fonts.width(text, size, bold) / 2, y, size, bold=bold)
