"""The largest type of one form of drawing on a page: rows stretched until width and height bind alike."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.layout.attempt import Attempt, attempt
from plexusdraw.layout.columns.draft import Push, Recipe
from plexusdraw.layout.labels import Form
from plexusdraw.layout.options import Options, limits
from plexusdraw.scene import MM_PER_PT

GROWN_STRETCH = 1.4
GROWN_TRIES = 8
MOST_STRETCH = 3.4
EARLY_EMS = (7.0, 9.0, 11.0, 13.0, 15.0)
"""Widths tried for labels in gaps, where a page has width to spare but no height."""
BALANCING = 4
PATIENCE = 16
"""Most drafts tried before a page is found too small."""
SAME = 1.02
"""Where rows cannot be stretched, a gain of type under this is not worth another draft."""
MUCH = 1.05
"""A gain of type over this is worth another draft."""


def largest(
    recipe: Recipe, options: Options, form: Form, least: float = 0.0, start: Attempt | None = None
) -> Attempt | None:
    """The drawing that fills the page: rows stretched until width and height bind alike, then the largest type.

    All lengths but the smallest type grow with the base size: one draft tells the size that would fill the page. None
    where its type would be under *least* pt. *start*: the drawing in the smallest type, if it is already there.
    """
    found = _balanced(recipe, options, form, least, start)
    return found if found and found.size >= least else None


def _balanced(recipe: Recipe, options: Options, form: Form, least: float, start: Attempt | None) -> Attempt | None:
    low, high = limits(options.page)
    if options.page.grows:
        pushes = (Push(GROWN_STRETCH * 1.25**i) for i in range(GROWN_TRIES))
        tries = (attempt(recipe, options, high, form, push) for push in pushes)
        return next((t for t in tries if not t.draft.crowded), None)
    tried = start or smallest(recipe, options, form, least / low)
    if tried.wide < 1.0 or tried.tall < 1.0 or low * tried.wide < least:
        return None
    early = tried.push.early / low
    size, stretch, tight, loose = low, 1.0, 1.0, MOST_STRETCH
    for _ in range(BALANCING):
        before, size = size, min(max(size * min(tried.wide, tried.tall), low), high)
        if not tried.draft.crowded and tried.wide <= tried.tall < SAME * tried.wide:  # both bind already
            tight = stretch
            break
        if tried.wide < tried.tall or tried.draft.crowded:
            tight = stretch
        else:
            loose = stretch
        stretch = (tight + loose) / 2
        if loose == tight and size < before * SAME:
            break
        tried = attempt(recipe, options, size, form, Push(stretch, early * size))
    return _shrunk(recipe, options, form, size, Push(tight, early * size))


def smallest(recipe: Recipe, options: Options, form: Form, width: float = 1.0, high: bool = False) -> Attempt:
    """The drawing in the smallest type; where it is too high but has width to spare, that width is spent first.

    Not where the page is not *width* times wider than it: it will then not be wanted. *high*: with less to say it is
    too high already.
    """
    low = limits(options.page)[0]
    em = low * MM_PER_PT
    most = Push(early=EARLY_EMS[-1] * em)
    widest = attempt(recipe, options, low, form, most) if high else None
    if widest and widest.wide >= 1.0:
        return widest
    room = options.page.width - 2 * options.page.margin
    found = attempt(recipe, options, low, form, most=room / max(1.0, width))
    if found.tall >= 1.0 or found.wide < max(1.0, width):
        return found
    widest = widest or attempt(recipe, options, low, form, most)
    if widest.wide >= 1.0 or widest.tall < 1.0:  # it fits, or the others are hardly less high
        return max(found, widest, key=lambda t: min(t.wide, t.tall, 1.0))
    tries = [found, widest]
    for ems in EARLY_EMS[:-1]:
        tries.append(attempt(recipe, options, low, form, Push(early=ems * em)))
        if tries[-1].wide >= 1.0 and tries[-1].tall >= 1.0:
            return tries[-1]
    return max(tries, key=lambda t: min(t.wide, t.tall, 1.0))


def _shrunk(recipe: Recipe, options: Options, form: Form, size: float, push: Push) -> Attempt | None:
    """Change size and stretch until everything fits; what width is left over goes to the gaps.

    A crowded drawing needs more stretch (its size does not matter); a large one smaller type, then less stretch.
    """
    low = limits(options.page)[0]
    least, early = 1.0, push.early / size
    stretch = push.stretch
    for _ in range(PATIENCE):
        tried = attempt(recipe, options, size, form, Push(stretch, early * size))
        if tried.fits:
            return _with_spare(recipe, options, form, _enlarged(recipe, options, form, tried))
        if tried.draft.crowded:
            least, stretch = stretch, stretch * 1.2
        elif size > low:
            size = max(low, size * min(0.99, max(0.7, 0.998 * min(tried.wide, tried.tall))))
        elif stretch > least * 1.05 and stretch > 1.0:
            stretch = max(1.0, least * 1.04, stretch * 0.88)
        else:
            break
    return None


def _enlarged(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    """The same in larger type, where the page has much room to spare in height and width and it then still fits."""
    gain = min(found.wide, found.tall, limits(options.page)[1] / found.size)
    if gain < MUCH:
        return found
    push = replace(found.push, early=found.push.early * gain)
    larger = attempt(recipe, options, found.size * gain, form, push)
    return larger if larger.fits else found


def _with_spare(recipe: Recipe, options: Options, form: Form, found: Attempt) -> Attempt:
    spare = min(found.width - found.taken, 0.8 * sum(found.draft.frame.xs.gaps))
    if spare <= 1.0:
        return found
    wider = attempt(recipe, options, found.size, form, replace(found.push, spare=spare), found.draft.spread)
    return wider if wider.fits else found
