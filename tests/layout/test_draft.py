"""Drafts that are kept: each is what it would be if it were made anew, and none is made twice."""

from __future__ import annotations

from random import Random

import pytest

from plexusdraw.courses import load
from plexusdraw.layout import labels
from plexusdraw.layout.attempt import attempt, blocks, scale_of
from plexusdraw.layout.columns import down
from plexusdraw.layout.columns.draft import KNOWN, Push, Recipe, draft
from plexusdraw.layout.columns.most import ANY, Most
from plexusdraw.layout.fit import Options, prepared
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.routes import fibres

PLEXUS = load("brachial")
OPTIONS = Options("nerves", paper("16:9"))
SHAPES = ((8.5, 14.0), (8.5, 7.0), (4.0, 7.0), (4.0, 10.0))


def recipe():
    return Recipe(prepared(PLEXUS, fibres.of(PLEXUS), "nerves", False), Wording(), False)


def made(known, form, push, most=ANY):
    scale = scale_of(OPTIONS, OPTIONS.page.smallest, form)
    return draft(known, scale, blocks(known, scale, form), push, most)


def told(found):
    frame = found.frame
    return frame.ys, frame.lanes, frame.xs.gaps, found.top, found.bottom, found.width, found.crowded


def test_what_is_known_changes_no_draft():
    known = recipe()
    asked = [(labels.on_screen(shape, 0.22), push) for shape in SHAPES[:2] for push in (Push(), Push(1.0, 40.0))]
    for form, push in [*asked, *reversed(asked)]:
        assert told(made(known, form, push)) == told(made(recipe(), form, push))


def test_forms_that_come_to_the_same_lines_have_one_draft():
    known = recipe()
    first, second = (made(known, labels.on_screen(shape, 0.22), Push()) for shape in ((8.5, 14.0), (8.5, 13.0)))
    assert first is second
    assert made(known, labels.on_screen((8.5, 14.0), 0.45), Push()) is not first
    assert made(known, labels.on_screen((8.5, 14.0), 0.22), Push(1.2)) is not first


@pytest.mark.parametrize(
    ("too_much", "still"),
    [(Most(width=1.0), Most(width=0.5)), (Most(area=100.0), Most(area=50.0))],
    ids=["wide", "large"],
)
def test_one_that_was_broken_off_is_not_taken_for_a_whole(too_much, still):
    known, form = recipe(), labels.on_screen((8.5, 14.0), 1.0)
    broken = made(known, form, Push(), too_much)
    assert broken.crowded
    assert made(known, form, Push(), still) is broken
    whole = made(known, form, Push())
    assert told(whole) == told(made(recipe(), form, Push()))
    assert made(known, form, Push(), too_much) is whole


@pytest.mark.parametrize("shape", SHAPES)
def test_a_drawing_is_given_up_only_when_it_takes_too_much_already(shape):
    form = labels.on_screen(shape, 1.0)
    whole = made(recipe(), form, Push())
    assert whole.spread.frame.xs.width * whole.spread.least <= whole.width * whole.height
    assert told(made(recipe(), form, Push(), Most(whole.width, whole.width * whole.height))) == told(whole)
    assert made(recipe(), form, Push(), Most(area=0.5 * whole.width * whole.height)).spread.given_up


def test_no_more_are_kept_than_a_lecture_wants():
    known, form = recipe(), labels.on_screen((8.5, 14.0), 0.22)
    for i in range(KNOWN + 3):
        known.known[i] = None
    attempt(known, OPTIONS, OPTIONS.page.smallest, form)
    before = len(known.known)
    attempt(known, OPTIONS, OPTIONS.page.smallest, form, Push(1.1))
    assert len(known.known) <= before


@pytest.mark.parametrize("detail", ["framework", "nerves"])
def test_a_column_at_rest_need_not_be_levelled_again(detail):
    plan, dice = prepared(PLEXUS, fibres.of(PLEXUS), detail, False), Random(1)
    pulls = {id: [] for id in plan.slots}
    for tie in plan.ties:
        shift = dice.uniform(-1, 1)
        pulls[tie.parent].append(down.Pull(tie.child, shift, len(tie.roots)))
        pulls[tie.child].append(down.Pull(tie.parent, -shift, len(tie.roots)))
    extents = {id: down.Extent(dice.uniform(1, 9), dice.uniform(1, 9)) for id in plan.slots}
    short, long = down.Rows(plan, pulls), down.Rows(plan, pulls)
    assert len(short._again) < len(short._first)
    long._again = long._first
    assert short.settle(extents, 0.8) == long.settle(extents, 0.8)
