"""The state of each part of a scene, and the title of the page. A view moves nothing.

Built from a plexus and its fibres by ``plexusdraw.views``; read by the painters.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from plexusdraw.scene import Note, Part, Row, Scene, Strand

State = Literal["plain", "highlit", "dimmed", "blank", "lost", "weak", "slight", "reduced", "hidden"]
"""``hidden``: not yet shown. ``weak``: some of it is lost, or it is lost in part. On a limb,
``slight``: a muscle that lost a minor share alone; ``reduced``: skin that keeps some feeling."""

StrandKey = tuple[str, str, str | None, int]
"""entity, root, source, at: as in :class:`plexusdraw.scene.Strand`."""

Hue = str | int
"""What a colour stands for: the name of a plane, or the number of a nerve."""

LabelKey = tuple[str, str]
"""entity, role ("name" or "supply")."""


def strand_key(strand: Strand) -> StrandKey:
    """The key of a piece of a strand."""
    return (strand.entity, strand.root, strand.source, strand.at)


def strand_keys(parts: Iterable[Part]) -> list[StrandKey]:
    """The keys of strands and of dots of rows, each once."""
    found: dict[StrandKey, None] = {}
    for part in parts:
        if isinstance(part, Strand):
            found[strand_key(part)] = None
        elif isinstance(part, Row):
            found |= {(part.entity, dot.root, part.via, 0): None for dot in part.dots}
    return list(found)


@dataclass(frozen=True)
class Hues:
    """Hues of strands (entity, root, source) and of dots of the table (row, root, nerve), and a legend of samples."""

    strands: Mapping[tuple[str, str, str | None], Hue]
    samples: tuple[tuple[Hue, str], ...]


@dataclass(frozen=True, kw_only=True)
class View:
    """What to show and how.

    ``asks``: whether the page asks something; then no id and no word of the model is written beside what it shows. It
    has no default, since nobody can add secrecy to a file that is out. ``title``: of the page and of its document.

    ``entities`` and ``strands`` give states, "plain" where absent (a strand absent takes plain, not its
    entity's state). ``blanks`` numbers the labels that are blank. ``answers``: the same numbers shown
    beside the labels (a key). ``words`` fills the state column of the supply table. ``cuts`` are marked.
    ``notes`` replaces the string of a note by its key; ``None`` leaves the note out.
    """

    asks: bool
    title: str = ""
    entities: Mapping[str, State] = field(default_factory=dict)
    strands: Mapping[StrandKey, State] = field(default_factory=dict)
    blanks: Mapping[LabelKey, int] = field(default_factory=dict)
    answers: Mapping[LabelKey, int] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    cuts: tuple[tuple[str, int], ...] = ()
    notes: Mapping[str, str | None] = field(default_factory=dict)
    hues: Hues | None = None
    """What colour stands for; None: the root."""
    called: Mapping[str, str] = field(default_factory=dict)
    """Entity → its name in words of the reader's own, for one who cannot see the page; else its id says it."""

    @property
    def secret(self) -> bool:
        """Whether what the page does not show must not stand in its file: where it asks, and wherever it has blanks."""
        return self.asks or bool(self.blanks)

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

    def note(self, note: Note) -> str:
        """What a note says; empty where it is left out."""
        if note.key in self.notes:
            return self.notes[note.key] or ""
        return self.title if note.role == "title" else note.text.string


class Page(NamedTuple):
    """One page: where things are, and in which state."""

    scene: Scene
    view: View
