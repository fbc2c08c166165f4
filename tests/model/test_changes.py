"""Variants as edits of a file: each change does what it says, and all else stays."""

from __future__ import annotations

import json
import random

import pytest
from night import first
from randoms import MODELS

from plexusdraw.errors import ModelError
from plexusdraw.model import load
from plexusdraw.model.entities import Exit, Place

CAUDAL = (MODELS / "caudal.yaml").read_text("utf-8")


@pytest.fixture
def varied(tmp_path):
    """The caudal plexus with these changes, a variant each; *plain*: the file without them."""

    def make(*variants, chosen=None, model=CAUDAL):
        path = tmp_path / "varied.yaml"
        rows = "".join(f"  - name: v{i}\n    changes: [{changes}]\n" for i, changes in enumerate(variants, 1))
        path.write_text(f"{model}\nvariants:\n{rows}", "utf-8")
        return load(path, chosen if chosen is not None else [f"v{i}" for i, _ in enumerate(variants, 1)])

    return make


def course(plexus, segment):
    return [i.to if isinstance(i, Exit) else i.name for i in plexus.segments[segment].course]


def told(varied, *variants):
    with pytest.raises(ModelError) as error:
        varied(*variants)
    return str(error.value)


THIGH = ["groin", "knee-extensor", "knee", "inner-leg-skin"]


@pytest.mark.parametrize(
    ("edit", "wanted"),
    [
        ("{add: [hip-muscle]}", [*THIGH, "hip-muscle"]),
        ("{add: [hip-muscle], before: knee-extensor}", ["groin", "hip-muscle", *THIGH[1:]]),
        ("{add: [hip-muscle], after: knee-extensor}", [*THIGH[:2], "hip-muscle", *THIGH[2:]]),
        ("{add: [hip-muscle], before: thigh-nerve-at-knee}", [*THIGH[:2], "hip-muscle", *THIGH[2:]]),
        ("{add: [hip-muscle], after: thigh-nerve-at-knee}", [*THIGH[:3], "hip-muscle", *THIGH[3:]]),
        ("{add: [{place: mid}, hip-muscle], after: thigh-nerve-at-groin}", ["groin", "mid", "hip-muscle", *THIGH[1:]]),
        ("{remove: [thigh-nerve-at-groin]}", THIGH[1:]),
        ("{remove: [thigh-nerve-at-groin, thigh-nerve-at-knee]}", ["knee-extensor", "inner-leg-skin"]),
        ("{remove: [thigh-nerve-at-groin], add: [{place: hip}], before: knee-extensor}", ["hip", *THIGH[1:]]),
        ("[knee-extensor, inner-leg-skin]", ["knee-extensor", "inner-leg-skin"]),
    ],
)
def test_a_course_is_edited_or_replaced(varied, edit, wanted):
    plexus = varied(f"{{set: thigh-nerve, course: {edit}}}")
    assert course(plexus, "thigh-nerve") == wanted
    assert course(plexus, "shin-nerve") == course(load(MODELS / "caudal.yaml"), "shin-nerve")


def test_the_plain_plexus_is_not_changed_by_its_variant(varied):
    change = "{set: thigh-nerve, course: {remove: [thigh-nerve-at-groin]}}"
    assert course(varied(change), "thigh-nerve") == THIGH[1:]
    plain = varied(change, chosen=[])
    assert course(plain, "thigh-nerve") == THIGH
    assert plain.applied == ()
    assert "v1" in plain.variants


@pytest.mark.parametrize(
    ("edit", "wanted"),
    [
        ("{add: [top band]}", ("superior band", "top band")),
        ("{add: [top band], before: superior band}", ("top band", "superior band")),
        ("{remove: [superior band]}", ()),
        ("{remove: [superior band], add: [a, b]}", ("a", "b")),
        ("[x]", ("x",)),
    ],
)
def test_a_list_of_words_is_edited_or_replaced(varied, edit, wanted):
    assert varied(f"{{set: front-band, synonyms: {edit}}}").segments["front-band"].synonyms == wanted


def test_roots_may_be_added(varied):
    plexus = varied("{set: thigh-nerve, roots: {add: [L5]}}")
    assert plexus.segments["thigh-nerve"].only_roots == ("L3", "L4", "L5")


def test_a_key_that_is_not_there_is_given(varied):
    plexus = varied("{set: hip-nerve, label: hip, plane: posterior}")
    assert (plexus.segments["hip-nerve"].label, plexus.segments["hip-nerve"].plane) == ("hip", "posterior")
    assert plexus.segments["hip-nerve"].side == "cranial", "what is not set stays"


def test_a_list_that_is_not_there_begins_with_what_is_added(varied):
    plexus = varied("{set: hip-nerve, synonyms: {add: [nerve of the hip]}}")
    assert plexus.segments["hip-nerve"].synonyms == ("nerve of the hip",)


