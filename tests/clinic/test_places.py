"""Places look only at what shares in the broken routes, and find what the rule finds for every structure."""

import math
from functools import cache
from random import Random

import pytest
from randoms import brachial, random_plexus, small

from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.places import Places
from plexusdraw.model import load, models
from plexusdraw.names import sites


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


MODELS = {"caudal": lambda: small("caudal"), "two-part": lambda: small("two-part"), "brachial": brachial}


@cache
def after(plexus, site):
    """The injury of one site."""
    return injure(plexus, [site])


@pytest.fixture(scope="module", params=MODELS)
def known(request):
    return Places(MODELS[request.param]())


def test_sites_of_a_place_do_the_same_and_those_of_two_do_not(known):
    def whole(site):
        injury = after(known.plexus, site)
        hit = [known.rule.loss(o.id, injury.broken) for o in known.plexus.outside.values()]
        states = [o.loss for o in (*injury.muscles.values(), *injury.skin.values(), *injury.reflexes.values())]
        return (*states, *hit, *(s.id for s in injury.signs))

    found = [{whole(site) for site in place.sites} for place in known.all]
    assert all(len(states) == 1 for states in found)
    assert len(set().union(*found)) == len(found)


def test_every_site_that_takes_something_has_one_place(known):
    listed = [site.id for place in known.all for site in place.sites]
    assert len(set(listed)) == len(listed)
    for site in sites.all_sites(known.plexus):
        injury = after(known.plexus, site)
        some = any(o.loss for o in (*injury.muscles.values(), *injury.skin.values(), *injury.reflexes.values()))
        if some:
            assert site.id in listed


def test_a_sign_weighs_by_how_few_places_show_it(known):
    """The logarithm to base 2 of (all places / those that show it), over 3; at least 1."""
    for sign in known.plexus.signs.values():
        shown = sum(sign in after(known.plexus, place.sites[0]).signs for place in known.all)
        wanted = max(1.0, math.log2(len(known.all) / shown) / 3) if shown else known.weight(sign.id)
        assert known.weight(sign.id) == pytest.approx(wanted), sign.id


def test_a_sign_that_no_place_shows_weighs_as_one_that_a_single_place_does(known):
    for sign in known.plexus.signs.values():
        if not any(sign in after(known.plexus, place.sites[0]).signs for place in known.all):
            assert known.weight(sign.id) == pytest.approx(max(1.0, math.log2(len(known.all)) / 3))


def test_what_is_not_examined_at_the_bedside_changes_nothing_that_is_seen(known):
    bits = known.bedside_bits
    for place in known.all:
        assert known.seen(place.broken & bits) == known.seen(place.broken)


def test_all_that_is_seen_at_the_bedside_rests_on_its_bits(known):
    """Every route to what is examined there is among them, and no other."""
    wanted = {r for r in known.rule.routes if r.target in known.bedside}
    for id in known.plexus.reflexes:
        reflex = known.plexus.reflexes[id]
        muscles = {m for one in reflex.muscles for m in known.rule.members(one)}
        wanted |= {r for r in known.rule.routes if r.target in muscles and r.root in (*reflex.roots, *reflex.minor)}
    assert set(known.rule.routes_in(known.bedside_bits)) == wanted


def test_places_that_look_alike_are_told_together_the_commonest_first(known):
    for place in known.all:
        same = known.alike(place.seen)
        assert set(place.sites) <= set(same)
        keys = [known.commonest(site) for site in same]
        assert keys == sorted(keys)
    assert known.alike((9,)) == ()


def test_weakness_that_leaves_two_thirds_of_the_fibres_is_not_seen(known):
    for place in known.all:
        injury = after(known.plexus, place.sites[0])
        for id, seen in zip(known.bedside, place.seen, strict=False):
            outcome = injury.outcome(id)
            if outcome.state in ("spared", "slight", "kept"):
                assert seen == 0
            elif outcome.state in ("weak", "reduced"):
                assert seen == int(outcome.remaining < 2 / 3), id
            else:
                assert seen == 2


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("hip nerve", "usual"),
        ("L3", "usual"),
        ("thigh nerve at knee", "usual"),
        ("thigh nerve at groin", "less usual"),
        ("shin nerve after knee flexor", "unusual"),
        ("thigh nerve before knee extensor", "unusual"),
        ("joining root", "unusual"),
        ("front half", "unusual"),
        ("front band", "usual"),
        ("deep branch of shin nerve", "usual"),
    ],
)
def test_how_usual_an_injury_is_at_each_kind_of_place(text, word):
    """The knee has a name of its own; halves are bare; the joining root is a link; others are told by a branch."""
    assert Places(small("caudal")).plausible(sites.parse(small("caudal"), text)).word == word
