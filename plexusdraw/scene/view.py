"""The state of each part of a scene. A view moves nothing.

Built from a plexus and its fibres by ``plexusdraw.views.request``; read by the painters.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

State = Literal["plain", "highlit", "dimmed", "blank", "lost", "weak", "slight", "reduced", "hidden"]
"""``hidden``: not yet shown. ``weak``: some of it is lost, or it is lost in part. On a limb,
``slight``: a muscle that lost a minor share alone; ``reduced``: skin that keeps some feeling."""

StrandKey = tuple[str, str, str | None, int]
"""entity, root, source, at: as in :class:`plexusdraw.scene.Strand`."""

LabelKey = tuple[str, str]
"""entity, role ("name" or "supply")."""


@dataclass(frozen=True)
class View:
    """What to show and how.

    ``entities`` and ``strands`` give states, "plain" where absent (a strand absent takes plain, not its
    entity's state). ``blanks`` numbers the labels that are blank. ``answers``: the same numbers shown
    beside the labels (a key). ``words`` fills the state column of the supply table. ``cuts`` are marked.
    ``notes`` replaces the string of a note by its key; ``None`` leaves the note out.
    """

    entities: Mapping[str, State] = field(default_factory=dict)
    strands: Mapping[StrandKey, State] = field(default_factory=dict)
    blanks: Mapping[LabelKey, int] = field(default_factory=dict)
    answers: Mapping[LabelKey, int] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    cuts: tuple[tuple[str, int], ...] = ()
    notes: Mapping[str, str | None] = field(default_factory=dict)
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Entity or root id → the neutral id written to the file instead, so that a blank keeps its secret."""

    def entity(self, id: str) -> State:
        """State of an entity."""
        return self.entities.get(id, "plain")

    def strand(self, key: StrandKey) -> State:
        """State of a strand: its own; else hidden, dimmed or highlit follow the entity."""
        own = self.strands.get(key)
        if own is not None:
            return own
        state = self.entity(key[0])
        return state if state in ("hidden", "dimmed", "highlit") else "plain"

    def alias(self, id: str) -> str:
        """The id to write for an entity or a root."""
        return self.aliases.get(id, id)
