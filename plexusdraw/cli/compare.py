"""``plexusdraw compare``: two injuries, or two models, side by side."""

from __future__ import annotations

import click

from plexusdraw import report
from plexusdraw.cli.common import (
    echo_json,
    is_model,
    json_option,
    model_option,
    pick_model,
    show,
    show_caution,
    show_table,
)
from plexusdraw.compare import compare, compare_models
from plexusdraw.injury import injure
from plexusdraw.model import load


@click.command("compare", short_help="Two injuries, or two models, side by side.")
@click.argument("words", nargs=-1, required=True, metavar="[MODEL] A B")
@model_option
@json_option
def command(words: tuple[str, ...], model: str | None, as_json: bool) -> None:
    """Show what tells two injuries apart, or on which facts two models differ.

    A and B are sites ("C8" "ulnar nerve at elbow"), several cut together joined by + ("C5 + C6"); or two
    model files.
    """
    if len(words) == 2 and all(is_model(word) for word in words):
        _models(words[0], words[1], as_json)
        return
    plexus, rest = pick_model(words, model)
    if len(rest) != 2:
        raise click.UsageError("give two injuries, or two models.")
    a, b = (injure(plexus, [part for part in text.split("+") if part.strip()]) for text in rest)
    result = compare(a, b)
    if as_json:
        echo_json(report.comparison(result))
        return
    names = tuple(" + ".join(site.name for site in injury.sites) for injury in (a, b))
    rows = ([d.name, d.kind, d.a, d.b] for d in result.differ)
    show_table("What tells them apart", ("Structure", "Kind", *names), rows)
    if not result.differ:
        show(f"Nothing in this model tells {names[0]} and {names[1]} apart.")
    show_table("The same in both", ("Structure", "Kind", "State"), ([d.name, d.kind, d.a] for d in result.same))
    show_caution(plexus)


def _models(first: str, second: str, as_json: bool) -> None:
    result = compare_models(load(first), load(second))
    if as_json:
        echo_json(report.models(result))
        return
    rows = ([d.name, d.kind, d.what, d.a, d.b] for d in result.differ)
    show_table("", ("Structure", "Kind", "What", first, second), rows)
    if not result.differ:
        show("The two models say the same.")
    show_caution(result.a)
