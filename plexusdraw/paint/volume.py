"""A long PDF: set in stretches, one after the other in a thread, and joined into one tagged file.

The typesetter keeps much for each page until a document is done; in stretches memory stays flat, the next pages are
made while it works, and a progress bar moves. What is short is set at once. Same pages, same bytes.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor

from plexusdraw.look.theme import Theme
from plexusdraw.paint import Pages, typeset

STRETCH = 32
"""Pages that are set at once (measured: about 1 MB a page)."""
MOST_WAITING = 2
"""Stretches that may wait for the typesetter."""


def _set(source: str) -> bytes:
    made = typeset.compiled(source)
    typeset.forget()
    return made


class Volume:
    """A PDF to which pages are added; *set_so_far* is told how many are set."""

    def __init__(self, theme: Theme, set_so_far: Callable[[int], None] = lambda pages: None) -> None:
        self.theme = theme
        self._told = set_so_far
        self._pages: list[tuple[object, object]] = []
        self._waiting: deque[tuple[int, Future[bytes]]] = deque()
        self._done: list[bytes] = []
        self._count = 0
        self._thread: ThreadPoolExecutor | None = None

    @property
    def pages(self) -> int:
        """How many pages it has."""
        return self._count + len(self._pages) + sum(pages for pages, _ in self._waiting)

    def add(self, pages: Pages) -> None:
        """Add pages at the end."""
        for page in pages:
            if len(self._pages) == STRETCH:
                self._send()
            self._pages.append(page)

    def close(self) -> bytes:
        """The whole file.

        Raises:
            ValueError: it has no page.
        """
        if not self._pages:
            raise ValueError("no page to paint")
        if self._thread is None:
            made = typeset.pdf(self._pages, self.theme)  # type: ignore[arg-type]
            self._told(len(self._pages))
            return made
        self._send()
        while self._waiting:
            self._take()
        self._thread.shutdown()
        from plexusdraw.paint.joined import joined  # noqa: PLC0415

        return joined(self._done)

    def _send(self) -> None:
        while len(self._waiting) >= MOST_WAITING:
            self._take()
        source = typeset.source(self._pages, self.theme)  # type: ignore[arg-type]
        if self._thread is None:
            self._thread = ThreadPoolExecutor(1, "typesetter")
        self._waiting.append((len(self._pages), self._thread.submit(_set, source)))
        self._pages = []

    def _take(self) -> None:
        pages, made = self._waiting.popleft()
        self._done.append(made.result())
        self._count += pages
        self._told(self._count)
