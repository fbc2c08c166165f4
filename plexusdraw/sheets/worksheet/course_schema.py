"""The form of a course file: a teacher's standing choices for worksheets."""

from __future__ import annotations

from typing import Annotated

from pydantic import StringConstraints

from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Limb
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.yamlfile.form import LONGEST, ONE_OR_MORE, Ids, Row, Text, Wanted, between, may_be_left_out, one_of

Words = Annotated[str, StringConstraints(max_length=LONGEST)]


class CourseFile(Row):
    """A whole file."""

    course: Words = may_be_left_out()
    title: Words = may_be_left_out()
    instructions: Words = may_be_left_out()
    kind: Annotated[str, one_of(REGISTRY)] = may_be_left_out()
    ask: Annotated[Ids, ONE_OR_MORE] = may_be_left_out()
    count: Annotated[int, Wanted("a whole number of 1 or more", ge=1)] = may_be_left_out()
    level: Annotated[int, between(1, 4, "whole number")] = may_be_left_out()
    word_bank: bool = may_be_left_out("word-bank")
    paper: Text = may_be_left_out()
    side: Limb = may_be_left_out()
    theme: Text = may_be_left_out()
    detail: Detail = may_be_left_out()
