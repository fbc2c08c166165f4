"""``plexusdraw course``: write a course file to edit."""

from __future__ import annotations

from pathlib import Path

import click

from plexusdraw.cli import places
from plexusdraw.cli.common import DEFAULT_MODEL, chosen_variants, is_model, model_option
from plexusdraw.cli.fitting import Command
from plexusdraw.courses import load, template
from plexusdraw.model import models
from plexusdraw.output import STDOUT, write
from plexusdraw.yamlfile.document import ENDINGS


@click.command("course", cls=Command, short_help="Write a course file of your own to edit.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@model_option
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="FILE",
    callback=places.place,
    help="A .yaml file; - for standard output.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def command(words: tuple[str, ...], model: str | None, output: str, force: bool) -> None:
    """Write a commented course file of a model to edit: what is kept, own words, defaults of worksheets and slides.

    It works as it is written, and then stands wherever a model does: plexusdraw draw my-course.yaml -o picture.svg.
    """
    if len(words) > 1 or (words and (model or not is_model(words[0]))):
        raise click.UsageError(f'"{words[-1]}" is not a model.')
    base = model or (words[0] if words else DEFAULT_MODEL)
    places.ends(output, ENDINGS, "a course file")
    places.not_over(output, force)
    plexus = load(base, chosen_variants())
    if plexus.taught is not None:
        raise click.UsageError(f'"{base}" is a course already. Name the model on which it is based.')
    write(output, template.written(plexus, _based_on(base, output), Path(output).name).encode())
    if output != STDOUT:
        click.echo(f"wrote {output}", err=True)


def _based_on(base: str, output: str) -> str:
    """The model as the course names it: built in, or a file beside it."""
    if base in models():
        return base
    if output != STDOUT and Path(base).resolve().parent != Path(output).resolve().parent:
        raise click.UsageError(f"a course lies beside its model: write it into {Path(base).parent}.")
    return Path(base).name
