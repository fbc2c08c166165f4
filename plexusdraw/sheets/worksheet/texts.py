"""Pages of text: lines to answer on where the drawing's page has no room for them, and the marking list of a key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.layout.paper import Paper
from plexusdraw.scene import Box, Part
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import flow, form_page
from plexusdraw.sheets.worksheet.flow import LINES_MM, NUMBER_MM, Flow, Item
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.shared_answers import helpful
from plexusdraw.sheets.worksheet.spec import Question

LIST_PT = 8.0
NARROWEST_MM = 54.0
"""Least width of a column of lines to write on."""


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
    made = flowed(page, plain, items, chosen) if items else []
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


def marking_pages(page: Paper, frame: Frame, questions: Sequence[Question]) -> tuple[Page, ...]:
    """The marking list: what is right at each number, other spellings, points."""
    plain = replace(frame, bank=(), legend="", is_key=True, instructions=MARKING)
    wide = column_width(page)
    view = View(asks=False, title=plain.title)
    made = flowed(page, plain, [_marked(q, wide) for q in questions])
    return tuple(Page(form_page.blank_page(page, plain, parts), view) for parts in made)


MARKING = (
    "Marking list. A point for each answer that is wanted. What follows “also” is right as well; "
    "exports list every spelling."
)


EITHER = "Sources differ, accept either way:"


def _marked(question: Question, wide: float) -> Item:
    points = f"[{question.points}]"
    room = wide - NUMBER_MM
    rows: list[tuple[str, float, bool]] = []
    if question.wanted > 1 or question.key is None or len(question.answers) > 1:
        rows += [(text, NUMBER_MM, True) for text in fonts.wrap(question.prompt, room - 2, LIST_PT, bold=True)]
    several = len(question.answers) > 1
    for i, answer in enumerate(question.answers):
        if question.either and i == question.either[0]:
            rows += [(text, NUMBER_MM, True) for text in fonts.wrap(EITHER, room - 2, LIST_PT, bold=True)]
        others = helpful(answer, question.accepted[i] if i < len(question.accepted) else ())
        rows += [(text, NUMBER_MM, not several) for text in fonts.wrap(answer, room - 8, LIST_PT, bold=True)]
        if others:
            said = f"also: {'; '.join(others)}"
            rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    for group in question.together:
        said = f"“{group.spellings[0]}” is right for {len(group.members)} of these"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    for spelling, numbers in question.shared:
        said = f"“{spelling}” is also right at {', '.join(map(str, numbers))}"
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(said, room - 3, LIST_PT)]
    if question.note:
        rows += [(text, NUMBER_MM + 2.0, False) for text in fonts.wrap(question.note, room - 3, LIST_PT)]
    first, *rest = rows
    head = (f"{question.number}  {first[0]} {points}", 0.0, True)
    return Item((head, *rest), size=LIST_PT)
