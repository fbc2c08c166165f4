"""Places look only at what shares in the broken routes, and find what the rule finds for every structure."""

from random import Random

import pytest
from randoms import random_plexus

from plexusdraw.clinic.places import Places
from plexusdraw.model import load, models


def agrees(plexus, dice):
    places = Places(plexus)
    some = [place.broken for place in places.all]
    pairs = [dice.choice(some) | dice.choice(some) for _ in range(200)] if some else []
    for broken in (0, *some, *pairs):
        assert places.losses(broken) == tuple(places.rule.loss(id, broken) for id in places.ids)
        seen = tuple(places.seen_of(id, broken) for id in places.bedside)
        signs = tuple(int(places.rule.holds(sign.when, broken)) for sign in places.placed_signs)
        assert places.seen(broken) == (*seen, *signs)


@pytest.mark.parametrize("name", models())
def test_of_the_built_in_models(name):
    agrees(load(name), Random(1))


@pytest.mark.parametrize("seed", range(8))
def test_of_random_models(seed, tmp_path):
    agrees(random_plexus(tmp_path, seed), Random(seed))
