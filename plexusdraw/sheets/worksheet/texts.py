"""Pages of text: lines to answer on where the drawing's page has no room for them, and the marking list of a key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.layout.paper import Paper
from plexusdraw.scene import Box, Note, Part
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import flow, form_page
from plexusdraw.sheets.worksheet.flow import LINES_MM, NARROWEST_MM, NUMBER_MM, Flow, Item
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.shared_answers import helpful
from plexusdraw.sheets.worksheet.space import Space
from plexusdraw.sheets.worksheet.spec import Question

LIST_PTS = (8.0, 6.5)
"""Type of a marking list: on a page of its own, and where it would else have none beside its drawing."""
MARKED_MM = 62.0
"""Least width of a column of the marking list beside or under a drawing."""


def whole(page: Paper, frame: Frame) -> Box:
    """The room between head and foot of a page."""
    top, bottom = form_page.room(page, frame)
    return Box(page.margin, top, page.width - 2 * page.margin, bottom - top)


def column_width(page: Paper) -> float:
    """Width of one column of text on a page, mm."""
    wide = page.width - 2 * page.margin
    return flow.column_width(wide, flow.many(wide))


def flowed(page: Paper, frame: Frame, items: Sequence[Item], how: Flow | None = None) -> list[list[Part]]:
    """The items in columns, page after page."""
    box, rest = whole(page, frame), list(items)
    made: list[list[Part]] = []
    how = how or Flow(flow.many(box.w), LINES_MM[0])
    while rest or not made:
        parts, rest = flow.poured(rest, box, how)
        made.append(parts)
    return made


def line_pages(page: Paper, frame: Frame, items: Sequence[Item]) -> tuple[Page, ...]:
    """Pages with lines to answer on: one, if narrower columns or nearer lines make it one."""
    plain = replace(frame, bank=(), legend="")
    box = whole(page, plain)
    usual = flow.many(box.w)
    tries = [Flow(columns, pitch) for columns in range(usual, usual + 2) for pitch in LINES_MM]
    tries = [how for how in tries if flow.column_width(box.w, how.columns) >= NARROWEST_MM]
    chosen = next((how for how in tries if not flow.poured(items, box, how)[1]), tries[0])
    view = View(asks=True, title=plain.title)
    if items and not flow.poured(items, box, chosen)[1]:  # columns of about one length
        even = replace(box, h=min(box.h, flow.least_height(items, box.w, chosen)))
        made = [flow.poured(items, even, chosen)[0]]
    else:
        made = flowed(page, plain, items, chosen) if items else []
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


def marked_pages(
    drawn: Page, page: Paper, frame: Frame, questions: Sequence[Question], space: Space | None
) -> tuple[Page, ...]:
    """A key: its drawing with the marking list in the *space* for lines, if there is room for all; else pages of lists.

    *drawn*: the drawing with its answers.
    """
    brief = not frame.named
    for size in LIST_PTS:
        if space is None or size < page.smallest:
            break
        columns = flow.many(space.box.w, MARKED_MM * size / LIST_PTS[0])
        wide = flow.column_width(space.box.w, columns)
        head = Item(tuple((text, 0.0, False) for text in fonts.wrap(_said(brief), wide, size)), size=size)
        items = [head, *(_marked(q, wide, size, brief) for q in questions)]
        parts, rest = flow.poured(items, space.box, Flow(columns, LINES_MM[0]))
        low = max(p.text.box.bottom for p in parts if isinstance(p, Note))
        if not rest and low <= space.box.bottom:
            return (Page(form_page.added(drawn.scene, parts), drawn.view),)
    return (drawn, *marking_pages(page, frame, questions))


def marking_pages(page: Paper, frame: Frame, questions: Sequence[Question]) -> tuple[Page, ...]:
    """The marking list: what is right at each number, other spellings, points."""
    brief = not frame.named
    plain = replace(frame, bank=(), legend="", is_key=True, instructions=_said(brief))
    wide = column_width(page)
    view = View(asks=False, title=plain.title)
    made = flowed(page, plain, [_marked(q, wide, LIST_PTS[0], brief) for q in questions])
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


MARKING = (
    "Marking list. A point for each answer that is wanted. What follows “also” is right as well; "
    "exports list every spelling."
)
SHOWN = "What is right."


def _said(brief: bool) -> str:
    """How a marking list begins; *brief*: it is shown to those who were asked, who count no points."""
    return SHOWN if brief else MARKING


EITHER = "Sources differ, accept either way:"


def _marked(question: Question, wide: float, pt: float, brief: bool) -> Item:
    points = "" if brief else f"[{question.points}]"
    room = wide - NUMBER_MM
    rows: list[tuple[str, float, bool]] = []
    if question.wanted > 1 or question.key is None or len(question.answers) > 1:
        rows += [(text, NUMBER_MM, True) for text in fonts.wrap(question.prompt, room - 2, pt, bold=True)]
    several = len(question.answers) > 1
    for i, answer in enumerate(question.answers):
        if question.either and i == question.either[0]:
            rows += [(text, NUMBER_MM, True) for text in fonts.wrap(EITHER, room - 2, pt, bold=True)]
        others = () if brief else helpful(answer, question.accepted[i] if i < len(question.accepted) else ())
        rows += [(text, NUMBER_MM, not several) for text in fonts.wrap(answer, room - 8, pt, bold=True)]
        if others:
            said = f"also: {'; '.join(others)}"
            rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, pt)]
    for group in () if brief else question.together:
        said = f"“{group.spellings[0]}” is right for {len(group.members)} of these"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, pt)]
    for spelling, numbers in () if brief else question.shared:
        said = f"“{spelling}” is also right at {', '.join(map(str, numbers))}"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, pt)]
    if question.note:
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(question.note, room - 3, pt)]
    first, *rest = rows
    head = (f"{question.number}  {first[0]} {points}".rstrip(), 0.0, True)
    return Item((head, *rest), size=pt)
