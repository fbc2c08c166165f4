"""The page that the gallery holds is the one that the command makes today."""

from __future__ import annotations

from pathlib import Path

STORED = Path(__file__).parents[2] / "gallery" / "plexus.html"


def test_the_stored_page_is_not_stale(page_file):
    assert page_file.read_bytes() == STORED.read_bytes()
