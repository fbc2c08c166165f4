"""How far a command is, on a terminal; nothing into a pipe."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(what: str, total: int) -> Iterator[Callable[[int], None]]:
    """Show a bar of *total* steps while this lasts; gives what is told how many are done. Of 0 steps nothing shows."""
    if not total or sys.stderr is None or not sys.stderr.isatty():
        yield lambda done: None
        return
    from rich.console import Console  # noqa: PLC0415
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn  # noqa: PLC0415

    columns = (TextColumn(what), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task(what, total=total)
        yield lambda done: shown.update(task, completed=done)
