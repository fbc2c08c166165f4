"""The form of a file of a reader's own words: structure → text."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, RootModel, StringConstraints

from plexusdraw.yamlfile.form import LONGEST_NAME, Text, Wanted

Label = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=LONGEST_NAME),
    Wanted(f"text of 1 to {LONGEST_NAME} characters"),
]


class LabelsFile(RootModel[dict[Text, Label]]):
    """A whole file."""

    model_config = ConfigDict(strict=True)
