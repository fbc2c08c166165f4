"""What each key of a model file becomes."""

from __future__ import annotations

import json

import pytest
from randoms import small

from plexusdraw.errors import ModelError
from plexusdraw.model import load
from plexusdraw.model.entities import Exit, Place

BASE = {
    "plexusdraw": 1,
    "id": "tiny",
    "name": "tiny plexus",
    "stages": [
        {"id": "roots", "name": "roots", "singular": "root"},
        {"id": "nerves", "name": "nerves", "singular": "branch"},
    ],
    "segments": [
        {"name": "A1", "stage": "roots", "latin": "radix"},
        {"name": "A2", "stage": "roots"},
        {"name": "Main nerve", "stage": "nerves", "from": ["A2", "A1"], "course": ["pull", "touch"]},
    ],
    "muscles": [{"name": "pull", "roots": ["A1"], "minor": ["A2"]}],
    "skin": [{"name": "touch", "roots": ["A1", "A2"]}],
}


@pytest.fixture
def made(tmp_path):
    """Loads the tiny model with tables changed, and entries by table and place."""

    def make(entries=(), **tables):
        model = json.loads(json.dumps(BASE | tables))
        for table, place, keys in entries:
            model[table][place] |= keys
        path = tmp_path / "tiny.yaml"
        path.write_text(json.dumps(model, indent=1), "utf-8")
        return load(path)

    return make


def test_what_is_not_said_is_empty_or_usual(made):
    plexus = made()
    assert (plexus.latin, plexus.limb, plexus.limb_latin, plexus.chart) == ("", "limb", None, "")
    assert (plexus.note, plexus.caution, plexus.synonyms) == ("", "", ())
    nerve = plexus.segments["main-nerve"]
    assert (nerve.only_roots, nerve.minor, nerve.plane, nerve.side) == (None, (), "middle", None)
    assert nerve.drawn is True
    assert (nerve.passes_behind, nerve.offshoot, nerve.loop, nerve.reaches, nerve.whole) == (
        False,
        False,
        False,
        (),
        "",
    )
    muscle = plexus.muscles["pull"]
    assert muscle.testable is True
    assert (muscle.movements, muscle.examine, muscle.trick, dict(muscle.outside)) == ((), "", "", {})
    assert [stage.order for stage in plexus.stages] == ["given", "given"]


def test_what_is_said_of_the_whole_is_kept(made):
    said = {"latin": "plexus parvus", "limb": "fin", "note": "A note.", "caution": "Care.", "synonyms": ["small one"]}
    plexus = made(**said, limb_latin={"name": "pinna", "left": "pinna sinistra", "right": "pinna dextra"}, chart="x")
    assert (plexus.latin, plexus.limb, plexus.note, plexus.caution) == ("plexus parvus", "fin", "A note.", "Care.")
    assert plexus.synonyms == ("small one",)
    assert (plexus.limb_latin.name, plexus.limb_latin.left, plexus.limb_latin.right) == (
        "pinna",
        "pinna sinistra",
        "pinna dextra",
    )
    assert plexus.chart == "x"
    assert plexus.path.endswith("tiny.yaml")


def test_parents_stand_in_the_order_of_the_model_whatever_the_order_in_the_file(made):
    assert made().segments["main-nerve"].parents == ("A1", "A2")


def test_a_segment_comes_from_those_in_whose_course_it_stands(made):
    branch = {"name": "twig", "course": ["pull"]}
    plexus = made([("segments", 1, {"course": ["twig"]})], segments=[*BASE["segments"], branch])
    assert plexus.segments["twig"].parents == ("A2",)
    assert plexus.segments["twig"].kind == "nerve"
    assert plexus.segments["twig"].stage is None


def test_the_kind_of_a_segment_is_the_word_for_one_of_its_stage(made):
    assert [s.kind for s in made().segments.values()] == ["root", "root", "branch"]


def test_an_id_is_made_from_the_name_unless_it_is_given(made):
    assert made([("muscles", 0, {"name": "Pull It", "id": "pull"})]).muscles["pull"].name == "Pull It"
    with pytest.raises(ModelError, match="pull"):
        made([("muscles", 0, {"name": "Pull It"})])


