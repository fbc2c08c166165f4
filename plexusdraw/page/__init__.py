"""One self-contained page to click: ``plexusdraw page -o plexus.html``.

Python embeds its answers and its pictures, painted in every state; the modules in ``web/`` look these up, offline, and
work out alone what injuries and findings mean. Tests compare both in plain node and in a real browser.
"""

from __future__ import annotations

from plexusdraw.page.build import Choices, build

__all__ = ["Choices", "build"]
