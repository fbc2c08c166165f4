"""``plexusdraw injure``: what cuts at one or more sites do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import click

from plexusdraw import report
from plexusdraw.cli.common import (
    echo_json,
    json_option,
    model_option,
    pick_model,
    show,
    show_caution,
    show_table,
)
from plexusdraw.errors import UnknownNameError
from plexusdraw.fibres import Route
from plexusdraw.injury import Injury, Movement, Outcome, injure
from plexusdraw.model import Plexus
from plexusdraw.states import Loss


@click.command("injure", short_help="What cuts at one or more sites do.")
@click.argument("words", nargs=-1, required=True, metavar="[MODEL] SITE...")
@click.option("--partial", is_flag=True, help="Each cut spares some fibres: weak instead of paralysed.")
@click.option("--why", is_flag=True, help="Show the routes that are broken and those that are left.")
@model_option
@json_option
def command(words: tuple[str, ...], partial: bool, why: bool, model: str | None, as_json: bool) -> None:
    """What cuts at one or more sites do to muscles, movements, skin and reflexes.

    A SITE is a name in quotes: "upper trunk", "C5 after dorsal scapular nerve", "radial nerve at spiral
    groove", "T1 avulsion". "list sites" shows them all.
    """
    plexus, sites = pick_model(words, model)
    if not sites:
        raise click.UsageError("say where the injury is.")
    result = _injure(plexus, sites, partial)
    if as_json:
        echo_json(report.injury(result))
        return
    _print(result)
    if why:
        _why(result)
    show_caution(plexus)


def _injure(plexus: Plexus, sites: tuple[str, ...], partial: bool) -> Injury:
    """The injury; a site typed without its quotes comes as several words."""
    try:
        return injure(plexus, sites, partial)
    except UnknownNameError as error:
        try:
            return injure(plexus, [" ".join(sites)], partial)
        except UnknownNameError:
            raise error from None


def _print(result: Injury) -> None:
    partial = " (partial)" if result.partial else ""
    show(f"Injury{partial}: {'; '.join(site.name for site in result.sites)}")
    order = (Loss.WHOLE, Loss.PART, Loss.SLIGHT)
    muscles = [o for loss in order for o in result.muscles.values() if o.loss is loss]
    columns = ("Muscle", "Nerve", "State", "Left", "Roots lost", "Roots left")
    show_table("Muscles", columns, ([o.name, report.nerves(result.plexus, o.id), *_row(o)] for o in muscles))
    _counts(result)
    moved = [m for loss in order for m in result.movements.values() if m.loss is loss]
    show_table("Movements", ("Movement", "State", "Still done by"), (_moved(result.plexus, m) for m in moved))
    areas = [o for o in result.skin.values() if o.state != "spared"]
    show_table("Skin", ("Area", "State", "Left", "Roots lost", "Roots left"), ([o.name, *_row(o)] for o in areas))
    reflexes = [o for o in result.reflexes.values() if o.state != "kept"]
    show_table("Reflexes", ("Reflex", "State"), ([o.name, o.state] for o in reflexes))
    show_table("Signs", ("Sign", "What is seen"), ([s.name, s.note] for s in result.signs))


def _row(outcome: Outcome) -> tuple[str, str, str, str]:
    share = f"{round(100 * outcome.remaining)} %"
    return outcome.state, share, ", ".join(outcome.roots_lost), ", ".join(outcome.roots_left)


def _counts(result: Injury) -> None:
    counts = Counter(outcome.state for outcome in result.muscles.values())
    states = ("paralysed", "weak", "slight", "spared")
    show("Of all muscles: " + ", ".join(f"{counts[state]} {state}" for state in states))


def _moved(plexus: Plexus, movement: Movement) -> tuple[str, str, str]:
    able = [plexus.entity(id).name for id in movement.able]
    able += [f"{plexus.entity(id).name} (weak)" for id in movement.weak]
    return movement.name, movement.state, "; ".join(able) or "none"


def _why(result: Injury) -> None:
    """Each affected muscle and skin area with its broken and its intact routes."""
    for outcome in (*result.muscles.values(), *result.skin.values()):
        if outcome.loss:
            rows = [("broken", _route(result, route)) for route in outcome.broken]
            rows += [("left", _route(result, route)) for route in outcome.left]
            show_table(f"{outcome.name}: {outcome.state}", ("Is", "Route"), rows)


def _route(result: Injury, route: Route) -> str:
    minor = " (minor)" if route.minor else ""
    return " → ".join(_steps(result, route)) + minor


def _steps(result: Injury, route: Route) -> Iterator[str]:
    """Names along a route, with × after each segment in which it is cut."""
    for segment, leaving in zip(route.path, route.exits, strict=True):
        cut = any(segment == id and leaving >= at for id, at in result.cuts)
        yield result.plexus.segments[segment].name + (" ×" if cut else "")
    yield result.plexus.entity(route.target).name
