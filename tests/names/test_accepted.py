"""Right answers: the trade's names, no lesions, no bare sides where several begin alike, groups for their members."""

from __future__ import annotations

from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw import names
from plexusdraw.names import sites
from plexusdraw.names.accepted import accepted, accepted_site, together
from plexusdraw.names.spelling import exact


def right(name, sheet=None, own=""):
    entity = names.find(brachial(), name)
    return {
        exact(t) for t in accepted(brachial(), entity, brachial().segments.values() if sheet is None else sheet, own)
    }


def test_a_side_goes_with_its_kind():
    assert "anterior division" in right("anterior division of upper trunk")
    assert "anterior" not in right("anterior division of upper trunk")


def test_a_bare_side_is_right_where_nothing_else_begins_so():
    cords = [names.find(brachial(), f"{side} cord") for side in ("lateral", "posterior", "medial")]
    assert "lateral" in right("lateral cord", cords)
    assert "lateral" not in right("lateral cord")  # the lateral pectoral nerve is on the sheet as well


def test_a_nerve_without_its_word():
    assert {"axillary", "circumflex nerve"} <= right("axillary nerve")


@pytest.mark.parametrize("word", ["palsy", "paralysis", "syndrome", "palsies", "plexopathy", "radiculopathy"])
def test_no_lesion_is_a_name(word):
    for entity in (*brachial().segments.values(), *brachial().muscles.values()):
        assert not [text for text in right(entity.name) if word in text.split()], entity.name


def test_every_right_answer_means_the_structure():
    """What is accepted is also understood, where it is not the same for several structures."""
    for entity in brachial().segments.values():
        for text in accepted(brachial(), entity, brachial().segments.values()):
            assert entity.id in names.matches(brachial(), text, ("segment",)), (entity.id, text)


def test_groups_stand_for_all_their_members():
    heads = [m.id for m in brachial().muscles.values() if m.name.startswith("triceps")]
    assert any("triceps" in {exact(s) for s in g.spellings} for g in together(brachial(), heads))
    assert together(brachial(), heads[:-1]) == ()


def test_own_words_are_right_beside_the_usual():
    assert "long thoracic nerve" in right("long thoracic nerve", own="nerve of Bell")


def test_a_site_is_named_by_its_place_or_its_segment():
    plexus = brachial()
    groove = sites.parse(plexus, "radial nerve at spiral groove")
    assert groove.name in accepted_site(plexus, groove, ())
    assert "superior trunk" in accepted_site(plexus, sites.parse(plexus, "upper trunk"), ())


CAUDAL = small("caudal")
SHEET = tuple(CAUDAL.segments.values())


@pytest.mark.parametrize(
    ("id", "wanted"),
    [
        ("thigh-nerve", {"thigh n.", "nervus femoris fictus", "thigh"}),
        ("hip-nerve", {"hip n.", "hip"}),
        ("front-band", {"superior band"}),
        ("back-band", {"back"}),
        ("L3", set()),
        ("rear-half", set()),
        ("knee-extensor", {"musculus extensor genus"}),
        ("toe-lifter", {"TL"}),
        ("knee-movers", set()),
        ("thigh-nerve-at-knee", {"thigh n. at knee", "knee", "popliteal line"}),
    ],
)
def test_all_right_spellings_of_a_thing(id, wanted):
    """Front band and front half both begin with front, so that the word alone says neither."""
    assert set(accepted(CAUDAL, CAUDAL.entity(id), SHEET)) == wanted


def test_no_spelling_stands_twice_and_none_is_the_name_itself():
    for plexus in (CAUDAL, brachial()):
        sheet = tuple(plexus.segments.values())
        for entity in plexus.entities():
            found = [exact(text) for text in accepted(plexus, entity, sheet)]
            assert len(set(found)) == len(found)
            assert exact(names.display(entity)) not in found


def test_a_shorter_form_is_right_where_it_stands_alone_on_the_sheet():
    front = CAUDAL.segments["front-band"]
    assert "front" in accepted(CAUDAL, front, [front])
    assert "front" in accepted(CAUDAL, front, [front, CAUDAL.segments["back-band"]])
    assert "front" not in accepted(CAUDAL, front, [front, CAUDAL.segments["front-half"]])


def test_with_an_own_word_the_usual_name_is_another_right_one():
    nerve = CAUDAL.segments["hip-nerve"]
    found = accepted(CAUDAL, nerve, SHEET, own="Hüftnerv")
    assert found[0] == "hip nerve"
    assert "Hüftnerv" not in found


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("thigh nerve", {"thigh nerve", "thigh n.", "nervus femoris fictus", "thigh"}),
        ("thigh nerve at knee", {"thigh nerve at knee", "popliteal line"}),
        ("thigh nerve after knee extensor", {"thigh nerve after knee extensor"}),
    ],
)
def test_all_right_spellings_of_a_site(text, wanted):
    found = accepted_site(CAUDAL, sites.parse(CAUDAL, text), SHEET)
    assert set(found) == wanted
    assert len(set(found)) == len(found)


def test_a_site_on_a_nerve_of_parts_is_named_as_the_whole():
    plexus = small("two-part")
    found = accepted_site(plexus, sites.parse(plexus, "great nerve"), plexus.segments.values())
    assert {"great nerve", "main nerve"} <= set(found)


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (["knee-extensor", "knee-flexor"], [("knee-extensor", "knee-flexor")]),
        (["knee-extensor", "knee-flexor", "toe-lifter"], [("knee-extensor", "knee-flexor")]),
        (["knee-extensor"], []),
        ([], []),
    ],
)
def test_groups_of_which_all_members_are_wanted(wanted, found):
    assert [group.members for group in together(CAUDAL, wanted)] == found
    assert all(group.spellings[0] == "knee movers" for group in together(CAUDAL, wanted))


@pytest.mark.parametrize(
    ("name", "label", "right"),
    [
        ("left band of the hip", "left", True),
        ("left band of the hip", "hip", False),
        ("left string", "left", False),
        ("left string", "LS", False),
    ],
)
def test_a_side_with_the_word_for_its_kind_is_right_where_the_name_begins_so(name, label, right):
    entity = replace(CAUDAL.segments["front-band"], name=name, label=label, synonyms=())
    assert (f"{label} band" in accepted(CAUDAL, entity, [entity])) is right