def test_another_name_keeps_the_id(varied):
    plexus = varied("{set: hip-nerve, name: Nerve X}")
    assert plexus.segments["hip-nerve"].name == "Nerve X"
    assert "nerve-x" not in plexus.segments


def test_a_place_may_be_set(varied):
    plexus = varied("{set: thigh-nerve-at-knee, place: patella, synonyms: [knee cap]}")
    place, segment, at = plexus.places["thigh-nerve-at-knee"]
    assert isinstance(place, Place)
    assert (place.name, place.full_name, place.synonyms) == ("patella", "thigh nerve at patella", ("knee cap",))
    assert (segment.id, at) == ("thigh-nerve", 2)


@pytest.mark.parametrize(
    ("where", "before"),
    [
        ("", "deep-branch-of-shin-nerve"),
        (", after: groin-nerve", "groin-nerve"),
        (", before: hip-nerve", "groin-nerve"),
    ],
)
def test_an_entry_is_added_at_its_place(varied, where, before):
    plexus = varied(f"{{add: segments, name: new twig, from: [front-half], course: [hip-muscle]{where}}}")
    ids = list(plexus.segments)
    assert ids[ids.index("new-twig") - 1] == before
    assert plexus.segments["new-twig"].parents == ("front-half",)
    assert plexus.nerves_of["hip-muscle"] == tuple(i for i in ids if i in ("hip-nerve", "new-twig"))


def test_what_is_added_may_be_changed_by_the_same_variant(varied):
    plexus = varied(
        "{add: muscles, name: new muscle, roots: [L3]}, {set: new-muscle, label: new},"
        " {set: groin-nerve, course: {add: [new-muscle]}}"
    )
    assert plexus.muscles["new-muscle"].label == "new"
    assert course(plexus, "groin-nerve") == ["groin-muscle", "new-muscle"]


def test_what_is_removed_is_gone_from_every_list(varied):
    plexus = varied(
        "{remove: groin-nerve}, {set: groin-muscle, note: stays}, {set: hip-nerve, course: {add: [groin-muscle]}}"
    )
    assert "groin-nerve" not in plexus.segments
    assert course(plexus, "L3") == course(plexus, "L4") == []
    assert plexus.nerves_of["groin-muscle"] == ("hip-nerve",)


def test_a_removed_muscle_leaves_its_group_and_its_nerve(varied):
    change = "{remove: knee-flexor}, {remove: heel-reflex}"
    plexus = varied(change)
    assert plexus.groups["knee-movers"].members == ("knee-extensor",)
    assert "knee-flexor" not in course(plexus, "shin-nerve")
    assert course(plexus, "deep-branch-of-shin-nerve") == ["toe-lifter"]


def test_changes_hold_in_their_order_and_variants_in_that_of_the_file(varied):
    plexus = varied("{set: hip-nerve, label: a}", "{set: groin-nerve, label: b}", chosen=["v2", "v1"])
    assert plexus.applied == ("v1", "v2")
    assert (plexus.segments["hip-nerve"].label, plexus.segments["groin-nerve"].label) == ("a", "b")


def test_a_variant_named_twice_holds_once(varied):
    assert varied("{set: hip-nerve, label: a}", chosen=["v1", "v1"]).applied == ("v1",)


def test_one_variant_may_set_a_key_twice_but_not_two_of_them(varied):
    assert varied("{set: hip-nerve, label: a}, {set: hip-nerve, label: b}").segments["hip-nerve"].label == "b"
    message = told(varied, "{set: hip-nerve, label: a}", "{set: hip-nerve, label: b}")
    assert 'v2: "label" of hip-nerve is already set by v1. These two do not combine; choose one.' in message


