"""Names of injuries: found in every spelling, joined to sites, and their faults told with their line."""

from __future__ import annotations

import pytest
from randoms import brachial

from plexusdraw.clinic import findings
from plexusdraw.clinic.injury import injure
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load
from plexusdraw.names import scenarios, sites
from plexusdraw.yamlfile.document import Faults

MODEL = """plexusdraw: 1
id: fin
name: fin plexus
stages:
  - {id: roots, name: roots, singular: root}
  - {id: nerves, name: nerves, singular: nerve}
segments:
  - {name: F1, stage: roots}
  - {name: curling nerve, stage: nerves, from: [F1], course: [{place: bend}, curler]}
muscles:
  - {name: curler, roots: [F1]}
scenarios:
  - {name: fin palsy, synonyms: [limp fin], sites: [curling nerve at bend, F1]}
"""


def fin(tmp_path, extra=""):
    path = tmp_path / "fin.yaml"
    path.write_text(MODEL + extra, "utf-8")
    return load(path)


def ids(plexus, text):
    return [site.id for site in sites.parse_all(plexus, text)]


@pytest.mark.parametrize("text", ["fin palsy", "Limp Fin", "limp-fin", "fin palsy (left)", "fin palsy + curling nerve"])
def test_a_scenario_stands_for_its_sites(tmp_path, text):
    found = ids(fin(tmp_path), text)
    assert found[:2] == ["curling-nerve-at-bend", "F1"]
    assert len(found) == 2 + ("+" in text)
    assert [s.id for s in scenarios.named(fin(tmp_path), text)] == ["fin-palsy"]


def test_where_one_site_is_wanted_several_are_told(tmp_path):
    with pytest.raises(UnknownNameError, match="several sites: curling nerve at bend, F1"):
        sites.parse(fin(tmp_path), "fin palsy")
    assert sites.parse(brachial(), "Klumpke palsy").id == "lower-trunk"


def test_a_structure_is_not_named_by_a_lesion():
    for word in ("palsy", "paralysis", "syndrome", "neuropathy"):
        places = [e for e in brachial().entities() if e.kind not in ("scenario", "sign")]
        assert [e.id for e in places if any(word in name.split() for name in (e.name, *e.synonyms))] == []


def test_no_scenario_has_a_name_of_a_structure_or_of_another():
    plexus = brachial()
    for scenario in plexus.scenarios.values():
        for name in (scenario.name, *scenario.synonyms):
            assert sites.scenario(plexus, name) is scenario, name


def test_faults_of_scenarios_have_their_line(tmp_path):
    extra = "  - {name: other palsy, sites: [curling nerv at bend]}\n  - name: third\n    sites: [F1]\n"
    extra += "    alternatives: [{sites: [fin palsy]}]\n"
    plexus = fin(tmp_path, extra)
    faults = Faults("fin.yaml")
    scenarios.check(plexus, faults)
    first, second = faults.lines()
    assert first.startswith('fin.yaml:14: other palsy: nothing in the fin plexus is called "curling nerv at bend"')
    assert second.startswith('fin.yaml:15: third: "fin palsy" is a scenario itself. Name the place.')


def test_what_is_said_of_a_site_ends_with_one_full_stop(tmp_path):
    plexus = fin(tmp_path, "  - {name: other palsy, sites: [nowhere]}\n")
    faults = Faults("fin.yaml")
    scenarios.check(plexus, faults)
    (told,) = faults.lines()
    assert told == (
        'fin.yaml:14: other palsy: nothing in the fin plexus is called "nowhere". "list" shows what there is. '
        "Write it as injure takes it."
    )


def test_a_scenario_with_a_joint_in_its_name_is_named_as_a_whole(tmp_path):
    plexus = fin(tmp_path, "  - {name: bend and root palsy, sites: [F1]}\n  - {name: root palsy, sites: [F1]}\n")
    assert [s.id for s in scenarios.named(plexus, "bend and root palsy")] == ["bend-and-root-palsy"]
    assert [s.id for s in scenarios.named(plexus, "root palsy + fin palsy")] == ["root-palsy", "fin-palsy"]
    assert scenarios.named(plexus, "F1 + curling nerve") == ()


def test_a_scenario_that_names_itself_ends(tmp_path):
    plexus = fin(tmp_path, "  - {name: ring, sites: [ring + ring]}\n")
    with pytest.raises(UnknownNameError):
        sites.parse_all(plexus, "ring")


def test_the_scenarios_of_the_model_are_right():
    faults = Faults("brachial.yaml")
    scenarios.check(brachial(), faults)
    assert list(faults.lines()) == []


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("lumbar plexopathy", ["L1", "L2", "L3", "posterior division of L4", "anterior division of L4"]),
        ("footdrop", ["common fibular nerve at neck of fibula"]),
        ("foot drop", ["common fibular nerve at neck of fibula"]),
        ("Morton's neuroma", ["third common plantar digital nerve"]),
        ("Trendelenburg gait", ["superior gluteal nerve"]),
        ("saphenous neuralgia", ["saphenous nerve at adductor canal"]),
        ("tibial nerve palsy", ["tibial nerve at popliteal fossa"]),
        ("piriformis syndrome", ["sciatic nerve at greater sciatic foramen"]),
        ("meralgia paresthetica", ["lateral femoral cutaneous nerve at inguinal ligament"]),
        ("Alcock canal syndrome", ["pudendal nerve at pudendal canal"]),
        ("sciatic nerve in the thigh", ["sciatic nerve at mid thigh"]),
    ],
)
def test_injuries_of_the_lower_limb_have_the_names_that_lessons_use(text, meant):
    assert [site.name for site in injure(load("lumbosacral"), [text]).sites] == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("phrenic nerve palsy", ["phrenic nerve at scalenus anterior"]),
        ("great auricular nerve injury", ["great auricular nerve at nerve point of neck"]),
        ("ansa cervicalis palsy", ["superior root of ansa cervicalis", "inferior root of ansa cervicalis"]),
    ],
)
def test_injuries_of_the_neck_have_the_names_that_lessons_use(text, meant):
    assert [site.name for site in injure(load("cervical"), [text]).sites] == meant


@pytest.mark.parametrize("model", ["lumbosacral", "cervical"])
def test_the_scenarios_of_the_other_models_are_right(model):
    faults = Faults(f"{model}.yaml")
    scenarios.check(load(model), faults)
    assert list(faults.lines()) == []
    plexus = load(model)
    for scenario in plexus.scenarios.values():
        for name in (scenario.name, *scenario.synonyms):
            assert sites.scenario(plexus, name) is scenario, name


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        ("foot drop", "foot-drop"),
        ("Trendelenburg gait", "dropping-of-the-pelvis"),
        ("knee buckling", "buckling-of-the-knee"),
    ],
)
def test_what_names_an_injury_is_a_finding_as_well(text, sign):
    plexus = load("lumbosacral")
    assert findings.finding(plexus, "sign", text).about == sign


def test_a_neuroma_between_the_toes_takes_a_part_of_the_sole():
    result = injure(load("lumbosacral"), ["Morton neuroma"])
    assert [area.id for area in result.skin.values() if area.state != "spared"] == ["medial-sole"]
    assert result.skin["medial-sole"].state == "reduced"
    assert not [m for m in result.muscles.values() if m.state != "spared"]
