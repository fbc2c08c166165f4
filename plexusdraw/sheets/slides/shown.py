"""What a step shows of a page, and what its question leaves out. A view moves nothing: both are of one layout.

What a step brings is emphasised, what was there before is calm: paler, in its own colours.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from plexusdraw import names
from plexusdraw.clinic.injury import Injury
from plexusdraw.layout import surround
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Label, Note, Panel, Pill, Row, Scene, Strand
from plexusdraw.scene.view import LabelKey, State, View, strand_key
from plexusdraw.sheets.slides import composition
from plexusdraw.sheets.slides.steps import Step
from plexusdraw.sheets.slides.things import Things
from plexusdraw.views.blanks import numbered
from plexusdraw.views.injured import cuts
from plexusdraw.views.request import Request, view_of

LEGEND_NEW = "Marked: new on this slide."


@dataclass(frozen=True)
class Showing:
    """One step on one page: *new* is what it brings, *shown* all that is there by now."""

    plexus: Plexus
    fibres: Fibres
    step: Step
    new: Things
    shown: Things
    scene: Scene

    @property
    def asked(self) -> dict[LabelKey, int]:
        """Numbers of the labels that are blank, in reading order: kinds to hide, else what it is about."""
        step = self.step
        if not step.hide and not (step.ask and step.asked == "names"):
            return {}
        found = numbered(self.plexus, [self.scene], step.hide or ("labels",))
        lit = {entity.id for entity in step.highlight} | {site.segment for site in step.injure}
        about = lit | self.new.drawn if lit | self.new.drawn else self.shown.drawn

        def wanted(key: LabelKey) -> bool:
            id, role = key
            if id in self.plexus.segments and id not in self.shown.drawn:
                return False
            if step.hide:
                return True
            return (role == "name" and id in about) or (role == "supply" and id in self.new.supply)

        keys = [key for key in sorted(found, key=found.__getitem__) if wanted(key)]
        return {key: i for i, key in enumerate(keys, start=1)}

    def question(self) -> View:
        """The step before its answer: shown is what is asked about, hidden what is asked."""
        step, bare = self.step, replace(self.step, injure=(), highlight=())
        match step.asked:
            case "names":
                asked = self.asked
                made = replace(self.states(step, Things()), asks=True, blanks=asked, answers={})
            case "way":
                made = self.pointed()
            case "loss":
                made = self.states(bare, Things())
                made = replace(made, cuts=cuts(self.scene, Injury(self.plexus, step.injure, step.partial)))
            case "site":
                made = replace(self.states(bare, Things()), asks=True)
            case _:
                made = self.states(step, Things())
                lit = {entity.id for entity in step.highlight}
                nerves = self.new.supply or step.show.supply or lit
                found = [r.entity for r in composition.rows_of(self.scene) if r.nerve in nerves]
                hidden: dict[str, State] = dict.fromkeys(found, "hidden")
                made = replace(made, entities={**made.entities, **hidden})
        return self.asking(made)

    def answer(self) -> View:
        """The step itself; labels asked before carry their numbers."""
        made, asked = self.states(self.step, self.new), self.asked
        return (
            replace(made, answers=asked)
            if self.step.ask
            else self.asking(replace(made, asks=bool(asked), blanks=asked))
        )

    def pointed(self) -> View:
        """What is asked about is marked by its name alone; where its fibres run is left open."""
        made = self.states(replace(self.step, highlight=()), Things())
        lit = {entity.id for entity in self.step.highlight}
        strands: dict[object, State] = {strand_key(p): "dimmed" for p in self.scene.parts if isinstance(p, Strand)}
        named = {p.entity for p in self.scene.parts if isinstance(p, Label | Pill)}
        entities = {**{id: "dimmed" for id in named if made.entity(id) != "hidden"}, **made.entities}
        entities |= {id: "highlit" for id in lit if made.entity(id) != "hidden"}
        return replace(made, entities=entities, strands=strands, notes={**made.notes, "legend": None})  # type: ignore[arg-type]

    def asking(self, view: View) -> View:
        """A view that asks names no variant, whose name may be an answer."""
        beneath = names.beneath(self.plexus, asks=True) or None
        return replace(view, notes={**view.notes, surround.BENEATH: beneath}) if view.asks else view

    def states(self, step: Step, new: Things) -> View:
        """States of a page: what is lit or cut; else what is new, and the rest calm; what is to come is hidden."""
        injury = Injury(self.plexus, step.injure, step.partial) if step.injure else None
        alone = self.scene.table == "alone"
        lit = () if alone and new else step.highlight
        made = view_of(self.plexus, self.fibres, self.scene, Request(highlight=lit, injury=injury))
        entities = dict(made.entities)
        notes = dict(made.notes)
        if new and not lit and injury is None:
            entities |= self.emphasis(new)
            notes["legend"] = LEGEND_NEW
        if not alone:
            unseen = sorted(id for id in composition.drawn(self.scene) - self.shown.drawn if self.of_plexus(id))
            entities |= dict.fromkeys(unseen, "hidden")
        return replace(made, entities=entities, notes=notes)

    def of_plexus(self, id: str) -> bool:
        """Whether it belongs to the drawing of the plexus: the limb on a slide is always shown."""
        return id in self.plexus.segments or id in self.plexus.wholes

    def emphasis(self, new: Things) -> dict[str, State]:
        """What is new is highlit, the rest dimmed; nothing, where all that there is is new."""
        fresh = {id for id in new.drawn | new.supply if id in self.plexus.segments}
        rows = {row.entity: False for row in composition.rows_of(self.scene)}
        for row in composition.rows_of(self.scene):
            rows[row.entity] = rows[row.entity] or row.nerve in new.supply
        old = self.shown.drawn - fresh
        found: dict[str, State] = {}
        for part in self.scene.parts:
            if isinstance(part, Row):
                found[part.entity] = "highlit" if rows[part.entity] else "dimmed"
            elif not isinstance(part, Note | Panel) and part.entity in self.plexus.segments:
                found[part.entity] = "highlit" if part.entity in fresh else "dimmed"
        return found if old or rows else {}
