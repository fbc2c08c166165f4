"""A plexus as plain values for the page: what can be named, what carries which roots, every route, every site.

Nothing is decided here: the values are those of the model and of :mod:`plexusdraw.routes.fibres`, notes as a reader
sees them. What is empty is left
out, to keep the page small.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plexusdraw import names
from plexusdraw.clinic import deficits, findings, localise, report
from plexusdraw.clinic.findings import CONTRADICTED, GAINS, NORMAL
from plexusdraw.clinic.localise import LEADING, MOST_LEADING, NEXT_CUT, SECOND_CUT
from plexusdraw.model.composition import order
from plexusdraw.model.plexus import Entity, Level, Plexus, Rule, Segment, Target
from plexusdraw.names import sites, spelling
from plexusdraw.names.cited import plain
from plexusdraw.routes import fibres
from plexusdraw.views import blanks, highlight, injured
from plexusdraw.views.stages import column_of

Json = dict[str, Any]


def truth(plexus: Plexus) -> Json:
    """The model, its routes and the rules' figures."""
    worked_out = fibres.of(plexus)
    columns = column_of(plexus)
    return {
        "id": plexus.id,
        "name": plexus.name,
        "latin": plexus.latin,
        "limb": plexus.limb,
        "caution": report.caution(plexus),
        "roots": list(plexus.roots),
        "stages": [{"id": s.id, "name": s.name, "singular": s.singular, "order": s.order} for s in plexus.stages],
        "order": list(order(plexus.segments)),
        "segments": [_segment(worked_out, s, columns.get(s.id, 0)) for s in plexus.segments.values()],
        "muscles": [_target(plexus, m) for m in plexus.muscles.values()],
        "skin": [_target(plexus, s) for s in plexus.skin.values()],
        "groups": [_entity(plexus, g) | {"members": list(g.members)} for g in plexus.groups.values()],
        "outside": [
            _entity(plexus, o) | _full(nerve=o.nerve, roots=o.roots, minor=o.minor, movements=o.movements, cut=o.cut)
            for o in plexus.outside.values()
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
        "routes": [
            [r.root, r.target, int(r.minor), [[s, at] for s, at in zip(r.path, r.exits, strict=True)]]
            for r in worked_out.routes
        ],
        "sites": [[s.segment, s.at, s.id, s.name] for s in sites.all_sites(plexus)],
        "sources": {s.id: s.title for s in plexus.sources.values()},
        "rules": _rules(),
        "spelling": {"mapped": spelling._MAPPED, "silent": sorted(spelling._SILENT)},
    }


def _rules() -> Json:
    """Figures and words that the page's rules share with this package's."""
    return {
        "minorWeight": deficits.MINOR_WEIGHT,
        "words": {kind: list(words) for kind, words in deficits.WORDS.items()},
        "gains": {kind: list(gains) for kind, gains in GAINS.items()},
        "normal": sorted(NORMAL),
        "contradicted": CONTRADICTED,
        "findingWords": dict(findings._WORDS),
        "secondCut": SECOND_CUT,
        "nextCut": NEXT_CUT,
        "mostPlaces": localise._MOST_PLACES,
        "mostNeighbours": localise._MOST_NEIGHBOURS,
        "leading": LEADING,
        "mostLeading": MOST_LEADING,
        "rowWords": dict(injured.WORD),
        "rowStates": dict(injured.STATE),
        "legends": injured.LEGENDS | {"light": highlight.LEGEND, "blank": blanks.LEGEND},
    }


def _entity(plexus: Plexus, entity: Entity) -> Json:
    name = names.display(entity)
    return {"id": entity.id, "name": name, "kind": entity.kind} | _full(
        latin=entity.latin,
        bare=entity.name if entity.name != name else "",
        label=entity.label,
        synonyms=entity.synonyms,
        note=plain(plexus, entity.note),
        sources=entity.sources,
    )


def _segment(worked_out: fibres.Fibres, segment: Segment, column: int) -> Json:
    plexus = worked_out.plexus
    between = {p: list(worked_out.between(p, segment.id)) for p in segment.parents}
    return (
        _entity(plexus, segment)
        | {"carried": {root: int(minor) for root, minor in worked_out.carried[segment.id].items()}, "column": column}
        | _full(
            stage=segment.stage,
            between=between,
            course=[
                _entity(plexus, item) | {"level": 1} if isinstance(item, Level) else item.to for item in segment.course
            ],
        )
    )


def _target(plexus: Plexus, target: Target) -> Json:
    return _entity(plexus, target) | _full(
        roots=target.roots,
        minor=target.minor,
        variable={root: plain(plexus, note) for root, note in target.variable.items()},
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
