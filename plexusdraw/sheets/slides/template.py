"""The outline of a lecture written out, with what there is to say, to be edited."""

from __future__ import annotations

from collections.abc import Iterator
from json import dumps
from typing import TYPE_CHECKING

from plexusdraw.sheets.slides import placeholders
from plexusdraw.sheets.slides.steps import Step, usual

if TYPE_CHECKING:
    from plexusdraw.sheets.slides.lecture import Lecture

_LISTS = ("show", "highlight", "hide", "injure")
_HEAD = """\
# Outline of a lecture: the steps in their order. Leave out, add, move and change what you like.
#
# On top: title, subtitle and occasion (a date, a course) stand on the slide with on: title.
#
# section    a heading over this step and those that follow
# title      title of the slide; subtitle: a line at its foot
# show       what appears and stays: a column ("trunks"), "side branches of roots", any structure,
#            "supply of radial nerve", "supply" (of all), "everything"
# highlight  structures whose fibres keep their colour on this slide
# hide       kinds of label that are blank: labels (all), roots, trunks, ..., nerves, muscles
# injure     sites to cut: "radial nerve at spiral groove"; with partial: true each spares some fibres
# on         drawing, table (the supply table), both, limb (plexus and limb on one slide, and in words what is lost or
#            supplied), title, sources
# picture    instead of the plexus: {nerve: radial nerve}, {limb: skin}, {table: true} or {worksheet: match}
# ask        a question that is put first, on a slide of its own: true, or in your words
# asked      what the question hides: names; way (of the fibres that are lit); supply; loss; site (of the injury).
#            By itself what the step brings: names of what is new, the way of what is lit, what an injury takes
# theme      of this slide: a theme's name or file
# notes      for the speaker; without them they are worked out from the model
"""


def template(lecture: Lecture) -> str:
    """The outline of a lecture as a file."""
    outline = lecture.outline
    made = [_HEAD, "outline: 1\n"]
    made += [f"{key}: {_text(value)}\n" for key, value in _top(outline.title, outline.subtitle, outline.occasion)]
    made.append("\nsteps:\n")
    section = None
    for step, said in zip(outline.steps, lecture.say(), strict=True):
        lines: list[str] = []
        if step.section != section:
            section = step.section
            made.append("\n")
            lines.append(f"section: {_text(section)}")
        lines += _lines(step)
        lines += ["notes: |", *(f"  {line}" for line in placeholders.kept(said).splitlines())] if said else []
        made.append("  - " + "\n    ".join(lines) + "\n")
    return "".join(made)


def _top(title: str, subtitle: str, occasion: str) -> Iterator[tuple[str, str]]:
    yield "title", title
    if subtitle:
        yield "subtitle", subtitle
    if occasion:
        yield "occasion", occasion


def _lines(step: Step) -> Iterator[str]:
    yield f"title: {_text(step.title)}"
    if step.subtitle:
        yield f"subtitle: {_text(step.subtitle)}"
    for key in _LISTS:
        if key in step.texts:
            yield f"{key}: [{', '.join(map(_text, step.texts[key]))}]"
    if step.partial:
        yield "partial: true"
    if step.on != "drawing":
        yield f"on: {step.on}"
    if step.picture:
        yield f"picture: {{{step.picture.kind}: {_text(step.picture.of) if step.picture.of else 'true'}}}"
    if step.ask:
        yield f"ask: {_text(step.ask)}"
        if step.asked != usual(step):
            yield f"asked: {step.asked}"
    if step.theme:
        yield f"theme: {dumps(step.theme, ensure_ascii=False)}"


def _text(value: str) -> str:
    """A text as it stands in the file: what looks like a placeholder there is none."""
    return dumps(placeholders.kept(value), ensure_ascii=False)
