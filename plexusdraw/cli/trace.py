"""``plexusdraw trace``: follow a structure through the plexus."""

from __future__ import annotations

import click

from plexusdraw import names
from plexusdraw.cli.common import echo_json, json_option, model_option, pick_model, show, show_table, show_variants
from plexusdraw.cli.fitting import Command
from plexusdraw.clinic import report
from plexusdraw.model import Entity, Outside, Place, Plexus, Segment, Target
from plexusdraw.names.cited import Cited
from plexusdraw.routes.reach import Reach, reach


@click.command("trace", cls=Command, short_help="Follow a root, nerve, muscle or skin area.")
@click.argument("words", nargs=-1, required=True, metavar="[MODEL] NAME")
@model_option
@json_option
def command(words: tuple[str, ...], model: str | None, as_json: bool) -> None:
    """Follow a root, nerve, place, muscle, group or skin area through the plexus.

    Shows its roots (small shares in brackets), every route of its fibres, and what they reach.
    """
    plexus, rest = pick_model(words, model)
    if not rest:
        raise click.UsageError("say what to trace.")
    result = reach(plexus, " ".join(rest))
    if as_json:
        echo_json(report.trace(result, plexus))
    else:
        _print(plexus, result)


def _print(plexus: Plexus, result: Reach) -> None:
    show_variants(plexus)
    entity = result.entity
    also = f" ({entity.latin})" if entity.latin else ""
    show(f"{names.display(entity)}{also}: {entity.kind}")
    if isinstance(entity, Outside):
        show(f"Not of this plexus: {entity.nerve}.")
    roots = [*result.roots, *(f"({root})" for root in result.roots_minor)]
    show(f"Roots: {', '.join(roots) or 'none'}")
    if isinstance(entity, Target) and entity.outside:
        outside = ", ".join(f"{root} by {nerve}" if nerve else root for root, nerve in entity.outside.items())
        show(f"From outside this plexus: {outside}")
    routes = (" → ".join(_name(plexus, id) for id in route) for route in result.paths)
    show_table("", ("Routes",), ([route] for route in routes))
    for title, ids in (("Muscles", result.muscles), ("Skin", result.skin)):
        if ids and ids != (entity.id,):
            show(f"{title}: {'; '.join(_name(plexus, id) for id in ids)}")
    if isinstance(entity, Target):
        _examined(entity)
    _noted(plexus, entity)


def _examined(target: Target) -> None:
    for title, text in (("How to examine", target.examine), ("What deceives", target.trick)):
        if text:
            show(f"{title}: {text}")
    if not target.testable:
        show("Not told alone at the bedside.")


def _noted(plexus: Plexus, entity: Entity) -> None:
    """The note, what some sources add, and the sources by their titles."""
    cited = Cited(plexus, entity.sources)
    if entity.note:
        show(f"Note: {cited.text(entity.note)}")
    if isinstance(entity, Segment | Target | Place):
        rows = [(_about(plexus, id), cited.text(note)) for id, note in entity.variable.items()]
        show_table("", ("Said by some", ""), rows)
    titles = [f"{number} {title}" for number, title in enumerate(cited.titles, 1)]
    if titles:
        show(f"Sources: {'; '.join(titles)}")


def _about(plexus: Plexus, id: str) -> str:
    known = {entity.id for entity in plexus.entities()}
    return _name(plexus, id) if id in known else id


def _name(plexus: Plexus, id: str) -> str:
    return names.display(plexus.entity(id))
