"""The page that the gallery holds is the one that the command makes today."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from plexusdraw.cli.main import cli

STORED = Path(__file__).parents[2] / "gallery" / "plexus.html"


def test_the_stored_page_is_not_stale(tmp_path):
    made = tmp_path / "plexus.html"
    result = CliRunner().invoke(cli, ["page", "-o", str(made)])
    assert result.exit_code == 0, result.output
    assert made.read_bytes() == STORED.read_bytes()
