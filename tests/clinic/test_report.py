"""Results as plain values: their shapes are what programs of others read, so every key stands here."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from randoms import brachial, small

from plexusdraw.clinic import report
from plexusdraw.clinic.compare import compare, compare_models
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.model.entities import Alternative, Scenario, Source
from plexusdraw.names import sites
from plexusdraw.routes.reach import reach

CAUDAL = small("caudal")


def keys(value):
    """Keys of a mapping, or those that all rows of a list have in common."""
    return set(value) if isinstance(value, dict) else {frozenset(row) for row in value}


class TestInjury:
    """What an injury takes."""

    said = report.injury(injure(CAUDAL, ["shin nerve", "L3:partial"]))

    def test_its_shape(self):
        assert list(self.said) == [
            *("sites", "variants", "muscles", "skin", "movements", "reflexes", "signs", "notably_spared", "caution")
        ]
        assert keys(self.said["sites"]) == {frozenset(("id", "name", "partial"))}
        assert keys(self.said["muscles"]) == {
            frozenset(
                ("id", "name", "nerve", "state", "disputed", "remaining", "mrc_estimate", "roots_lost", "roots_left")
            )
        }
        assert keys(self.said["skin"]) == {frozenset(("id", "name", "state", "disputed"))}
        assert keys(self.said["movements"]) == {frozenset(("name", "state", "disputed", "able", "weak", "gone"))}
        assert keys(self.said["reflexes"]) == {frozenset(("id", "name", "state"))}
        assert keys(self.said["signs"]) == {frozenset(("id", "name", "note"))}
        assert keys(report.injury(injure(CAUDAL, ["hip nerve"]))["notably_spared"]) == {frozenset(("id", "name"))}

    def test_it_can_be_written_as_json_and_read_again(self):
        assert json.loads(json.dumps(self.said)) == self.said

    def test_its_sites_say_which_spare_some_fibres(self):
        assert self.said["sites"] == [
            {"id": "shin-nerve", "name": "shin nerve", "partial": False},
            {"id": "L3", "name": "L3", "partial": True},
        ]

    def test_a_muscle_that_is_lost(self):
        row = next(m for m in self.said["muscles"] if m["id"] == "toe-lifter")
        assert row == {
            "id": "toe-lifter",
            "name": "toe lifter",
            "nerve": "deep branch of shin nerve",
            "state": "paralysed",
            "disputed": False,
            "remaining": 0.0,
            "mrc_estimate": "0",
            "roots_lost": ["L5", "S1"],
            "roots_left": [],
        }

    def test_a_muscle_that_is_hit_in_part(self):
        row = next(m for m in self.said["muscles"] if m["id"] == "groin-muscle")
        assert (row["state"], row["roots_lost"], row["roots_left"]) == ("weak", ["L3"], ["L2", "L4"])
        assert row["remaining"] == round((2.25 + 1.25) / 2 / 2.25, 3)

    def test_all_of_a_kind_are_there_in_the_order_of_the_model(self):
        assert [m["id"] for m in self.said["muscles"]] == list(CAUDAL.muscles)
        assert [s["id"] for s in self.said["skin"]] == list(CAUDAL.skin)
        assert [r["id"] for r in self.said["reflexes"]] == list(CAUDAL.reflexes)

    def test_signs_that_show(self):
        assert [s["id"] for s in self.said["signs"]] == ["foot-drop", "limp", "torn-l5"]

    def test_a_movement_says_who_still_does_it(self):
        rows = {m["name"]: m for m in self.said["movements"]}
        assert rows["hip flexion"]["weak"] == ["groin-muscle", "hip-muscle"]
        assert rows["toe lifting"] == {
            "name": "toe lifting",
            "state": "lost",
            "disputed": False,
            "able": [],
            "weak": [],
            "gone": ["toe-lifter"],
        }


class TestReasons:
    """Why."""

    def test_each_loss_has_its_routes_from_the_root_to_what_it_reaches(self):
        injury = injure(CAUDAL, ["hip nerve", "L4"])
        found = report.reasons(injury)
        lost = [*injury.muscles.values(), *injury.skin.values(), *injury.reflexes.values()]
        assert set(found) == {o.id for o in lost if o.loss}
        for id, why in found.items():
            assert set(why) == {"broken", "left"}
            for path in (*why["broken"], *why["left"]):
                assert path[0] in CAUDAL.roots
                assert path[-1] in CAUDAL.muscles or path[-1] in CAUDAL.skin
            assert why["broken"], id
        assert found["hip-muscle"] == {
            "broken": [
                ["L3", "front-band", "hip-nerve", "hip-muscle"],
                ["L4", "front-band", "hip-nerve", "hip-muscle"],
            ],
            "left": [],
        }


class TestTrace:
    """What a structure reaches."""

    def test_what_is_known_of_it_stands_beside_it_and_what_is_not_does_not(self):
        found = report.trace(reach(brachial(), "deltoid"), brachial())
        assert {"examine", "sources"} <= set(found)
        assert all(found[key] for key in set(found) & {"examine", "trick", "note", "sources"})
        bare = report.trace(reach(CAUDAL, "hip muscle"), CAUDAL)
        assert list(bare) == ["id", "name", "kind", "variants", "roots", "roots_minor", "routes", "muscles", "skin"]

    def test_sources_have_titles(self):
        found = report.trace(reach(CAUDAL, "L5"), CAUDAL)
        assert found["sources"] == [{"id": "made-up", "title": "invented for tests"}]


class TestLocalise:
    """Where an injury may be."""

    result = localise(CAUDAL, [finding(CAUDAL, "paralysed", "toe lifter"), finding(CAUDAL, "spared", "hip muscle")])
    said = report.localise(result)

    def test_its_shape(self):
        assert list(self.said) == ["sites", "unexplained", "variants_applied", "next_tests", "caution"]
        assert keys(self.said["sites"]) == {
            frozenset(
                (
                    *("id", "name", "cuts", "places", "explained", "unexplained", "contradicted"),
                    *("score", "plausible", "partial"),
                )
            )
        }
        assert keys(self.said["next_tests"]) == {
            frozenset(("id", "name", "kind", "tells", "word", "normal", "changed"))
        }

    def test_answers_say_in_words_what_they_explain(self):
        best = self.said["sites"][0]
        assert best["explained"] == ["paralysed toe lifter", "spared hip muscle"]
        assert best["unexplained"] == best["contradicted"] == []
        assert best["plausible"] in ("usual", "less usual", "unusual")
        assert best["cuts"] == [site.id for site in self.result.answers[0].cuts]

    def test_what_nothing_explains_is_said(self):
        told = localise(CAUDAL, [finding(CAUDAL, "paralysed", "back muscle")])
        assert report.localise(told)["unexplained"] == ["paralysed back muscle"]


class TestCompare:
    """Two side by side."""

    def test_two_injuries(self):
        said = report.comparison(compare(injure(CAUDAL, ["hip nerve"]), injure(CAUDAL, ["L3"])))
        assert list(said) == ["a", "b", "variants", "differ", "same", "caution"]
        assert said["a"] == [{"id": "hip-nerve", "name": "hip nerve"}]
        assert {"id": "hip-muscle", "name": "hip muscle", "kind": "muscle", "a": "paralysed", "b": "weak"} in said[
            "differ"
        ]
        assert keys(said["same"]) <= {frozenset(("id", "name", "kind", "state"))}

    def test_two_models(self):
        said = report.models(compare_models(CAUDAL, small("two-stages")))
        assert (said["a"], said["b"]) == ("caudal plexus", "two-stage plexus")
        assert keys(said["differ"]) == {frozenset(("id", "name", "kind", "what", "a", "b"))}
        assert said["caution"] == report.CAUTION


class TestBeside:
    """What stands beside the losses."""

    scenario = Scenario(
        id="bad-day",
        name="bad day",
        kind="scenario",
        sites=("L3",),
        usually="partial",
        note="A note.",
        sources=("made-up",),
        alternatives=(Alternative(("L4",), "some say"),),
    )

    def test_a_scenario_says_what_is_usual_and_what_others_mean_by_it(self):
        said = report.beside(injure(CAUDAL, ["L3"]), [self.scenario])
        assert list(said) == ["scenarios", "outside", "remarks", "unsure", "sources"]
        assert said["scenarios"] == [
            {
                "id": "bad-day",
                "name": "bad day",
                "usually": "partial",
                "hint": "Usually partial: add --partial.",
                "note": "A note.",
                "alternatives": [{"sites": ["L4"], "note": "some say"}],
                "sources": ["made-up"],
            }
        ]
        assert said["sources"] == [{"id": "made-up", "title": "invented for tests"}]

    @pytest.mark.parametrize(
        ("usually", "partial", "hint"),
        [
            ("partial", True, ""),
            ("complete", False, ""),
            ("", False, ""),
            ("partial", False, "Usually partial: add --partial."),
        ],
    )
    def test_a_hint_is_given_where_it_helps(self, usually, partial, hint):
        scenario = replace(self.scenario, usually=usually)
        (row,) = report.beside(injure(CAUDAL, ["L3"], partial), [scenario])["scenarios"]
        assert row["hint"] == hint

    def test_remarks_of_places_with_their_sources(self):
        said = report.beside(injure(brachial(), ["C7 avulsion"]))
        (remark,) = said["remarks"]
        assert remark["place"] == "preganglionic"
        assert remark["note"]
        assert set(remark["sources"]) <= {source["id"] for source in said["sources"]}

    def test_each_source_stands_once(self):
        said = report.beside(injure(CAUDAL, ["L3"]), [self.scenario, self.scenario])
        assert len(said["sources"]) == 1


class TestCaution:
    """It is always there."""

    def test_a_model_may_have_its_own(self):
        assert report.caution(small("two-part")) == "Invented."
        assert report.injury(injure(small("two-part"), ["A1"]))["caution"] == "Invented."

    @pytest.mark.parametrize("text", ["", "  \n"])
    def test_else_it_is_the_general_one(self, text):
        assert report.caution(replace(CAUDAL, caution=text)) == report.CAUTION
        assert "not for diagnosis" in report.CAUTION


def test_nerves_of_a_muscle_in_the_order_of_the_model():
    assert report.nerves(CAUDAL, "knee-flexor") == "shin nerve, deep branch of shin nerve"
    assert report.nerves(CAUDAL, "back-muscle") == ""


def test_sources_with_titles():
    plexus = replace(CAUDAL, sources={"x": Source("x", "Title X"), "y": Source("y", "Title Y")})
    assert report.sources(plexus, ["y", "x"]) == [{"id": "y", "title": "Title Y"}, {"id": "x", "title": "Title X"}]


@pytest.mark.parametrize("site", sites.all_sites(CAUDAL), ids=lambda s: s.id)
def test_every_site_is_told_by_words_that_the_tool_understands(site):
    (said,) = report.injury(injure(CAUDAL, [site]))["sites"]
    assert injure(CAUDAL, [said["name"]]).sites == injure(CAUDAL, [said["id"]]).sites == (site,)
