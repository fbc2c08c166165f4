"""The program: ``plexusdraw``, or ``python -m plexusdraw``."""

from __future__ import annotations

from plexusdraw.cli import stop

stop.at_once()

from plexusdraw.cli.main import run  # noqa: E402 - only now, so that Ctrl-C may come while it is loaded

if __name__ == "__main__":
    run()
