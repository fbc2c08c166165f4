"""Own words for structures, and texts that would name what is left out."""

from __future__ import annotations

import pytest
from randoms import brachial, small

from plexusdraw.courses.prose import Silent
from plexusdraw.courses.words import changed, renamed
from plexusdraw.model.entities import Place, Segment, Source
from plexusdraw.names import display, find, sites

CAUDAL = small("caudal")


def called(id):
    return CAUDAL.entity(id)


class TestRenamed:
    """A teacher's own words."""

    def test_without_words_it_is_the_same_plexus(self):
        assert renamed(CAUDAL, {}) is CAUDAL

    @pytest.mark.parametrize(
        "id", ["thigh-nerve", "knee-extensor", "sole-skin", "knee-movers", "back-muscle", "knee-reflex", "limp", "L3"]
    )
    def test_the_word_is_shown_and_the_usual_name_is_still_understood(self, id):
        plexus = renamed(CAUDAL, {id: "our own word"})
        entity = plexus.entity(id)
        assert display(entity) == "our own word"
        assert called(id).name in entity.synonyms
        assert set(called(id).synonyms) <= set(entity.synonyms)
        assert find(plexus, "our own word").id == id
        assert find(plexus, called(id).name).id == id

    def test_a_short_label_stands_no_more_on_the_picture_but_is_understood(self):
        entity = renamed(CAUDAL, {"front-band": "top band"}).entity("front-band")
        assert (entity.label, entity.synonyms) == ("", ("front band", "front", "superior band"))

    def test_a_word_that_is_a_synonym_already_is_none_any_more(self):
        entity = renamed(CAUDAL, {"front-band": "superior band"}).entity("front-band")
        assert entity.synonyms == ("front band", "front")

    def test_the_usual_name_as_own_word_changes_nothing(self):
        assert renamed(CAUDAL, {"hip-nerve": "hip nerve"}).entity("hip-nerve") == called("hip-nerve")

    def test_all_else_stays(self):
        plexus = renamed(CAUDAL, {"hip-nerve": "x"})
        assert [e.id for e in plexus.entities()] == [e.id for e in CAUDAL.entities()]
        assert all(plexus.entity(e.id) == e for e in CAUDAL.entities() if e.id != "hip-nerve")

    def test_places_are_called_after_their_nerve(self):
        plexus = renamed(CAUDAL, {"thigh-nerve": "leg nerve"})
        place = plexus.entity("thigh-nerve-at-knee")
        assert isinstance(place, Place)
        assert (place.full_name, place.name) == ("leg nerve at knee", "knee")
        assert sites.parse(plexus, "leg nerve at knee") == sites.parse(plexus, "thigh nerve at knee")

    def test_a_place_may_have_a_word_of_its_own(self):
        plexus = renamed(CAUDAL, {"thigh-nerve-at-knee": "the hinge"})
        place = plexus.entity("thigh-nerve-at-knee")
        assert place.full_name == "the hinge"
        assert place.synonyms == ("thigh nerve at knee", "popliteal line")

    def test_a_nerve_of_parts_is_called_by_its_word(self):
        plexus = renamed(small("two-part"), {"great-nerve": "big nerve"})
        assert plexus.wholes["great-nerve"].name == "big nerve"
        assert plexus.entity("great-nerve-at-notch").full_name == "big nerve at notch"

    def test_what_is_called_otherwise_is_told_places_included(self):
        plexus = renamed(CAUDAL, {"thigh-nerve": "leg nerve", "hip-nerve": "hip nerve"})
        assert dict(changed(CAUDAL, plexus)) == {
            "thigh-nerve": "leg nerve",
            "thigh-nerve-at-groin": "leg nerve at groin",
            "thigh-nerve-at-knee": "leg nerve at knee",
        }

    def test_no_site_moves(self):
        words = {id: f"word {i}" for i, id in enumerate((*CAUDAL.segments, *CAUDAL.muscles)) if id not in CAUDAL.roots}
        after = {s.id: s.cuts for s in sites.all_sites(renamed(CAUDAL, words))}
        assert after == {s.id: s.cuts for s in sites.all_sites(CAUDAL)}


class TestSilent:
    """Texts in which the name of something that is left out stands."""

    @pytest.fixture
    def silent(self):
        gone = [called(id) for id in ("toe-lifter", "shin-nerve", "thigh-nerve-at-knee", "front-band")]
        return Silent(gone, [called(id) for id in ("hip-nerve", "back-band")])

    @pytest.mark.parametrize(
        ("text", "named"),
        [
            ("The toe lifter is weak.", True),
            ("TOE-LIFTER", True),
            ("Toe, lifter", True),
            ("the lifter of the toe", False),
            ("TL", True),
            ("title", False),
            ("shin nerve", True),
            ("the shin is sore", True),
            ("shins", False),
            ("thigh nerve at knee", True),
            ("popliteal line", True),
            ("knee", False),
            ("superior band", True),
            ("hip nerve", False),
            ("", False),
        ],
    )
    def test_a_text_names_it_by_any_of_its_names(self, silent, text, named):
        assert silent.names(text) is named
        assert silent.text(text) == ("" if named else text)

    def test_a_name_that_something_kept_has_too_is_no_secret(self):
        kept = Segment(id="x", name="other", kind="nerve", synonyms=("toe lifter",))
        assert not Silent([called("toe-lifter")], [kept]).names("toe lifter")

    def test_a_note_is_left_out_and_what_it_is_on_stays(self, silent):
        assert dict(silent.texts({"L3": "by shin nerve", "L4": "by some"})) == {"L3": "", "L4": "by some"}

    def test_an_entity_keeps_what_says_nothing(self, silent):
        entity = Segment(
            id="x",
            name="x",
            kind="nerve",
            note="Beside the shin nerve.",
            synonyms=("x nerve", "nerve by the shin nerve"),
            sources=("memory", "toe-lifter-paper"),
        )
        made = silent.entity(entity)
        assert (made.note, made.synonyms, made.sources) == ("", ("x nerve",), ("memory",))

    @pytest.mark.parametrize(
        ("title", "wanted"),
        [
            ("A book (2nd ed.): on the toe lifter", "A book (2nd ed.)"),
            ("A book, of the shin nerve; and more", "A book"),
            ("A book; notes, on toe lifter, and more", "A book; notes"),
            ("The toe lifter", "src"),
            ("A book", "A book"),
        ],
    )
    def test_the_title_of_a_source_ends_before_the_words_that_name_it(self, silent, title, wanted):
        assert silent.source(Source("src", title, "On the shin nerve.")) == Source("src", wanted, "")

    def test_of_the_built_in_model_no_note_survives_that_names_a_nerve_left_out(self):
        plexus = brachial()
        silent = Silent([plexus.segments["radial-nerve"]], [])
        for entity in plexus.entities():
            assert "radial nerve" not in silent.entity(entity).note.lower()
