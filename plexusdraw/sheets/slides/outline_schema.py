"""The form of an outline file, version 1: a lecture as a list of steps."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StringConstraints

from plexusdraw.sheets.slides.steps import LONGEST, LONGEST_SAID, Asked, On
from plexusdraw.yamlfile.form import ONE_OR_MORE, Row, Text, Wanted, may_be_left_out

MOST_NAMES = 200
"""In one list of a step."""
Short = Annotated[str, StringConstraints(max_length=LONGEST)]
Names = Annotated[list[Short], Field(max_length=MOST_NAMES), ONE_OR_MORE]
Sites = Annotated[
    dict[Text, Annotated[list[Short], Field(max_length=MOST_NAMES)]],
    BeforeValidator(lambda value: {} if value is None else value),
]


class PictureRow(Row):
    """Any other picture of the tool: one of these."""

    nerve: Short = may_be_left_out()
    limb: Literal["skin", "muscles", "dermatomes"] = may_be_left_out()
    table: Annotated[bool, Wanted("true")] = may_be_left_out()
    worksheet: Short = may_be_left_out()


class StepRow(Row):
    """A slide, or several where it is repeated."""

    section: Short = may_be_left_out()
    title: Annotated[Text, StringConstraints(max_length=LONGEST)]
    subtitle: Short = may_be_left_out()
    each: Short = may_be_left_out()
    show: Names = may_be_left_out()
    highlight: Names = may_be_left_out()
    hide: Names = may_be_left_out()
    injure: Names = may_be_left_out()
    partial: bool = may_be_left_out()
    ask: Annotated[bool | Short, Wanted(f"true, or a question of up to {LONGEST} characters")] = may_be_left_out()
    asked: Asked = may_be_left_out()
    on: On = may_be_left_out()
    picture: PictureRow = may_be_left_out()
    theme: Short = may_be_left_out()
    notes: Annotated[str, StringConstraints(max_length=LONGEST_SAID)] = may_be_left_out()


class OutlineFile(Row):
    """A whole file."""

    outline: Literal[1]
    title: Short = may_be_left_out()
    subtitle: Short = may_be_left_out()
    occasion: Short = may_be_left_out()
    injuries: Sites = may_be_left_out()
    steps: Annotated[list[StepRow], Field(min_length=1)]
