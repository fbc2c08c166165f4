from __future__ import annotations

from dataclasses import replace

import pytest
from randoms import MODELS, brachial, small

from plexusdraw.clinic import report
from plexusdraw.clinic.compare import compare, compare_models
from plexusdraw.clinic.injury import injure
from plexusdraw.model import load
from plexusdraw.model.entities import Outside


def test_what_tells_two_injuries_apart():
    result = compare(injure(brachial(), ["C8"]), injure(brachial(), ["ulnar nerve at elbow"]))
    apart = {row.id: (row.a, row.b) for row in result.differ}
    assert apart["extensor-indicis"] == ("weak", "spared")
    assert apart["triceps-brachii-long-head"][1] == "spared"
    assert apart["flexor-carpi-ulnaris"] == ("weak", "paralysed")
    assert "wrist ulnar deviation" in {row.id for row in result.same}
    assert not {row.id for row in result.same} & set(apart)


def test_the_same_injury_differs_in_nothing():
    result = compare(injure(brachial(), ["C5"]), injure(brachial(), ["C5 preganglionic"]))
    assert result.differ == ()
    assert {row.a for row in result.same} <= {"paralysed", "weak", "slight", "lost", "reduced", "present"}
    assert report.comparison(result)["differ"] == []


def test_two_models(tmp_path):
    text = (MODELS / "caudal.yaml").read_text("utf-8")
    text = text.replace("{name: toe lifter, synonyms: [TL], roots: [L5]", "{name: toe lifter, roots: [L5, S2]")
    text = text.replace("- {name: back muscle,", "- {name: other muscle,")
    path = tmp_path / "other.yaml"
    path.write_text(text, "utf-8")
    changes = {(c.id, c.what): (c.a, c.b) for c in compare_models(small("caudal"), load(path)).differ}
    assert changes["toe-lifter", "roots"] == ("L5, (S1)", "L5, S2, (S1)")
    assert changes["back-muscle", "entry"] == ("present", "")
    assert changes["other-muscle", "entry"] == ("", "present")
    assert len(changes) == 3


def test_a_model_is_like_itself():
    assert compare_models(brachial(), brachial()).differ == ()


@pytest.fixture
def edited(tmp_path):
    """The caudal plexus with one text of its file changed."""

    def make(old, new):
        text = (MODELS / "caudal.yaml").read_text("utf-8")
        assert old in text
        path = tmp_path / "edited.yaml"
        path.write_text(text.replace(old, new), "utf-8")
        return load(path)

    return make


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        (
            "{name: hip nerve,",
            "{name: haunch nerve, id: hip-nerve,",
            ("hip-nerve", "name", "hip nerve", "haunch nerve"),
        ),
        (
            "latin: nervus femoris fictus",
            "latin: nervus alius",
            ("thigh-nerve", "Latin name", "nervus femoris fictus", "nervus alius"),
        ),
        ("    latin: nervus femoris fictus\n", "", ("thigh-nerve", "Latin name", "nervus femoris fictus", "")),
        (
            "{place: knee, synonyms: [popliteal line]}, inner-leg-skin]",
            "inner-leg-skin, {place: knee, synonyms: [popliteal line]}]",
            None,
        ),
        (
            "course: [hip-muscle], side",
            "course: [hip-muscle, inner-leg-skin], side",
            ("hip-nerve", "branches", "hip-muscle", "hip-muscle, inner-leg-skin"),
        ),
        ("front-half], minor: [L5]", "front-half], minor: []", ("joining-root", "roots", "L3, L4, (L5), S1, S2", "*")),
        (
            "{name: rear half, stage: halves, from: [back-band]",
            "{name: rear half, stage: halves, from: [front-band, back-band]",
            ("rear-half", "comes from", "back-band", "front-band, back-band"),
        ),
        (
            "movements: [hip flexion, hip rotation]",
            "movements: [hip flexion]",
            ("hip-muscle", "movements", "hip flexion, hip rotation", "hip flexion"),
        ),
        ("outside: {L2: lumbar nerves}, ", "", ("groin-muscle", "roots from outside", "L2", "")),
        (
            "{name: sole skin, roots: [S1, S2]",
            "{name: sole skin, roots: [S1]",
            ("sole-skin", "roots", "S1, S2, (L5)", "*"),
        ),
    ],
)
def test_what_two_models_say_of_one_thing(edited, old, new, change):
    if change is None:
        assert compare_models(small("caudal"), edited(old, new)).differ == ()
        return
    found = {(c.id, c.what): (c.a, c.b) for c in compare_models(small("caudal"), edited(old, new)).differ}
    id, what, before, after = change
    assert found[id, what][0] == before
    assert found[id, what][1] != before
    if after != "*":
        assert found[id, what][1] == after


