"""``plexusdraw compare``: two injuries, or two models, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from plexusdraw.cli import pictures, places
from plexusdraw.cli.common import (
    chosen_variants,
    echo_json,
    is_model,
    json_option,
    model_option,
    show,
    show_caution,
    show_table,
    show_variants,
    split_model,
)
from plexusdraw.cli.fitting import Command, Rule, fitting, needs
from plexusdraw.clinic import report
from plexusdraw.clinic.compare import Comparison, Difference, compare, compare_models
from plexusdraw.clinic.deficits import WORDS
from plexusdraw.clinic.injury import injure
from plexusdraw.courses import load
from plexusdraw.errors import FitError
from plexusdraw.model import Plexus
from plexusdraw.names.grouped import grouped

if TYPE_CHECKING:
    from plexusdraw.api import Figure

_TITLES = (
    ("muscle", "muscles"),
    ("skin", "skin"),
    ("reflex", "reflexes"),
    ("sign", "signs"),
    ("movement", "movements"),
)


@click.command("compare", cls=Command, short_help="Two injuries, or two models, side by side.")
@click.argument("words", nargs=-1, metavar="[MODEL] [A B]")
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    callback=places.place,
    help="Also both as pictures, one under the other on one page.",
)
@pictures.font_option
@model_option
@json_option
@fitting(
    Rule("model", lambda given: not all(map(is_model, given["words"])), "the models to compare are named already"),
    needs("font", "output"),
)
def command(words: tuple[str, ...], model: str | None, output: str | None, as_json: bool) -> None:
    """Show what tells two injuries apart, or on which facts two models differ.

    A and B are sites ("C8" "ulnar nerve at elbow"), several cut together joined by + ("C5 + C6"); or two
    model files. One model with --variant is compared with itself without; between two sites the variant holds for both.
    """
    if len(words) == 2 and all(is_model(word) for word in words):
        _models(words[0], load(words[0]), words[1], load(words[1], chosen_variants()), output, as_json)
        return
    file, rest = split_model(words, model)
    plexus = load(file, chosen_variants())
    if not rest and chosen_variants():
        plain = load(file)
        called = ", ".join(plexus.variants[id].name for id in plexus.applied if id not in plain.applied)
        _models("plain", plain, called, plexus, output, as_json)
        return
    if len(rest) != 2:
        raise click.UsageError("give two injuries, two models, or one model and --variant.")
    a, b = (injure(plexus, [text]) for text in rest)
    if output is not None:
        _draw(output, *({"plexus": plexus, "detail": "muscles", "injure": [text]} for text in rest))
    result = compare(a, b)
    if as_json:
        echo_json(report.comparison(result))
        return
    _print(result)
    show_caution(plexus)


def _print(result: Comparison) -> None:
    """A table a kind, the most telling and those that can be examined alone first; then what is the same."""
    a, b = (" + ".join(site.name for site in injury.sites) for injury in (result.a, result.b))
    show_variants(result.a.plexus)
    show(f"A: {a}\nB: {b}\n")
    if not result.differ:
        show("Nothing in this model tells A and B apart.\n")
    for kind, title in _TITLES:
        rows = sorted(
            (row for row in result.differ if row.kind == kind),
            key=lambda row: (-_far(row), not _testable(result.a.plexus, row)),
        )
        shown = _together(result.a.plexus, rows)
        show_table(f"What tells them apart: {title}", ("Structure", "A", "B"), ([n, row.a, row.b] for n, row in shown))
    shown = _together(result.a.plexus, result.same)
    show_table("The same in both", ("Structure", "State"), ([name, row.a] for name, row in shown))


def _far(row: Difference) -> int:
    """How far apart two states are."""
    words = WORDS.get(row.kind, ("absent", "present"))
    return abs(words.index(row.a) - words.index(row.b))


def _testable(plexus: Plexus, row: Difference) -> bool:
    return row.kind != "muscle" or plexus.muscles[row.id].testable


def _together(plexus: Plexus, rows: Sequence[Difference]) -> Iterator[tuple[str, Difference]]:
    """Name and row; a group's name for members that are alike."""
    states = {row.id: (row.a, row.b) for row in rows}
    by_id = {row.id: row for row in rows}
    for id in grouped(plexus, states, states):
        group = plexus.groups.get(id)
        yield (group.name, by_id[group.members[0]]) if group and id not in by_id else (by_id[id].name, by_id[id])


def _draw(output: str, *both: dict[str, Any]) -> None:
    """Both as pictures."""
    from plexusdraw import api  # noqa: PLC0415

    pictures.check_font([choices["plexus"] for choices in both], {})
    for file in api.save_together([_figure(**choices) for choices in both], output):
        click.echo(f"wrote {file}", err=True)


def _figure(**choices: Any) -> Figure:  # noqa: ANN401
    """A picture on the usual paper, or on one as large as it needs, since nobody can say another here."""
    from plexusdraw import api  # noqa: PLC0415

    made = api.figure(**choices)
    try:
        made.pages()
    except FitError:
        return api.figure(**choices, paper="fit")
    return made


def _models(first: str, a: Plexus, second: str, b: Plexus, output: str | None, as_json: bool) -> None:
    if output is not None:
        _draw(output, {"plexus": a}, {"plexus": b})
    result = compare_models(a.drawn, b.drawn)
    if as_json:
        echo_json(report.models(result))
        return
    rows = ([d.name, d.kind, d.what, d.a, d.b] for d in result.differ)
    show_table("", ("Structure", "Kind", "What", first, second), rows)
    if not result.differ:
        show("The two models say the same.")
    show_caution(result.a)
