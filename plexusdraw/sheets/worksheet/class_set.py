"""A class set: the files of its forms, of their keys and of its grid, all written or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from plexusdraw import output, paint
from plexusdraw.errors import OutputError
from plexusdraw.look.theme import Theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.paint.volume import Volume
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import earlier, form_page, grid
from plexusdraw.sheets.worksheet.registry import Maker
from plexusdraw.sheets.worksheet.sections import forms, makers
from plexusdraw.sheets.worksheet.spec import Form, Spec

__all__ = ["FORMAT", "Key", "Plan", "forms", "maker", "makers", "save", "theme_name"]

Key = Literal["none", "file", "after", "grid"]
"""Where the keys go: nowhere, into files of their own, each after its form, or all into one grid of the class."""
(FORMAT,) = paint.names("worksheet")
NO_COLOUR_LEVEL = 3
GRAYSCALE = "grayscale"
Files = Iterator[tuple[Path, bytes]]


def maker(plexus: Plexus, spec: Spec) -> Maker:
    """What makes the first section of the forms. SheetError: no such kind."""
    return makers(plexus, spec)[0]


def theme_name(spec: Spec, wanted: str) -> str:
    """The theme: from level 3 on there is no colour."""
    return GRAYSCALE if spec.level >= NO_COLOUR_LEVEL else wanted


@dataclass(frozen=True, slots=True)
class Plan:
    """How a set is written: in which look, where its keys go, and whether it is printed on both sides.

    ``step`` is told how many forms are set so far, of which there may be fewer than are made.
    """

    theme: Theme
    key: Key = "none"
    duplex: bool = False
    step: Callable[[int], None] = lambda forms: None


def save(
    made: Iterable[Form],
    path: Path,
    plan: Plan,
    exports: Callable[[Sequence[Form]], Files] | None = None,
) -> tuple[list[Path], earlier.Left]:
    """Write a class set: one PDF, or a folder with a file for each form; keys as the *plan* says.

    *exports* makes further files of all forms. Every file is on the disk before the first takes its name, so that an
    interruption or a full disk changes none. What an earlier set left there is removed then, since a key of other
    forms must not lie beside these. Returns the files written, and what of earlier sets was removed or left.

    Raises:
        OutputError: the name tells no format, or a file cannot be written.
    """
    if path.suffix and path.suffix.lower() != paint.FORMATS[FORMAT].ending:
        raise OutputError(
            f"{path}: a worksheet is a {paint.endings('worksheet')} file, or a folder for one file a form"
        )
    kept: list[Form] = []

    def all_files() -> Files:
        marked: list[grid.Marks] = []
        yield from (_one_file if path.suffix else _folder)(_noted(made, kept, marked, plan, exports), path, plan)
        if plan.key == "grid" and (pages := grid.pages(marked)):
            name = output.beside(path, "-grid") if path.suffix else path / f"grid.{FORMAT}"
            yield name, paint.paint(FORMAT, pages, plan.theme)
        if exports is not None:
            yield from exports(kept)

    before, there = earlier.found(path), output.is_there(path)
    try:
        written = output.write_all(all_files())
    except BaseException:
        if not path.suffix and not there:
            with suppress(OSError):
                path.rmdir()
        raise
    return written, earlier.cleared(path, before, written)


def _noted(
    made: Iterable[Form],
    kept: list[Form],
    marked: list[grid.Marks],
    plan: Plan,
    exports: Callable[[Sequence[Form]], Files] | None,
) -> Iterator[Form]:
    """The forms one by one; of those before no more is kept than is needed later."""
    for form in made:
        if plan.key == "grid":
            marked.append(grid.marks(form))
        if exports is not None:
            kept.append(form)
        yield form


def _one_file(made: Iterable[Form], path: Path, plan: Plan) -> Files:
    ends: list[int] = []  # the page with which each form ends

    def told(pages: int) -> None:
        plan.step(sum(end <= pages for end in ends))

    volume, keys = Volume(plan.theme, told), Volume(plan.theme)
    total = 0
    for form in made:
        pages = _both(form, plan) if plan.key == "after" else padded(form.pages, plan.duplex)
        total += len(pages)
        ends.append(total)
        volume.add(pages)
        if plan.key == "file":
            keys.add(padded(form.key, plan.duplex))
    yield path, volume.close()
    if keys.pages:
        yield output.beside(path, "-key"), keys.close()


def _folder(made: Iterable[Form], path: Path, plan: Plan) -> Files:
    for number, form in enumerate(made, start=1):
        if number == 1:
            output.make_folder(path)
        pages = _both(form, plan) if plan.key == "after" else padded(form.pages, plan.duplex)
        yield path / f"form-{form.code}.{FORMAT}", paint.paint(FORMAT, pages, plan.theme)
        if plan.key == "file" and form.key:
            yield path / f"key-{form.code}.{FORMAT}", paint.paint(FORMAT, list(form.key), plan.theme)
        plan.step(number)


def _both(form: Form, plan: Plan) -> list[Page]:
    """A form and its key behind it."""
    return padded(form.pages, plan.duplex) + padded(form.key, plan.duplex)


def padded(pages: Sequence[Page], duplex: bool) -> list[Page]:
    """The pages; printed on both sides, what follows begins on a new sheet of paper."""
    found = list(pages)
    if duplex and len(found) % 2:
        found.append(_empty(found[-1]))
    return found


def _empty(last: Page) -> Page:
    """A page that says that it is empty, so that nobody takes it for a fault of the printer."""
    note = form_page.words("This page is left empty.", 10.0, 15.0, form_page.FOOT_PT, "legend")
    scene = replace(last.scene, table="none", parts=(note,), reading=(0,), description="", side="left")
    return Page(scene, View(asks=True, title=last.view.title))
