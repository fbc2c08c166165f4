"""One page of a case: what an injury takes (``injured``), or which places explain findings (``localised``)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from plexusdraw import output, paint
from plexusdraw.errors import OutputError
from plexusdraw.look.theme import load as load_theme
from plexusdraw.scene.view import Page


def save(found: Sequence[Page], path: str, theme: str = "print") -> list[Path]:
    """Write the pages; the ending says the format. A second page goes into "NAME-2.EXT" where a file holds one.

    Raises:
        OutputError: no such format, or the file cannot be written. ThemeError: no such theme.
    """
    place, look = Path(path), load_theme(theme)
    format = place.suffix.lstrip(".").lower()
    if format not in paint.names("case sheet"):
        raise OutputError(f'"{path}": a case is written as {paint.endings("case sheet")}; end its name so')
    whole = paint.FORMATS[format].many_pages or len(found) == 1
    sheets = [found] if whole else [[page] for page in found]
    files = [place if not i else place.with_name(f"{place.stem}-{i + 1}{place.suffix}") for i in range(len(sheets))]
    made = ((file, paint.paint(format, held, look)) for file, held in zip(files, sheets, strict=True))
    return output.write_all(made)
