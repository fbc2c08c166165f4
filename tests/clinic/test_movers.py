"""Movements against a published table of movers, with the muscles of other nerves: tests/published/movers.csv."""

from __future__ import annotations

import pytest
from scripts import script

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import injure
from plexusdraw.names import sites

agreement = script("agreement")
PLEXUS, RULE = agreement.PLEXUS, agreement.RULE
ROWS = agreement.table("movers")


def members(weight):
    """Movement → its published movers of that weight, groups as their members."""
    found = {}
    for row in ROWS:
        if row["weight"] == weight:
            found.setdefault(row["movement"], set()).update(RULE.members(row["mover"]))
    return found


MAIN, WEAK = members("main"), members("weak")


def test_the_model_names_the_published_movers_and_no_others():
    assert {name: set(ids) for name, ids in RULE.movers.items()} == MAIN


def test_a_weak_helper_is_left_out_knowingly():
    assert [name for name, ids in WEAK.items() if ids & set(RULE.movers[name])] == []
    assert set(WEAK) <= set(RULE.movers)


@pytest.mark.parametrize("site", sites.all_sites(PLEXUS), ids=lambda site: site.id)
def test_no_mover_is_left_of_a_movement_that_is_lost(site):
    after = injure(PLEXUS, [site])
    for name, movement in after.movements.items():
        left = {id for id in MAIN[name] if RULE.loss(id, after.broken) is not Loss.WHOLE}
        assert (movement.loss is Loss.WHOLE) == (not left), (name, left)


@pytest.mark.parametrize(
    ("cut", "movement", "still"),
    [
        ("dorsal scapular nerve", "scapular retraction", "trapezius"),
        ("long thoracic nerve", "scapular upward rotation", "trapezius"),
        ("medial cord", "scapular depression", "trapezius"),
        ("median nerve at above elbow", "finger PIP flexion", "flexor-digitorum-profundus-ulnar-half"),
        ("ulnar nerve at elbow", "little finger MCP flexion", "flexor-digitorum-superficialis"),
        ("posterior interosseous nerve after extensor digitorum", "index finger extension", "extensor-digitorum"),
        ("posterior interosseous nerve after extensor digitorum", "little finger extension", "extensor-digitorum"),
    ],
)
def test_movements_that_muscles_of_other_nerves_still_do(cut, movement, still):
    found = injure(PLEXUS, [cut]).movements[movement]
    assert found.loss is Loss.PART
    assert still in found.able
