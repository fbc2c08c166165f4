"""Cross-checks of a built plexus: what the entries of a file mean to each other.

Three rounds, since each needs the one before: names exist; the graph has no cycle and flows from stage
to stage; every root that an entry claims arrives there.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from difflib import get_close_matches

from plexusdraw.model.composition import carried, cycle, order
from plexusdraw.model.entities import Entity, Exit, Reflex, Rule, Segment, Target
from plexusdraw.model.ids import kebab
from plexusdraw.model.plexus import Plexus
from plexusdraw.yamlfile.document import Faults


def check(plexus: Plexus, course_lines: Mapping[tuple[str, int], int], faults: Faults) -> None:
    """Note every fault of the plexus; *course_lines* gives the line of each course item."""
    for round_ in (_Names, _Graph, _Supply):
        round_(plexus, course_lines, faults).run()
        if faults.found:
            return


_NEITHER = "A joint or an organ has no entry: write it into the note of its nerve, which may end there."
"""What to do with a target that is no muscle and no skin."""


class _Round:
    def __init__(self, plexus: Plexus, course_lines: Mapping[tuple[str, int], int], faults: Faults) -> None:
        self.plexus, self.course_lines, self.faults = plexus, course_lines, faults

    def run(self) -> None:
        raise NotImplementedError

    def known(self, id: str, among: Collection[str], what: str, line: int, more: str = "") -> bool:
        """Whether an id is known; notes a fault with the nearest ones if not, and *more* to do about it."""
        if id in among:
            return True
        if kebab(id) in among:
            close = [kebab(id)]
        else:  # looking for near spellings takes long in a large file with a fault in every line
            close = [] if self.faults.full else get_close_matches(id, sorted(among), n=3, cutoff=0.6)
        hint = f"Did you mean {', '.join(close)}?" if close else "Give it an entry, or take the name out."
        self.faults.add(line, f'{what} "{id}" is not in this file', f"{hint} {more}".rstrip())
        return False


class _Names(_Round):
    """Every id that an entry names exists, and is of a kind that may stand there."""

    def run(self) -> None:
        plexus = self.plexus
        self.stages = {stage.id for stage in plexus.stages}
        self.targets = {**plexus.segments, **plexus.muscles, **plexus.skin}
        for segment in plexus.segments.values():
            self._segment(segment)
        for whole in plexus.wholes.values():
            self._whole(whole)
        for target in (*plexus.muscles.values(), *plexus.skin.values()):
            self._roots(target, (*target.roots, *target.minor))
            self._twice(target)
        for group in plexus.groups.values():
            self._all(group, group.members, {**plexus.muscles, **plexus.outside}, "member")
        for region in plexus.regions.values():
            self._all(region, region.nerves, {**plexus.segments, **plexus.wholes}, "nerve")
        for reflex in plexus.reflexes.values():
            self._all(reflex, reflex.muscles, {**plexus.muscles, **plexus.groups}, "muscle")
            self._roots(reflex, (*reflex.roots, *reflex.minor))
        self._signs()
        self._places()
        for entity in plexus.entities():
            self._all(entity, entity.sources, plexus.sources, "source")

    def _signs(self) -> None:
        plexus = self.plexus
        tables = (plexus.muscles, plexus.skin, plexus.groups, plexus.outside, plexus.reflexes)
        ruled = {*plexus.roots, *(id for table in tables for id in table)}
        cuttable = {*plexus.segments, *plexus.wholes, *plexus.places}
        for sign in plexus.signs.values():
            for rule in sign.when.parts():
                if rule == Rule():
                    self.faults.add(sign.line, f"{sign.name}: a rule that says nothing", "Say what is lost.")
                ids = (*rule.lost, *rule.weak, *rule.spared)
                self._all(sign, ids, ruled, "muscle, group, skin area, root or reflex")
                self._all(sign, rule.cut, cuttable, "segment or place")

    def _places(self) -> None:
        """Places: what may leave before them; remarks on them; places that take a part of what lies outside."""
        plexus = self.plexus
        cuttable = {*plexus.segments, *plexus.places}
        for place, _, _ in plexus.places.values():
            self._all(place, place.variable, {**plexus.muscles, **plexus.skin}, "muscle or skin area")
        for outside in plexus.outside.values():
            self._all(outside, outside.cut, cuttable, "segment or place")
        names = {place.name for place, _, _ in plexus.places.values()}
        for remark in plexus.remarks.values():
            self.known(remark.place, names, "remark: place", remark.line)
            for id in remark.sources:
                self.known(id, plexus.sources, f"remark on {remark.place}: source", remark.line)

    def _all(self, entity: Entity, ids: Iterable[str], among: Collection[str], what: str) -> None:
        for id in ids:
            self.known(id, among, f"{entity.name}: {what}", entity.line)

    def _roots(self, entity: Entity, roots: Iterable[str]) -> None:
        self._all(entity, roots, self.plexus.roots, "root")

    def _twice(self, target: Target) -> None:
        for root in target.minor:
            if root in target.roots:
                self.faults.add(target.line, f"{target.name}: {root} is principal and minor", "Keep one.")
        if target.dermatome and (target.minor or target.outside):
            hint = "Take the others out: its routes are derived."
            self.faults.add(target.line, f"{target.name}: a dermatome has no other roots", hint)
        if target.areas and not target.dermatome:
            self.faults.add(target.line, f"{target.name}: only a dermatome has areas", "Take them out.")
        areas = {area.id: area for area in self.plexus.skin.values() if not area.dermatome}
        self._all(target, target.areas, areas, "skin area")

    def _segment(self, segment: Segment) -> None:
        plexus = self.plexus
        if segment.stage is not None:
            self.known(segment.stage, self.stages, f"{segment.name}: stage", segment.line)
        for parent in segment.parents:
            if self._one_part(parent, segment, segment.line):
                self.known(parent, plexus.segments, f"{segment.name}: parent", segment.line)
        self._roots(segment, (*(segment.only_roots or ()), *segment.minor))
        self._all(segment, segment.reaches, {**plexus.muscles, **plexus.skin}, "muscle or skin area")
        seen: set[str] = set()
        for at, item in enumerate(segment.course):
            if isinstance(item, Exit):
                line = self.course_lines[segment.id, at]
                if item.to in seen:
                    self.faults.add(line, f"{segment.name}: {item.to} leaves twice", "Keep one.")
                seen.add(item.to)
                self._exit(segment, item, line)

    def _exit(self, segment: Segment, item: Exit, line: int) -> None:
        plexus = self.plexus
        if not self._one_part(item.to, segment, line):
            return
        if not self.known(item.to, self.targets, f"{segment.name}: branch", line, _NEITHER):
            return
        for root in (*(item.roots or ()), *(item.minor or ())):
            self.known(root, plexus.roots, f"{segment.name} to {item.to}: root", line)
        if item.to in plexus.segments and (item.roots is not None or item.minor is not None):
            hint = f"Give {item.to} its own roots."
            self.faults.add(line, f"{segment.name} to {item.to}: only what a muscle or skin gets is narrowed", hint)
        if item.to in plexus.skin and plexus.skin[item.to].dermatome:
            self.faults.add(line, f"{segment.name}: {item.to} is a dermatome, which has no nerve", "Take it out.")

    def _one_part(self, id: str, segment: Segment, line: int) -> bool:
        """Whether an id is no whole; notes a fault if it is, since fibres go by its parts."""
        if id not in self.plexus.wholes:
            return True
        hint = f"Name one of its parts: {', '.join(self.plexus.wholes[id].parts)}."
        self.faults.add(line, f"{segment.name}: {self.plexus.wholes[id].name} has parts that keep apart", hint)
        return False

    def _whole(self, whole: Segment) -> None:
        """A whole has a stage; where its fibres come from and go to is said of its parts."""
        if whole.stage is None or whole.stage == self.plexus.stages[0].id:
            hint = "Give it a stage after the first, or write its parts as branches of their own."
            self.faults.add(whole.line, f"{whole.name}: only a segment of a later stage has parts", hint)
        said = {"from": whole.parents, "roots": whole.only_roots, "minor": whole.minor, "variable": whole.variable}
        for key in (key for key, value in said.items() if value):
            self.faults.add(whole.line, f"{whole.name}: {key} stands beside its parts", "Move it into the parts.")


class _Graph(_Round):
    """No cycle; everything flows from an earlier stage to a later one; nothing hangs in the air."""

    def run(self) -> None:
        plexus = self.plexus
        ring = cycle(plexus.segments)
        if ring:
            line = plexus.segments[ring[0]].line
            self.faults.add(line, f"cycle: {' → '.join(ring)}", "Take one of these links out.")
            return
        self.rank: dict[str, int] = {}
        stages = {stage.id: i for i, stage in enumerate(plexus.stages)}
        for id in order(plexus.segments):
            self._place(plexus.segments[id], stages)
        for segment in plexus.segments.values():
            self._shown(segment)
        if not any(segment.stage and segment.drawn for segment in plexus.segments.values()):
            line = next(iter(plexus.segments.values())).line
            self.faults.add(line, "no segment of a stage is drawn: pictures would be empty", "Take drawn: false out.")

    def _shown(self, segment: Segment) -> None:
        """What leaves a segment has a place in the pictures: beside its own name, or as a side branch with one."""
        plexus = self.plexus
        link = segment.stage is None and any(plexus.segments[c].stage for c in plexus.children[segment.id])
        if not link and segment.stage in (None, plexus.stages[-1].id):
            return
        for at, item in enumerate(segment.course):
            if not isinstance(item, Exit) or (item.to in plexus.segments and not link):
                continue
            name = plexus.entity(item.to).name
            line = self.course_lines[segment.id, at]
            if link:
                hint = "Put it into the course of what the link comes from, or of what it leads to."
                self.faults.add(line, f"{segment.name}: a link has no place in pictures for {name}", hint)
                continue
            hint = f"Give it a branch: {{name: branch to {name}, course: [{item.to}]}}, and name that here."
            self.faults.add(line, f"{segment.name}: {name} would be in no picture, as no name ends there", hint)

    def _place(self, segment: Segment, stages: dict[str, int]) -> None:
        parents = [(p, self.rank[p]) for p in segment.parents]
        if segment.stage is None:
            self.rank[segment.id] = max((rank for _, rank in parents), default=0)
            if not parents:
                hint = "Put it in the course of one, or add from: [...]."
                self.faults.add(segment.line, f"{segment.name}: no segment leads to it", hint)
            return
        rank = self.rank[segment.id] = stages[segment.stage]
        if rank == 0 and parents:
            self.faults.add(segment.line, f"{segment.name}: a {segment.kind} comes from nothing", "Take from: out.")
        if rank > 0 and not parents:
            self.faults.add(segment.line, f"{segment.name}: no segment leads to it", "Add from: [...].")
        for parent, before in parents:
            if before >= rank > 0:
                name = self.plexus.stages[before].name
                hint = f"A {segment.kind} comes from a stage before {self.plexus.stages[rank].name}."
                self.faults.add(segment.line, f"{segment.name}: parent {parent} lies in {name}", hint)


class _Supply(_Round):
    """Every root that an entry claims arrives there, and no root, muscle or skin area is left out."""

    def run(self) -> None:
        self.carried = carried(self.plexus)
        for segment in self.plexus.segments.values():
            self._segment(segment)
        for target in (*self.plexus.muscles.values(), *self.plexus.skin.values()):
            if not target.dermatome:
                self._target(target)
            else:
                self._dermatome(target)
        for reflex in self.plexus.reflexes.values():
            self._reflex(reflex)
        if not self.faults.found:
            self._idle_roots()

    def _segment(self, segment: Segment) -> None:
        arrive = {root for parent in segment.parents for root in self.carried[parent]}
        if segment.id in self.plexus.roots:
            arrive = {segment.id}
        for root in (*(segment.only_roots or ()), *segment.minor):
            if root not in arrive:
                self._missing(segment, root, sorted(arrive, key=self.plexus.roots.index))
        if not self.carried[segment.id] and not segment.only_roots:
            self.faults.add(segment.line, f"{segment.name}: no root reaches it", "Check where it comes from.")

    def _missing(self, entity: Entity, root: str, arrive: Iterable[str]) -> None:
        message = f"{entity.name}: {root} does not arrive there (arriving: {', '.join(arrive) or 'none'})"
        hint = "Check its roots and its nerve, or list the root under variable or outside."
        self.faults.add(entity.line, message, hint)

    def _target(self, target: Target) -> None:
        nerves = self.plexus.nerves_of[target.id]
        if not nerves:
            self.faults.add(target.line, f"{target.name}: no nerve leads to it", "Put it in a segment's course.")
            return
        if not target.roots and not (set(target.outside) - set(target.outside_minor)):
            self.faults.add(target.line, f"{target.name}: no principal root", "Add roots: [...].")
        brought: set[str] = set()
        for nerve in nerves:
            brought |= self._brought(self.plexus.segments[nerve], target)
        for root in (*target.roots, *target.minor):
            if root not in brought:
                self._missing(target, root, [r for r in self.plexus.roots if r in brought])

    def _brought(self, nerve: Segment, target: Target) -> set[str]:
        """Roots that one nerve brings to a target; notes what an exit claims beyond that."""
        at = nerve.position_of(target.id)
        item = nerve.course[at]
        claimed = {*target.roots, *target.minor}
        carried_here = set(self.carried[nerve.id])
        if not isinstance(item, Exit) or (item.roots is None and item.minor is None):
            return carried_here & (claimed or carried_here)
        named = {*(item.roots or ()), *(item.minor or ())}
        for root in sorted(named - (carried_here & claimed)):
            why = "the nerve does not carry" if root not in carried_here else f"{target.name} does not list"
            line = self.course_lines[nerve.id, at]
            self.faults.add(line, f"{nerve.name} to {target.name}: {root}, which {why}", "Check both lists.")
        return (named if item.roots is not None else claimed) & carried_here

    def _dermatome(self, target: Target) -> None:
        areas = [area for area in self.plexus.skin.values() if not area.dermatome]
        covered = [self.plexus.skin[id] for id in target.areas] or areas
        for root in target.dermatome:
            if not any(root in (*area.roots, *area.minor) for area in areas):
                self.faults.add(target.line, f"{target.name}: no skin area lists {root}", "Add one, or take it out.")
            elif len(target.dermatome) > 1 and not any(root in (*area.roots, *area.minor) for area in covered):
                hint = "Add an area that lists it, or take the root out."
                self.faults.add(target.line, f"{target.name}: none of its areas lists {root}", hint)
        for area in covered if target.areas else ():
            if not {*target.dermatome} & {*area.roots, *area.minor}:
                roots = " or ".join(target.dermatome)
                hint = "Take it out of the areas, or give it the root."
                self.faults.add(target.line, f"{target.name}: {area.name} does not list {roots}", hint)

    def _reflex(self, reflex: Reflex) -> None:
        groups, muscles = self.plexus.groups, self.plexus.muscles
        ids = [m for id in reflex.muscles for m in (groups[id].members if id in groups else (id,))]
        for root in (*reflex.roots, *reflex.minor):
            if not any(root in (*muscles[id].roots, *muscles[id].minor) for id in ids if id in muscles):
                hint = "Check the roots of both."
                self.faults.add(reflex.line, f"{reflex.name}: none of its muscles takes {root}", hint)

    def _idle_roots(self) -> None:
        used = {
            root
            for target in (*self.plexus.muscles.values(), *self.plexus.skin.values())
            for root in (*target.roots, *target.minor)
        }
        for root in self.plexus.roots:
            if root not in used:
                line = self.plexus.segments[root].line
                self.faults.add(line, f"{root} reaches no muscle and no skin area", "Take it out, or give it one.")
