"""``plexusdraw worksheet``: forms to print and fill in, with keys."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, get_args

import click

from plexusdraw import paint
from plexusdraw.cli import common, defaults, pictures, places, progress, worksheet_choices
from plexusdraw.cli.fitting import Command, once_each
from plexusdraw.layout.columns.plan import DETAILS, check_targets
from plexusdraw.look.theme import Theme
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import Plexus
from plexusdraw.output import STDOUT
from plexusdraw.sheets.worksheet import class_set, export, sections
from plexusdraw.sheets.worksheet.earlier import Left
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Form, Prompt, Spec

Choice = Any
"""What an option holds."""
MANY = 8
"""From so many forms on, progress is shown."""


@click.command("worksheet", cls=Command, short_help="Forms to print and fill in, with keys.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@common.model_option
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="FILE|FOLDER",
    callback=places.place,
    help=f"A {paint.endings('worksheet')} file, or a folder: a file a form.",
)
@click.option(
    "--kind",
    multiple=True,
    type=click.Choice(list(REGISTRY)),
    default=worksheet_choices.USUAL,
    show_default=True,
    help="; ".join(kind.asks for kind in REGISTRY.values()).capitalize()
    + ". Given several times: sections of one form, one key; two of a page each are front and back with --duplex.",
)
@click.option(
    "--ask",
    default="",
    metavar="KINDS",
    help="Any of roots,trunks,divisions,cords,branches,nerves,muscles,supply; if not given trunks,cords,nerves. "
    + "; ".join(f"To {kind.asks}: {','.join(kind.topics)}" for kind in REGISTRY.values() if kind.topics)
    + ".",
)
@click.option("--count", type=click.IntRange(1), default=None, help="Ask at most so many, chosen at random.")
@click.option("--all", is_flag=True, help="All forms of a set ask all that can be asked, by other numbers.")
@click.option("--same", is_flag=True, help="All forms of a set ask the same, by other numbers.")
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
    help="1: fewer, and a word bank; 2: all that is asked; 3: no colour; 4: strands are left out too, "
    "lists of an injury do not say how many answers are wanted, and no colour of a limb tells the nerve.",
)
@click.option("--word-bank", is_flag=True, help="Print the words to choose from.")
@click.option(
    "--forms",
    type=click.IntRange(1, 2000),
    default=1,
    show_default=True,
    help="So many different forms; of several each asks about two thirds of what could be asked.",
)
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Same seed, same forms.")
@click.option("--form", default="", metavar="CODE", help="Make the form with this code again, from the same model.")
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
@pictures.names_option
@pictures.font_option
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
    if output == STDOUT:
        raise click.UsageError(f"a worksheet is a {paint.endings('worksheet')} file, or a folder: give its name.")
    if Path(output).suffix:
        places.ends(output, [f".{name}" for name in paint.names("worksheet")], "a worksheet, if no folder,")
    check_targets(plexus)
    choices = worksheet_choices.filled(context, plexus, given)
    exports = [Path(text) for text in choices.pop("exports")]
    once_each("--export", [str(path.resolve()) for path in exports])
    for path in exports:
        export.check(path)
    spec, numbers = _set(plexus, choices, defaults.typed(context))
    theme = load_theme(class_set.theme_name(spec, choices["theme"]))
    seen: set[int] = set()
    with progress.bar("forms", len(numbers) if len(numbers) >= MANY else 0) as step:
        made = _watched(class_set.forms(plexus, spec, numbers), seen)
        plan = class_set.Plan(theme, choices["key"], spec.duplex, step)
        extra = partial(_exported, paths=exports, theme=theme) if exports else None
        written, left = class_set.save(made, Path(output), plan, extra)
    _say(written, left)
    if len(seen) < len(numbers) and spec.choosing != "same":
        few = f"only {len(seen)} of the {len(numbers)} forms differ"
        click.echo(f"warning: {few}; these choices leave too little to ask for more.", err=True)


def _set(plexus: Plexus, choices: dict[str, Any], typed: Collection[str]) -> tuple[Spec, Sequence[int]]:
    """The set, and the numbers of the forms that are made: all, or the one whose code is given."""
    if choices["form"]:
        told = worksheet_choices.of_code(plexus, choices, typed)
        worksheet_choices.check(typed, told.spec.kinds, told.spec.forms)
        if told.changed:
            click.echo(f"warning: the model has changed since form {choices['form']} was made.", err=True)
        kept = {name: choices[name] for name in ("title", "instructions", "duplex")}
        return replace(told.spec, course=worksheet_choices.course_of(plexus), **kept), (told.number,)
    worksheet_choices.check(typed, choices["kind"], choices["forms"])
    spec = worksheet_choices.spec_of(plexus, choices)
    worksheet_choices.check_words(plexus, spec)
    return spec, range(1, spec.forms + 1)


def _watched(made: Iterable[Form], seen: set[int]) -> Iterator[Form]:
    """The forms; *seen* then tells how many differ."""
    for form in made:
        seen.add(hash(sections.distinct(form)))
        yield form


def _exported(forms: Sequence[Form], paths: Sequence[Path], theme: Theme) -> Iterator[tuple[Path, bytes]]:
    """The questions and the pictures that they name, by file."""
    for path in paths:
        yield path, export.write(forms, path, theme)
        yield from export.pictures(forms, path, theme)


def _say(written: Sequence[Path], left: Left) -> None:
    _say_of("wrote", written)
    _say_of("removed", left.removed, " of an earlier set")
    _say_of("left", left.others, ", not of this set")


def _say_of(what: str, files: Sequence[Path], why: str = "") -> None:
    if len(files) > MANY:
        click.echo(f"{what} {len(files)} files{why}: {files[0]} to {files[-1]}", err=True)
        return
    for path in files:
        click.echo(f"{what} {path}{why}", err=True)
