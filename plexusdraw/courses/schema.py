"""The form of a course file."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from plexusdraw.yamlfile.form import Ids, Name, Row, Text


class CourseFile(Row):
    """A whole course file. ``worksheet`` and ``slides`` hold options of these commands, which check them."""

    course: Literal[1]
    name: Name
    based_on: Text = Field(default="brachial", alias="based-on")
    variants: Ids = []
    keep: Annotated[Ids, Field(min_length=1)] = Field(default=[])
    leave_out: Ids = Field(default=[], alias="leave-out")
    minor: Literal["shown", "hidden"] = "shown"
    names: dict[Text, Name] = {}
    worksheet: dict[Text, Any] = {}
    slides: dict[Text, Any] = {}
