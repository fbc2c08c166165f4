"""Every error that a user can cause, in one tree.

    PlexusdrawError          exit 1
    ├── ModelError           a model file is wrong: file, line, what to do
    ├── ThemeError           a theme file is wrong
    ├── UnknownNameError     a name that the model does not know, with suggestions
    ├── FindingsError        findings, or cuts, that contradict each other
    ├── FitError             the picture cannot fit its page within the rules; says which paper would do
    ├── FontError            no font has a character; names it
    ├── SheetError           a worksheet cannot ask that, or its course file is wrong
    └── OutputError          a file cannot be written

The library raises, and prints nothing; the command line prints the message and exits with ``exit_code``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence


class PlexusdrawError(Exception):
    """Root of the tree. ``str(error)`` is the message for the user."""

    exit_code = 1


class ModelError(PlexusdrawError):
    """A model file is wrong."""


class ThemeError(PlexusdrawError):
    """A theme file is wrong."""


class UnknownNameError(PlexusdrawError):
    """A name that the model does not know; ``suggestions`` are names near to it."""

    def __init__(self, message: str, suggestions: Sequence[str] = ()) -> None:
        super().__init__(message)
        self.suggestions = tuple(suggestions)


class FindingsError(PlexusdrawError):
    """Findings that cannot all be true: the same structure weak and spared."""


class FitError(PlexusdrawError):
    """The picture cannot fit its page within the rules.

    Its message may be given as what works it out: what would do instead takes longer to find than that it does not fit.
    """

    def __init__(self, message: str | Callable[[], str]) -> None:
        super().__init__(message)

    def __str__(self) -> str:
        (message,) = self.args
        if callable(message):
            self.args = (message(),)
        return str(self.args[0])


class FontError(PlexusdrawError):
    """No font has a character of a text, or a font file cannot be read."""


class SheetError(PlexusdrawError):
    """A worksheet cannot ask what is wanted, or its course file is wrong."""


class OutputError(PlexusdrawError):
    """A file cannot be written."""