def test_minor_roots_of_a_segment_are_among_those_that_it_is_narrowed_to(made):
    plexus = made([("segments", 2, {"roots": ["A1"], "minor": ["A2"]})])
    assert plexus.segments["main-nerve"].only_roots == ("A1", "A2")
    assert plexus.segments["main-nerve"].minor == ("A2",)
    plexus = made([("segments", 2, {"minor": ["A2"]})])
    assert plexus.segments["main-nerve"].only_roots is None


@pytest.mark.parametrize(
    ("key", "value", "field", "wanted"),
    [
        ("plane", "posterior", "plane", "posterior"),
        ("side", "caudal", "side", "caudal"),
        ("passes", "behind", "passes_behind", True),
        ("drawn", False, "drawn", False),
        ("offshoot", True, "offshoot", True),
        ("loop", True, "loop", True),
        ("reaches", ["pull"], "reaches", ("pull",)),
        ("label", "main", "label", "main"),
        ("latin", "nervus", "latin", "nervus"),
        ("synonyms", ["big nerve"], "synonyms", ("big nerve",)),
        ("note", "Said.", "note", "Said."),
        ("variable", {"A3": "by some"}, "variable", {"A3": "by some"}),
    ],
)
def test_keys_of_a_segment(made, key, value, field, wanted):
    segment = made([("segments", 2, {key: value})]).segments["main-nerve"]
    found = getattr(segment, field)
    assert (dict(found) if isinstance(wanted, dict) else found) == wanted


@pytest.mark.parametrize(
    ("key", "value", "field", "wanted"),
    [
        ("movements", ["pulling"], "movements", ("pulling",)),
        ("testable", False, "testable", False),
        ("examine", "Pull.", "examine", "Pull."),
        ("trick", "By weight.", "trick", "By weight."),
        ("outside", {"A0": "other nerve"}, "outside", {"A0": "other nerve"}),
        ("outside_minor", ["A0"], "outside", {"A0": ""}),
        ("variable", {"A3": "by some"}, "variable", {"A3": "by some"}),
    ],
)
def test_keys_of_a_muscle(made, key, value, field, wanted):
    found = getattr(made([("muscles", 0, {key: value})]).muscles["pull"], field)
    assert (dict(found) if isinstance(wanted, dict) else found) == wanted


def test_a_minor_root_from_outside_keeps_the_nerve_that_is_named_for_it(made):
    muscle = made([("muscles", 0, {"outside": {"A0": "other nerve"}, "outside_minor": ["A0", "A9"]})]).muscles["pull"]
    assert dict(muscle.outside) == {"A0": "other nerve", "A9": ""}
    assert muscle.outside_minor == ("A0", "A9")


class TestSkin:
    """Skin areas and dermatomes."""

    def test_a_dermatome_has_the_roots_that_it_is_named_for(self, made):
        plexus = made(skin=[*BASE["skin"], {"name": "A1 skin", "dermatome": "A1", "area": "the front"}])
        found = plexus.skin["a1-skin"]
        assert (found.dermatome, found.roots, found.area, found.kind) == (("A1",), ("A1",), "the front", "skin")

    def test_of_two_roots_it_keeps_their_order_and_each_once(self, made):
        row = {"name": "both", "dermatome": ["A2", "A1", "A2"], "areas": ["touch"]}
        found = made(skin=[*BASE["skin"], row]).skin["both"]
        assert (found.dermatome, found.areas) == (("A2", "A1"), ("touch",))

    def test_roots_beside_it_are_refused_unless_they_are_the_same(self, made):
        row = {"name": "one", "dermatome": "A1", "roots": ["A1"]}
        assert made(skin=[*BASE["skin"], row]).skin["one"].roots == ("A1",)
        with pytest.raises(ModelError, match="one: roots stand beside its dermatome"):
            made(skin=[*BASE["skin"], row | {"roots": ["A1", "A2"]}])


