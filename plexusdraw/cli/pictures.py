"""What the commands that make pictures share: the limb, the style of names, no stray arguments."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import click

from plexusdraw.model import Plexus
from plexusdraw.names import Style, own_labels

STYLES: tuple[Style, ...] = ("short", "english", "latin")

F = TypeVar("F", bound=Callable[..., Any])


def side_option(command: F) -> F:
    """Adds --side."""
    sides = click.Choice(["left", "right"])
    return click.option("--side", type=sides, default="left", show_default=True, help="Which limb.")(command)


def names_option(command: F) -> F:
    """Adds --names; ``naming`` reads what is given."""
    text = "short, english, latin, or a YAML file of your own texts (structure: text)."
    return click.option("--names", "naming", default="short", show_default=True, metavar="STYLE", help=text)(command)


def naming(plexus: Plexus, text: str) -> tuple[Style, dict[str, str]]:
    """The style of names, and texts of the reader's own by id.

    Raises:
        click.BadParameter: *text* is neither a style nor a YAML file. ModelError: the file is wrong.
    """
    if text in STYLES:
        return text, {}
    if text.lower().endswith((".yaml", ".yml")):
        return "short", own_labels.read(plexus, text)
    raise click.BadParameter(f'"{text}" is none of {", ".join(STYLES)}, nor a .yaml file', param_hint="--names")


def no_more(rest: Sequence[str]) -> None:
    """Refuse arguments that are left over once the model is found."""
    if rest:
        raise click.UsageError(
            f'what is "{rest[0]}"? The model is a built-in name or a .yaml file; the rest are options'
        )
