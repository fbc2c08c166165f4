"""Notes as a reader sees them."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw.model.entities import Source
from plexusdraw.names.cited import Cited, plain


def test_ids_in_brackets_become_numbers_and_ids_in_a_sentence_too():
    cited = Cited(brachial(), ["ucsf-roots"])
    note = "C7 [ucsf-roots], C6 [wheeless, memory]; gray-1918 differs, fin-1 does not [12 of 40]"
    assert cited.text(note) == "C7 [1], C6 [2, memory]; source 3 differs, fin-1 does not [12 of 40]"
    assert cited.titles[1].startswith("Wheeless")
    assert "Gray H" in cited.titles[2]


def test_a_plain_note_has_no_citations():
    note = "C7 [ucsf-roots], C6 [cunningham-textbook; gray-1918, from memory]; [memory] gray-1918 differs [12 of 40]"
    title = brachial().sources["gray-1918"].title
    assert plain(brachial(), note) == f"C7, C6 [from memory]; {title} differs [12 of 40]"


def test_no_note_of_the_model_shows_an_id():
    plexus = brachial()
    ids = "|".join(re.escape(id) for id in plexus.sources if "-" in id)
    known = re.compile(rf"(?<![\w-])(?:{ids})(?![\w-])|\[(?:{'|'.join(map(re.escape, plexus.sources))})[,\]]")
    for entity in plexus.entities():
        cited = Cited(plexus, entity.sources)
        for note in (entity.note, *getattr(entity, "variable", {}).values()):
            assert not re.search(rf"(?<![\w-])(?:{ids})(?![\w-])", cited.text(note)), entity.id
            assert not known.search(plain(plexus, note).replace("[memory]", "")), entity.id


@pytest.fixture
def plexus():
    """The caudal plexus with sources of our own."""
    titles = {"memory": "from memory", "common practice": "common", "a-1": "Book A", "b": "Book B", "a-1-x": "Book AX"}
    return replace(small("caudal"), sources={id: Source(id, title) for id, title in titles.items()})


@pytest.mark.parametrize(
    ("note", "numbered", "bare"),
    [
        ("plain", "plain", "plain"),
        ("x [b]", "x [1]", "x"),
        ("x [b, a-1]", "x [1, 2]", "x"),
        ("x [b; a-1]", "x [1; 2]", "x"),
        ("x [b], y [b]", "x [1], y [1]", "x, y"),
        ("x [memory]", "x [memory]", "x"),
        ("x [memory, b]", "x [memory, 1]", "x"),
        ("x [b, p. 4]", "x [1, p. 4]", "x [p. 4]"),
        ("x [a-1 p. 4]", "x [1 p. 4]", "x [p. 4]"),
        ("x [b: 3 of 7]", "x [b: 3 of 7]", "x [b: 3 of 7]"),
        ("x [12 of 40]", "x [12 of 40]", "x [12 of 40]"),
        ("a-1 differs", "source 1 differs", "Book A differs"),
        ("a-1-x differs", "source 1 differs", "Book AX differs"),
        ("a-10 and xa-1 do not", "a-10 and xa-1 do not", "a-10 and xa-1 do not"),
        ("b is a letter", "b is a letter", "b is a letter"),
        ("x[b]y", "x[1]y", "xy"),
        ("[b] x", "[1] x", " x"),
        ("", "", ""),
    ],
)
def test_notes_with_numbers_and_without_citations(plexus, note, numbered, bare):
    assert Cited(plexus).text(note) == numbered
    assert plain(plexus, note) == bare


def test_numbers_begin_with_the_sources_of_the_entry_and_go_on_through_its_notes(plexus):
    cited = Cited(plexus, ["b", "b", "a-1"])
    assert cited.text("x [a-1]") == "x [2]"
    assert cited.text("y [a-1-x], z [b]") == "y [3], z [1]"
    assert cited.titles == ("Book B", "Book A", "Book AX")


def test_a_model_without_sources_of_its_own_has_notes_as_they_are(plexus):
    bare = replace(plexus, sources={"memory": Source("memory", "from memory")})
    assert Cited(bare).text("a-1 [x]") == "a-1 [x]"
    assert plain(bare, "a-1 [x]") == "a-1 [x]"
    assert Cited(bare).text("x [memory, p. 4]") == "x [memory, p. 4]"
