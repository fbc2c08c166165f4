"""The drawing of a worksheet: one layout for all forms, with room to write by hand where that fits."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from plexusdraw import names
from plexusdraw.errors import FitError
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Options, fitted, kept, layout
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import LADDER, Paper, paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import capital
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.routes.fibres import Fibres
from plexusdraw.scene import Box, Label, Note, Part, Pill, Point, Scene
from plexusdraw.scene.transform import Move, changed
from plexusdraw.sheets.worksheet import form_page
from plexusdraw.sheets.worksheet.flow import HAND_MM
from plexusdraw.sheets.worksheet.form_page import Frame
from plexusdraw.sheets.worksheet.registry import kind
from plexusdraw.sheets.worksheet.space import Space, spaces
from plexusdraw.sheets.worksheet.spec import WRITING_MM, Question, Spec

BOX_MM = 7.05
"""Height of a box to write in beside a nerve; that of a plate is the whole of ``WRITING_MM``."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """The pages of the drawing. ``in_place``: each blank is large enough to write in, else numbers refer to lines.

    ``options``: what it was laid out with. ``space``: room on its page for lines to answer on; None: they have pages of
    their own.
    """

    scenes: tuple[Scene, ...]
    in_place: bool
    options: Options
    space: Space | None = None

    def on_page(
        self,
        scene: Scene,
        page: Paper,
        frame: Frame,
        questions: Sequence[Question] = (),
        shown: Frame | None = None,
    ) -> Scene:
        """One of the scenes between head and foot, with the lines to answer *questions* on where its page has room.

        *shown*: as for :func:`form_page.composed`.
        """
        if self.space is None:
            return form_page.composed(scene, page, frame, shown)
        lines = self.space.lines(questions)
        return form_page.composed(scene, page, frame, shown, lines, self.space.low)


@lru_cache(maxsize=16)
def bare(plexus: Plexus) -> Plexus:
    """The plexus that is laid out: without its caution, which a sheet sets itself where it is needed."""
    return replace(plexus.laid_out, caution="")


@lru_cache(maxsize=16)
def routes(plexus: Plexus) -> Fibres:
    """The fibres of the plexus that is laid out."""
    return fibre_routes.of(bare(plexus))


def laid_out(plexus: Plexus, options: Options) -> tuple[Scene, ...] | None:
    """The pages of a drawing without its caution; None where they do not fit."""
    return kept(bare(plexus), routes(plexus), options)


def drawing(
    plexus: Plexus,
    spec: Spec,
    detail: Detail,
    kinds: tuple[str, ...],
    frame: Frame,
    supply: bool = False,
    questions: Sequence[Question] = (),
    links: Collection[str] = (),
) -> Drawing:
    """Lay the drawing out; blanks of the *kinds* have room to write in, if that fits and ``spec.writing`` lets it.

    Left to choose, boxes are taken only if each is wide enough for the longest name of its kind by hand; else lines to
    answer *questions* on, those of the fullest form, stand on the page of the drawing, if it has room for them.

    *supply*: with what each nerve supplies, where nerves are drawn. *links*: those that are asked; what has no room for
    all their names is not taken while there is another arrangement.

    Raises:
        FitError: it does not fit the page; says what to leave out or which paper would do.
    """
    small = plainest(spec, detail, frame, supply)
    boxes = spec.writing != "lines" and kinds and detail != "muscles"
    found = _boxed(plexus, spec, small, kinds, links) if boxes else None
    if found is None and boxes and spec.writing == "boxes":
        raise FitError(_advice(plexus, replace(small, wording=_close(spec, kinds)), spec, frame))
    found = found or lined(plexus, spec, detail, frame, questions, supply, links)
    return found or Drawing(laid_out(plexus, small) or layout(bare(plexus), routes(plexus), small), False, small)


def plainest(spec: Spec, detail: Detail, frame: Frame, supply: bool = False) -> Options:
    """What a drawing is laid out with that has its sheet for itself and whose blanks hold no more than numbers."""
    return Options(detail, _paper(spec.page, frame), spec.side, spec.wording, supply=supply)


def _holds(scenes: Sequence[Scene] | None, links: Collection[str]) -> bool:
    """Whether a drawing is on one page, with the names of these *links*."""
    if scenes is None or len(scenes) != 1:
        return False
    return {part.entity for part in scenes[0].parts if isinstance(part, Label)}.issuperset(links)


def _close(spec: Spec, kinds: tuple[str, ...]) -> Wording:
    return replace(spec.wording, blank=WRITING_MM, asked=kinds)


def _boxed(
    plexus: Plexus, spec: Spec, small: Options, kinds: tuple[str, ...], links: Collection[str]
) -> Drawing | None:
    """With boxes to write in, on one page."""
    close = _close(spec, kinds)
    wide = replace(close, widths=_hand(plexus, spec.wording, kinds))
    for wording in (wide, close) if spec.writing == "boxes" else (wide,):
        options = replace(small, wording=wording)
        made = laid_out(plexus, options)
        if made is not None and _holds(made, links):
            return Drawing(tuple(map(beside_boxes, made)), True, options)
    return None


def lined(
    plexus: Plexus,
    spec: Spec,
    detail: Detail,
    frame: Frame,
    questions: Sequence[Question],
    supply: bool = False,
    links: Collection[str] = (),
) -> Drawing | None:
    """With lines to answer *questions* on: the first arrangement that leaves the drawing room, the best first.

    None where there is none, or nothing is answered on lines.
    """
    if all(q.drawn for q in questions):
        return None
    page = spec.page
    small = plainest(spec, detail, frame, supply)
    top, bottom = form_page.room(page, frame)
    room = Box(page.margin, top, page.width - 2 * page.margin, bottom - top)
    for space in spaces(room, questions):
        width = space.left + page.margin if space.beside else page.width
        name = f"{small.page.name} {width:.1f} {space.under:.1f}"
        options = replace(
            small, page=replace(small.page, width=width, height=small.page.height - space.under, name=name)
        )
        made = laid_out(plexus, options)
        if made is not None and _holds(made, links):
            return Drawing(made, False, options, space)
    return None


def _hand(plexus: Plexus, wording: Wording, kinds: tuple[str, ...]) -> tuple[tuple[str, float], ...]:
    """Kind → width in which a hand writes the longest name of its kind as the drawing words it."""
    longest = dict.fromkeys(kinds, 0)
    for segment in plexus.segments.values():
        if segment.kind in longest and segment.drawn:
            longest[segment.kind] = max(longest[segment.kind], len(wording.of(segment)))
    return tuple((kind, HAND_MM * letters) for kind, letters in longest.items())


def frame_of(plexus: Plexus, spec: Spec, code: str, total: int, instructions: str) -> Frame:
    """The words around a form, those of the teacher where given."""
    title = spec.title or f"{capital(plexus.name)}: {kind(spec.kind).title}"
    orientation = names.from_front(plexus, spec.wording.style, spec.side)
    said = f"{spec.instructions or instructions} {spec.hint}".strip()
    beneath = names.beneath(plexus, asks=True)
    said = f"{beneath}. {said}" if beneath else said
    return Frame(title, code, total, said, orientation, spec.course, named=spec.named)


def beside_boxes(scene: Scene) -> Scene:
    """The same page with each number moved along its strands until its box is free to write in."""
    return changed(scene, _beside)


def _beside(part: Part) -> Part:
    if isinstance(part, Pill):
        return replace(part, badge=_clear(part.badge, part.box))
    if isinstance(part, Label) and part.role == "name":
        box = part.blank
        if box.w >= WRITING_MM[0]:  # the layout keeps WRITING_MM free and draws the box a little lower
            box = Box(box.x, box.y + (box.h - BOX_MM) / 2, box.w, BOX_MM)
        return replace(part, blank=box, badge=_clear(part.badge, box))
    return part


def _clear(badge: Point, box: Box) -> Point:
    """A place for a number, whose disc is 0.92 of the box's height across, on its side of the box."""
    x, y = badge
    if x < box.x + box.w / 2:
        return (min(x, box.x - 0.47 * box.h), y)
    return (max(x, box.right + 0.47 * box.h), y)