def test_what_one_model_lacks_is_an_entry_and_tells_nothing_more(edited):
    other = edited("{name: torn L5, when: {lost: [L5]}}", "{name: other sign, when: {lost: [L5]}}")
    there, back = compare_models(small("caudal"), other), compare_models(other, small("caudal"))
    assert [(c.id, c.name, c.kind, c.what, c.a, c.b) for c in there.differ] == [
        ("torn-l5", "torn L5", "sign", "entry", "present", ""),
        ("other-sign", "other sign", "sign", "entry", "", "present"),
    ]
    assert {(c.id, c.a, c.b) for c in back.differ} == {(c.id, c.b, c.a) for c in there.differ}


@pytest.mark.parametrize("cuts", [("hip nerve", "L3"), ("S1", "shin nerve"), ("thigh nerve", "thigh nerve at knee")])
def test_rows_of_two_injuries_are_their_states_side_by_side(cuts):
    a, b = (injure(small("caudal"), [cut]) for cut in cuts)
    result = compare(a, b)
    rows = {(row.kind, row.id): (row.a, row.b) for row in (*result.differ, *result.same)}
    for id in small("caudal").muscles:
        states = a.muscles[id].state, b.muscles[id].state
        assert rows.get(("muscle", id), ("spared", "spared")) == states
    for name in a.movements:
        states = a.movements[name].state, b.movements[name].state
        assert rows.get(("movement", name), ("spared", "spared")) == states
    for id in a.reflexes:
        assert rows.get(("reflex", id), ("kept", "kept")) == (a.reflexes[id].state, b.reflexes[id].state)
    for sign in small("caudal").signs.values():
        shown = tuple("present" if sign in injury.signs else "absent" for injury in (a, b))
        assert rows.get(("sign", sign.id), ("absent", "absent")) == shown
    assert all(row.a != row.b for row in result.differ)
    assert all(row.a == row.b for row in result.same)


def test_slight_weakness_in_common_is_told_as_any_other():
    site = "deep branch of shin nerve after toe lifter"
    result = compare(injure(small("caudal"), [site]), injure(small("caudal"), [site]))
    assert [(row.id, row.a) for row in result.same] == [
        ("knee-flexor", "slight"),
        ("heel-reflex", "reduced"),
        ("knee flexion", "slight"),
    ]


def test_an_id_that_stands_for_things_of_two_kinds_is_told_fact_by_fact():
    """What the one kind has no word for is empty."""
    plexus = small("caudal")
    thing = Outside(id="hip-nerve", name="hip nerve", kind="muscle")
    segments = {id: segment for id, segment in plexus.segments.items() if id != "hip-nerve"}
    other = replace(plexus, segments=segments, outside=dict(plexus.outside) | {"hip-nerve": thing})
    there = {c.what: (c.a, c.b) for c in compare_models(plexus, other).differ if c.id == "hip-nerve"}
    assert there == {"comes from": ("front-band", ""), "roots": ("L3, L4", ""), "branches": ("hip-muscle", "")}
    back = {c.what: (c.a, c.b) for c in compare_models(other, plexus).differ if c.id == "hip-nerve"}
    assert back == {what: pair[::-1] for what, pair in there.items()}
