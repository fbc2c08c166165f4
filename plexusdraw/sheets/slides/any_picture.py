"""A step may show any picture of the tool: the course of a nerve, the limb, the supply table, a worksheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from plexusdraw import charts, names
from plexusdraw.api import Figure, scenes
from plexusdraw.errors import SheetError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.limb.options import LimbOptions
from plexusdraw.look.theme import Theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes import fibres
from plexusdraw.scene import Scene
from plexusdraw.scene.transform import enlarged
from plexusdraw.scene.view import Page
from plexusdraw.sheets.slides.steps import Picture, Step
from plexusdraw.sheets.worksheet import registry
from plexusdraw.sheets.worksheet.form_page import FOOT_PT
from plexusdraw.sheets.worksheet.spec import Spec
from plexusdraw.views.request import Request, views_of


@dataclass(frozen=True, slots=True)
class Shown:
    """The pages of a picture, and the same with what they ask answered."""

    pages: Sequence[Page]
    answered: Sequence[Page]


def check(plexus: Plexus, picture: Picture) -> None:
    """Whether there is such a picture.

    Raises:
        UnknownNameError, SheetError, ModelError: there is none; the message says what there is.
    """
    if picture.kind == "nerve":
        _nerve(plexus, picture.of)
    elif picture.kind == "limb":
        charts.of(plexus)
    elif picture.kind == "worksheet" and not registry.kind(picture.of).joins:
        raise SheetError(f"{picture.of} are printed and cut; on a slide show another kind")


def show(plexus: Plexus, options: Options, theme: Theme, step: Step) -> Shown:
    """The pages of a step's picture on a slide.

    Raises:
        FitError: it has no room on a slide.
    """
    assert step.picture
    kind, of = step.picture.kind, step.picture.of
    if kind == "worksheet":
        return _form(plexus, options, step)
    request = Request(title=step.title, hide=step.hide)
    if kind == "table":
        found = [s for s in scenes(plexus.drawn, replace(options, detail="muscles")) if s.table != "none"]
        if not found:
            raise SheetError("there is nothing in the table")
        asked, told = (views_of(plexus, fibres.of(plexus), found, r) for r in (request, replace(request, key=True)))
        return Shown([*map(Page, found, asked)], [*map(Page, found, told)])
    wanted: Options | LimbOptions
    if kind == "limb":
        wanted = LimbOptions(of, page=options.page, side=options.side, wording=options.wording)  # type: ignore[arg-type]
    else:
        wanted = replace(options, nerve=_nerve(plexus, of))
    figure = Figure(plexus, wanted, request, theme)
    return Shown(figure.pages(), figure.key_pages())


def _form(plexus: Plexus, options: Options, step: Step) -> Shown:
    """A form of a worksheet, laid out for a small page and enlarged: its print is then as large as a slide's."""
    assert step.picture
    whole = options.page
    k = whole.smallest / FOOT_PT
    small = replace(
        whole,
        width=whole.width / k,
        height=whole.height / k,
        margin=whole.margin / k,
        smallest=FOOT_PT,
        names=whole.names / k,
    )
    kind = registry.kind(step.picture.of)
    spec = Spec(kind=kind.name, page=small, side=options.side, wording=options.wording, title=step.title, named=False)
    form = kind.make(plexus, spec).form(1)
    pages = [[p._replace(scene=_slide(p.scene, k)) for p in found] for found in (form.pages, form.key)]
    return Shown(*pages)


def _slide(scene: Scene, k: float) -> Scene:
    return replace(enlarged(scene, k), medium="slide")


def _nerve(plexus: Plexus, text: str) -> str:
    from plexusdraw.layout.nerve import fit as one_nerve  # noqa: PLC0415  # five modules that most lectures do without

    return one_nerve.nerve_of(plexus, names.find(plexus, text)) if text else ""