def test_two_may_edit_one_list(varied):
    plexus = varied(
        "{set: thigh-nerve, course: {add: [{place: one}]}}", "{set: thigh-nerve, course: {add: [{place: two}]}}"
    )
    assert course(plexus, "thigh-nerve") == [*THIGH, "one", "two"]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ("{set: hip-nervex, label: x}", 'v1: the model has no "hip-nervex". Did you mean hip-nerve?'),
        ("{set: thigh-nerve-at-kne, place: x}", "Did you mean thigh-nerve-at-knee?"),
        ("{set: zzzzzz, label: x}", 'v1: the model has no "zzzzzz". An id is a name in kebab case.'),
        ("{add: muscels, name: x}", 'v1: no table "muscels". Did you mean muscles?'),
        ("{add: zzzz, name: x}", "Choose from segments, muscles, skin, groups, outside, reflexes, signs, regions."),
        ("{add: regions, name: x, nerves: [hip-nerve]}", 'v1: the model has no table "regions". Give it one'),
        ("{remove: zzzzzz}", 'v1: the model has no "zzzzzz"'),
        ("{set: hip-nerve, course: {remove: [nobody]}}", 'v1: "nobody" is not in course of hip-nerve'),
        ("{set: hip-nerve, course: {add: [groin-muscle], after: nobody}}", 'v1: nothing there is called "nobody"'),
        ("{add: muscles, name: x, roots: [L3], before: nobody}", 'v1: nothing there is called "nobody"'),
        ("{set: L3, from: {remove: [L2]}}", 'v1: "L2" is not in from of L3'),
        ("{set: hip-nerve, course: {remove: groin-muscle}}", "v1: remove wants a list. Write it in brackets"),
        ("{set: hip-nerve, course: {add: groin-muscle}}", "v1: add wants a list. Write it in brackets"),
        ("{set: hip-nerve, name: {remove: [a]}}", "v1: name of hip-nerve is no list, of which parts come and go"),
        ("{set: hip-muscle, outside: {remove: [L3]}}", 'v1: "L3" is not in outside of hip-muscle'),
        ("{set: groin-muscle, outside: {remove: [L2]}}", "v1: outside of groin-muscle is no list"),
        ("{set: hip-nerve, course: {remove: [[a]]}}", "v1: what stands here is not in course of hip-nerve"),
        ("{set: hip-nerve, course: {add: [groin-muscle], after: [a]}}", "v1: nothing there is called what stands here"),
    ],
)
def test_what_a_change_cannot_do_is_told_with_its_line(varied, changes, says):
    message = told(varied, changes)
    assert says in message
    line = len(CAUDAL.splitlines()) + 4
    assert f"varied.yaml:{line}: v1" in message


@pytest.mark.parametrize(
    "change", ["{turn: hip-nerve}", "{set: [hip-nerve], label: x}", "{remove: hip-nerve, add: muscles}", "{remove: 5}"]
)
def test_a_change_says_one_thing_of_one_entry(varied, change):
    message = told(varied, change)
    assert f"varied.yaml:{len(CAUDAL.splitlines()) + 4}: variants, v1, changes, " in message
    assert "a change says one of set, add, remove, and of what" in message


EDITS = ("add", "remove", "before", "after")
ODD = ("x", "hip-muscle", 5, True, None, [], {}, ["hip-muscle"], [5], [None], [["a"]], [{"to": ["a"]}], {"a": {"b": 1}})
ODD += ([{"place": None}], [{"place": "mid"}], {"L3": "a note"}, {"remove": ["hip-muscle"]}, {"add": [None]}, "")
KEYS = ("name", "from", "course", "roots", "outside", "synonyms", "drawn", "members", "when", "id", "place", "variable")


@pytest.mark.parametrize("seed", first(range(20), 5))
def test_a_variant_of_any_form_is_a_model_or_told(tmp_path, seed):
    dice = random.Random(seed)
    ids = ("hip-nerve", "hip-muscle", "L3", "thigh-nerve", "thigh-nerve-at-knee", "inner-leg-skin")

    def change():
        edits = [{key: dice.choice(ODD) for key in dice.sample(EDITS, dice.randint(1, 3))} for _ in range(3)]
        keys = {key: dice.choice((*edits, dice.choice(ODD))) for key in dice.sample(KEYS, dice.randint(1, 2))}
        verb = dice.choice(({"set": dice.choice(ids)},) * 3 + ({"add": "muscles", "name": "new"},))
        return dice.choice((verb | keys,) * 4 + ({"remove": dice.choice(ids)},))

    outcomes = set()
    for _ in range(20):
        changes = [change() for _ in range(dice.randint(1, 3))]
        path = tmp_path / "varied.yaml"
        path.write_text(f"{CAUDAL}\nvariants: [{{name: v1, changes: {json.dumps(changes)}}}]\n", "utf-8")
        try:
            outcomes.add(type(load(path, ["v1"])))
        except ModelError as error:
            outcomes.add(type(error))
            assert str(path) in str(error)
    assert ModelError in outcomes


def test_what_a_variant_makes_is_checked_as_any_model_and_the_variant_is_named(varied):
    message = told(varied, "{set: hip-muscle, roots: [S2]}")
    assert "hip muscle: S2 does not arrive there" in message
    assert message.splitlines()[-1].endswith("varied.yaml: so it is with v1.")


def test_a_convention_changes_the_drawing_alone(tmp_path):
    path = tmp_path / "drawn.yaml"
    rows = "  - name: other way\n    kind: convention\n    changes: [{set: hip-nerve, side: caudal}]\n"
    path.write_text(f"{CAUDAL}\nvariants:\n{rows}", "utf-8")
    plexus = load(path, ["other way"])
    assert plexus.segments["hip-nerve"].side == "cranial"
    assert plexus.drawn.segments["hip-nerve"].side == "caudal"
    assert plexus.applied == plexus.drawn.applied == ("other-way",)
