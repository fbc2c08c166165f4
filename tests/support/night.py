"""Which of many cases run by day; the rest waits for the night: NIGHTLY=1 pytest -m nightly."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

import pytest


def by_day(cases: Iterable[Any], day: Collection[Any]) -> list[Any]:
    """All cases, for ``parametrize``: those of *day* as they are, the others marked ``nightly``."""
    return [case if case in day else pytest.param(case, marks=pytest.mark.nightly) for case in cases]


def first(cases: Iterable[Any], many: int) -> list[Any]:
    """All cases, for ``parametrize``, the first *many* of them by day."""
    found = list(cases)
    return by_day(found, found[:many])
