"""``plexusdraw page``: one file to click, offline."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from plexusdraw.cli import places, progress
from plexusdraw.cli.common import chosen_variants, model_option, pick_model
from plexusdraw.cli.fitting import Command
from plexusdraw.cli.pictures import STYLES, font_option, side_option
from plexusdraw.courses import load
from plexusdraw.layout.columns.plan import DETAILS

if TYPE_CHECKING:
    from plexusdraw.layout.columns.plan import Detail
    from plexusdraw.layout.fit import Limb
    from plexusdraw.names import Style
    from plexusdraw.page.build import Look

PARTS = 100
"""Of the bar that shows how far it is."""
ENDINGS = (".html", ".htm")


@click.command("page", cls=Command, short_help="One page to click, offline.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@click.option(
    "-o",
    "--output",
    "path",
    metavar="FILE",
    required=True,
    callback=places.place,
    help="A .html file; - for standard output.",
)
@click.option("--detail", type=click.Choice(DETAILS), default="nerves", show_default=True)
@click.option("--names", type=click.Choice(STYLES), default="short", show_default=True)
@side_option
@font_option
@click.option(
    "--theme",
    type=click.Choice(("auto", "light", "dark", "grayscale")),
    default="auto",
    show_default=True,
    help="auto: light or dark as the reader's system is.",
)
@click.option("--models", metavar="NAME,NAME", help="Several plexuses in one page, to switch between; the first shows.")
@model_option
def command(
    words: tuple[str, ...],
    path: str,
    detail: Detail,
    names: Style,
    side: Limb,
    theme: Look,
    models: str | None,
    model: str | None,
) -> None:
    """Write one self-contained page to explore, injure, find the site and test yourself.

    It opens by double click and needs no network and no other file. The options say what it shows first; the reader
    may change all of it.
    """
    from plexusdraw import output, page  # noqa: PLC0415

    if models is not None and (words or model):
        raise click.UsageError("Give the model, or several with --models, not both.")
    first, *more = _names(models) if models is not None else [model]
    others = [load(str(name), chosen_variants()) for name in more]
    plexus, rest = pick_model(words, first, others)
    if rest:
        raise click.UsageError(f'"{rest[0]}" is not a model.')
    places.ends(path, ENDINGS, "a page")
    if len({plexus.id, *(other.id for other in others)}) <= len(others):
        raise click.UsageError("--models names a plexus twice.")
    choices = page.Choices(detail, names, side, theme)
    with progress.bar("page", PARTS) as shown:
        made = page.build(plexus, choices, others, lambda done, of: shown(done * PARTS // of))
    output.write(path, made)
    if path != output.STDOUT:
        click.echo(f"wrote {path}", err=True)


def _names(models: str) -> list[str]:
    found = [name.strip() for name in models.split(",") if name.strip()]
    if not found:
        raise click.UsageError("--models needs at least one name.")
    return found
