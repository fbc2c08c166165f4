"""Which names are blank, and how they are numbered."""

from __future__ import annotations

import pytest
from randoms import brachial, small

import plexusdraw
from plexusdraw.errors import UnknownNameError
from plexusdraw.scene import Label, Pill, Row
from plexusdraw.views.blanks import kinds, numbered

ALL = {"root", "band", "half", "branch", "nerve", "muscle", "place"}


@pytest.fixture(scope="module")
def scenes():
    """The caudal plexus with its table."""
    return [page.scene for page in plexusdraw.figure(small("caudal"), detail="muscles", paper="fit").pages()]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["labels"], ALL),
        (["all"], ALL),
        (["ALL "], ALL),
        (["roots"], {"root"}),
        (["root"], {"root"}),
        (["Bands"], {"band"}),
        (["halves"], {"half"}),
        (["halfs"], {"half"}),
        (["terminal branches"], {"branch"}),
        (["ends"], {"branch"}),
        (["nerves"], {"nerve", "branch"}),
        (["nerve"], {"nerve", "branch"}),
        (["side branches"], {"nerve"}),
        (["side branch"], {"nerve"}),
        (["muscles"], {"muscle"}),
        (["muscle", "place"], {"muscle", "place"}),
        (["places", "roots"], {"root", "place"}),
        ([], set()),
    ],
)
def test_words_for_what_is_hidden(words, wanted):
    assert kinds(small("caudal"), words) == wanted


def test_words_are_those_of_the_model():
    assert kinds(brachial(), ["cords", "trunk"]) == {"cord", "trunk"}
    with pytest.raises(UnknownNameError):
        kinds(small("caudal"), ["cords"])


def test_a_word_that_means_nothing_is_told_with_all_that_would():
    with pytest.raises(UnknownNameError) as told:
        kinds(small("caudal"), ["roots", "names"])
    assert str(told.value) == (
        'cannot hide "names"; choose from labels, roots, bands, halves, ends, nerves, side branches, muscles, places'
    )


def test_numbers_run_from_one_in_reading_order_without_a_gap(scenes):
    found = numbered(small("caudal"), scenes, ["labels"])
    assert list(found.values()) == list(range(1, len(found) + 1))
    read = [p.entity for scene in scenes for p in scene.read() if isinstance(p, Pill | Label | Row)]
    places = [read.index(entity) for entity, role in found if role == "name"]
    assert places == sorted(places)


def test_what_has_one_name_in_two_places_has_one_number(scenes):
    twice = [*scenes, *scenes]
    assert numbered(small("caudal"), twice, ["labels"]) == numbered(small("caudal"), scenes, ["labels"])


@pytest.mark.parametrize("kind", ["root", "band", "half", "branch", "nerve"])
def test_of_a_kind_every_name_is_blank_and_no_other(scenes, kind):
    plexus = small("caudal")
    word = "side branches" if kind == "nerve" else f"{kind}s"
    named = {
        p.entity
        for scene in scenes
        for p in scene.parts
        if (isinstance(p, Pill) or (isinstance(p, Label) and p.role == "name")) and p.kind == kind
    }
    assert named
    assert set(numbered(plexus, scenes, [word])) == {(id, "name") for id in named}


def test_muscles_hidden_hides_their_rows_and_what_stands_under_a_nerve(scenes):
    found = numbered(small("caudal"), scenes, ["muscles"])
    rows = {p.entity for scene in scenes for p in scene.parts if isinstance(p, Row)}
    supply = {p.entity for scene in scenes for p in scene.parts if isinstance(p, Label) and p.role == "supply"}
    assert set(found) == {(id, "name") for id in rows} | {(id, "supply") for id in supply}


def test_what_stands_under_a_nerve_is_no_name_of_the_nerve():
    pages = plexusdraw.figure(small("caudal"), detail="nerves", paper="fit").pages()
    scenes = [page.scene for page in pages]
    nerves, muscles = (numbered(small("caudal"), scenes, [word]) for word in ("nerves", "muscles"))
    assert {role for _, role in nerves} == {"name"}
    assert {role for _, role in muscles} == {"supply"}


def test_where_nothing_is_hidden_nothing_is_numbered(scenes):
    assert numbered(small("caudal"), scenes, []) == {}
