"""A plexus as plain values for the page: what can be named, what carries which roots, every route, every site.

Nothing is decided here: the values are those of the model and of :mod:`plexusdraw.routes.fibres`, notes as a reader
sees them. What is empty is left
out, to keep the page small.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plexusdraw import names
from plexusdraw.clinic import deficits, findings, localise, next_tests, places, report
from plexusdraw.clinic.disputes import variable_ways
from plexusdraw.clinic.findings import CONTRADICTED, GAINS, NORMAL
from plexusdraw.model.composition import order
from plexusdraw.model.entities import Entity, Place, Rule, Segment, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import relations, site, sites
from plexusdraw.names.cited import plain
from plexusdraw.page import lecture, quiz
from plexusdraw.page.answers import details
from plexusdraw.page.cards import cards
from plexusdraw.routes import fibres
from plexusdraw.scene import Scene
from plexusdraw.views import injured, limb

Json = dict[str, Any]


def payload(plexus: Plexus, pictures: Mapping[str, Sequence[Scene]]) -> Json:
    """The model, its routes, the rules' figures, and what the pictures of each detail share.

    Segments and routes are those that a convention draws, each site with its position on them: so that a cut shows in
    the picture and means what it always means. What is told in words is computed of the plexus itself.
    """
    shown = plexus.drawn
    worked_out = fibres.of(shown)
    return {
        "id": plexus.id,
        "name": plexus.name,
        "latin": plexus.latin,
        "limb": plexus.limb,
        "caution": report.caution(plexus),
        "variants": list(plexus.applied),
        "roots": list(shown.roots),
        "stages": [
            {"id": s.id, "name": s.name, "singular": s.singular, "order": s.order} | _full(latin=s.latin)
            for s in shown.stages
        ],
        "order": list(order(shown.segments)),
        "segments": [_segment(worked_out, s) for s in shown.segments.values()],
        "muscles": [_target(worked_out, m) for m in shown.muscles.values()],
        "skin": [_target(worked_out, s) for s in shown.skin.values()],
        "unseen": [_target(worked_out, t) for t in shown.unseen.values()],
        "wholes": [
            _entity(shown, whole)
            | {"parts": list(whole.parts)}
            | _full(course=[_entity(shown, item) for item in whole.course if isinstance(item, Place)])
            for whole in shown.wholes.values()
        ],
        "groups": [_entity(plexus, g) | {"members": list(g.members)} for g in plexus.groups.values()],
        "outside": [
            _entity(plexus, o) | _full(nerve=o.nerve, movements=o.movements, cut=o.cut) for o in plexus.outside.values()
        ],
        "reflexes": [
            _entity(plexus, r) | _full(muscles=r.muscles, roots=r.roots, minor=r.minor)
            for r in plexus.reflexes.values()
        ],
        "signs": [_entity(plexus, s) | {"when": _rule(s.when)} for s in plexus.signs.values()],
        "scenarios": [
            _entity(plexus, s) | _full(usually=s.usually, cuts=[site.id for site in sites.of_scenario(plexus, s)])
            for s in plexus.scenarios.values()
        ],
        "plausible": {one.id: int(places.of(plexus).plausible(one)) for one in sites.all_sites(plexus)},
        "weights": {id: places.of(plexus).weight(id) for id in plexus.signs},
        "routes": [_route(route) for route in worked_out.routes],
        "sites": [
            [s.segment, s.at, s.id, s.name, *_further(s)]
            for s in (sites.on_drawing(plexus, one) for one in sites.all_sites(plexus))
        ],
        "sources": {s.id: s.title for s in plexus.sources.values()},
        "rules": _rules(),
        "details": details(shown, pictures),
        "spelling": quiz.spellings(plexus),
        "cards": cards(plexus),
        "questions": quiz.questions(plexus),
        "lecture": next((lecture.stops(plexus, scenes[0]) for scenes in reversed([*pictures.values()])), []),
        "right": {detail: quiz.right(shown, scenes) for detail, scenes in pictures.items()},
    }


def _route(route: fibres.Route) -> list[object]:
    """Its steps, and where it runs on through parts that a course leaves out."""
    steps = list(zip(route.path, route.exits, strict=True))
    return [route.root, route.target, int(route.minor), steps, *([route.beyond] if route.beyond else [])]


def _further(site: sites.Site) -> list[tuple[tuple[str, int], ...]]:
    """Places on other parts of the nerve, then on those that a course leaves out."""
    return [site.others, site.left_out] if site.left_out else [site.others] if site.others else []


def _rules() -> Json:
    """Figures and words that the page's rules share with this package's."""
    return {
        "minorWeight": deficits.MINOR_WEIGHT,
        "half": deficits.HALF,
        "words": {kind: list(words) for kind, words in deficits.WORDS.items()},
        "gains": {kind: list(gains) for kind, gains in GAINS.items()},
        "normal": sorted(NORMAL),
        "contradicted": CONTRADICTED,
        "findingWords": dict(findings._WORDS),
        "strengths": {kind: sorted(grades) for kind, grades in findings.STRENGTHS.items()},
        "byGrade": list(findings.BY_GRADE),
        "grade": findings.GRADE,
        "explained": findings.EXPLAINED,
        "graded": sorted(findings.GRADED),
        "second": localise.SECOND,
        "neighbour": localise.NEIGHBOUR,
        "next": localise.NEXT,
        "unlikely": [localise.UNLIKELY[plausible] for plausible in places.Plausible],
        "plausibleWords": [plausible.word for plausible in places.Plausible],
        "mostPlaces": localise._MOST_PLACES,
        "mostNeighbours": localise._MOST_NEIGHBOURS,
        "mostNames": localise._MOST_NAMES,
        "unseen": places.UNSEEN,
        "leading": next_tests.LEADING,
        "leastLeading": next_tests.LEAST,
        "mostLeading": next_tests.MOST,
        "manyTests": next_tests.MANY,
        "well": next_tests.WELL,
        "testWords": list(next_tests.WORDS),
        "torn": sorted(site.TORN),
        "diseased": sorted(sites.DISEASED),
        "rootWords": sites.ROOT_WORDS.pattern,
        "run": sites.RUN,
        "farther": sorted(relations.FARTHER),
        "rowWords": dict(injured.WORD),
        "rowStates": dict(injured.STATE),
        "limbStates": dict(limb.STATE),
    }


def _entity(plexus: Plexus, entity: Entity) -> Json:
    name = names.display(entity)
    return {"id": entity.id, "name": name, "kind": entity.kind} | _full(
        latin=names.latin(entity),
        synonyms=entity.synonyms,
        note=plain(plexus, entity.note),
        sources=entity.sources,
    )


def _segment(worked_out: fibres.Fibres, segment: Segment) -> Json:
    plexus = worked_out.plexus
    between = {p: list(worked_out.between(p, segment.id)) for p in segment.parents}
    return (
        _entity(plexus, segment)
        | {"carried": {root: int(minor) for root, minor in worked_out.carried[segment.id].items()}}
        | _full(
            stage=segment.stage,
            between=between,
            course=[_entity(plexus, item) if isinstance(item, Place) else item.to for item in segment.course],
        )
    )


def _target(worked_out: fibres.Fibres, target: Target) -> Json:
    plexus, routes = worked_out.plexus, worked_out.of(target.id)
    return _entity(plexus, target) | _full(
        variable={root: plain(plexus, note) for root, note in target.variable.items()},
        variableWays={root: variable_ways(plexus, target, root, routes) for root in target.variable},
        outside=dict(target.outside),
        outsideMinor=target.outside_minor,
        movements=target.movements,
        untestable=not target.testable,
        area=target.area,
        dermatome=target.dermatome,
        areas=target.areas,
        examine=target.examine,
        trick=target.trick,
    )


def _rule(rule: Rule) -> Json:
    return _full(
        lost=rule.lost,
        weak=rule.weak,
        spared=rule.spared,
        cut=rule.cut,
        all=[_rule(part) for part in rule.all],
        any=[_rule(part) for part in rule.any],
    )


def _full(**values: object) -> Json:
    """Those values that hold something; tuples as lists."""
    found = {key: list(value) if isinstance(value, tuple) else value for key, value in values.items() if value}
    return {key: dict(value) if isinstance(value, Mapping) else value for key, value in found.items()}
