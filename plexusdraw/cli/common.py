"""What the commands share: which argument is the model, sites, tables, JSON, the caution."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from plexusdraw import names
from plexusdraw.cli import pictures
from plexusdraw.cli.fitting import meant_once
from plexusdraw.clinic.report import caution
from plexusdraw.courses import load
from plexusdraw.model import Plexus, models
from plexusdraw.model.ids import kebab
from plexusdraw.yamlfile.document import is_yaml

if TYPE_CHECKING:
    from rich.console import Console
    from rich.padding import Padding
    from rich.table import Table

DEFAULT_MODEL = "brachial"
_GAP = 2

F = TypeVar("F", bound=Callable[..., Any])


_VARIANTS = "plexusdraw.variants"


def model_option(command: F) -> F:
    """Adds --model and --variant; :func:`pick_model` takes what they hold."""
    text = "Model: a built-in name or a .yaml file; it may also stand before or after the other arguments."
    variant = click.option(
        "--variant",
        multiple=True,
        metavar="NAME",
        expose_value=False,
        callback=_keep_variants,
        help='A variant or convention of the model ("list variants"); may be given several times.',
    )
    return click.option("--model", "model", metavar="MODEL", help=text)(variant(command))


def _keep_variants(context: click.Context, _option: click.Parameter, wanted: tuple[str, ...]) -> None:
    context.meta[_VARIANTS] = wanted


def chosen_variants() -> tuple[str, ...]:
    """The variants asked for on this command line."""
    found: tuple[str, ...] = click.get_current_context().meta.get(_VARIANTS, ())
    return found


def json_option(command: F) -> F:
    """Adds --json."""
    return click.option("--json", "as_json", is_flag=True, help="Plain JSON on stdout.")(command)


def is_model(text: str) -> bool:
    """Whether an argument names a model: a .yaml or .yml file, or a built-in one."""
    return is_yaml(text) or text in models()


def pick_model(
    words: Sequence[str], model: str | None, beside: Sequence[Plexus] = ()
) -> tuple[Plexus, tuple[str, ...]]:
    """The model, and the arguments without it: it may be first, last, given by --model, or left out.

    *beside*: others that the command shows as well.
    """
    file, rest = split_model(words, model)
    plexus = load(file, chosen_variants())
    ids = {kebab(text): v.id for v in plexus.variants.values() for text in (v.id, v.name, *v.synonyms)}
    meant_once("--variant", chosen_variants(), lambda text: ids.get(kebab(text), text))
    pictures.check_font((plexus, *beside), click.get_current_context().params)
    return plexus, rest


def split_model(words: Sequence[str], model: str | None) -> tuple[str, tuple[str, ...]]:
    """What names the model, and the arguments without it."""
    rest = list(words)
    if model is None:
        for at in (0, -1):
            if rest and is_model(rest[at]):
                model = rest.pop(at)
                break
    return model or DEFAULT_MODEL, tuple(rest)


def cut_by(plexus: Plexus, text: str) -> tuple[object, ...]:
    """What the cuts break that a text means; the same for all words for it.

    Raises:
        UsageError: it says one place twice; a scenario beside a place of its own does not.
    """
    from plexusdraw.names import scenarios, sites  # noqa: PLC0415

    found = [((site.cuts, site.partial), site.text) for site in sites.parse_all(plexus, text)]
    every = [cut for cut, _ in found]
    again = next((name for i, (cut, name) in enumerate(found) if cut in every[:i]), None)
    if again is not None and not scenarios.named(plexus, text):
        raise click.UsageError(f'"{text}" says {again} once more: leave one of them out.')
    return tuple(every)


def echo_json(value: object) -> None:
    """Write a value as JSON."""
    click.echo(json.dumps(value, indent=2))


def console() -> Console:
    """A terminal that wraps, and writes no colour into a pipe or to a dumb terminal."""
    from rich.console import Console  # noqa: PLC0415

    # A pipe has no width: there a line may be as long as a wide page.
    width = None if (sys.stdout and sys.stdout.isatty()) or "COLUMNS" in os.environ else 160
    return Console(highlight=False, width=width)


def show_table(title: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a title and a table; nothing if there are no rows.

    A column is at least as wide as its longest word. Plain lines on a terminal too narrow for that.
    """
    from rich.table import Table  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    found = [tuple(row) for row in rows]
    if not found:
        return
    out = console()
    if title:
        show(title, style="bold")
    widths = _widths([columns, *found], out.width)
    if not widths:
        for row in found:
            show(" · ".join(cell for cell in row if cell))
        click.echo()
        return
    made = Table(box=None, padding=0, pad_edge=False, header_style="bold")
    for i, (column, width) in enumerate(zip(columns, widths, strict=True)):
        if i:  # a column of its own, since padding after the last one is counted by some versions of Rich
            made.add_column(width=_GAP)
        made.add_column(column, overflow="fold", width=width)
    for row in found:
        made.add_row(*[part for cell in row for part in ("", Text(cell))][1:])
    _echo(out, made)
    click.echo()


def _widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Widths of columns, the widest ones cut down to fit; none if a word would be broken."""
    columns = list(zip(*rows, strict=True))
    found = [max(map(len, column)) for column in columns]
    least = [max((len(word) for cell in column for word in cell.split()), default=0) for column in columns]
    while sum(found) + _GAP * (len(found) - 1) > width:
        spare = [i for i, size in enumerate(found) if size > least[i]]
        if not spare:
            return []
        found[max(spare, key=lambda i: found[i])] -= 1
    return found


def show_variants(plexus: Plexus) -> None:
    """Write the names of the variants that hold; nothing without."""
    if plexus.applied:
        show(names.of_variants(plexus))


def show(text: str, style: str = "", indent: int = 0) -> None:
    """Write a line of text, wrapped; all its lines begin *indent* blanks in."""
    from rich.padding import Padding  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    _echo(console(), Padding(Text(text, style=style), (0, 0, 0, indent)))


def show_caution(plexus: Plexus) -> None:
    """Write the caution that belongs under every injury."""
    show(f"Caution: {caution(plexus)}", style="italic")


def _echo(out: Console, what: Padding | Table) -> None:
    """Print without the blanks that rich puts at the ends of lines."""
    with out.capture() as written:
        out.print(what)
    for line in written.get().splitlines():
        click.echo(line.rstrip())
