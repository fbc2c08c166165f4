"""From what is typed to what is meant: the ways of matching in their order, and what is said where none fits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load
from plexusdraw.model.entities import Variant
from plexusdraw.model.plexus import Taught
from plexusdraw.names import lookup

CAUDAL = small("caudal")


def said(call, *given):
    with pytest.raises(UnknownNameError) as told:
        call(*given)
    return told.value


@pytest.mark.parametrize(
    ("text", "way"),
    [
        ("Hip-Nerve", 0),
        ("nervus femoris fictus", 0),
        ("drop foot", 0),
        ("the hip", 1),
        ("n. hip", 1),
        ("superior bands", 1),
        ("nerve of the thigh", 1),
        ("extensor of knee", 2),
        ("half front", 2),
        ("shin deep branch", 2),
        ("kf", 3),
        ("knee", 3),
        ("inner leg", 4),
        ("fibula", 4),
    ],
)
def test_each_way_of_matching_is_needed_by_some_text(text, way):
    """Nothing stricter finds it, and nothing looser is asked once it is found."""
    tables = (*names.EVERYTHING,)
    assert lookup.matches(CAUDAL, text, tables, way), text
    if way:
        assert not lookup.matches(CAUDAL, text, tables, way - 1)
    assert lookup.matches(CAUDAL, text, tables, way) == lookup.matches(CAUDAL, text, tables)


@pytest.mark.parametrize(
    ("text", "among", "ids"),
    [
        ("knee", ("place",), ("thigh-nerve-at-knee",)),
        ("knee extensor", ("segment",), ()),
        ("knee extensor", ("muscle",), ("knee-extensor",)),
        ("front", ("segment",), ("front-band",)),
        ("half", ("segment",), ("front-half", "rear-half")),
        ("", names.EVERYTHING, ()),
        ("the", names.EVERYTHING, ()),
    ],
)
def test_tables_limit_what_is_meant(text, among, ids):
    assert lookup.matches(CAUDAL, text, among) == ids


def test_ids_limit_what_is_meant():
    assert lookup.matches(CAUDAL, "half", ("segment",), only={"rear-half"}) == ("rear-half",)
    assert lookup.matches(CAUDAL, "hip nerve", ("segment",), only=()) == ()


@pytest.mark.parametrize(
    ("text", "id"),
    [("hip nerve", "hip-nerve"), ("hip muscle", "hip-muscle"), ("m. hip", "hip-muscle"), ("n. hip", "hip-nerve")],
)
def test_a_word_for_its_kind_decides(text, id):
    assert names.find(CAUDAL, text).id == id


def test_what_is_named_directly_goes_before_what_is_named_by_way_of_it():
    assert names.find(brachial(), "subclavius").id == "subclavius"
    assert names.find(brachial(), "nerve to subclavius").id == "nerve-to-subclavius"


def test_an_id_means_what_has_it_whatever_else_is_called_so():
    hip, shin = (replace(CAUDAL.segments[id], name="thigh-nerve") for id in ("hip-nerve", "shin-nerve"))
    plexus = replace(CAUDAL, segments={**CAUDAL.segments, "hip-nerve": hip, "shin-nerve": shin})
    assert lookup.matches(plexus, "thigh-nerve") == ("thigh-nerve",)
    assert len(lookup.matches(plexus, "thigh nerve")) == 3


def test_a_group_stands_for_its_members():
    found = lookup.matches(brachial(), "triceps", ("muscle", "group"))
    assert found == ("triceps-brachii",)


@pytest.mark.parametrize(
    ("text", "among", "ids"),
    [
        ("knee", ("muscle", "group"), ("knee-movers",)),
        ("knee", ("muscle",), ("knee-extensor", "knee-flexor")),
        ("knee muscles", ("muscle", "group"), ("knee-movers",)),
        ("muscles: knee movers", names.EVERYTHING, ("knee-movers",)),
        ("m. back", names.EVERYTHING, ("back-muscle",)),
        ("nerve back", names.EVERYTHING, ("back-band",)),
    ],
)
def test_a_group_stands_for_all_that_fit_where_they_are_its_members(text, among, ids):
    assert lookup.matches(CAUDAL, text, among) == ids


def test_of_two_groups_the_larger_stands_for_the_smaller():
    inner = replace(CAUDAL.groups["knee-movers"], id="knee-pair", name="knee pair")
    members = (*inner.members, "toe-lifter")
    outer = replace(inner, id="knee-three", name="knee three", members=members)
    plexus = replace(CAUDAL, groups={"knee-pair": inner, "knee-three": outer})
    assert lookup.matches(plexus, "knee", ("muscle", "group")) == ("knee-three",)
    assert lookup.matches(plexus, "knee", ("group",)) == ("knee-three",)


def test_structures_go_before_reflexes_and_signs():
    assert names.find(brachial(), "biceps").kind in ("muscle", "group")
    assert names.find(brachial(), "biceps", ("reflex",)).kind == "reflex"


def test_what_is_called_by_signs_alone_is_found_by_them():
    starred = dict(CAUDAL.muscles) | {"star": replace(CAUDAL.muscles["hip-muscle"], id="star", name="***")}
    plexus = replace(CAUDAL, muscles=starred)
    assert names.find(plexus, "***").id == "star"
    assert names.find(plexus, " *** ").id == "star"
    with pytest.raises(UnknownNameError):
        names.find(plexus, "**")


class TestErrors:
    """What is said of a text that means nothing, or several things."""

    def test_near_spellings(self):
        error = said(names.find, CAUDAL, "groin nerv")
        wanted = 'nothing in the caudal plexus is called "groin nerv". Did you mean '
        assert str(error) == f"{wanted}{', '.join(error.suggestions)}?"
        assert error.suggestions[0] == "groin nerve"

    def test_nothing_near(self):
        error = said(names.find, CAUDAL, "xyzzy")
        assert str(error) == 'nothing in the caudal plexus is called "xyzzy". "list" shows what there is.'

    def test_near_spellings_are_of_the_kind_that_is_wanted(self):
        assert lookup.suggestions(CAUDAL, "hip muscl", ("muscle",)) == ("hip muscle",)
        assert lookup.suggestions(CAUDAL, "hip muscl", ("segment",)) == ()

    def test_three_at_most(self):
        assert len(lookup.suggestions(brachial(), "dorsal interosseous")) <= 3

    @pytest.mark.parametrize(
        ("text", "among", "words"),
        [
            ("hip muscle", ("segment",), '"hip muscle": hip muscle is a muscle; here a nerve is wanted.'),
            ("hip nerve", ("muscle",), '"hip nerve": hip nerve is a nerve; here a muscle is wanted.'),
            ("sole skin", ("muscle", "group"), "sole skin is a skin area; here a muscle or group is wanted."),
            ("limp", ("reflex", "outside"), "here a reflex or muscle of another nerve is wanted."),
        ],
    )
    def test_something_of_another_kind(self, text, among, words):
        assert words in str(said(names.find, CAUDAL, text, among))

    def test_several_things(self):
        error = said(names.find, CAUDAL, "half")
        assert str(error) == '"half" may mean front half, rear half. Say which.'

    def test_of_many_the_first_eight_are_named_and_the_rest_counted(self):
        ids = list(CAUDAL.segments)[:11]
        error = lookup.ambiguous(CAUDAL, "x", ids)
        listed = ", ".join(CAUDAL.segments[id].name for id in ids[:8])
        assert str(error) == f'"x" may mean {listed} and 3 more. Say which.'
        assert "more" not in str(lookup.ambiguous(CAUDAL, "x", ids[:8]))

    def test_what_is_there_with_a_variant_alone(self):
        variant = Variant(id="odd-one", name="odd one", kind="variant", adds=("spare nerve", "extra nerve"))
        plexus = replace(CAUDAL, variants={"odd-one": variant})
        wanted = '"Extra Nerve" is in the caudal plexus only with the variant "odd one". Add --variant odd-one.'
        assert str(said(names.find, plexus, "Extra Nerve")) == wanted


class TestVariants:
    """Names of variants."""

    plexus = staticmethod(lambda: load("brachial"))

    @pytest.mark.parametrize("text", ["martin-gruber", "Martin Gruber", "MARTIN-GRUBER"])
    def test_a_variant_is_known_by_id_and_name(self, text):
        assert lookup.variant(self.plexus(), text).id == "martin-gruber"

    def test_every_synonym_is_known(self):
        for one in self.plexus().variants.values():
            assert all(lookup.variant(self.plexus(), text) is one for text in (one.id, one.name, *one.synonyms))

    def test_an_unknown_one_is_told_with_the_near_ones_or_all(self):
        error = said(lookup.variant, self.plexus(), "martin-grubber")
        assert str(error) == 'the brachial plexus has no variant "martin-grubber". Did you mean martin-gruber?'
        assert str(said(lookup.variant, CAUDAL, "x")) == 'the caudal plexus has no variant "x". Known: none.'
        everything = ", ".join(self.plexus().variants)
        assert str(said(lookup.variant, self.plexus(), "zzzz")).endswith(f"Known: {everything}.")

    def test_what_stands_under_a_title(self):
        plain, varied = self.plexus(), load("brachial", ["prefixed"])
        both = load("brachial", ["prefixed", "axillary-from-radial"])
        assert (lookup.of_variants(plain), lookup.beneath(plain)) == ("", "")
        assert lookup.of_variants(varied) == f"Variant: {plain.variants['prefixed'].name}"
        convention = plain.variants["axillary-from-radial"].name
        assert lookup.of_variants(both) == f"Variant: {plain.variants['prefixed'].name}; convention: {convention}"
        assert lookup.beneath(both) == lookup.of_variants(both)

    def test_a_sheet_that_asks_does_not_name_them(self):
        assert lookup.beneath(load("brachial", ["prefixed"]), asks=True) == ""

    def test_a_selection_is_told_in_any_case(self):
        plexus = replace(load("brachial", ["prefixed"]), taught=Taught("mine", left_out=frozenset({"x"})))
        assert lookup.beneath(plexus, asks=True) == "A selection"
        assert lookup.beneath(plexus) == f"A selection. {lookup.of_variants(plexus)}"


class TestShown:
    """Names that are shown."""

    @pytest.mark.parametrize(
        ("id", "style", "name"),
        [
            ("thigh-nerve", "english", "thigh nerve"),
            ("thigh-nerve", "short", "thigh n."),
            ("thigh-nerve", "latin", "nervus femoris fictus"),
            ("hip-nerve", "latin", "hip nerve"),
            ("hip-muscle", "short", "hip m."),
            ("thigh-nerve-at-knee", "english", "thigh nerve at knee"),
            ("thigh-nerve-at-knee", "short", "thigh n. at knee"),
            ("thigh-nerve-at-knee", "latin", "thigh nerve at knee"),
        ],
    )
    def test_in_each_style(self, id, style, name):
        assert names.display(CAUDAL.entity(id), style) == name

    def test_several_nerves_and_muscles_are_abbreviated_as_several(self):
        entity = replace(CAUDAL.segments["hip-nerve"], name="nerves to muscles")
        assert names.display(entity, "short") == "nn. to mm."

    def test_the_plexus_itself(self):
        assert [names.of_plexus(CAUDAL, style) for style in ("english", "short", "latin")] == [
            "caudal plexus",
            "caudal plexus",
            "plexus caudalis",
        ]
        assert names.of_plexus(small("two-stages"), "latin") == "two-stage plexus"

    def test_names_that_an_id_does_not_say(self):
        found = names.called(CAUDAL)
        assert found["s1-dermatome"] == "S1 dermatome"
        assert "hip-nerve" not in found
        assert "L3" not in found
        assert all(name == names.display(CAUDAL.entity(id)) for id, name in found.items())


@pytest.mark.parametrize("word", ["root", "spinal nerve", "ramus", "anterior ramus", "ventral ramus"])
def test_roots_have_the_trades_other_names(word):
    assert names.find(CAUDAL, f"L3 {word}").id == "L3"
