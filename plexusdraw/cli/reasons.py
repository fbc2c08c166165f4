"""``injure --why``: each line of the report, and the routes or the rule from which it follows."""

from __future__ import annotations

from collections.abc import Iterator

from plexusdraw import names
from plexusdraw.cli.common import show
from plexusdraw.cli.wording import named
from plexusdraw.clinic.injury import Injury, Movement, Outcome
from plexusdraw.model.entities import Rule, Sign
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Route


def show_reasons(result: Injury) -> None:
    """Write why each muscle, movement, skin area, reflex and sign is as it is, and why the rest is spared."""
    show("Why", style="bold")
    for outcome in (*result.muscles.values(), *result.skin.values()):
        if outcome.loss:
            _routes(result, outcome)
    for movement in result.movements.values():
        if movement.loss:
            _movement(result.plexus, movement)
    for outcome in result.reflexes.values():
        if outcome.loss:
            _routes(result, outcome)
    for sign in result.signs:
        _sign(result.plexus, sign)
    for id in result.notably_spared:
        _routes(result, result.outcome(id))
    show("")


def _routes(result: Injury, outcome: Outcome) -> None:
    show(f"{outcome.name}: {outcome.state}")
    for word, routes in (("broken", outcome.broken), ("left", outcome.left)):
        for route in routes:
            show(f"{word}: {_route(result, route)}", indent=2)
    if outcome.outside:
        show(f"left: {', '.join(f'{root} by the {nerve}' for root, nerve in outcome.outside.items())}", indent=2)


def _route(result: Injury, route: Route) -> str:
    minor = " (minor)" if route.minor else ""
    return " → ".join(_steps(result, route)) + minor


def _steps(result: Injury, route: Route) -> Iterator[str]:
    """Names along a route, with × after each segment in which it is cut."""
    for segment, leaving in zip(route.path, route.exits, strict=True):
        cut = any(segment == id and leaving >= at for id, at in result.cuts)
        yield result.plexus.segments[segment].name + (" ×" if cut else "")
    yield result.plexus.entity(route.target).name


def _movement(plexus: Plexus, movement: Movement) -> None:
    show(f"{movement.name}: {movement.state}")
    for word, ids in (("paralysed", movement.gone), ("weak", movement.weak), ("works", movement.able)):
        if ids:
            show(f"{word}: {named(plexus, ids, len(ids))}", indent=2)


def _sign(plexus: Plexus, sign: Sign) -> None:
    sources = ", ".join(plexus.sources[id].title if id in plexus.sources else id for id in sign.sources)
    show(f"{sign.name}: {'; '.join(_parts(plexus, sign.when))}")
    show(f"source: {sources}", indent=2)


def _parts(plexus: Plexus, rule: Rule) -> Iterator[str]:
    """A rule in words."""
    for word, ids in (
        ("lost", rule.lost),
        ("at least weak", rule.weak),
        ("spared", rule.spared),
        ("cut at", rule.cut),
    ):
        if ids:
            yield f"{word}: {', '.join(dict.fromkeys(names.display(plexus.entity(id)) for id in ids))}"
    for part in rule.all:
        yield from _parts(plexus, part)
    if rule.any:
        yield "one of: " + " or ".join(" and ".join(_parts(plexus, part)) for part in rule.any)
