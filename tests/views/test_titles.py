"""Titles say what is asked for, and give nothing away on a page that asks."""

from __future__ import annotations

import pytest
from randoms import brachial, small

import plexusdraw
from plexusdraw import names
from plexusdraw.clinic.injury import injure
from plexusdraw.views.titles import limb, plain, title

GROOVE = "radial nerve at spiral groove"


def cut(*places, partial=False, of=brachial):
    return injure(of(), places, partial)


def entities(*words):
    return tuple(names.find(brachial(), word) for word in words)


def told(value):
    """The name of a case: the title that is wanted; the choices have none."""
    return value if isinstance(value, str) else ""


@pytest.mark.parametrize(
    ("choice", "wanted"),
    [
        ({}, "Brachial plexus"),
        ({"asks": True}, "Brachial plexus: fill in the names"),
        ({"highlight": entities("C7")}, "Brachial plexus: C7"),
        ({"highlight": entities("C7", "radial nerve")}, "Brachial plexus: C7, radial nerve"),
        ({"highlight": entities("C7"), "asks": True}, "Brachial plexus: C7"),
        ({"injury": cut("upper trunk")}, "Brachial plexus: injury of upper trunk"),
        ({"injury": cut("upper trunk", partial=True)}, "Brachial plexus: partial injury of upper trunk"),
        ({"injury": cut("C8", "T1")}, "Brachial plexus: injury of C8, T1"),
        ({"injury": cut("C8:partial", "T1")}, "Brachial plexus: injury of C8 (partial), T1"),
        ({"injury": cut("C8:partial", "T1:partial")}, "Brachial plexus: partial injury of C8, T1"),
        ({"injury": cut("C8"), "highlight": entities("C7")}, "Brachial plexus: injury of C8"),
        ({"nerve": "radial-nerve"}, "Radial nerve"),
        ({"nerve": "radial-nerve", "asks": True}, "Course of a nerve: fill in the names"),
        ({"nerve": "radial-nerve", "highlight": entities("C7")}, "Radial nerve: C7"),
        ({"nerve": "radial-nerve", "injury": cut(GROOVE)}, f"Injury of {GROOVE}"),
        ({"nerve": "radial-nerve", "injury": cut(GROOVE, partial=True)}, f"Partial injury of {GROOVE}"),
        ({"nerve": "radial-nerve", "injury": cut(GROOVE, "C5")}, f"Radial nerve: injury of {GROOVE}, C5"),
        ({"nerve": "radial-nerve", "injury": cut("C5")}, "Radial nerve: injury of C5"),
    ],
    ids=told,
)
def test_titles(choice, wanted):
    assert title(brachial(), **choice) == wanted


@pytest.mark.parametrize(
    ("choice", "wanted"),
    [
        ({}, "Plexus brachialis"),
        ({"highlight": entities("radial nerve")}, "Plexus brachialis: nervus radialis"),
        ({"nerve": "radial-nerve"}, "Nervus radialis"),
        ({"injury": cut("upper trunk")}, "Plexus brachialis: injury of truncus superior"),
    ],
    ids=told,
)
def test_titles_in_latin(choice, wanted):
    assert title(brachial(), "latin", **choice) == wanted


def test_a_title_writes_names_out_whatever_the_drawing_abbreviates():
    assert plain(brachial()) == plain(brachial(), "english") == "Brachial plexus"
    assert title(brachial(), "short", highlight=entities("ulnar nerve")) == "Brachial plexus: ulnar nerve"


@pytest.mark.parametrize(
    ("choice", "wanted"),
    [
        ({}, "Upper limb, skin"),
        ({"asks": True}, "Upper limb, skin: fill in the names"),
        ({"highlight": entities("C7", "ulnar nerve")}, "Upper limb, skin: C7, ulnar nerve"),
        ({"injury": cut("C8", "T1", partial=True)}, "Upper limb, skin: partial injury of C8, T1"),
        ({"injury": cut("C8"), "asks": True}, "Upper limb, skin: injury of C8"),
    ],
    ids=told,
)
def test_titles_of_the_limb(choice, wanted):
    assert limb(brachial(), "skin", **choice) == wanted


def test_the_limb_is_that_of_the_model():
    assert limb(small("caudal"), "muscles") == "Lower limb, muscles"


@pytest.mark.parametrize("word", ["ulnar nerve", "C7", "upper trunk"])
def test_a_sheet_that_asks_names_nothing_that_is_hidden(word):
    pages = plexusdraw.figure("brachial", hide="labels").pages()
    assert all(word not in page.view.title for page in pages)
