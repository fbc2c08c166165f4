"""Latin names are whole: every structure, place and area has one, and it is understood where it is typed."""

from __future__ import annotations

import pytest
from night import first

from plexusdraw import names
from plexusdraw.clinic import injury
from plexusdraw.courses import load
from plexusdraw.errors import ModelError, UnknownNameError
from plexusdraw.layout.labels import Wording
from plexusdraw.names import sites
from plexusdraw.names.accepted import accepted, accepted_site
from plexusdraw.sheets.worksheet.wording import worded
from plexusdraw.views import titles

MODELS = ("brachial", "lumbosacral", "cervical")
WITHOUT = {"reflex", "sign", "scenario"}
"""Kinds of which few have a Latin name that the trade knows; none is invented."""

OWN = """plexusdraw: 1
id: tail
name: tail plexus
limb: tail
limb_latin: {limb}
stages:
  - {{id: roots, name: roots, singular: root}}
  - {{id: nerves, name: nerves, singular: nerve}}
segments:
  - {{name: T1, stage: roots, source: [memory]}}
  - name: tail nerve
    stage: nerves
    from: [T1]
    course: [{{place: bend, latin: ad flexum}}, curler]
    source: [memory]{nerve}
muscles: [{{name: curler, roots: [T1], source: [memory]}}]
"""


def cases():
    """Every model, plain by day, with each of its variants by night."""
    yield from ((m,) for m in MODELS)
    yield from ((m, v) for m in MODELS for v in load(m).variants)


every = pytest.mark.parametrize("case", first(cases(), len(MODELS)), ids=str)


@every
def test_all_structures_have_a_latin_name(case):
    plexus = load(case[0], case[1:])
    assert [e.id for e in plexus.entities() if e.kind not in WITHOUT and not names.latin(e)] == []
    assert [r.id for r in plexus.regions.values() if not r.latin] == []
    assert plexus.latin
    assert plexus.limb_latin
    assert all(stage.latin for stage in plexus.stages)


@every
def test_each_latin_name_leads_to_its_structure_and_no_other(case):
    plexus = load(case[0], case[1:])
    told = {e.id: names.latin(e) for e in plexus.entities() if names.latin(e)}
    assert {id: names.find(plexus, text).id for id, text in told.items()} == {id: id for id in told}


def test_latin_of_places_is_understood_as_a_site_with_and_without_its_nerve():
    plexus = load("brachial")
    carpal = sites.parse(plexus, "median nerve at carpal tunnel")
    assert carpal.latin == "nervus medianus in canali carpi"
    assert sites.parse(plexus, carpal.latin) == sites.parse(plexus, "in canali carpi") == carpal
    with pytest.raises(UnknownNameError, match="may mean"):
        sites.parse(plexus, "ad cubitum")
    for one in sites.all_sites(plexus):
        if one.id in plexus.places:
            assert sites.parse(plexus, one.latin) == one


def test_roots_keep_their_letters_in_the_latin_of_their_places():
    place = load("brachial").entity("C5-preganglionic")
    assert names.display(place, "latin") == "C5 ante ganglion"


def test_latin_of_a_place_stands_with_that_of_its_nerve_or_not_at_all(tmp_path):
    def display(nerve):
        path = tmp_path / "own.yaml"
        path.write_text(OWN.format(nerve=nerve, limb="{name: pinna, left: pinna sinistra, right: pinna dextra}"))
        plexus = load(path)
        assert names.from_front(plexus, "latin", "left") == "pinna sinistra, aspectus anterior"
        return names.display(plexus.entity("tail-nerve-at-bend"), "latin")

    assert display("\n    latin: nervus caudae") == "nervus caudae ad flexum"
    assert display("") == "tail nerve at bend"


def test_a_limb_in_latin_is_given_for_both_sides(tmp_path):
    path = tmp_path / "own.yaml"
    path.write_text(OWN.format(nerve="", limb="{name: pinna, left: pinna sinistra}"))
    with pytest.raises(ModelError, match=r'own.yaml:5: limb_latin has no "right"'):
        load(path)


def test_latin_is_a_right_answer():
    plexus = load("brachial")
    cuff = plexus.entity("rotator-cuff")
    assert cuff.latin in accepted(plexus, cuff, ())
    area = plexus.entity("medial-forearm")
    assert "facies medialis antebrachii" in accepted(plexus, area, ())
    site = sites.parse(plexus, "ulnar nerve at wrist")
    assert {"nervus ulnaris ad carpum", "ulnar nerve at wrist", "Guyon canal"} <= {*accepted_site(plexus, site, ())}


def test_forms_in_latin_name_places_and_accept_the_usual_names():
    plexus = worded(load("brachial"), Wording("latin"))
    site = sites.parse(plexus, "radial nerve at spiral groove")
    assert site.name == "nervus radialis in sulco nervi radialis"
    assert "radial nerve at spiral groove" in accepted_site(plexus, site, ())


@pytest.mark.parametrize(
    ("side", "style", "told"),
    [
        ("left", "latin", "membrum superius sinistrum, aspectus anterior"),
        ("right", "latin", "membrum superius dextrum, aspectus anterior"),
        ("left", "short", "left upper limb, seen from the front"),
    ],
)
def test_the_side_line_comes_in_the_language_of_the_names(side, style, told):
    assert names.from_front(load("brachial"), style, side) == told


def test_titles_come_in_the_language_of_the_names():
    plexus = load("brachial")
    cut = injury.Injury(plexus, [sites.parse(plexus, "ulnar nerve at wrist")])
    area = (plexus.entity("medial-forearm"),)
    assert titles.title(plexus, "latin", injury=cut) == "Plexus brachialis: injury of nervus ulnaris ad carpum"
    assert titles.title(plexus, "short", injury=cut) == "Brachial plexus: injury of ulnar nerve at wrist"
    assert titles.title(plexus, "latin", highlight=area) == "Plexus brachialis: facies medialis antebrachii"
    assert titles.title(plexus, "latin", nerve="ulnar-nerve") == "Nervus ulnaris"
    assert titles.limb(plexus, "skin", "latin") == "Membrum superius, cutis"
