"""Choices that differ: of all ways to choose some of many things, each form gets another."""

from __future__ import annotations

from collections.abc import Iterator
from math import comb, gcd
from random import Random


def choice(many: int, size: int, number: int, rng: Random) -> list[int]:
    """*size* of the places 0 to *many* - 1, rising: the choice with this *number*, counted from 1.

    Numbers up to ``comb(many, size)`` give different choices; *rng* says in which order they come.
    """
    ways = comb(many, size)
    start, stride = rng.randrange(ways), _stride(ways, rng)
    mixed = list(range(many))
    rng.shuffle(mixed)
    return sorted(mixed[i] for i in _unranked(many, size, (start + stride * (number - 1)) % ways))


def _stride(ways: int, rng: Random) -> int:
    """A step that comes to each of so many places once before it comes back."""
    while True:
        step = rng.randrange(1, ways + 1)
        if gcd(step, ways) == 1:
            return step


def _unranked(many: int, size: int, rank: int) -> Iterator[int]:
    """The choice that stands at *rank*, from 0, among all in the order of a dictionary."""
    for place in range(many):
        if size == 0:
            return
        first = comb(many - place - 1, size - 1)
        if rank < first:
            yield place
            size -= 1
        else:
            rank -= first
