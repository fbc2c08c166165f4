"""``plexusdraw worksheet``: forms to print and fill in, with keys."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, get_args

import click
from click.core import ParameterSource

from plexusdraw import output as files
from plexusdraw import paint
from plexusdraw.cli import common, pictures
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.paper import paper as paper_named
from plexusdraw.look.theme import Theme
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import Plexus
from plexusdraw.sheets.worksheet import class_set, export
from plexusdraw.sheets.worksheet import course as course_file
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Form, Prompt, Spec

Choice = Any
"""What an option holds."""
MANY = 8
"""From so many forms on, progress is shown."""


@click.command("worksheet", short_help="Forms to print and fill in, with keys.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@common.model_option
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="FILE|FOLDER",
    help=f"A {paint.endings('worksheet')} file, or a folder: a file a form.",
)
@click.option(
    "--kind",
    type=click.Choice(list(REGISTRY)),
    default="label",
    show_default=True,
    help="; ".join(kind.asks for kind in REGISTRY.values()).capitalize() + ".",
)
@click.option(
    "--ask",
    default="",
    metavar="KINDS",
    help="Any of roots,trunks,divisions,cords,branches,nerves,muscles,supply; if not given trunks,cords,nerves. "
    + "; ".join(f"To {kind.asks}: {','.join(kind.topics)}" for kind in REGISTRY.values() if kind.topics)
    + ".",
)
@click.option("--count", type=click.IntRange(1), default=None, help="Ask only so many, at random.")
@click.option(
    "--only",
    default="",
    metavar="NAME",
    help="Ask about one structure; of an injury any site; to match, what comes from it.",
)
@click.option(
    "--from",
    "sources",
    default="",
    metavar="KINDS",
    help="Cases of an injury from any of roots,trunks,divisions,cords,branches,nerves,places; "
    "if not given roots,trunks,cords,nerves,places.",
)
@click.option(
    "--prompt",
    type=click.Choice(get_args(Prompt)),
    default="drawing",
    show_default=True,
    help="To recall: a blank page under the heads for a drawing, or columns with lines for names.",
)
@click.option(
    "--level",
    type=click.IntRange(1, 4),
    default=2,
    show_default=True,
    help="1: some blanks and a word bank; 2: all; 3: no colour; 4: strands left out too.",
)
@click.option("--word-bank", is_flag=True, help="Print the words to choose from.")
@click.option("--forms", type=click.IntRange(1, 2000), default=1, show_default=True, help="So many different forms.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Same seed, same forms.")
@click.option(
    "--key",
    is_flag=False,
    flag_value="file",
    default="none",
    type=click.Choice(["none", "file", "after", "grid"]),
    help='Write the keys: "file" (--key alone), "after" each form, or "grid": all forms of a class on one page.',
)
@click.option("--title", default="", help="Title of the page.")
@click.option("--instructions", default="", help="Instead of the instructions that the form would have.")
@click.option("--course", "course_path", type=click.Path(), help="YAML file with course, title, instructions, ...")
@click.option("--detail", type=click.Choice(DETAILS), help="What is drawn.")
@click.option(
    "--writing",
    type=click.Choice(["auto", "boxes", "lines"]),
    default="auto",
    show_default=True,
    help="Names in boxes on the drawing, or on numbered lines beside or under it; auto: boxes, where each is wide "
    "enough to write the longest name of its kind by hand, else lines.",
)
@click.option("--duplex", is_flag=True, help="Each form starts on an odd page.")
@click.option("--paper", default="a4", show_default=True, metavar="PAPER", help='a4, letter, a3, "a4 portrait", ...')
@pictures.side_option
@click.option("--theme", default="print", show_default=True, metavar="THEME", help="Levels 3 and 4 take grayscale.")
@click.option(
    "--export",
    "exports",
    multiple=True,
    metavar="FILE",
    help="Questions and answers, with pictures, as .csv, .gift or .zip (QTI 2.2).",
)
@click.pass_context
def command(context: click.Context, /, words: tuple[str, ...], model: str | None, output: str, **given: Choice) -> None:
    """Forms to print and fill in: one, or a class set in which no two are alike.

    Each form carries its code, so that its key can be found. No file of a form holds an answer.
    """
    plexus, rest = common.pick_model(words, model)
    if rest:
        raise click.UsageError(f'what is "{rest[0]}"? Choices are given as options.')
    exports = [Path(text) for text in given.pop("exports")]
    for path in exports:
        export.check(path)
    choices = _with_course(context, plexus, given)
    spec, key = _spec(choices), choices["key"]
    theme = load_theme(class_set.theme_name(spec, choices["theme"]))
    made = class_set.forms(plexus, spec)
    kept: list[Form] = []
    with _progress(spec.forms) as step:

        def done(form: Form) -> None:
            if exports:
                kept.append(form)
            step()

        written = class_set.save(made, Path(output), theme, key, spec.duplex, done)
    for path in exports:
        written += files.write_all(_export(kept, path, theme))
    _say(written)


def _with_course(context: click.Context, plexus: Plexus, given: dict[str, Any]) -> dict[str, Any]:
    """The choices: what was typed, then the course file, then the defaults."""
    path = given.pop("course_path")
    found = course_file.read(plexus, path) if path else {}
    typed = (ParameterSource.COMMANDLINE, ParameterSource.ENVIRONMENT)
    return given | {name: value for name, value in found.items() if context.get_parameter_source(name) not in typed}


def _spec(choices: dict[str, Any]) -> Spec:
    """The choices as a specification."""
    return Spec(
        kind=choices["kind"],
        ask=tuple(word for word in choices["ask"].split(",") if word.strip()),
        count=choices["count"] or 0,
        only=choices["only"],
        level=choices["level"],
        word_bank=choices["word_bank"],
        forms=choices["forms"],
        seed=choices["seed"],
        title=choices["title"],
        instructions=choices["instructions"],
        course=choices.get("course", ""),
        detail=choices["detail"],
        page=paper_named(choices["paper"]),
        side=choices["side"],
        duplex=choices["duplex"],
        writing=choices["writing"],
        sources=tuple(word for word in choices["sources"].split(",") if word.strip()),
        prompt=choices["prompt"],
    )


def _export(forms: list[Form], path: Path, theme: Theme) -> Iterator[tuple[Path, bytes]]:
    """The questions and the pictures that they name, by file."""
    yield path, export.write(forms, path, theme)
    yield from export.pictures(forms, path, theme)


def _say(written: list[Path]) -> None:
    if len(written) > MANY:
        click.echo(f"wrote {len(written)} files, {written[0]} to {written[-1]}", err=True)
        return
    for path in written:
        click.echo(f"wrote {path}", err=True)


@contextmanager
def _progress(total: int) -> Iterator[Callable[[], None]]:
    """Progress on the terminal for many forms; nothing into a pipe."""
    if total < MANY or sys.stderr is None or not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console  # noqa: PLC0415
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn  # noqa: PLC0415

    columns = (TextColumn("forms"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("forms", total=total)
        yield lambda: bar.advance(task)
