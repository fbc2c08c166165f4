"""Pens of strands and dots where colour stands for something else than the root, and the samples of a legend."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.look import lines, strokes
from plexusdraw.look.marks import Mark
from plexusdraw.look.theme import NEUTRAL, Pen, Theme
from plexusdraw.scene import MM_PER_PT, Note, Strand
from plexusdraw.scene.view import Hue, View

SAMPLE_EMS = 2.6
"""Length of a sample of a strand, in ems of the legend."""
APART_EMS = 1.2


def pen(theme: Theme, hue: Hue) -> Pen:
    """Pen of a hue: of a plane by its name, of a nerve by its number."""
    return theme.pen(hue) if isinstance(hue, int) else theme.planes.get(hue, theme.planes[NEUTRAL])


def legend(part: Note, view: View, theme: Theme) -> Iterator[Mark]:
    """Samples of the hues, each with its words, then what the legend says besides."""
    em = part.text.size * MM_PER_PT
    x, y = part.text.x, part.text.y - 0.33 * em
    for hue, words in view.hues.samples if view.hues else ():
        end = x + SAMPLE_EMS * em
        sample = Strand("", "", "", None, 0, strokes.line((x, y), (end, y)), 0.5 * em, minor=False)
        yield from strokes.strand(sample, pen(theme, hue), theme, "", "plain")
        text = fonts.text(words, end + 0.4 * em, part.text.y, part.text.size)
        yield lines.words(text, theme.soft)
        x = text.box.right + APART_EMS * em
    string = view.note(part)
    room = part.room - (x - part.text.x)
    if string and room > 0:
        yield lines.words(lines.within(replace(part.text, string=string, x=x), room), theme.soft)
