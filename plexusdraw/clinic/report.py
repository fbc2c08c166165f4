"""Results as plain values for JSON. The shapes are part of the tool's interface."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from plexusdraw import names

if TYPE_CHECKING:
    from plexusdraw.clinic.compare import Comparison, ModelComparison
    from plexusdraw.clinic.injury import Injury
    from plexusdraw.clinic.localise import Result
    from plexusdraw.model.entities import Scenario
    from plexusdraw.model.plexus import Plexus
    from plexusdraw.names.sites import Site
    from plexusdraw.routes.reach import Reach

CAUTION = (
    "For learning anatomy, not for diagnosis or treatment. People differ, sources differ, and real injuries "
    "are often partial or at several places."
)

Json = dict[str, Any]


def caution(plexus: Plexus) -> str:
    """The caution of a model, or the general one."""
    return plexus.caution.strip() or CAUTION


def nerves(plexus: Plexus, target: str) -> str:
    """Names of the nerves that reach a muscle or skin area, in model order."""
    return ", ".join(names.display(plexus.segments[id]) for id in plexus.nerves_of.get(target, ()))


def injury(result: Injury) -> Json:
    """Sites; every muscle, skin area, movement and reflex with its state; the signs; what is notably spared."""
    plexus = result.plexus
    return {
        "sites": [_site(site) | {"partial": site.partial} for site in result.sites],
        "variants": list(plexus.applied),
        "muscles": [
            {
                "id": o.id,
                "name": o.name,
                "nerve": nerves(plexus, o.id),
                "state": o.state,
                "disputed": o.disputed,
                "remaining": round(o.remaining, 3),
                "mrc_estimate": o.mrc,
                "roots_lost": list(o.roots_lost),
                "roots_left": list(o.roots_left),
            }
            for o in result.muscles.values()
        ],
        "skin": [{"id": o.id, "name": o.name, "state": o.state, "disputed": o.disputed} for o in result.skin.values()],
        "movements": [
            {
                "name": m.name,
                "state": m.state,
                "disputed": m.disputed,
                "able": list(m.able),
                "weak": list(m.weak),
                "gone": list(m.gone),
            }
            for m in result.movements.values()
        ],
        "reflexes": [{"id": o.id, "name": o.name, "state": o.state} for o in result.reflexes.values()],
        "signs": [{"id": s.id, "name": s.name, "note": s.note} for s in result.signs],
        "notably_spared": [{"id": id, "name": result.outcome(id).name} for id in result.notably_spared],
        "caution": caution(plexus),
    }


def beside(result: Injury, scenarios: Iterable[Scenario] = ()) -> Json:
    """What stands beside the losses: the scenarios by whose name the sites were given, what sources differ on,
    what is hit outside the plexus, what is worth knowing of the places, and the titles of all sources named.
    """
    from plexusdraw.clinic import remarks  # noqa: PLC0415

    plexus, named = result.plexus, tuple(scenarios)
    places = remarks.of_places(plexus, result.sites)
    ids = [id for what in (*named, *result.signs) for id in what.sources]
    ids += [id for remark in places for id in remark.sources]
    return {
        "scenarios": [_scenario(scenario, remarks.hint(scenario, result.partial)) for scenario in named],
        "outside": [{"id": o.id, "name": o.name, "state": state} for o, state in remarks.outside(result)],
        "remarks": [{"place": r.place, "note": r.note, "sources": list(r.sources)} for r in places],
        "unsure": [
            {"id": one.entity.id, "name": one.entity.name, "place": one.place.id, "note": one.note}
            for one in remarks.unsure(result)
        ],
        "sources": sources(plexus, dict.fromkeys(ids)),
    }


def reasons(result: Injury) -> Json:
    """Why: of each muscle, skin area and reflex the broken and intact routes, as ids with the root first."""
    outcomes = (*result.muscles.values(), *result.skin.values(), *result.reflexes.values())
    return {
        outcome.id: {
            "broken": [[*route.path, route.target] for route in outcome.broken],
            "left": [[*route.path, route.target] for route in outcome.left],
        }
        for outcome in outcomes
        if outcome.loss
    }


def trace(result: Reach, plexus: Plexus) -> Json:
    """One traced entity: its roots, its routes as ids with the root first, what it reaches, and what is known of it."""
    known = {
        "examine": getattr(result.entity, "examine", ""),
        "trick": getattr(result.entity, "trick", ""),
        "note": result.entity.note,
        "sources": sources(plexus, result.entity.sources),
    }
    return {
        "id": result.entity.id,
        "name": names.display(result.entity),
        "kind": result.entity.kind,
        "variants": list(plexus.applied),
        "roots": list(result.roots),
        "roots_minor": list(result.roots_minor),
        "routes": [list(route) for route in result.paths],
        "muscles": list(result.muscles),
        "skin": list(result.skin),
        **{key: value for key, value in known.items() if value},
    }


def localise(result: Result) -> Json:
    """Sites best first, what no single site explains, and the tests that would tell the leading sites apart."""
    return {
        "sites": [
            {
                "id": answer.id,
                "name": answer.name,
                "cuts": [site.id for site in answer.cuts],
                "places": list(answer.places),
                "explained": list(answer.explained),
                "unexplained": list(answer.unexplained),
                "contradicted": list(answer.contradicted),
                "score": round(answer.score, 3),
                "plausible": answer.plausible.word,
                "partial": answer.partial,
            }
            for answer in result.answers
        ],
        "unexplained": [finding.text for finding in result.unexplained],
        "variants_applied": list(result.plexus.applied),
        "next_tests": [
            {
                "id": t.id,
                "name": t.name,
                "kind": t.kind,
                "tells": round(t.tells, 3),
                "word": t.word,
                "normal": list(t.normal),
                "changed": list(t.changed),
            }
            for t in result.next_tests
        ],
        "caution": caution(result.plexus),
    }


def comparison(result: Comparison) -> Json:
    """Two injuries side by side: what tells them apart, and what they share."""
    return {
        "a": [_site(site) for site in result.a.sites],
        "b": [_site(site) for site in result.b.sites],
        "variants": list(result.a.plexus.applied),
        "differ": [{"id": d.id, "name": d.name, "kind": d.kind, "a": d.a, "b": d.b} for d in result.differ],
        "same": [{"id": d.id, "name": d.name, "kind": d.kind, "state": d.a} for d in result.same],
        "caution": caution(result.a.plexus),
    }


def models(result: ModelComparison) -> Json:
    """Two models side by side: what each says where they differ."""
    return {
        "a": result.a.name,
        "b": result.b.name,
        "differ": [
            {"id": d.id, "name": d.name, "kind": d.kind, "what": d.what, "a": d.a, "b": d.b} for d in result.differ
        ],
        "caution": caution(result.a),
    }


def sources(plexus: Plexus, ids: Iterable[str]) -> list[Json]:
    """Sources with their titles."""
    return [{"id": id, "title": plexus.sources[id].title} for id in ids]


def _scenario(scenario: Scenario, hint: str) -> Json:
    return {
        "id": scenario.id,
        "name": scenario.name,
        "usually": scenario.usually,
        "hint": hint,
        "note": scenario.note,
        "alternatives": [{"sites": list(other.sites), "note": other.note} for other in scenario.alternatives],
        "sources": list(scenario.sources),
    }


def _site(site: Site) -> Json:
    return {"id": site.id, "name": site.name}
