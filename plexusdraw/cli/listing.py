"""``plexusdraw list``: what a model holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from difflib import get_close_matches

import click

from plexusdraw.cli.common import (
    chosen_variants,
    echo_json,
    json_option,
    model_option,
    pick_model,
    show,
    show_table,
    split_model,
)
from plexusdraw.cli.fitting import Command, Rule, fitting
from plexusdraw.clinic import report
from plexusdraw.courses import load
from plexusdraw.model import Entity, Plexus, Segment, Target, Variant, models
from plexusdraw.names import sites
from plexusdraw.names.cited import plain
from plexusdraw.routes import fibres

Row = dict[str, object]


@click.command("list", cls=Command, short_help="List what a model holds.")
@click.argument("what", nargs=-1, metavar="[MODEL] [WHAT]")
@model_option
@json_option
@fitting(
    Rule("model", lambda given: not _of_no_model(given["what"]), "this list belongs to no model"),
    Rule("variant", lambda given: not _of_no_model(given["what"]), "this list belongs to no model"),
)
def command(what: tuple[str, ...], model: str | None, as_json: bool) -> None:
    """List what a model holds.

    WHAT is one of its stages (roots, trunks, divisions, cords, branches), or nerves, muscles, skin, groups,
    places, sites, scenarios, reflexes, signs, outside, variants, sources, models, themes. Without it: how many
    there are of each.
    """
    if _of_no_model(what):
        _print_names(_NAMES[what[0]](), as_json)
        return
    plexus, rest = pick_model(what, model)
    tables = _tables(plexus)
    plain = _tables(load(split_model(what, model)[0])) if chosen_variants() else {}
    if not rest:
        counts = _counts(tables)
        _tell_variants(counts, _counts(plain))
        _print(plexus.name, counts, as_json)
        return
    aliases = {stage.name: stage.id for stage in plexus.stages}
    name = _wanted(" ".join(rest), (*tables, *aliases, *_NAMES))
    if name in _NAMES:
        if len(what) > len(rest) or model is not None:
            raise click.UsageError(f"the list of {name} belongs to no model: leave the model out.")
        _print_names(_NAMES[name](), as_json)
    else:
        table = aliases.get(name, name)
        _tell_variants(tables[table], plain.get(table, []))
        _print(name, tables[table], as_json)


def _counts(tables: Mapping[str, list[Row]]) -> list[Row]:
    return [{"what": name, "number": len(rows)} for name, rows in tables.items() if rows]


def _tell_variants(rows: list[Row], plain: list[Row]) -> None:
    """Say where --variant changes nothing of a list; *plain*: the list without it, empty where none is typed."""
    if rows and rows == plain:
        click.echo("--variant changes nothing in this list.", err=True)


def _of_no_model(what: Sequence[str]) -> bool:
    """Whether all that is asked for is a list that belongs to no model."""
    return len(what) == 1 and what[0] in _NAMES


def _theme_names() -> tuple[str, ...]:
    from plexusdraw.look import theme  # noqa: PLC0415

    return theme.names()


_NAMES: dict[str, Callable[[], tuple[str, ...]]] = {"models": models, "themes": _theme_names}
"""Lists that belong to no model."""


def _wanted(text: str, known: Iterable[str]) -> str:
    """The list that a text names, singular or plural; click.UsageError if there is none."""
    names = {name.casefold(): name for name in known}
    key = text.casefold()
    for form in (key, f"{key}s", f"{key}es"):
        if form in names:
            return names[form]
    near = get_close_matches(key, names, n=1)
    hint = f" Did you mean {names[near[0]]}?" if near else ""
    raise click.UsageError(f'no list "{text}".{hint} Known: {", ".join(names.values())}.')


def _tables(plexus: Plexus) -> dict[str, list[Row]]:
    """Name of a list → its rows; the stages come first."""
    last = plexus.stages[-1].id
    nerves = [s for s in plexus.segments.values() if s.stage in (None, last)]
    return {
        **{stage.id: _segments(plexus, plexus.staged(stage.id)) for stage in plexus.stages},
        "nerves": _segments(plexus, nerves),
        "muscles": [_target(plexus, muscle) for muscle in plexus.muscles.values()],
        "skin": [_target(plexus, area) for area in plexus.skin.values()],
        "groups": [_named(g) | {"members": list(g.members)} for g in plexus.groups.values()],
        "places": [{"id": place.id, "name": place.full_name} for place, _, _ in plexus.places.values()],
        "sites": [{"id": site.id, "name": site.name} for site in sites.all_sites(plexus)],
        "scenarios": [
            _named(s)
            | {"sites": [site.name for site in sites.of_scenario(plexus, s)], "usually": s.usually}
            | {"other names": list(s.synonyms)}
            for s in plexus.scenarios.values()
        ],
        "reflexes": [
            _named(r) | {"muscles": list(r.muscles), "roots": list(r.roots), "minor": list(r.minor)}
            for r in plexus.reflexes.values()
        ],
        "signs": [_named(s) | {"note": plain(plexus, s.note)} for s in plexus.signs.values()],
        "outside": [_named(o) | {"kind": o.kind, "nerve": o.nerve} for o in plexus.outside.values()],
        "variants": [_variant(v) for v in plexus.variants.values()],
        "sources": [{"id": s.id, "title": s.title, "note": s.note} for s in plexus.sources.values()],
    }


def _variant(variant: Variant) -> Row:
    found = "; ".join(f"{p.value} ({p.where})" if p.where else p.value for p in variant.prevalence)
    return _named(variant) | {"kind": variant.kind, "found in": found, "note": variant.note}


def _named(entity: Entity) -> Row:
    return {"id": entity.id, "name": entity.name}


def _target(plexus: Plexus, target: Target) -> Row:
    nerve = report.nerves(plexus, target.id)
    return _named(target) | {"nerve": nerve, "roots": list(target.roots), "minor": list(target.minor)}


def _segments(plexus: Plexus, segments: Sequence[Segment]) -> list[Row]:
    carried = fibres.of(plexus).carried
    return [
        _named(s)
        | {
            "from": list(s.parents),
            "roots": [root for root, minor in carried[s.id].items() if not minor],
            "minor": [root for root, minor in carried[s.id].items() if minor],
        }
        for s in segments
    ]


def _print_names(names: Iterable[str], as_json: bool) -> None:
    if as_json:
        echo_json(list(names))
        return
    for name in names:
        show(name)


def _print(title: str, rows: list[Row], as_json: bool) -> None:
    if as_json:
        echo_json(rows)
        return
    if not rows:
        show(f"{title}: none")
        return
    columns = [key for key in rows[0] if key != "id" or title in ("sources", "variants")]
    heads = columns if len(columns) > 1 else [title]
    show_table(title if len(columns) > 1 else "", heads, ([_cell(row[key]) for key in columns] for row in rows))


def _cell(value: object) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
