"""What a code says of a set: its kinds, its seed, every choice on which questions and answers rest, and the model.

Title, instructions and looks are not in it: they change no answer. Names are kept as short sums, and are looked up in
the model that is given with the code.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from typing import get_args

from plexusdraw import names
from plexusdraw.errors import SheetError
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import SIZES, Paper, paper
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.names.spelling import exact
from plexusdraw.sheets.worksheet import askable, case_mix, codes
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Choosing, Prompt, Spec, Writing

MODEL_SIZE = codes.BASE**2
"""A changed model is told but once in so many."""
NAME_SIZE = codes.BASE**4
KINDS_SIZE, ASK_SIZE, WORD_SIZE = 16, 16, 64
MOST_KINDS = 4
MOST_SITES = 16
"""An injury has fewer sites than that."""
PARTIAL = ":partial"
LATER = ("dermatomes",)
"""Words that may be asked about since there have been codes: they stand last, so that older codes say the same."""
CHOOSING: tuple[Choosing, ...] = get_args(Choosing)
WRITING: tuple[Writing, ...] = get_args(Writing)
PROMPTS: tuple[Prompt, ...] = get_args(Prompt)
STYLES: tuple[names.Style, ...] = ("short", "english", "latin")
TURNS = ("", "portrait", "landscape")
PAPERS = (*SIZES, "fit")
SIDES = ("left", "right")


@dataclass(frozen=True, slots=True)
class Told:
    """What a code tells. ``own_labels``: a file of labels was given as well; ``changed``: the model is another now."""

    spec: Spec
    number: int
    own_labels: bool
    changed: bool


def stamp(plexus: Plexus, spec: Spec) -> str:
    """What the codes of a set begin with; sets that differ in a choice differ in it.

    Raises:
        UnknownNameError: ``spec.ask``, ``spec.only`` or ``spec.sources`` names nothing.
    """
    return codes.packed(_fields(plexus, spec))


def read(plexus: Plexus, code: str, own: Wording) -> Told:
    """The choices of the set and the number of the form; *own*: the labels that are given with it, if any.

    Raises:
        SheetError: it is no code, or says what there is not in this model.
    """
    text, number = codes.parted(code)
    source = codes.Unpacker(text)
    changed = source.take(MODEL_SIZE) != model_sum(plexus)
    try:
        spec, own_labels = _read(plexus, source, own)
    except (IndexError, KeyError):
        raise SheetError(f'the code "{code}" says what {plexus.name} does not have. Is it of another model?') from None
    if not source.empty:
        raise SheetError(f'the code "{code}" was made by another version')
    return Told(spec, number, own_labels, changed)


def _fields(plexus: Plexus, spec: Spec) -> Iterator[tuple[int, int]]:
    if len(spec.kinds) > MOST_KINDS:
        raise SheetError(f"a form has at most {MOST_KINDS} sections")
    yield model_sum(plexus), MODEL_SIZE
    yield len(spec.kinds) - 1, MOST_KINDS
    for kind in spec.kinds:
        yield list(REGISTRY).index(kind), KINDS_SIZE
    yield from codes.number_fields(spec.seed)
    yield int(spec.forms > 1), 2
    yield CHOOSING.index(spec.choosing), len(CHOOSING)
    yield from _paper(spec.page)
    others = list(_others(plexus, spec))
    usual = others == list(_others(plexus, Spec()))
    yield int(not usual), 2
    if not usual:
        yield from others


def _others(plexus: Plexus, spec: Spec) -> Iterator[tuple[int, int]]:
    yield spec.level - 1, 4
    yield int(spec.word_bank), 2
    yield SIDES.index(spec.side), len(SIDES)
    yield WRITING.index(spec.writing), len(WRITING)
    yield (DETAILS.index(spec.detail) + 1 if spec.detail else 0), len(DETAILS) + 1
    yield STYLES.index(spec.wording.style), len(STYLES)
    yield int(bool(spec.wording.own)), 2
    if spec.wording.own:
        yield _sum(repr(spec.wording.own)) % MODEL_SIZE, MODEL_SIZE
    yield from codes.number_fields(spec.count)
    ask = _words(plexus, spec.ask)
    yield min(len(ask), ASK_SIZE - 1), ASK_SIZE
    yield from ((word, WORD_SIZE) for word in ask[: ASK_SIZE - 1])
    yield PROMPTS.index(spec.prompt), len(PROMPTS)
    places = (
        [case_mix.words(plexus).index(word) for word in case_mix.sources(plexus, spec.sources)] if spec.sources else []
    )
    yield min(len(places), ASK_SIZE - 1), ASK_SIZE
    yield from ((place, WORD_SIZE) for place in places[: ASK_SIZE - 1])
    about = _canonical(plexus, spec) if spec.only else []
    if len(about) >= MOST_SITES:
        raise SheetError(f'"{spec.only}" is more than {MOST_SITES - 1} sites: a form asks about fewer')
    yield len(about), MOST_SITES
    yield from ((_sum(text) % NAME_SIZE, NAME_SIZE) for text in about)


def _read(plexus: Plexus, source: codes.Unpacker, own: Wording) -> tuple[Spec, bool]:
    kinds = [list(REGISTRY)[source.take(KINDS_SIZE)] for _ in range(source.take(MOST_KINDS) + 1)]
    seed = source.number()
    forms = source.take(2) + 1
    choosing = CHOOSING[source.take(len(CHOOSING))]
    page = _read_paper(source)
    spec = Spec(kinds[0], tuple(kinds[1:]), seed=seed, forms=forms, choosing=choosing, page=page)
    return _read_others(plexus, source, spec, own) if source.take(2) else (spec, False)


def _read_others(plexus: Plexus, source: codes.Unpacker, spec: Spec, own: Wording) -> tuple[Spec, bool]:
    level, bank, side = source.take(4) + 1, bool(source.take(2)), SIDES[source.take(len(SIDES))]
    writing = WRITING[source.take(len(WRITING))]
    detail = (None, *DETAILS)[source.take(len(DETAILS) + 1)]
    style = STYLES[source.take(len(STYLES))]
    labels = bool(source.take(2))
    if labels:
        wanted = source.take(MODEL_SIZE)
        if _sum(repr(own.own)) % MODEL_SIZE != wanted:
            raise SheetError("the form was made with labels of its own: give the same file with --names")
    count = source.number()
    known = every_word(plexus)
    ask = tuple(known[source.take(WORD_SIZE)] for _ in range(source.take(ASK_SIZE)))
    prompt = PROMPTS[source.take(len(PROMPTS))]
    words = case_mix.words(plexus)
    sources = tuple(words[source.take(WORD_SIZE)] for _ in range(source.take(ASK_SIZE)))
    about = [source.take(NAME_SIZE) for _ in range(source.take(MOST_SITES))]
    only = " + ".join(_only(plexus, spec.kinds)[name] for name in about)
    wording = Wording(style, own.own if labels else ())
    made = replace(spec, level=level, word_bank=bank, side="right" if side == "right" else "left", writing=writing)
    made = replace(made, prompt=prompt, sources=sources)
    return replace(made, detail=detail, wording=wording, count=count, ask=ask, only=only), labels


def _paper(page: Paper) -> Iterator[tuple[int, int]]:
    if page == paper():
        yield 0, 2
        return
    yield 1, 2
    name, _, turn = page.name.partition(" ")
    known = name in PAPERS
    yield (PAPERS.index(name) + 1 if known else 0), len(PAPERS) + 1
    if known:
        yield TURNS.index(turn), len(TURNS)
        return
    for side in (page.width, page.height):
        yield from codes.number_fields(round(side * 1000))


def _read_paper(source: codes.Unpacker) -> Paper:
    if not source.take(2):
        return paper()
    place = source.take(len(PAPERS) + 1)
    if place:
        return paper(f"{PAPERS[place - 1]} {TURNS[source.take(len(TURNS))]}")
    w, h = (source.number() / 1000 for _ in range(2))
    return paper(f"{w:g}x{h:g}")


@lru_cache(maxsize=16)
def model_sum(plexus: Plexus) -> int:
    """A sum of all that forms rest on; not where it stands in the file."""
    held = (plexus.id, plexus.stages, plexus.segments, plexus.muscles, plexus.skin, plexus.groups, plexus.wholes)
    return _sum(re.sub(r"\bline=\d+", "", repr((held, plexus.applied)))) % MODEL_SIZE


def _sum(text: str) -> int:
    return int.from_bytes(sha256(text.encode("utf-8", "surrogatepass")).digest()[:12])


@lru_cache(maxsize=16)
def every_word(plexus: Plexus) -> tuple[str, ...]:
    """All that may stand after --ask, in any kind."""
    topics = {topic for kind in REGISTRY.values() for topic in kind.topics}
    return tuple(dict.fromkeys((*sorted(topics - {*LATER}), *askable.words(plexus), *LATER)))


def _words(plexus: Plexus, ask: tuple[str, ...]) -> list[int]:
    """Places of the words asked about, in their order."""
    known = every_word(plexus)
    by_form = {form: word for word in known for form in (word.lower().removesuffix("s"), word.lower())}
    found: dict[str, None] = {}
    for text in ask:
        word = by_form.get(text.strip().lower())
        found |= dict.fromkeys([word] if word else askable.asked(plexus, [text]))
    return [known.index(word) for word in found]


def _canonical(plexus: Plexus, spec: Spec) -> list[str]:
    """What ``spec.only`` means, in one spelling; of an injury, each of its sites."""
    if _about_sites(spec.kinds):
        return [f"{site.id}{PARTIAL if site.partial else ''}" for site in sites.parse_all(plexus, spec.only)]
    if exact(spec.only) in {exact(movement) for movement in _movements(plexus)}:
        return [exact(spec.only)]
    wanted = dict.fromkeys(word for kind in spec.kinds for word in REGISTRY[kind].only)
    return [names.find(plexus, spec.only, tuple(wanted)).id]


def _about_sites(kinds: Iterable[str]) -> bool:
    return any(REGISTRY[kind].of_sites for kind in kinds)


def _only(plexus: Plexus, kinds: Iterable[str]) -> dict[int, str]:
    """Sum of what may be asked alone → its spelling."""
    texts = {exact(movement): movement for movement in _movements(plexus)}
    texts |= {entity.id: entity.id for entity in plexus.entities()}
    if _about_sites(kinds):
        every = sites.all_sites(plexus)
        texts = {f"{site.id}{also}": f"{site.name}{also}" for site in every for also in ("", PARTIAL)}
    return {_sum(text) % NAME_SIZE: spelling for text, spelling in texts.items()}


def _movements(plexus: Plexus) -> tuple[str, ...]:
    return tuple(dict.fromkeys(m for muscle in plexus.muscles.values() for m in getattr(muscle, "movements", ())))
