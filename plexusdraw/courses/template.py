"""A course file to edit: all that a model has, with comments. It works as it is written."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from plexusdraw import names
from plexusdraw.courses import keeping
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import capital

_PLAIN = re.compile(r"[A-Za-z][\w ()'/,-]*(?<! )")
_WORDS = {"yes", "no", "on", "off", "true", "false", "null", "y", "n"}


def written(plexus: Plexus, based_on: str, file: str = "my-course.yaml") -> str:
    """The text of a course that keeps all of a plexus and has its variants; *file*: what it will be called."""
    return "\n".join(_lines(plexus, based_on, file)) + "\n"


def _lines(plexus: Plexus, based_on: str, file: str) -> Iterator[str]:
    name = _said(file) if file != "-" else "my-course.yaml"
    yield "# A course: a model with what you leave out, and with words of your own. It stands wherever a model does:"
    yield f"#   plexusdraw draw {name} -o picture.svg"
    yield f"#   plexusdraw check {name}"
    yield "course: 1"
    yield f"name: {_text(capital(plexus.name))}   # stands on worksheets"
    yield f"based-on: {_text(based_on)}   # a built-in model, or a file beside this one"
    yield ""
    yield from _variants(plexus)
    yield ""
    yield from _keep(plexus)
    yield ""
    yield "# Minor shares count in what is computed in any case. hidden: they are neither drawn nor asked."
    yield "minor: shown"
    yield ""
    example = plexus.staged(plexus.stages[-1].id)[0].name
    yield "# Your own words; the usual names are right answers beside them."
    yield f"names: {{}}   # such as  names: {{{_said(_text(example, True))}: my own word}}"
    yield ""
    yield "# What holds where nothing is typed: options of the commands, without dashes."
    yield "worksheet: {kind: label, level: 2, paper: a4}"
    yield "slides: {detail: muscles}   # outline: a file beside this one"


def _variants(plexus: Plexus) -> Iterator[str]:
    yield "# How bodies differ (variant), and how one draws or names (convention)."
    yield f"variants: [{', '.join(_text(id, True) for id in plexus.applied)}]"
    for variant in plexus.variants.values():
        if variant.id not in plexus.applied:
            yield f"#   {_said(variant.id)}   {variant.kind}"


def _keep(plexus: Plexus) -> Iterator[str]:
    """What is kept, a line each, muscles and skin under their nerves."""
    yield "# What is shown; take out what you do not teach, and it is neither drawn, listed nor asked. It still counts:"
    yield '# a movement that it does is then done by "another muscle". The nerve of what is kept comes along. Groups'
    yield f"# ({_some(plexus)}) and whole columns may stand here too."
    yield '# "leave-out:" in place of "keep:" shows all but what is listed.'
    yield "keep:"
    for stage in plexus.stages:
        yield f"  - {_text(stage.name)}"
    yield "  - side branches"
    for title, table in (("muscles", plexus.muscles), ("skin", plexus.skin), ("of other nerves", plexus.outside)):
        if table:
            yield f"  # {title}"
        for id, entity in table.items():
            nerves = ", ".join(plexus.segments[nerve].name for nerve in plexus.nerves_of.get(id, ()))
            yield f"  - {_named(plexus, entity)}" + (f"   # {_said(nerves)}" if nerves else "")
    if plexus.signs:
        yield "  - signs"


def _some(plexus: Plexus) -> str:
    """A few groups, as examples."""
    return ", ".join(_said(group.name) for group in list(plexus.groups.values())[:2]) or "names for several muscles"


def _named(plexus: Plexus, entity: Entity) -> str:
    """The name of an entity as a course may say it: by its name where that means nothing else, else by its id."""
    try:
        alone = keeping.meant(plexus, names.display(entity)) == {entity.id}
    except UnknownNameError:
        alone = False
    return _text(names.display(entity) if alone else entity.id)


def _text(text: str, inline: bool = False) -> str:
    """A text as YAML has it, in quotes where it would be something else; *inline*: in a mapping on one line."""
    plain = _PLAIN.fullmatch(text) and text.lower() not in _WORDS and not (inline and "," in text)
    return text if plain else "".join(map(_seen, json.dumps(text, ensure_ascii=False)))


def _seen(sign: str) -> str:
    """A sign within quotes; as an escape where YAML would take it for the end of a line, or no one would see it."""
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"


def _said(text: str) -> str:
    """A text for a comment, which ends with its line."""
    return " ".join(text.split())
