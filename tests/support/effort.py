"""How much a piece of work does, the same on every machine: what a clock says of it depends on who else is at work."""

from __future__ import annotations

from collections.abc import Callable
from cProfile import Profile


def calls(work: Callable[[], object]) -> int:
    """How many functions are called while *work* runs, those of C included."""
    profile = Profile()
    profile.runcall(work)
    return sum(row.callcount for row in profile.getstats())
