"""Which ids and words may be written to a file.

On a page that asks something no id of the model is written, even of what is not asked:
"anterior-division-of-upper-trunk" tells what the upper trunk is called. Entities get a number in the order of
the scene, which says nothing that the page does not show; so do roots where one of them is asked.
"""

from __future__ import annotations

from plexusdraw.look.lines import clean
from plexusdraw.scene import Heading, Note, Scene
from plexusdraw.scene.view import View

UNTITLED = "Untitled"
"""Of a page whose title has no character that can be shown."""


class Names:
    """Ids as they may be written."""

    def __init__(self, scene: Scene, view: View) -> None:
        self.secret = view.secret
        parts = [part for part in scene.parts if not isinstance(part, Note)]
        self._numbers = {id: n for n, id in enumerate(dict.fromkeys(part.entity for part in parts), 1)}
        self._roots = {id: n for n, id in enumerate(scene.roots, 1)}
        asked = {entity for entity, _ in view.blanks}
        self._secret_roots = not asked.isdisjoint(scene.roots)
        self._secret_kinds = any(isinstance(part, Heading) and part.entity in asked for part in parts)

    def entity(self, id: str) -> str:
        """The id to write for an entity."""
        return f"part-{self._numbers.get(id, 0)}" if self.secret else clean(id)

    def root(self, id: str) -> str:
        """The id to write for a root."""
        return f"root-{self._roots.get(id, 0)}" if self._secret_roots else clean(id)

    def kind(self, kind: str) -> str:
        """The kind to write: none where the name of a column is asked."""
        return "part" if self._secret_kinds else kind

    def words(self, words: str) -> str:
        """Words for a reader who cannot see the page: none on a sheet that asks something."""
        return "" if self.secret else words


def title(view: View) -> str:
    """The title of a page; never empty, since a tagged PDF must have one."""
    return clean(view.title) or UNTITLED


def description(scene: Scene, view: View) -> str:
    """What a page shows, for a reader who cannot see it; on a sheet with blanks only how many there are."""
    if view.blanks:
        n = len(set(view.blanks.values()))
        return f"{n} {'name is' if n == 1 else 'names are'} blank, to be filled in."
    return title(view) if view.secret else clean(scene.description) or title(view)
