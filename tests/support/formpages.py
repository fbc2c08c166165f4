"""What the worksheet tests share: forms made once, and all that can be read out of their files."""

from __future__ import annotations

import io
import re
from functools import cache

import pypdf
from click.testing import CliRunner, Result

from plexusdraw import paint
from plexusdraw.cli.worksheet import command
from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import load
from plexusdraw.names.spelling import exact
from plexusdraw.scene import Label, Pill, Row
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Spec

PRINT = load_theme("print")
SETS = {
    "label": Spec(forms=2, choosing="all"),
    "anew": Spec(forms=2),
    "boxes": Spec(writing="boxes"),
    "numbers": Spec(forms=2, writing="lines", level=4),
    "sections": Spec(more=("table", "choice"), forms=2),
    "roots": Spec(ask=("roots", "trunks", "divisions", "cords", "branches"), detail="framework"),
    "some": Spec(count=5),
    "muscles": Spec(ask=("muscles",)),
    "supply": Spec(ask=("supply", "cords")),
    "draw": Spec(kind="draw", level=3),
    "table": Spec(kind="table", forms=3, level=3),
    "injury": Spec(kind="injury", forms=4),
    "told": Spec(kind="injury", forms=2, level=3),
    "site": Spec(kind="site", forms=4),
    "shade": Spec(kind="shade", forms=2),
    "limb": Spec(kind="limb", forms=2),
    "limb muscles": Spec(kind="limb", ask=("muscles",), forms=2, level=4),
    "limb dermatomes": Spec(kind="limb", ask=("dermatomes",), page=paper("letter portrait")),
    "recall": Spec(kind="recall"),
    "choice": Spec(kind="choice", forms=2),
    "match": Spec(kind="match", forms=2, level=3),
    "cards": Spec(kind="cards"),
}
"""A set of each sort, none with a word bank."""


def call(*words: str) -> Result:
    """What ``plexusdraw worksheet`` does with these words."""
    return CliRunner().invoke(command, words, catch_exceptions=False)


def model():
    return load("brachial")


@cache
def brachial():
    """The model, loaded once: layouts are kept by identity."""
    return model()


@cache
def forms(name):
    """The forms of one of the sets."""
    return tuple(class_set.forms(brachial(), SETS[name]))


def save(made, path, key="none", duplex=False):
    """The files of a set."""
    return class_set.save(made, path, class_set.Plan(PRINT, key, duplex))[0]


def pdf(pages):
    return paint.paint("pdf", list(pages), PRINT)


def svg(page):
    return paint.paint("svg", [page], PRINT).decode()


def everything(data):
    """All strings of a PDF: text of its pages, metadata, and every string and name in its objects (tags, alt texts)."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    found = [line for page in reader.pages for line in page.extract_text().splitlines()]
    for number in range(1, len(reader.xref_objStm) + max(reader.xref.get(0, {0: 0})) + 2):
        try:
            held = reader.get_object(number)
        except (pypdf.errors.PdfReadError, KeyError, AttributeError):
            continue
        if held is not None and not isinstance(held, pypdf.generic.StreamObject):
            found.append(str(held))
    return found + [str(value) for value in (reader.metadata or {}).values()]


def shown(scene, view):
    """What the labels that are not asked say: words that may stand on the form."""
    texts = []
    for part in scene.parts:
        if isinstance(part, Label) and (part.entity, part.role) not in view.blanks:
            texts.append(" ".join(line.string for line in part.lines))
        elif isinstance(part, Pill) and (part.entity, "name") not in view.blanks:
            texts.append(part.text.string)
        elif isinstance(part, Row) and (part.entity, "name") not in view.blanks:
            texts.append(part.name.string)
    return texts


def says(line, spelling):
    """Whether a line holds a spelling as words of their own."""
    said, word = _exact(line), _exact(spelling)
    return word in said and re.search(rf"(?<!\w){re.escape(word)}(?!\w)", said) is not None


_exact = cache(exact)