def without_supply(scene: Scene) -> Scene:
    """The same page without the names of what each nerve supplies, where these would give answers away."""
    bare_names = {p.entity for p in scene.parts if isinstance(p, Label) and p.role == "supply"}

    def bared(part: Part) -> Part | None:
        if isinstance(part, Label) and part.role == "supply":
            return None
        return part if isinstance(part, Note) or part.entity not in bare_names else _centred(part)

    return changed(scene, bared)


def _centred(part: Part) -> Part:
    """A name moved to the middle of its strands."""
    if not isinstance(part, Label) or part.strands_y is None:
        return part
    return Move(0.0, part.strands_y - (part.blank.y + part.blank.h / 2)).part(part)


def _paper(page: Paper, frame: Frame) -> Paper:
    return form_page.drawing_paper(page, form_page.head(frame, page).height + form_page.foot(frame, page).height)


def _advice(plexus: Plexus, options: Options, spec: Spec, frame: Frame) -> str:
    kinds = ", ".join(options.wording.asked)
    trouble = f"boxes of 30 x 7 mm for every {kinds} do not fit {spec.page.name} at detail {options.detail}"
    rest = "ask about fewer kinds, take --detail framework, or use --writing lines"
    area = spec.page.width * spec.page.height
    for name in LADDER:
        bigger = paper(name)
        if bigger.width * bigger.height > area * 1.01:
            tried = replace(options, page=_paper(bigger, frame))
            if fitted(bare(plexus), routes(plexus), tried):
                return f"{trouble}; --paper {name} would do, or {rest}"
    return f"{trouble}; {rest}"