class TestCourse:
    """What leaves a nerve, and the places on it."""

    def test_a_branch_may_be_named_alone_or_with_the_roots_that_it_brings(self, made):
        course = ["pull", {"to": "touch", "roots": ["A1"], "minor": ["A2"]}]
        found = made([("segments", 2, {"course": course})]).segments["main-nerve"].course
        assert found == (Exit("pull"), Exit("touch", ("A1",), ("A2",)))

    def test_a_branch_that_brings_no_principal_root_is_not_one_that_brings_all(self, made):
        course = ["pull", {"to": "touch", "roots": []}]
        with pytest.raises(ModelError, match="does not arrive"):
            made([("segments", 2, {"course": course})])

    def test_a_place_is_called_with_its_nerve(self, made):
        course = ["pull", {"place": "bend", "synonyms": ["the corner"], "latin": "in flexura"}, "touch"]
        plexus = made([("segments", 2, {"course": course, "latin": "nervus magnus"})])
        (place, segment, at) = plexus.places["main-nerve-at-bend"]
        assert isinstance(place, Place)
        assert (place.name, place.full_name, place.kind) == ("bend", "Main nerve at bend", "place")
        assert (place.full_latin, segment.id, at) == ("nervus magnus in flexura", "main-nerve", 1)

    @pytest.mark.parametrize(("nerve", "place"), [("", "in flexura"), ("nervus magnus", "")])
    def test_its_latin_stands_with_that_of_its_nerve_or_not_at_all(self, made, nerve, place):
        keys = {"course": ["pull", {"place": "bend", "latin": place}, "touch"], "latin": nerve}
        keys = json.loads(json.dumps(keys).replace(', "latin": ""', ""))
        assert made([("segments", 2, keys)]).places["main-nerve-at-bend"][0].full_latin == ""

    def test_roots_keep_their_letters_in_latin(self, made):
        course = [{"place": "bend", "latin": "in flexura"}]
        plexus = made([("segments", 0, {"course": course})])
        assert plexus.places["a1-at-bend"][0].full_latin == "A1 in flexura"

    def test_a_place_may_have_an_id_of_its_own(self, made):
        plexus = made([("segments", 2, {"course": ["pull", {"place": "bend", "id": "b"}, "touch"]})])
        assert list(plexus.places) == ["b"]


class TestParts:
    """A nerve of several parts."""

    plexus = staticmethod(lambda: small("two-part"))

    def test_its_parts_are_segments_and_it_is_none(self):
        whole = self.plexus().wholes["great-nerve"]
        assert whole.parts == ("inner-part-of-great-nerve", "outer-part-of-great-nerve")
        assert "great-nerve" not in self.plexus().segments
        for part in whole.parts:
            found = self.plexus().segments[part]
            assert (found.whole, found.stage, found.kind) == ("great-nerve", "sheath", "great nerve")

    def test_it_has_the_places_that_all_its_parts_have_and_their_other_names(self):
        whole = self.plexus().wholes["great-nerve"]
        assert [item.name for item in whole.course] == ["notch", "mid thigh"]
        assert [item.full_name for item in whole.course] == ["great nerve at notch", "great nerve at mid thigh"]
        assert whole.course[0].synonyms == ("the notch",)
        inner = self.plexus().segments["inner-part-of-great-nerve"]
        assert [item.synonyms for item in inner.course if isinstance(item, Place)] == [(), ()]


