"""What a reader asks to see, as the views of the pages of a picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plexusdraw import names
from plexusdraw.model.entities import Entity
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres
from plexusdraw.routes.reach import strands_of
from plexusdraw.scene import Note, Scene
from plexusdraw.scene.view import LabelKey, State, StrandKey, View
from plexusdraw.views import blanks, highlight, hues, injured, stages, titles

if TYPE_CHECKING:
    from plexusdraw.clinic.injury import Injury


@dataclass(frozen=True, slots=True)
class Request:
    """What to show. Entities are already found; ``hide`` holds kinds as the reader wrote them.

    ``title``: of the pages; on one with the supply table alone it says so.
    """

    title: str = ""
    highlight: tuple[Entity, ...] = ()
    hide: tuple[str, ...] = ()
    key: bool = False
    injury: Injury | None = None
    upto: str = ""
    by: str = "root"
    """What colour stands for: root, plane or nerve."""
    naming: names.Style = "english"
    """Of names in lists, which are Latin or not abbreviated."""

    @property
    def asks(self) -> bool:
        """Whether the pages are to be filled in."""
        return bool(self.hide) and not self.key


def views_of(plexus: Plexus, fibres: Fibres, scenes: Sequence[Scene], request: Request) -> tuple[View, ...]:
    """The views of all pages; blanks are numbered through.

    Raises:
        UnknownNameError: a kind to hide, or a stage, that the model does not have.
    """
    numbers = blanks.numbered(plexus, scenes, request.hide)
    return tuple(_view(plexus, fibres, scene, request, numbers) for scene in scenes)


def view_of(plexus: Plexus, fibres: Fibres, scene: Scene, request: Request) -> View:
    """The view of one page, its blanks numbered from 1.

    Raises:
        UnknownNameError: a kind to hide, or a stage, that the model does not have.
    """
    return views_of(plexus, fibres, [scene], request)[0]


def _view(plexus: Plexus, fibres: Fibres, scene: Scene, request: Request, numbers: Mapping[LabelKey, int]) -> View:
    entities: dict[str, State] = {}
    strands: dict[StrandKey, State] = {}
    shown = injured.Shown()
    if request.highlight:
        entities, strands = highlight.states(scene, strands_of(plexus, request.highlight))
    if request.injury is not None:
        shown = injured.states(scene, request.injury)
    hidden = stages.hidden(plexus, scene, request.upto) if request.upto else {}
    return View(
        asks=request.asks,
        title=f"{request.title}: {titles.TABLE}" if request.title and scene.table == "alone" else request.title,
        entities=entities | shown.entities | hidden,
        strands=strands | shown.strands,
        words=shown.words,
        cuts=injured.cuts(scene, request.injury) if request.injury is not None else (),
        notes=notes(plexus, scene, request),
        blanks=numbers if request.asks else {},
        answers={} if request.asks else numbers,
        hues=hues.hues(plexus, scene, request.by, hidden),
        called=plexus.taught.words if plexus.taught else {},
    )


def notes(plexus: Plexus, scene: Scene, request: Request) -> dict[str, str | None]:
    """What the notes of a page say: the caution where something is injured, and the legend of what is shown."""
    cautions = [p.key for p in scene.parts if isinstance(p, Note) and p.role == "caution"]
    if request.asks:
        legend: dict[str, str | None] = {"legend": blanks.LEGEND}
    elif request.injury is not None:
        in_its_place = scene.medium == "slide" and bool(cautions)
        legend = {"legend": None if in_its_place else injured.legend(scene, request.injury)}
    else:
        legend = {"legend": highlight.LEGEND} if request.highlight else {}
    if request.asks:  # a variant's name may be an answer
        legend["variants"] = names.beneath(plexus, asks=True) or None
    return legend if request.injury is not None else dict.fromkeys(cautions, None) | legend
