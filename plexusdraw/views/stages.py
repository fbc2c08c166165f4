"""A plexus built up stage by stage: what comes later is hidden, and keeps its place."""

from __future__ import annotations

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene import Note, Panel, Row, Scene
from plexusdraw.scene.view import State


def hidden(plexus: Plexus, scene: Scene, upto: str) -> dict[str, State]:
    """What belongs to later stages than *upto*.

    Raises:
        UnknownNameError: a stage that the model does not have.
    """
    limit = _index(plexus, upto)
    columns = column_of(plexus)
    final = limit == len(plexus.stages) - 1
    found: dict[str, State] = {stage.id: "hidden" for stage in plexus.stages[limit + 1 :]}
    for part in scene.parts:
        if isinstance(part, Row):
            if not final:
                found[part.entity] = "hidden"
        elif not isinstance(part, Note | Panel) and columns.get(part.entity, 0) > limit:
            found[part.entity] = "hidden"
    return found


def reached(plexus: Plexus, upto: str) -> set[str]:
    """Ids of the segments that are built up by the stage *upto*; UnknownNameError if there is no such stage."""
    limit = _index(plexus, upto)
    return {id for id, column in column_of(plexus).items() if column <= limit}


def stage_of(plexus: Plexus, segment: str) -> str:
    """Id of the stage in whose column a segment is drawn."""
    return plexus.stages[column_of(plexus).get(segment, -1)].id


def _index(plexus: Plexus, text: str) -> int:
    for i, stage in enumerate(plexus.stages):
        if text.lower() in (stage.id.lower(), stage.name.lower(), stage.singular.lower()):
            return i
    names = ", ".join(s.id for s in plexus.stages)
    raise UnknownNameError(f'no stage "{text}" in the {plexus.name}; its stages are {names}')


def column_of(plexus: Plexus) -> dict[str, int]:
    """Segment → index of the column in which it is drawn: its stage's, a branch's parents', a link's child's."""
    index = {stage.id: i for i, stage in enumerate(plexus.stages)}
    found = {s.id: index[s.stage] for s in plexus.segments.values() if s.stage is not None}
    for segment in plexus.segments.values():
        if segment.stage is None:
            children = [s.id for s in plexus.segments.values() if segment.id in s.parents and s.stage is not None]
            near = [found[id] for id in (children or segment.parents) if id in found]
            if near:
                found[segment.id] = max(near)
    return found | {whole.id: index[whole.stage] for whole in plexus.wholes.values() if whole.stage}
