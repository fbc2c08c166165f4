"""What pages have in common: runs of pieces that stand one after the other on the same pages, to be kept once."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from itertools import groupby
from typing import TypeVar

T = TypeVar("T", bound=Hashable)


def standing(pages: Iterable[Iterable[T]]) -> dict[T, int]:
    """Each piece → the pages on which it stands, a bit for each."""
    found: dict[T, int] = {}
    for number, page in enumerate(pages):
        bit = 1 << number
        for piece in page:
            found[piece] = found.get(piece, 0) | bit
    return found


def runs(page: Sequence[T], where: dict[T, int]) -> Iterator[tuple[tuple[T, ...], bool]]:
    """The pieces of one page in order, in runs; and of each run whether it may stand on another page as well."""
    for pages, run in groupby(page, key=where.__getitem__):
        yield tuple(run), pages.bit_count() > 1
