"""Where a command writes to: any name of standard output, endings that fit, files that a person has edited."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

import click

from plexusdraw.errors import OutputError
from plexusdraw.output import STDOUT, is_stdout, is_there


def place(_context: click.Context, _option: click.Parameter, value: str | None) -> str | None:
    """Callback of an option that says where to: every name of standard output is "-"."""
    return STDOUT if value is not None and is_stdout(value) else value


def ends(output: str, endings: Collection[str], what: str) -> None:
    """Refuse a name whose ending says something else than *what* is written.

    Raises:
        click.UsageError: says which ending it should have.
    """
    if output != STDOUT and Path(output).suffix.lower() not in endings:
        raise click.UsageError(f'"{output}": {what} ends in {" or ".join(endings)}.')


def not_over(output: str, force: bool) -> None:
    """Keep a file that a person may have edited.

    Raises:
        OutputError: it is there, and nobody says --force.
    """
    if output != STDOUT and is_there(output) and not force:
        raise OutputError(f"{output} is there already. Give it another name, or --force to write over it.")
