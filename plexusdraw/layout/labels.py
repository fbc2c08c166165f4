"""The words of a picture, measured: names on plates and beside nerves, and what each nerve supplies."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from unicodedata import category

from plexusdraw import fonts
from plexusdraw.layout.scale import Scale
from plexusdraw.model.entities import Group, Segment, Stage, Target
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style, display
from plexusdraw.names import word as beside
from plexusdraw.routes.reach import supplied
from plexusdraw.scene import MM_PER_PT

LEADING = 1.16
"""Distance of baselines as a multiple of the type size."""
SUPPLY_EMS = 12.0
ABBREVIATED = ("n.", "nn.", "m.", "mm.")
BLANK_EMS = 7.5
"""Width of the blank in place of a nerve name."""


@dataclass(frozen=True)
class Block:
    """A nerve's name and what it supplies, as measured lines; nothing is placed yet. Lengths in mm."""

    name: tuple[str, ...]
    supply: tuple[str, ...]
    name_pt: float
    supply_pt: float
    blank: tuple[float, float]
    """Width and height of the box drawn in place of the name when it is blank."""
    plate: float = 0.0
    """Least height of the name plates of the same picture."""

    @cached_property
    def name_step(self) -> float:
        """Distance of the name's baselines, mm."""
        return self.name_pt * MM_PER_PT * LEADING

    @cached_property
    def supply_step(self) -> float:
        """Distance of the supply lines' baselines, mm."""
        return self.supply_pt * MM_PER_PT * LEADING

    @cached_property
    def name_height(self) -> float:
        """Height kept for the name, blank or not, mm."""
        return max(len(self.name) * self.name_step, self.blank[1])

    @cached_property
    def height(self) -> float:
        """Height of the whole, mm."""
        return self.name_height + len(self.supply) * self.supply_step

    @cached_property
    def name_width(self) -> float:
        """Width of the name's widest line, mm."""
        return max(fonts.width(t, self.name_pt, bold=True) for t in self.name)

    @cached_property
    def width(self) -> float:
        """Width of the widest line, blank or not, mm."""
        return max(
            self.blank[0],
            self.name_width,
            *(fonts.width(t, self.supply_pt) for t in self.supply),
        )


@dataclass(frozen=True, slots=True)
class Wording:
    """How names are written: style, own labels by id, roots in brackets, blanks at least this large (mm)."""

    style: Style = "short"
    own: tuple[tuple[str, str], ...] = ()
    with_roots: bool = False
    blank: tuple[float, float] = (0.0, 0.0)
    asked: tuple[str, ...] = ()
    """Kinds whose blanks have that size; empty: all kinds."""
    widths: tuple[tuple[str, float], ...] = ()
    """Least width of a blank by kind, mm, where it is more than that of ``blank``."""

    def room(self, kind: str) -> tuple[float, float]:
        """Least width and height of a blank of this kind, mm."""
        if self.asked and kind not in self.asked:
            return (0.0, 0.0)
        return (max(self.blank[0], dict(self.widths).get(kind, 0.0)), self.blank[1])

    def letters(self, root: Segment) -> str:
        """Text for a root at the left end of its strand: "C5" in any language."""
        return self.of(root) if self.style != "latin" else dict(self.own).get(root.id, root.name)

    def column(self, stage: Stage) -> str:
        """Heading of a column."""
        return (stage.latin if self.style == "latin" and stage.latin else stage.name).upper()

    def word(self, english: str) -> str:
        """A word of anatomy in the language of the names: over a table or a figure, or before a list."""
        return beside(english, self.style)

    def of(self, entity: Segment | Target | Group) -> str:
        """Text for an entity."""
        own = dict(self.own).get(entity.id)
        if own is not None:
            return own
        if self.style == "short" and entity.label:
            return entity.label
        return display(entity, self.style)


@dataclass(frozen=True, slots=True)
class Form:
    """How much a label says and how wide: most lines of supply, and the width at which a name is broken, ems."""

    supply_lines: int
    name_ems: float = 15.0
    density: float = 1.0
    """Of all that is not text: under 1, strands are thinner and stand nearer to each other."""
    care: float = 1.0
    """As in ``Scale``."""
    plate_ems: float = 0.0
    """As in ``Scale``."""
    wider: tuple[tuple[str, float], ...] = ()
    """Nerves whose names are broken at another width, ems: those that have room for it."""


ROOMY = tuple(Form(n) for n in (3, 2, 1))
"""Forms tried for a drawing with supply, the fullest first."""
COMPLETE = tuple(Form(40, ems) for ems in (15.0, 10.0, 8.5))
"""Forms tried first on paper larger than A4: everything that a nerve supplies."""
SLIM = tuple(Form(n, 8.5) for n in (8, 6, 4, 3, 2, 1))
"""Forms tried where no roomy one leaves the type comfortable: names in two or three lines."""
TERSE = (Form(0),)
NARROW = tuple(Form(0, 8.5, dense, care=3.0) for dense in (1.0, 0.75, 0.6, 0.5, 0.4, 0.32))
"""Forms tried where there is no room for supply at all."""


def on_screen(shape: tuple[float, float], density: float) -> Form:
    """A form tried on a slide, where there is no room for what nerves supply."""
    return Form(0, shape[0], density, care=3.0, plate_ems=shape[1])


