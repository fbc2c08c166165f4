"""What the page needs to make the label forms of ``plexusdraw worksheet``: the same codes, blanks, numbers and keys.

``web/codes.js`` writes a code as :mod:`plexusdraw.sheets.worksheet.stamp` does, ``web/forms.js`` chooses as
:class:`~plexusdraw.sheets.worksheet.labelling.Labelling`; the tests hold both against them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from plexusdraw.errors import FitError, SheetError
from plexusdraw.layout.columns.plan import DETAILS, Detail
from plexusdraw.layout.labels import Wording
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.scene import Row, Scene
from plexusdraw.sheets.worksheet import askable, codes, links, stamp
from plexusdraw.sheets.worksheet.labelling import ON_LINES, Labelling
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Spec

Json = dict[str, Any]


def forms(plexus: Plexus, pictures: Mapping[tuple[Detail, Style], Scene]) -> Json:
    """What codes are made of, what may be ticked, and the order of muscles.

    ``ask``: what may be asked, by its place among all words of codes, with the kinds of names that it blanks.
    *pictures*: those of the page. ``unasked``: detail and naming → links with a name on the picture which its forms do
    not ask. ``rows``: naming → places of muscles in the order of a worksheet, where they have another in the picture;
    ``listed``: namings in which muscles are answered in a list, numbered as it is read.
    """
    tables = {style: scene for (detail, style), scene in pictures.items() if detail == "muscles"}
    words = [word for word in askable.words(plexus) if word != askable.SUPPLY]
    places = stamp.every_word(plexus)
    return {
        "alphabet": codes.ALPHABET,
        "model": [stamp.model_sum(plexus), stamp.MODEL_SIZE],
        "label": list(REGISTRY).index(Spec().kind),
        "level": Spec().level,
        "kindsSize": stamp.KINDS_SIZE,
        "mostKinds": stamp.MOST_KINDS,
        "askSize": stamp.ASK_SIZE,
        "wordSize": stamp.WORD_SIZE,
        "mostSites": stamp.MOST_SITES,
        "choosing": list(stamp.CHOOSING),
        "writing": len(stamp.WRITING),
        "prompts": len(stamp.PROMPTS),
        "papers": len(stamp.PAPERS),
        "turns": len(stamp.TURNS),
        "details": list(DETAILS),
        "styles": list(stamp.STYLES),
        "sides": list(stamp.SIDES),
        "ask": [[places.index(word), word, list(_kinds(plexus, word))] for word in words],
        "usual": [words.index(word) for word in askable.asked(plexus, ())],
        "nerves": words.index(askable.NERVES),
        "muscles": words.index(askable.MUSCLES),
        "links": Labelling(plexus.drawn, Spec(detail="nerves")).plan.links(),
        "unasked": _unasked(plexus.drawn, pictures),
    } | _rows(plexus.drawn, tables)


def _kinds(plexus: Plexus, word: str) -> Iterable[str]:
    """Kinds of the page's blanks that a word after --ask means."""
    return ("muscle",) if word == askable.MUSCLES else askable.singulars(plexus, (word,))


def _unasked(plexus: Plexus, pictures: Mapping[tuple[Detail, Style], Scene]) -> dict[str, list[str]]:
    found = {}
    for (detail, style), scene in pictures.items():
        seen = links.named(plexus, detail, [scene])
        silent = seen - links.on_sheet(plexus, detail, style, ON_LINES) if seen else seen
        if silent:
            found[f"{detail} {style}"] = sorted(silent)
    return found


def _rows(plexus: Plexus, tables: Mapping[Style, Scene]) -> Json:
    places = {id: i for i, id in enumerate(plexus.muscles)}
    rows: dict[Style, list[int]] = {}
    listed: list[Style] = []
    for style, scene in tables.items():
        shown = dict.fromkeys(p.entity for p in scene.read() if isinstance(p, Row) and p.entity in places)
        sheet = Labelling(plexus, Spec(ask=(askable.MUSCLES,), detail="muscles", wording=Wording(style)))
        try:
            order = [id for id, _ in sheet.keys if id in places]  # a stage may be called "muscles"
        except (FitError, SheetError):  # no such form is made
            continue
        if order != [*shown]:
            rows[style] = [places[id] for id in order]
        if sheet.listed:
            listed.append(style)
    return {"rows": rows, "listed": listed}
