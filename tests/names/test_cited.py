"""Notes as a reader sees them."""

from __future__ import annotations

import re

from randoms import brachial

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
