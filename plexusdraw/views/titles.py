"""The title of a picture: what is asked for. On a sheet with blanks it does not give a nerve away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plexusdraw import names
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.names.spelling import capital

if TYPE_CHECKING:
    from plexusdraw.clinic.injury import Injury

TABLE = "supply"
"""Stands after the title on a page that holds the supply table alone."""


def plain(plexus: Plexus, naming: Style = "short") -> str:
    """The name of a plexus as a title."""
    return capital(names.of_plexus(plexus, naming))


def title(
    plexus: Plexus,
    naming: Style = "short",
    *,
    nerve: str = "",
    highlight: tuple[Entity, ...] = (),
    injury: Injury | None = None,
    asks: bool = False,
) -> str:
    """The title of a picture; *nerve*: the id of the one whose course is drawn, if any."""
    name = plain(plexus, naming)
    if nerve:
        name = "Course of a nerve" if asks else capital(_called(plexus.segment(nerve), naming))
    if injury is not None:
        kind = "partial injury" if injury.partial else "injury"
        places = [s.called(naming) if injury.partial else s.told(naming) for s in injury.sites]
        if nerve and all(place.lower().startswith(name.lower()) for place in places):
            return f"{capital(kind)} of {', '.join(places)}"
        return f"{name}: {kind} of {', '.join(places)}"
    if highlight:
        return f"{name}: {', '.join(_called(e, naming) for e in highlight)}"
    return f"{name}: fill in the names" if asks else name


def limb(
    plexus: Plexus,
    picture: str,
    naming: Style = "short",
    *,
    highlight: tuple[Entity, ...] = (),
    injury: Injury | None = None,
    asks: bool = False,
) -> str:
    """The title of a picture of the limb with its skin, muscles or dermatomes."""
    name = f"{capital(names.of_limb(plexus, naming))}, {names.word(picture, naming)}"
    if injury is not None:
        kind = "partial injury" if injury.partial else "injury"
        return f"{name}: {kind} of {', '.join(s.called(naming) for s in injury.sites)}"
    if highlight:
        return f"{name}: {', '.join(_called(e, naming) for e in highlight)}"
    return f"{name}: fill in the names" if asks else name


def _called(entity: Entity, naming: Style) -> str:
    """A structure within a title: by its whole name, whatever the drawing abbreviates."""
    return names.display(entity, naming) if naming == "latin" else entity.name
