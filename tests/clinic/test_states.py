"""What every named site of the brachial plexus takes, kept: a change of the engine must not change it unseen.

``states/brachial.txt`` holds a line for each site, a digit for each target (0 spared to 3 wholly lost). Where a rule or
a fact of the model changes on purpose, write the file anew: ``python tests/clinic/test_states.py``.
"""

from __future__ import annotations

from pathlib import Path

from plexusdraw.clinic import deficits
from plexusdraw.model import Plexus, load
from plexusdraw.names import sites

KEPT = Path(__file__).parent / "states" / "brachial.txt"


def states(plexus: Plexus) -> tuple[list[str], dict[str, str]]:
    """Ids of muscles, skin and reflexes, and for each site a digit for each of them."""
    rule = deficits.of(plexus)
    ids = [*plexus.muscles, *plexus.skin, *plexus.reflexes]
    found = {}
    for site in sites.all_sites(plexus):
        broken = rule.broken([(site.segment, site.at)])
        found[site.id] = "".join(str(int(rule.loss(id, broken))) for id in ids)
    return ids, found


def test_brachial_states_are_as_kept() -> None:
    head, *lines = KEPT.read_text(encoding="utf-8").splitlines()
    kept_ids = head.split()
    ids, now = states(load("brachial"))
    assert set(kept_ids) <= set(ids)
    places = [ids.index(id) for id in kept_ids]
    kept = dict(line.split(" ") for line in lines)
    assert len(kept) > 150
    changed = {
        (site, id): (was, now[site][at])
        for site, digits in kept.items()
        for id, was, at in zip(kept_ids, digits, places, strict=True)
        if now[site][at] != was
    }
    assert changed == {}


if __name__ == "__main__":
    ids, found = states(load("brachial"))
    KEPT.write_text("\n".join([" ".join(ids), *(f"{id} {digits}" for id, digits in found.items())]) + "\n")
