from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from randoms import brachial, small

from plexusdraw import names
from plexusdraw.errors import UnknownNameError
from plexusdraw.names import spelling


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("c5", "C5"),
        ("root C5", "C5"),
        ("Upper Trunk", "upper-trunk"),
        ("SUPERIOR-TRUNK", "upper-trunk"),
        ("truncus superior", "upper-trunk"),
        ("n. radialis", "radial-nerve"),
        ("ulnar n.", "ulnar-nerve"),
        ("radial", "radial-nerve"),
        ("Médian", "median-nerve"),
        ("subclavius", "subclavius"),
        ("subclavius nerve", "nerve-to-subclavius"),
        ("m. deltoideus", "deltoid"),
        ("deltoid muscle", "deltoid"),
        ("ECRL", "extensor-carpi-radialis-longus"),
        ("PIN", "posterior-interosseous-nerve"),
        ("rhomboid", "rhomboids"),
        ("triceps", "triceps-brachii"),
        ("long head of triceps", "triceps-brachii-long-head"),
        ("deep ulnar branch", "deep-branch-of-ulnar-nerve"),
        ("ulnar nerve, deep br.", "deep-branch-of-ulnar-nerve"),
        ("first dorsal interosseus", "first-dorsal-interosseous"),
        ("lumbricals 1–2", "lumbricals-1-2"),
        ("carpal tunnel", "median-nerve-at-carpal-tunnel"),
        ("radial nerve in the spiral groove", "radial-nerve-at-spiral-groove"),
        ("biceps jerk", "biceps-reflex"),
        ("Horner's syndrome", "horner-syndrome"),
        ("trapezius", "trapezius"),
    ],
)
def test_spellings_of_the_trade(text, id):
    assert names.find(brachial(), text).id == id


def test_every_name_finds_its_own_entity():
    for plexus in (brachial(), small("caudal"), small("two-stages")):
        for entity in plexus.entities():
            everything = (*names.EVERYTHING, "scenario")
            assert names.find(plexus, entity.id, everything) is entity
            assert (
                names.find(plexus, names.display(entity).upper(), (names.lookup._index(plexus).table[entity.id],))
                is entity
            )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("upper trunck", "Did you mean upper trunk"),
        ("elbow", "may mean musculocutaneous nerve at elbow, radial nerve at elbow, ulnar nerve at elbow. Say which."),
        ("division", "and"),
        ("supraspinatus nerve", 'nothing in the brachial plexus is called "supraspinatus nerve"'),
        ("xyzzy", '"list" shows what there is'),
        ("", "nothing in the brachial plexus"),
        ("nerve", "nothing in the brachial plexus"),
    ],
)
def test_what_is_unknown_or_unclear(text, words):
    with pytest.raises(UnknownNameError) as caught:
        names.find(brachial(), text)
    assert words in str(caught.value)


def test_a_name_of_another_kind_is_told_so():
    with pytest.raises(UnknownNameError, match="deltoid is a muscle; here a nerve or place is wanted"):
        names.find(brachial(), "deltoid", ("segment", "place"))


def test_suggestions_can_be_read_by_a_program():
    with pytest.raises(UnknownNameError) as caught:
        names.find(brachial(), "uper trunk")
    assert caught.value.suggestions[0] == "upper trunk"


@given(st.text(max_size=30))
def test_any_text_is_found_or_unknown(text):
    try:
        found = names.find(brachial(), text).id
    except UnknownNameError as error:
        found = str(error)
    assert found


def test_display():
    radial = brachial().segments["radial-nerve"]
    assert names.display(radial) == "radial nerve"
    assert names.display(radial, "latin") == "nervus radialis"
    assert names.display(radial, "short") == "radial n."
    assert names.display(brachial().entity("ulnar-nerve-at-wrist")) == "ulnar nerve at wrist"
    assert names.display(small("caudal").muscles["hip-muscle"], "latin") == "hip muscle"


def test_words_that_carry_no_distinction_are_dropped():
    assert spelling.canonical(spelling.tokens("the Deep Branches of the ulnar nerve")) == ("deep", "branch", "ulnar")
    assert spelling.canonical(("nerve",)) == ("nerve",)
    assert spelling.initials("flexor digitorum profundus, radial half") == "fdp"
    assert spelling.wanted(spelling.tokens("muscles of ulnar nerve")) == "muscle"