def block(
    plexus: Plexus,
    segment: Segment,
    scale: Scale,
    wording: Wording,
    roots: Sequence[str],
    form: Form,
    blank: float = 0.0,
) -> Block:
    """The label of a nerve, measured; *blank*: ems at which names of its kind are broken, where this one is not."""
    words = _words(wording.of(segment))
    if wording.with_roots:
        words.append(f"({span(roots, plexus.roots)})")
    room = max(scale.text_mm(form.name_ems), *(fonts.width(word, scale.name, bold=True) for word in words))
    lines = fonts.wrap(words, room, scale.name, bold=True)  # no line is wanted narrower than the longest word
    width = max(scale.text_mm(min(SUPPLY_EMS, form.name_ems)), *(fonts.width(t, scale.name, bold=True) for t in lines))
    supply = _supply(plexus, segment, scale.supply, width, form.supply_lines, wording) if form.supply_lines else []
    wide, high = wording.room(segment.kind)
    empty = (max(scale.text_mm(min(BLANK_EMS, blank or form.name_ems)), wide), max(scale.text_mm(1.3), high))
    plate = max((wording.room(stage.singular)[1] for stage in plexus.stages[1:-1]), default=0.0)
    return Block(tuple(lines), tuple(supply), scale.name, scale.supply, empty, plate)


def _words(name: str) -> list[str]:
    """Words of a name; "n." and "m." stay with the word before or after them."""
    words: list[str] = []
    for word in name.split():
        first, *rest = _pieces(word)
        if words and (word in ABBREVIATED or words[-1] in ABBREVIATED):
            words[-1] = f"{words[-1]} {first}"
        else:
            words.append(first)
        words += rest
    return words


LONGEST_WORD = 30
"""Most letters of a word that stays whole in a picture."""


def _pieces(word: str) -> list[str]:
    """A word in pieces that a line has room for: broken after a sign if there is one, and before no accent."""
    found = []
    while len(word) > LONGEST_WORD:
        signs = [i for i in range(2, LONGEST_WORD + 1) if not word[i - 1].isalnum() and word[i].isalnum()]
        letters = [i for i in range(2, LONGEST_WORD + 1) if category(word[i])[0] not in "MC"]
        at = max(signs or letters, default=LONGEST_WORD)
        found.append(word[:at])
        word = word[at:]
    return [*found, word]


def span(roots: Sequence[str], every: Sequence[str]) -> str:
    """Roots in brackets as the trade writes them: "C5" or "C5, C6" or, of those in a row of *every* root, "C5–T1"."""
    runs: list[list[str]] = []
    for root in roots:
        if runs and runs[-1][-1] in every[:-1] and every[every.index(runs[-1][-1]) + 1] == root:
            runs[-1].append(root)
        else:
            runs.append([root])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _supply(plexus: Plexus, segment: Segment, size: float, width: float, most: int, wording: Wording) -> list[str]:
    muscles, skin = _listed(plexus, segment.id, wording)
    items = [*muscles, *skin]
    mark = _mark(plexus, wording)
    for shown in range(len(items), 0, -1):
        rest = len(items) - shown
        listed = f"{mark} ".join(items[:shown])
        words = [*f"{listed}{mark}".split(), f"+{rest} more"] if rest else listed.split()
        lines = fonts.wrapped(words, width, size, most=most)
        if lines is not None:
            return lines
    return [_counted(len(muscles), bool(skin))] if items else []


def as_skin(name: str, word: str) -> str:
    """The name of a skin area beside those of muscles: with the *word* for skin before it, unless it says so itself."""
    said = re.findall(r"\w+", name.lower())
    return name if {"skin", word.lower()}.intersection(said) else f"{word}: {name}"


def _counted(muscles: int, skin: bool) -> str:
    """What a nerve supplies where not even one name has room."""
    found = [f"{muscles} muscle{'s' * (muscles > 1)}"] if muscles else []
    return ", ".join([*found, *(["skin"] if skin else [])])


@lru_cache(maxsize=16)
def _mark(plexus: Plexus, wording: Wording) -> str:
    """What parts the names of a list, the same in the whole picture: semicolons where a name has a comma itself."""
    return ";" if any("," in wording.of(t) for t in (*plexus.muscles.values(), *plexus.skin.values())) else ","


@lru_cache(maxsize=1024)
def _listed(plexus: Plexus, segment: str, wording: Wording) -> tuple[list[str], list[str]]:
    """Names of the muscles and of the skin areas of a nerve, the same in every size of type."""
    return _grouped(plexus, supplied(plexus, segment), wording)


def _grouped(plexus: Plexus, targets: Sequence[Target], wording: Wording) -> tuple[list[str], list[str]]:
    """Names of muscles and of skin areas; a group of the trade stands for its members where a nerve has them all."""
    ids = [t.id for t in targets if t.kind == "muscle"]
    taken: dict[str, str] = {}
    for group in sorted(plexus.groups.values(), key=lambda g: -len(g.members)):
        members = [m for m in group.members if m in ids and m not in taken]
        if 1 < len(members) == len(group.members) and _series(group, plexus):
            taken |= dict.fromkeys(members, wording.of(group))
    names = [taken.get(t.id, wording.of(t)) for t in targets if t.kind == "muscle"]
    skin = [wording.of(t) for t in targets if t.kind != "muscle"]
    listed = list(dict.fromkeys(names))
    if skin:
        skin[0] = as_skin(skin[0], wording.word("skin"))
    return listed, skin


def _series(group: Group, plexus: Plexus) -> bool:
    """Whether a group is parts of one muscle or a numbered row, told by the names: "rhomboids", "interossei"."""
    stems = [word.rstrip("s")[:5] for word in group.name.split() if word.isalpha()]
    return all(
        any(word.startswith(stem) for word in plexus.muscles[m].name.split()) for m in group.members for stem in stems
    )
