"""A class set: the forms one by one, their files, and the order of their pages in one file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from plexusdraw import output, paint
from plexusdraw.errors import OutputError
from plexusdraw.look.theme import Theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.scene.view import Page, View
from plexusdraw.sheets.worksheet import form_page, grid
from plexusdraw.sheets.worksheet.registry import Maker, kind
from plexusdraw.sheets.worksheet.spec import Form, Spec

Key = Literal["none", "file", "after", "grid"]
"""Where the keys go: nowhere, into files of their own, each after its form, or all into one grid of the class."""
MOST_PAGES = 90
"""More pages than this in one file take too much memory (measured: about 2 MB a page)."""
KEPT_DOCUMENTS = 10
(FORMAT,) = paint.names("worksheet")
NO_COLOUR_LEVEL = 3
GRAYSCALE = "grayscale"


def maker(plexus: Plexus, spec: Spec) -> Maker:
    """What makes the forms of this kind; nothing is laid out yet. SheetError: no such kind."""
    return kind(spec.kind).make(plexus, spec)


def forms(plexus: Plexus, spec: Spec) -> Iterator[Form]:
    """The forms of a class set, in order; they share one layout.

    Raises:
        FitError: the drawing does not fit its page. SheetError, UnknownNameError: this cannot be asked.
    """
    made = maker(plexus, spec)
    for number in range(1, spec.forms + 1):
        yield made.form(number)


def theme_name(spec: Spec, wanted: str) -> str:
    """The theme: from level 3 on there is no colour."""
    return GRAYSCALE if spec.level >= NO_COLOUR_LEVEL and spec.kind != "injury" else wanted


def save(
    made: Iterable[Form], path: Path, theme: Theme, key: Key, duplex: bool, done: Callable[[Form], None]
) -> list[Path]:
    """Write a class set: one PDF (a large set: several, named after their first and last form), or a folder
    with a file for each form; keys as *key* says.

    *done* is called for each form that is on the disk. Every file is written whole or not at all, and a form not
    without its key. Returns the files written.

    Raises:
        OutputError: the name tells no format, or a file cannot be written.
    """
    if key == "grid":
        return _with_grid(made, path, theme, duplex, done)
    if path.suffix.lower() == paint.FORMATS[FORMAT].ending:
        return _files(made, path, theme, key, duplex, done)
    if path.suffix:
        raise OutputError(
            f"{path}: a worksheet is a {paint.endings('worksheet')} file, or a folder for one file a form"
        )
    return _folder(made, path, theme, key, duplex, done)


def _with_grid(
    made: Iterable[Form], path: Path, theme: Theme, duplex: bool, done: Callable[[Form], None]
) -> list[Path]:
    """The forms without keys, then the grid of the class: beside the file, or in the folder."""
    kept: list[grid.Marks] = []

    def keep() -> Iterator[Form]:
        for form in made:
            kept.append(grid.marks(form))
            yield form

    written = save(keep(), path, theme, "none", duplex, done)
    name = path.with_name(f"{path.stem}-grid{path.suffix}") if path.suffix else path / f"grid.{FORMAT}"
    pages = grid.pages(kept)
    return [*written, *(output.write_all([(name, paint.paint(FORMAT, pages, theme))]) if pages else [])]


def _files(
    made: Iterable[Form], path: Path, theme: Theme, key: Key, duplex: bool, done: Callable[[Form], None]
) -> list[Path]:
    """One PDF; a large set in several, each with whole forms, so that memory stays flat."""
    written: list[Path] = []
    batches = _batches(made, key, duplex)
    batch = next(batches, None)
    while batch is not None:
        following = next(batches, None)
        alone = following is None and not written
        parts = [("", batch.pages), *([("-key", batch.keys)] if batch.keys else [])]
        stretch = "" if alone else f"-{batch.codes[0]}-to-{batch.codes[-1]}"
        written += output.write_all(
            (path.with_name(f"{path.stem}{suffix}{stretch}{path.suffix}"), paint.paint(FORMAT, pages, theme))
            for suffix, pages in parts
        )
        for form in batch.forms:
            done(form)
        if following is not None:
            _forget(batch.pages[-1], theme)
        batch = following
    return written


def _forget(last: Page, theme: Theme) -> None:
    """Make the typesetter drop what it keeps of the pages before: it holds on to that for ten documents."""
    for _ in range(KEPT_DOCUMENTS + 1):
        paint.paint(FORMAT, [_empty(last)], theme)


@dataclass(slots=True)
class _Batch:
    """Forms that go into one file, and the pages of their keys."""

    forms: list[Form] = field(default_factory=list)
    pages: list[Page] = field(default_factory=list)
    keys: list[Page] = field(default_factory=list)

    @property
    def codes(self) -> list[str]:
        """Codes of the forms."""
        return [form.code for form in self.forms]


def _batches(made: Iterable[Form], key: Key, duplex: bool) -> Iterator[_Batch]:
    batch = _Batch()
    for form in made:
        pages = padded(form.pages, duplex) + (padded(form.key, duplex) if key == "after" else [])
        keys = padded(form.key, duplex) if key == "file" else []
        if batch.forms and max(len(batch.pages) + len(pages), len(batch.keys) + len(keys)) > MOST_PAGES:
            yield batch
            batch = _Batch()
        batch.forms.append(form)
        batch.pages += pages
        batch.keys += keys
    if batch.forms:
        yield batch


def _folder(
    made: Iterable[Form], path: Path, theme: Theme, key: Key, duplex: bool, done: Callable[[Form], None]
) -> list[Path]:
    written: list[Path] = []
    for form in made:
        if not written:
            _make(path)
        pages = padded(form.pages, duplex)
        if key == "after":
            pages += padded(form.key, duplex)
        groups = [(f"form-{form.code}.{FORMAT}", pages)]
        if key == "file" and form.key:
            groups.append((f"key-{form.code}.{FORMAT}", list(form.key)))
        written += output.write_all((path / name, paint.paint(FORMAT, group, theme)) for name, group in groups)
        done(form)
    return written


def _make(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be made: {error.strerror}.") from error


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
