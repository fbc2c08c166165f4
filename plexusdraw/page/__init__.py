"""One self-contained page to click: ``plexusdraw page -o plexus.html``.

Python embeds the model's routes, the themes and the painted scenes; the modules in ``web/`` apply the same rules
in the browser, offline. A test compares both in a real browser.
"""

from __future__ import annotations

from plexusdraw.page.build import Choices, build

__all__ = ["Choices", "build"]
