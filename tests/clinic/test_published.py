"""Computed results against published ones; the source of each row stands beside it, in tests/published.

What is listed here as a disagreement is one of the source with the rule or the other sources, not an oversight.
"""

from __future__ import annotations

import pytest
from scripts import script

from plexusdraw import names
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import injure
from plexusdraw.model import Exit, load
from plexusdraw.names import sites
from plexusdraw.routes import fibres

agreement = script("agreement")
PLEXUS, RULE, table = agreement.PLEXUS, agreement.RULE, agreement.table
ROUTES = fibres.of(PLEXUS)


def label(row):
    return "-".join(str(value) for value in list(row.values())[:4])


VIGNETTES = agreement.document("vignettes")
QUESTIONS = agreement.document("inverse")["questions"]


# --- roots ---


@pytest.mark.parametrize("row", table("nerve_roots"), ids=label)
def test_roots_of_a_nerve(row):
    shares = ROUTES.carried[row["nerve"]]
    principal = {root for root, minor in shares.items() if not minor}
    assert agreement.supply_agrees(row, principal, set(shares) - principal, set()), row


@pytest.mark.parametrize("row", table("muscle_supply"), ids=label)
def test_nerve_and_roots_of_a_muscle(row):
    assert agreement.muscle_row_agrees(row), row


@pytest.mark.parametrize("row", table("side_branches"), ids=label)
def test_branches_of_a_stage_in_their_order(row):
    segments = PLEXUS.staged(row["stage"])
    if row["stage"] == "branches":
        found = [segment.id for segment in segments]
    else:
        chosen = [s for s in segments if s.id in row["segment"].split()] or list(segments)
        exits = [item.to for s in chosen for item in s.course if isinstance(item, Exit)]
        found = [id for id in dict.fromkeys(exits) if PLEXUS.segments[id].drawn]
        found = [id for id in found if len(chosen) == 1 or set(PLEXUS.segments[id].parents) == {s.id for s in chosen}]
        if len(chosen) == 1:
            found = [id for id in found if PLEXUS.segments[id].parents == (chosen[0].id,)]
    assert found == row["branches"].split()
    assert len(found) == int(row["count"])


@pytest.mark.parametrize("row", table("key_points"), ids=label)
def test_key_points_of_a_root(row):
    wanted = row["roots"].split()
    structures = [member for id in row["structures"].split() for member in RULE.members(id)]
    if row["kind"] == "reflex":
        reflex = PLEXUS.reflexes[structures[0]]
        assert set(wanted) <= {*reflex.roots, *reflex.minor}
        return
    after = injure(PLEXUS, wanted)
    for id in structures:
        assert after.outcome(id).loss >= Loss.SLIGHT, row
    for movement in row["what"].split("; ") if row["kind"] == "root movement" else ():
        assert _movement_is_hit(after, movement), row


def _movement_is_hit(after, movement):
    """A movement of the model, or one that a source names more broadly (finger flexion, hand intrinsics)."""
    if movement == "hand intrinsics":
        return after.rule.loss("intrinsic-muscles-of-hand", after.broken) >= Loss.PART
    if movement in after.movements:
        return after.movements[movement].loss >= Loss.SLIGHT
    first, last = movement.split(" ")[0], movement.split(" ")[-1]
    return any(m.loss >= Loss.PART for name, m in after.movements.items() if name.startswith(first) and last in name)


@pytest.mark.parametrize("row", table("synonyms"), ids=label)
def test_spelling(row):
    assert names.find(PLEXUS, row["spelling"]).id == row["id"], row


# --- injuries ---


@pytest.mark.parametrize("case", VIGNETTES["vignettes"], ids=lambda c: c["id"])
def test_what_follows_from_an_injury(case):
    """All but the disagreements that tests/published/disagreements.yaml gives a reason for."""
    wrong = [claim.text for claim in agreement.claims(case) if not claim.agrees]
    assert wrong == [claim for id, claim in agreement.reasons() if id == case["id"]], case.get("sources")
    assert all(claim.agrees for claim in agreement.seen_claims(case)), case.get("sources")


OTHERS = [(name, case) for name in agreement.OTHERS for case in agreement.document(name)["vignettes"]]


@pytest.mark.parametrize(("name", "case"), OTHERS, ids=lambda value: value["id"] if isinstance(value, dict) else value)
def test_what_follows_from_an_injury_of_another_plexus(name, case):
    plexus = load(agreement.document(name)["model"])
    wrong = [claim.text for claim in agreement.claims(case, plexus) if not claim.agrees]
    assert wrong == [claim for id, claim in agreement.reasons() if id == case["id"]], case["sources"]


@pytest.mark.parametrize("pair", VIGNETTES["pairs"], ids=lambda p: p["id"])
def test_places_easily_confused(pair):
    for cut, told in zip(pair["cut"], (pair["first"], pair["second"]), strict=True):
        assert [c.text for c in agreement.side_claims(cut, told) if not c.agrees] == [], (cut, pair["sources"])


# --- from findings to places ---


@pytest.mark.parametrize("case", QUESTIONS, ids=lambda c: c["id"])
def test_the_published_place_comes_first(case):
    first, right, not_beaten = agreement.answered(case)
    assert right, (first, case["sources"])
    assert not_beaten == [], case["not_these"]


# --- names of injuries ---


@pytest.mark.parametrize("row", table("scenarios"), ids=lambda row: row["name"])
def test_sites_of_a_named_injury(row):
    wanted = [sites.parse(PLEXUS, text) for text in row["sites"].split("; ")]
    assert list(injure(PLEXUS, [row["name"]]).sites) == wanted


# --- dermatomes ---


def test_a_dermatome_changes_by_roots_trunks_divisions_and_cords_alone():
    nerves = [s for s in sites.all_sites(PLEXUS) if PLEXUS.segments[s.segment].stage in (None, "branches")]
    dermatomes = [area.id for area in PLEXUS.skin.values() if area.dermatome]
    changed = [(s.id, id) for s in nerves for id in dermatomes if injure(PLEXUS, [s]).skin[id].state != "spared"]
    assert changed == []
    for root in PLEXUS.roots:
        after = injure(PLEXUS, [root])
        assert [id for id in dermatomes if after.skin[id].state != "spared"] == [f"{root.lower()}-dermatome"]


@pytest.mark.parametrize(
    ("cut", "changed"),
    [("upper trunk", "C5 C6"), ("middle trunk", "C7"), ("lower trunk", "C8 T1"), ("medial cord", "C8 T1")],
)
def test_dermatomes_of_trunks_and_of_the_medial_cord(cut, changed):
    skin = injure(PLEXUS, [cut]).skin.values()
    found = [root for area in skin if area.loss > Loss.SLIGHT for root in PLEXUS.skin[area.id].dermatome]
    assert found == changed.split()
