"""``plexusdraw injure``: what cuts at one or more sites do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Literal

import click

from plexusdraw.cli import pictures, places
from plexusdraw.cli.common import (
    cut_by,
    echo_json,
    json_option,
    model_option,
    pick_model,
    show,
    show_caution,
    show_table,
    show_variants,
)
from plexusdraw.cli.fitting import Command, beside, fitting, meant_once, needs, once_each
from plexusdraw.cli.reasons import show_reasons
from plexusdraw.cli.wording import named, nerve, runs, weighed
from plexusdraw.clinic import remarks, report
from plexusdraw.clinic.deficits import RESTS_ON, Loss
from plexusdraw.clinic.injury import Injury, Movement, Outcome, injure
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import Plexus, Scenario
from plexusdraw.names import scenarios
from plexusdraw.names.cited import Cited, plain
from plexusdraw.names.grouped import grouped
from plexusdraw.names.spelling import capital

FIBRES = "Fibres remaining"
_SPARED = 12
"""As many notably spared structures are named."""


@click.command("injure", cls=Command, short_help="What cuts at one or more sites do.")
@click.argument("words", nargs=-1, required=True, metavar="[MODEL] SITE...")
@click.option("--partial", is_flag=True, help="Each cut spares some fibres: weak instead of paralysed.")
@click.option("--why", is_flag=True, help="For each line the broken routes, or the rule.")
@click.option(
    "-o", "--output", metavar="FILE", callback=places.place, help="The case on one page instead, as a picture."
)
@pictures.side_option
@pictures.font_option
@click.option("--theme", default="print", show_default=True, metavar="THEME", help="With -o: a theme's name or file.")
@model_option
@json_option
@fitting(
    needs("side", "output"),
    needs("theme", "output"),
    needs("font", "output"),
    beside("why", "output"),
    beside("as_json", "output"),
)
def command(
    words: tuple[str, ...],
    partial: bool,
    why: bool,
    output: str | None,
    side: Literal["left", "right"],
    theme: str,
    model: str | None,
    as_json: bool,
) -> None:
    """What cuts at one or more sites do to muscles, movements, skin and reflexes.

    A SITE is a name in quotes: "upper trunk", "C5 after dorsal scapular nerve", "radial nerve at spiral
    groove", "T1 avulsion". "list sites" shows them all. "C6:partial": that cut spares some fibres. Or it is an injury
    with a name of its own, "Klumpke palsy": "list scenarios".
    """
    plexus, sites = pick_model(words, model)
    if not sites:
        raise click.UsageError("say where the injury is.")
    once_each("the site", sites)
    result, texts = _injure(plexus, sites, partial)
    meant_once("the site", texts, lambda text: cut_by(plexus, text))
    if output is not None:
        from plexusdraw.sheets.case import injured, save  # noqa: PLC0415

        for file in save(injured.pages(result, side), output, theme):
            click.echo(f"wrote {file}", err=True)
        return
    named = [scenario for text in texts for scenario in scenarios.named(plexus, text)]
    if as_json:
        reasons = {"why": report.reasons(result)} if why else {}
        echo_json(report.injury(result) | report.beside(result, named) | reasons)
        return
    _print(result, named)
    if why:
        show_reasons(result)
    show_caution(plexus)


def _injure(plexus: Plexus, sites: tuple[str, ...], partial: bool) -> tuple[Injury, tuple[str, ...]]:
    """The injury and the texts of its sites; a site typed without its quotes comes as several words."""
    try:
        return injure(plexus, sites, partial), sites
    except UnknownNameError as error:
        whole = " ".join(sites)
        try:
            return injure(plexus, [whole], partial), (whole,)
        except UnknownNameError:
            raise error from None


def _print(result: Injury, named: Sequence[Scenario]) -> None:
    show_variants(result.plexus)
    show(f"Injury: {'; '.join(site.text for site in result.sites)}")
    for scenario in named:
        _scenario(result, scenario)
    _counts(result)
    hit = "Roots hit" if any(site.partial for site in result.sites) else "Roots lost"
    for loss, title in ((Loss.WHOLE, "paralysed"), (Loss.PART, "weak"), (Loss.SLIGHT, "slightly weak")):
        rows = [_row(result, o) for o in result.muscles.values() if o.loss is loss]
        heads = ("Muscle", "Nerve", FIBRES, "MRC, estimate", hit, "Roots left")
        show_table(f"Muscles {title}", heads, _together(result, rows))
    if any(o.loss for o in result.muscles.values()):
        show(RESTS_ON)
    if any(o.loss >= Loss.PART and o.left and all(r.minor for r in o.left) for o in result.muscles.values()):
        show("Roots left in brackets bring a small share only: a trace of power may remain.")
    show("")
    _differ(result)
    _movements(result)
    areas = [o for o in result.skin.values() if o.state != "spared"]
    show_table("Skin", ("Area", "State", FIBRES, hit, "Roots left"), (_area(result, o) for o in areas))
    reflexes = [o for o in result.reflexes.values() if o.state != "kept"]
    show_table("Reflexes", ("Reflex", "State"), ([o.name, o.state] for o in reflexes))
    show_table("Signs", ("Sign", "What is seen"), ([s.name, plain(result.plexus, s.note)] for s in result.signs))
    _spared(result)
    _remarks(result)


def _differ(result: Injury) -> None:
    """Muscles and skin on whose loss sources differ, in a line."""
    ids = [o.id for o in (*result.muscles.values(), *result.skin.values()) if o.disputed]
    if ids:
        show(f"Sources differ on: {named(result.plexus, ids, len(ids))}\n")


_Row = tuple[str, ...]


def _row(result: Injury, outcome: Outcome) -> _Row:
    share, *roots = _shares(result, outcome)
    return outcome.id, nerve(result.plexus, outcome.id), share, outcome.mrc, *roots


def _area(result: Injury, outcome: Outcome) -> _Row:
    return outcome.name, outcome.state, *_shares(result, outcome)


def _shares(result: Injury, outcome: Outcome) -> tuple[str, str, str]:
    """Share left, roots lost, roots left."""
    plexus = result.plexus
    target = plexus.muscles.get(outcome.id) or plexus.skin.get(outcome.id)
    left = weighed(plexus, outcome.left, outcome.outside, target.outside_minor if target else ())
    return f"{round(100 * outcome.remaining)} %", runs(plexus, outcome.roots_lost), left


def _together(result: Injury, rows: list[_Row]) -> Iterator[_Row]:
    """Rows of a group whose members are alike as one row of the group."""
    by_id = {row[0]: row[1:] for row in rows}
    for id in grouped(result.plexus, by_id, by_id):
        members = result.rule.members(id)
        yield result.plexus.entity(id).name, *by_id[members[0]]


def _counts(result: Injury) -> None:
    counts = Counter(outcome.state for outcome in result.muscles.values())
    states = ("paralysed", "weak", "slight", "spared")
    show("Of all muscles: " + ", ".join(f"{counts[state]} {state}" for state in states) + "\n")


def _movements(result: Injury) -> None:
    """Lost movements in a line, weak ones with the muscles that still do them, slight ones in a line."""
    by_loss = {loss: [m for m in result.movements.values() if m.loss is loss] for loss in Loss}
    if by_loss[Loss.WHOLE]:
        show(f"Movements lost: {'; '.join(m.name for m in by_loss[Loss.WHOLE])}\n")
    show_table("Movements weak", ("Movement", "Still done by"), (_moved(result, m) for m in by_loss[Loss.PART]))
    if by_loss[Loss.SLIGHT]:
        show(f"Movements slightly weak: {'; '.join(m.name for m in by_loss[Loss.SLIGHT])}\n")


def _moved(result: Injury, movement: Movement) -> tuple[str, str]:
    plexus = result.plexus
    able, weak = named(plexus, movement.able), named(plexus, movement.weak, mark=" (weak)")
    return movement.name, "; ".join(part for part in (able, weak) if part)


def _spared(result: Injury) -> None:
    """What is notably spared, muscles and skin apart."""
    tables = (("muscles", result.plexus.muscles), ("skin", result.plexus.skin))
    found = [(what, [id for id in result.notably_spared if id in table]) for what, table in tables]
    rows = ([what, named(result.plexus, ids, _SPARED)] for what, ids in found if ids)
    show_table("Notably spared", ("Kind", "Beside the cut, yet whole"), rows)


def _scenario(result: Injury, scenario: Scenario) -> None:
    """What is said of a scenario: its note, what others mean by its name, and what to add to the command."""
    cited = Cited(result.plexus, scenario.sources)
    show(f"{capital(scenario.name)}: {cited.text(scenario.note)}" if scenario.note else scenario.name)
    for other in scenario.alternatives:
        show(f"The name may also mean {' + '.join(other.sites)}: {cited.text(other.note)}", indent=2)
    show(f"Sources: {_titles(cited)}", indent=2)
    hint = remarks.hint(scenario, result.partial)
    if hint:
        show(hint, style="bold")


def _remarks(result: Injury) -> None:
    """What sources differ on, what is hit outside the plexus, and what is worth knowing of the place."""
    plexus = result.plexus
    cited = Cited(plexus)
    rows = [[one.entity.name, cited.text(one.note)] for one in remarks.unsure(result)]
    show_table("Sources differ at this place", ("Structure", "What they say"), rows)
    show_table("Outside this plexus", ("Structure", "State"), ([o.name, state] for o, state in remarks.outside(result)))
    for remark in remarks.of_places(plexus, result.sites):
        cited.text(" ".join(f"[{id}]" for id in remark.sources))
        show(capital(remark.place), style="bold")
        show(f"{cited.text(remark.note)}\n")
    if cited.titles:
        show(f"Sources of these remarks: {_titles(cited)}\n")


def _titles(cited: Cited) -> str:
    return "; ".join(f"{number} {title}" for number, title in enumerate(cited.titles, 1))
