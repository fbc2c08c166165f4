"""A plexus of which a course shows a part; the rest still counts.

What is left out is not in the plexus any more, so no surface can show it. Muscles and skin areas on which something
that is kept depends, as a movement that they share, stay as ``Plexus.unseen``: without a name, at the position at which
their fibres leave what is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TypeVar

from plexusdraw.courses import signs
from plexusdraw.courses.prose import Silent
from plexusdraw.courses.unseen import Unseen
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import (
    CourseItem,
    Entity,
    Place,
    Region,
    Remark,
    Scenario,
    Segment,
    Sign,
    Source,
    Target,
    Variant,
)
from plexusdraw.model.plexus import Plexus, Taught
from plexusdraw.names import sites
from plexusdraw.names.sites import Site

E_ = TypeVar("E_", bound=Entity)


def ids(plexus: Plexus) -> frozenset[str]:
    """Ids of all that a course may keep or leave out, as it is computed and as it is drawn."""
    return frozenset(
        entity.id for one in (plexus, plexus.drawn) for entity in one.entities() if entity.kind != "scenario"
    )


def cut(plexus: Plexus, kept: frozenset[str], taught: Taught) -> Plexus:
    """The plexus with what is kept alone; the rest is counted without a name."""
    made = _Cutter(plexus, kept, taught).plexus()
    if plexus.drawing is None:
        return made
    drawing = _Cutter(plexus.drawing, kept, taught).plexus()
    return replace(made, drawing=drawing)


class _Cutter:
    """Cuts one plexus down to what is kept."""

    def __init__(self, plexus: Plexus, kept: frozenset[str], taught: Taught) -> None:
        self.base, self.kept, self.taught = plexus, kept, taught
        entities = plexus.entities()
        self.silent = Silent((e for e in entities if e.id in taught.left_out), (e for e in entities if e.id in kept))
        self.unseen = Unseen(plexus, kept)

    def plexus(self) -> Plexus:
        """What is kept."""
        base = self.base
        stages = base.stages
        used = {segment.stage for segment in base.segments.values() if segment.id in self.kept}
        made = replace(
            base,
            note=self.silent.text(base.note),
            stages=tuple(s for s in stages if s in (stages[0], stages[-1]) or s.id in used),
            segments=self._table(base.segments, self._segment),
            wholes=self._table(base.wholes, self._whole),
            muscles=self._table(base.muscles, self._target),
            skin=self._table(base.skin, self._target),
            groups=self._table(base.groups),
            reflexes=self._table(base.reflexes),
            signs=self._signs(),
            outside=self._table(base.outside),
            scenarios={},
            regions=self._regions(),
            variants=self._variants(),
            remarks={},
            unseen=self.unseen.targets,
            base_roots=tuple(root for root in base.palette),
            drawing=None,
            taught=self.taught,
        )
        made = replace(made, remarks=self._remarks(made))
        made = replace(made, scenarios=MappingProxyType({s.id: s for s in self._scenarios(made)}))
        return replace(made, sources=self._sources(made))

    def _table(self, table: Mapping[str, E_], change: object = None) -> Mapping[str, E_]:
        chosen = (self.silent.entity(one) for id, one in table.items() if id in self.kept)
        return MappingProxyType({one.id: change(one) if callable(change) else one for one in chosen})

    def _segment(self, segment: Segment) -> Segment:
        return replace(
            segment,
            course=tuple(self._course(segment)),
            variable=self.silent.texts(segment.variable),
            reaches=self.unseen.ids(segment.reaches),
        )

    def _whole(self, whole: Segment) -> Segment:
        return replace(
            whole,
            parts=tuple(id for id in whole.parts if id in self.kept),
            left_out=self.unseen.parts(whole),
            course=tuple(self._course(whole)),
        )

    def _course(self, segment: Segment) -> Iterator[CourseItem]:
        """What leaves a segment and is kept; in place of the rest, what of it still counts."""
        for at, item in enumerate(segment.course):
            if isinstance(item, Place):
                if item.id in self.kept:
                    yield self._place(item)
            elif item.to in self.kept:
                yield item
            else:
                yield from self.unseen.leaving(segment.id, at)
        yield from self.unseen.leaving(segment.id, len(segment.course))

    def _place(self, place: Place) -> Place:
        variable = {id: note for id, note in place.variable.items() if id in self.kept}
        return replace(self.silent.entity(place), variable=self.silent.texts(variable))

    def _target(self, target: Target) -> Target:
        text = self.silent.text
        return replace(
            target,
            examine=text(target.examine),
            trick=text(target.trick),
            area=text(target.area),
            variable=self.silent.texts(target.variable),
            areas=self.unseen.areas(target),
        )

    def _signs(self) -> Mapping[str, Sign]:
        found: dict[str, Sign] = {}
        for sign in self.base.signs.values():
            rule = signs.mapped(self.base, sign.when, self.kept, self.unseen) if sign.id in self.kept else None
            if rule is not None and not self.silent.names(sign.name):
                found[sign.id] = replace(self.silent.entity(sign), when=rule)
        return MappingProxyType(found)

    def _regions(self) -> Mapping[str, Region]:
        rows = (replace(r, nerves=tuple(id for id in r.nerves if id in self.kept)) for r in self.base.regions.values())
        return MappingProxyType({row.id: row for row in rows if row.nerves and not self.silent.names(row.name)})

    def _variants(self) -> Mapping[str, Variant]:
        """Those that hold, and those that can be told without naming what is left out."""
        found = {}
        for id, variant in self.base.variants.items():
            if id not in self.base.applied and self.silent.names(f"{variant.name}. {variant.note}"):
                continue
            rows = (row for row in variant.prevalence if not self.silent.names(f"{row.value}. {row.where}"))
            cited = tuple(replace(row, sources=self.silent.ids(row.sources)) for row in rows)
            found[id] = replace(self.silent.entity(variant), prevalence=cited)
        return MappingProxyType(found)

    def _remarks(self, made: Plexus) -> Mapping[str, Remark]:
        known = {place.name for place, _, _ in made.places.values()}
        rows = {name: remark for name, remark in self.base.remarks.items() if name in known}
        told = {name: row for name, row in rows.items() if not self.silent.names(f"{name}. {row.note}")}
        return MappingProxyType({name: replace(r, sources=self.silent.ids(r.sources)) for name, r in told.items()})

    def _scenarios(self, made: Plexus) -> Iterator[Scenario]:
        """Those whose sites are all kept."""
        for scenario in self.base.scenarios.values():
            if self._are_kept(made, scenario.sites) and not self.silent.names(scenario.name):
                others = (o for o in scenario.alternatives if self._are_kept(made, o.sites))
                told = tuple(replace(o, note=self.silent.text(o.note)) for o in others)
                yield replace(self.silent.entity(scenario), alternatives=told)

    def _are_kept(self, made: Plexus, texts: Iterable[str]) -> bool:
        try:
            before = [site for text in texts for site in sites.parse_all(self.base, text)]
            after = [site for text in texts for site in sites.parse_all(made, text)]
        except UnknownNameError:
            return False
        return [_about(site) for site in before] == [_about(site) for site in after]

    def _sources(self, made: Plexus) -> Mapping[str, Source]:
        """The sources of what is kept, those that its notes name included."""
        entities = [*made.entities(), *made.variants.values()]
        cited = {id for entity in entities for id in entity.sources}
        cited |= {id for remark in made.remarks.values() for id in remark.sources}
        cited |= {id for variant in made.variants.values() for row in variant.prevalence for id in row.sources}
        told = " ".join(_texts(made))
        used = (source for source in self.base.sources.values() if source.id in cited or source.id in told)
        rows = (source for source in used if not self.silent.names(source.id))
        return MappingProxyType({source.id: self.silent.source(source) for source in rows})


def _about(site: Site) -> tuple[str, str]:
    return site.segment, site.id


def _texts(plexus: Plexus) -> Iterator[str]:
    """All that may cite sources."""
    yield plexus.note
    yield from (remark.note for remark in plexus.remarks.values())
    for entity in (*plexus.entities(), *plexus.variants.values()):
        yield entity.note
        yield from getattr(entity, "variable", {}).values()
        yield from (other.note for other in getattr(entity, "alternatives", ()))
