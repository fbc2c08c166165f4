"""A teacher's course: a plexus with variants, with what is left out, and with words of her own, as one small file.

:func:`load` is what every command takes its plexus from: a course file stands wherever a model does.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from plexusdraw import inputs, model
from plexusdraw.model.plexus import Plexus
from plexusdraw.yamlfile.document import is_yaml, read_text

_FIRST = re.compile(r"""(?:^|\A\s*\{\s*)["']?(plexusdraw|course)["']?\s*:""", re.MULTILINE)
"""The key that says what a file is, at the start of a line; in quotes too, or first in braces, as JSON has it."""


def load(path_or_name: str | Path = "brachial", variants: Sequence[str] = ()) -> Plexus:
    """The plexus of a course file, of a model file, or the built-in one of that name, with these variants as well.

    The same text in the same process gives the same plexus.

    Raises:
        ModelError: the file is wrong, with all faults, one a line, each "file.yaml:12: message. hint"; or two of the
            variants do not combine.
        UnknownNameError: the model has no such variant.
    """
    path = Path(path_or_name)
    if is_yaml(path):
        text = read_text(path)
        if is_course(text):
            from plexusdraw.courses import file  # noqa: PLC0415

            return _with_chart(file.plexus(text, str(path_or_name), tuple(variants)))
    return _with_chart(model.load(path_or_name, variants))


def _with_chart(plexus: Plexus) -> Plexus:
    """The plexus; a chart beside its file is read sooner or later, and is an input from here on."""
    if is_yaml(plexus.chart):
        inputs.read(Path(plexus.path).parent / plexus.chart)
    return plexus


def is_course(text: str) -> bool:
    """Whether the text of a YAML file is that of a course rather than of a model."""
    first = _FIRST.search(text)
    return first is not None and first[1] == "course"
