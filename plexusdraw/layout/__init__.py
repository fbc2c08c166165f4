"""From a plexus and a page to scenes. The only part that knows geometry.

The way through, one file each: ``plan`` (what is drawn, in which column) → ``order`` (who stands over
whom) → ``columns`` (x) → ``rows`` (y) → ``lanes`` (side branches and their labels) → ``bundles`` (curves of
every strand) → ``gaps`` (who passes in front) → ``table`` and ``surround`` → ``fit`` (the largest type that
fits the page).
"""
