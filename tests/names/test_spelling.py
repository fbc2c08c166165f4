"""Spellings brought to one form: what the trade calls the same falls together, what it tells apart does not."""

from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plexusdraw.names.spelling import (
    MAPPED,
    SILENT,
    canonical,
    capital,
    exact,
    indirect,
    initials,
    tokens,
    wanted,
)

few = settings(max_examples=40)
WORD = st.text(string.ascii_lowercase, min_size=1, max_size=8)
LATINATE = st.text(string.ascii_letters + "äöüéèßñÅ '’-.,;:()/_–", max_size=25)


def core(text):
    return canonical(tokens(text))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Erb's point", ["erbs", "point"]),
        ("Erb’s point", ["erbs", "point"]),
        ("lumbricals 1–2", ["lumbricals", "1", "2"]),
        ("deep_branch", ["deep", "branch"]),
        ("N. medianus (Ast)", ["n", "medianus", "ast"]),
        ("Médian", ["median"]),
        ("Straße", ["strasse"]),
        ("ﬁbular", ["fibular"]),
        (" , - ", []),
    ],
)
def test_words_of_a_text(text, words):
    assert list(tokens(text)) == words
    assert exact(text) == " ".join(words)


@few
@given(LATINATE)
def test_evening_out_twice_changes_nothing_more(text):
    assert exact(exact(text)) == exact(text)
    assert exact(text.upper()) == exact(text.lower()) == exact(f"  {text}. ")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("superior trunk", "upper trunk"),
        ("inferior trunk", "lower tr."),
        ("ramus profundus", "branch profundus"),
        ("lat. cord", "lateral cord"),
        ("med. cut. nerve of the arm", "medial cutaneous arm"),
        ("flex. dig. prof.", "flexor digitorum profundus"),
        ("ext. poll. brevis", "extensor pollicis brevis"),
        ("abd. dig.", "abductor digitorum"),
        ("add. pollicis", "adductor pollicis"),
        ("post. div.", "posterior division"),
        ("ant. br.", "anterior branch"),
        ("supf. r.", "superficial branch"),
        ("volar interosseus", "palmar interossei"),
        ("n. ulnaris", "ulnar nerve"),
        ("nervus radialis", "radial"),
        ("common peroneal nerve", "common fibular nerve"),
        ("peroneus longus", "fibularis longus"),
        ("peronei", "fibulares"),
        ("branches", "branch"),
        ("arches of the foot", "arch foot"),
        ("rhomboids", "rhomboid"),
        ("muscles of the hand", "hand"),
        ("nerve to the subclavius", "subclavius"),
        ("nn. digitales", "digitales"),
    ],
)
def test_what_the_trade_calls_the_same(one, other):
    assert core(one) == core(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("upper trunk", "lower trunk"),
        ("abductor pollicis", "adductor pollicis"),
        ("flexor", "extensor"),
        ("lateral cord", "medial cord"),
        ("biceps", "bicep"),
        ("plexus", "plexu"),
        ("pollicis", "pollici"),
        ("gracilis", "gracil"),
        ("toes", "to es"),
        ("as", "a"),
    ],
)
def test_what_it_tells_apart(one, other):
    assert core(one) != core(other)


def test_a_name_of_silent_words_alone_keeps_them():
    assert core("the nerve of the") == ("the", "nerve", "of", "the")
    assert core("") == ()


@few
@given(st.lists(WORD, min_size=1, max_size=5))
def test_silent_words_between_others_change_nothing(words):
    loud = [word for word in words if word not in SILENT]
    if loud:
        assert canonical(tuple(w for word in loud for w in ("the", word, "of"))) == canonical(tuple(loud))


@few
@given(st.lists(WORD, max_size=4))
def test_a_form_is_as_long_as_the_words_that_distinguish(words):
    loud = [word for word in words if word not in SILENT]
    assert len(canonical(tuple(words))) == len(loud or words)


@pytest.mark.parametrize("short", sorted(MAPPED))
def test_an_abbreviation_stands_for_its_word_wherever_it_stands(short):
    assert canonical(("deep", short, "x")) == canonical(("deep", MAPPED[short], "x"))


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("extensor carpi radialis longus", "ecrl"),
        ("flexor digitorum profundus, radial half", "fdp"),
        ("posterior interosseous nerve", "pin"),
        ("nerve to subclavius", "ns"),
        ("muscles of the thenar", "t"),
        ("long head of triceps", "lht"),
    ],
)
def test_initials(name, letters):
    assert initials(name) == letters


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("ulnar nerve", "nerve"),
        ("n. ulnaris", "nerve"),
        ("m. deltoideus", "muscle"),
        ("muscles of ulnar nerve", "muscle"),
        ("nerve to muscle", "nerve"),
        ("deltoid", ""),
        ("nervous", ""),
    ],
)
def test_whether_a_nerve_or_a_muscle_is_wanted(text, kind):
    assert wanted(tokens(text)) == kind


@pytest.mark.parametrize(
    ("name", "by_way"),
    [
        ("nerve to subclavius", True),
        ("thenar muscles", True),
        ("ulnar nerve", False),
        ("branch to pectoralis", False),
        ("subclavius", False),
    ],
)
def test_what_is_named_by_way_of_another(name, by_way):
    assert indirect(tokens(name)) is by_way


def test_a_capital_at_the_start_alone():
    assert [capital(text) for text in ("upper trunk of C5", "C5", "", "éa")] == ["Upper trunk of C5", "C5", "", "Éa"]