class TestBesides:
    """Sources, remarks, variants, scenarios."""

    def test_two_sources_are_there_without_being_listed(self, made):
        plexus = made(sources={"book": {"title": "A book", "note": "2nd"}})
        assert list(plexus.sources) == ["common practice", "memory", "book"]
        assert (plexus.sources["book"].title, plexus.sources["book"].note) == ("A book", "2nd")
        assert plexus.sources["memory"].title == "from memory"

    def test_sources_of_an_entry_are_those_of_all_its_parts_each_once(self, made):
        keys = {"source": {"nerve": ["memory"], "roots": ["common practice", "memory"]}}
        assert made([("muscles", 0, keys)]).muscles["pull"].sources == ("memory", "common practice")
        assert made([("muscles", 0, {"source": ["memory"]})]).muscles["pull"].sources == ("memory",)

    def test_a_remark_is_of_a_place_and_stands_once(self, made):
        course = [("segments", 2, {"course": ["pull", {"place": "bend"}, "touch"]})]
        remark = {"place": "bend", "note": "Mind it.", "source": ["memory"]}
        found = made(course, remarks=[remark]).remarks["bend"]
        assert (found.place, found.note, found.sources) == ("bend", "Mind it.", ("memory",))
        assert found.line > 1
        with pytest.raises(ModelError, match='remark on "bend" stands twice'):
            made(course, remarks=[remark, remark])

    def test_a_variant_knows_what_it_adds_and_how_often_it_is_found(self, made):
        variant = {
            "name": "with a twig",
            "changes": [
                {"add": "muscles", "name": "twist", "synonyms": ["twister"], "roots": ["A1"]},
                {"set": "main-nerve", "course": {"add": ["twist"]}},
            ],
            "prevalence": [{"value": "5 %", "where": "12 limbs", "source": ["memory"]}, {"value": "1 %"}],
        }
        found = made(variants=[variant]).variants["with-a-twig"]
        assert (found.kind, found.adds) == ("variant", ("twist", "twister"))
        assert [(p.value, p.where, p.sources) for p in found.prevalence] == [
            ("5 %", "12 limbs", ("memory",)),
            ("1 %", "", ()),
        ]

    def test_a_variant_may_be_called_as_what_it_changes(self, made):
        variant = {"name": "main nerve", "kind": "convention", "changes": [{"set": "main-nerve", "label": "m"}]}
        assert made(variants=[variant]).variants["main-nerve"].kind == "convention"

    def test_a_scenario_keeps_its_sites_and_what_others_mean_by_it(self, made):
        row = {
            "name": "bad day",
            "sites": ["A1", "main nerve"],
            "usually": "partial",
            "alternatives": [{"sites": ["A2"], "note": "some say"}],
        }
        found = made(scenarios=[row]).scenarios["bad-day"]
        assert (found.kind, found.sites, found.usually) == ("scenario", ("A1", "main nerve"), "partial")
        assert [(o.sites, o.note) for o in found.alternatives] == [(("A2",), "some say")]

    def test_a_sign_may_name_a_place_in_any_case(self, made):
        signs = [{"name": "limp", "when": {"cut": ["MAIN nerve", "a1"]}}]
        assert made(signs=signs).signs["limp"].when.cut == ("main-nerve", "A1")

    def test_rules_stand_in_rules(self, made):
        when = {"all": [{"lost": ["pull"]}, {"any": [{"weak": ["pull"]}, {"spared": ["touch"]}]}]}
        rule = made(signs=[{"name": "limp", "when": when}]).signs["limp"].when
        assert rule.all[0].lost == ("pull",)
        assert [part.weak or part.spared for part in rule.all[1].any] == [("pull",), ("touch",)]
        assert len(rule.parts()) == 5

    def test_what_lies_outside(self, made):
        row = {
            "name": "far",
            "nerve": "other nerve",
            "roots": ["B1"],
            "minor": ["B2"],
            "movements": ["x"],
            "cut": ["a1"],
        }
        found = made(outside=[row]).outside["far"]
        assert (found.kind, found.nerve, found.roots, found.minor) == ("muscle", "other nerve", ("B1",), ("B2",))
        assert (found.movements, found.cut) == (("x",), ("A1",))
        assert made(outside=[row | {"kind": "skin"}]).outside["far"].kind == "skin"


@pytest.mark.parametrize(
    ("tables", "says"),
    [
        ({"muscles": [*BASE["muscles"], {"name": "pull", "roots": ["A1"]}]}, 'id "pull" is taken by line'),
        ({"muscles": [*BASE["muscles"], {"name": "main nerve", "roots": ["A1"]}]}, 'id "main-nerve" is taken by line'),
        ({"groups": [{"name": "!", "members": ["pull"]}]}, "its name gives no id. Add id: ... in letters or digits."),
        ({"stages": [*BASE["stages"], {"id": "x", "name": "x", "singular": "x"}]}, 'stage "x" has no segment'),
        ({"stages": [*BASE["stages"], BASE["stages"][0]]}, 'stage "roots" stands twice. Keep one'),
    ],
)
def test_what_stands_twice_or_has_no_id_is_told(made, tables, says):
    with pytest.raises(ModelError) as told:
        made(**tables)
    assert says in str(told.value)
