"""What an outline can show: a column, side branches, a structure, what a nerve supplies, everything."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Entity, Stage
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.sites import Site
from plexusdraw.routes.reach import supplied
from plexusdraw.views.stages import column_of
from plexusdraw.yamlfile.reader import close

_SUPPLY = "supply"
_OF = " of "
_SIDES = "side branches"


@dataclass(frozen=True, slots=True)
class Things:
    """Ids of segments that are drawn, and of nerves whose supply is shown."""

    drawn: frozenset[str] = frozenset()
    supply: frozenset[str] = frozenset()

    def __or__(self, other: Things) -> Things:
        return Things(self.drawn | other.drawn, self.supply | other.supply)

    def __sub__(self, other: Things) -> Things:
        return Things(self.drawn - other.drawn, self.supply - other.supply)

    def __bool__(self) -> bool:
        return bool(self.drawn or self.supply)


def things(plexus: Plexus, text: str, drawn: Collection[str]) -> Things:
    """What *text* means, of the segments in *drawn*.

    "everything", "supply", "supply of X", "side branches", "side branches of COLUMN", a column, or any spelling of a
    structure. UnknownNameError where it means nothing.
    """
    word = " ".join(text.lower().split())
    if word == "everything":
        return Things(frozenset(drawn), _suppliers(plexus, drawn))
    if word == _SUPPLY:
        return Things(supply=_suppliers(plexus, drawn))
    if word.startswith(_SUPPLY + _OF):
        return Things(supply=_suppliers(plexus, things(plexus, text.strip()[len(_SUPPLY + _OF) :], drawn).drawn))
    if word == _SIDES:
        found = frozenset(id for stage in plexus.stages for id in side_branches(plexus, stage))
        return Things(found & frozenset(drawn))
    stage = column(plexus, word.removeprefix(_SIDES + _OF).removeprefix("the "))
    if stage is not None:
        found = side_branches(plexus, stage) if word.startswith(_SIDES) else _column(plexus, stage)
        return Things(found & frozenset(drawn))
    try:
        one = _segment(plexus, text).id
    except UnknownNameError as error:
        near = "" if error.suggestions else close(word, _words(plexus))
        if not near:
            raise
        raise UnknownNameError(f'nothing in the {plexus.name} is called "{text}". {near}') from error
    return Things(frozenset({one, *plexus.members(one)}))


def _words(plexus: Plexus) -> list[str]:
    """What may be shown beside single structures."""
    columns = [stage.name for stage in plexus.stages]
    return ["everything", _SUPPLY, _SIDES, *columns, *(f"{_SIDES}{_OF}{name}" for name in columns)]


def lightable(plexus: Plexus, text: str, drawn: Collection[str]) -> list[Entity]:
    """The entities that *text* means when it is highlighted: as :func:`things`, or any other structure."""
    word = " ".join(text.lower().split())
    if word.startswith(_SIDES) or column(plexus, word) is not None:
        found = things(plexus, text, drawn).drawn
        return [plexus.segments[id] for id in plexus.segments if id in found]
    return [plexus.segments.get(text) or names.find(plexus, text)]


def cut_at(plexus: Plexus, text: str) -> tuple[Site, ...]:
    """The sites that *text* means, the start of a segment by its id."""
    return (sites.start(plexus, text),) if text in plexus.segments else sites.parse_all(plexus, text)


def _segment(plexus: Plexus, text: str) -> Entity:
    """A segment by its id, which may be what another one is called, or by any spelling."""
    return plexus.segments.get(text) or names.find(plexus, text, ("segment",))


def side_branches(plexus: Plexus, stage: Stage) -> frozenset[str]:
    """Segments that leave the structures of a column and end there."""
    return frozenset(s.id for s in plexus.segments.values() if s.stage is None and _leaves(plexus, s.id, stage))


def _leaves(plexus: Plexus, id: str, stage: Stage) -> bool:
    return not _goes_on(plexus, id) and any(
        plexus.segments[parent].stage == stage.id for parent in plexus.segments[id].parents
    )


def _column(plexus: Plexus, stage: Stage) -> frozenset[str]:
    """The structures of a column and the links that join them to the column before."""
    index = plexus.stages.index(stage)
    places = column_of(plexus)
    links = {s.id for s in plexus.segments.values() if s.stage is None and places.get(s.id) == index}
    staged = frozenset(id for s in plexus.staged(stage.id) for id in (s.id, s.whole) if id)
    return staged | (links - side_branches(plexus, stage))


def column(plexus: Plexus, word: str) -> Stage | None:
    """The column that a word in lower case means."""
    return next((s for s in plexus.stages if word in (s.id.lower(), s.name.lower())), None)


def _suppliers(plexus: Plexus, ids: Collection[str]) -> frozenset[str]:
    """Those that supply something and go on into no staged segment, as the supply table has them."""
    return frozenset(id for id in ids if supplied(plexus, id) and not _goes_on(plexus, id))


def _goes_on(plexus: Plexus, id: str) -> bool:
    children = (child for part in plexus.members(id) for child in plexus.children[part])
    return any(plexus.segments[child].stage is not None for child in children)


def nerves(plexus: Plexus, drawn: Collection[str]) -> list[str]:
    """Ids of the nerves of the last column that supply something, then "side branches of COLUMN" where those do."""
    ends = _suppliers(plexus, [s.id for s in plexus.staged(plexus.stages[-1].id)])
    found = [s.id for s in plexus.segments.values() if s.id in ends and s.id in drawn]
    sides = [s.name for s in plexus.stages if _suppliers(plexus, side_branches(plexus, s) & frozenset(drawn))]
    return found + [f"{_SIDES} of {name}" for name in sides]
