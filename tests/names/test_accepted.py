"""Right answers: the trade's names, no lesions, no bare sides where several begin alike, groups for their members."""

from __future__ import annotations

import pytest
from randoms import brachial

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
