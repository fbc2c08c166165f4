"""What injuries take, worked out twice: by the package, and by plain walks and sets (tests/support/plainly.py).

Every named site of small models and of random ones is cut, wholly, in part, and together with a second one.
"""

from __future__ import annotations

import random
from dataclasses import replace

import plainly
import pytest
from randoms import random_plexus, small

from plexusdraw.clinic.injury import Injury
from plexusdraw.model import load
from plexusdraw.names.sites import all_sites
from plexusdraw.routes import fibres

MODELS = ("caudal", "two-part", "two-stages", "one-root")
SEEDS = range(6)


@pytest.fixture(scope="module", params=[*MODELS, *SEEDS, "lumbosacral"], ids=str)
def plexus(request, tmp_path_factory):
    """Small models, random ones, and a built-in one."""
    if request.param in MODELS:
        return small(request.param)
    if request.param == "lumbosacral":
        return load("lumbosacral")
    return random_plexus(tmp_path_factory.mktemp("random"), request.param)


@pytest.fixture(scope="module")
def injuries(plexus):
    """Injuries, each with its whole cuts and those that spare some fibres."""
    dice = random.Random(plexus.id)
    sites = list(all_sites(plexus))
    sites = sites if len(sites) < 40 else dice.sample(sites, 25)
    pairs = [dice.sample(sites, 2) for _ in range(12)] if len(sites) > 1 else []
    made = [Injury(plexus, [site]) for site in sites]
    made += [Injury(plexus, [site], partial=True) for site in sites[:12]]
    made += [Injury(plexus, pair) for pair in pairs]
    made += [Injury(plexus, [one, replace(other, partial=True)]) for one, other in pairs]
    return [(injury, *cuts_of(injury)) for injury in made]


def cuts_of(injury):
    """Whole cuts, and those in part, as (segment, position)."""
    both = [[cut for s in injury.sites for cut in s.cuts if s.partial == partial] for partial in (False, True)]
    return both[0], both[1]


def test_routes_are_the_walks_from_root_to_target(plexus):
    found = {(r.root, r.target, tuple(zip(r.path, r.exits, strict=True)), r.minor) for r in fibres.of(plexus).routes}
    wanted = [way for target in plexus.targets if not target.dermatome for way in plainly.ways(plexus, target)]
    assert found == set(wanted)
    assert len(fibres.of(plexus).routes) == len(wanted)


def test_ways_into_a_segment_are_the_walks_to_it(plexus):
    for id in plexus.segments:
        wanted = sorted((*(segment for segment, _ in steps), id) for _, steps in plainly.into(plexus, id))
        assert sorted(fibres.of(plexus).ways(id)) == wanted
        assert {root for root, _ in plainly.into(plexus, id)} == set(fibres.of(plexus).carried[id])


def test_muscles(plexus, injuries):
    for injury, whole, some in injuries:
        for id, outcome in injury.muscles.items():
            target = plexus.muscles[id]
            wanted = plainly.with_partial(lambda cuts, t=target: plainly.loss(plexus, t, cuts), whole, some)
            assert outcome.loss == wanted, (id, [s.name for s in injury.sites])


def test_skin_and_dermatomes(plexus, injuries):
    for injury, whole, some in injuries:
        for id, outcome in injury.skin.items():
            area = plexus.skin[id]
            wanted = plainly.with_partial(lambda cuts, a=area: plainly.of_skin(plexus, a, cuts), whole, some)
            assert outcome.loss == wanted, (id, [s.name for s in injury.sites])


def test_a_route_is_broken_where_a_cut_lies_on_it(plexus, injuries):
    for injury, whole, some in injuries:
        for id, outcome in injury.muscles.items():
            broken = [w for w in plainly.ways(plexus, plexus.muscles[id]) if w.cut_by([*whole, *some])]
            assert {(r.root, r.path) for r in outcome.broken} == {
                (w.root, tuple(s for s, _ in w.steps)) for w in broken
            }
            left = {r.root for r in outcome.left}
            assert set(outcome.roots_left) == left | set(plexus.muscles[id].outside)
            assert set(outcome.roots_lost) == {w.root for w in broken} - left


def test_the_share_that_is_left(plexus, injuries):
    """Of a cut in part half of what it breaks counts as left."""
    for injury, whole, some in injuries:
        for id, outcome in injury.muscles.items():
            target = plexus.muscles[id]
            shares = plainly.remaining(plexus, target, whole), plainly.remaining(plexus, target, [*whole, *some])
            assert outcome.remaining == pytest.approx(sum(shares) / 2), id


def test_movements(plexus, injuries):
    for injury, whole, some in injuries:
        for name, movement in injury.movements.items():
            movers = [m for m in plexus.muscles.values() if name in m.movements]
            others = [o for o in plexus.outside.values() if name in o.movements]

            def lost(cuts, movers=movers, others=others):
                return plainly.together([*(plainly.loss(plexus, m, cuts) for m in movers), *(0 for _ in others)])

            if not any(o.cut for o in others):
                assert movement.loss == plainly.with_partial(lost, whole, some), name
            states = {m.id: injury.muscles[m.id].loss for m in movers}
            assert set(movement.gone) == {id for id, found in states.items() if found == plainly.WHOLE}
            assert set(movement.weak) == {id for id, found in states.items() if found == plainly.PART}


def test_reflexes(plexus, injuries):
    for injury, whole, some in injuries:
        for id, outcome in injury.reflexes.items():
            reflex = plexus.reflexes[id]
            muscles = {
                m for one in reflex.muscles for m in (plexus.groups[one].members if one in plexus.groups else [one])
            }
            every = [w for m in muscles for w in plainly.ways(plexus, plexus.muscles[m]) if w.root in reflex.roots]
            gone = [w for w in every if w.cut_by([*whole, *some])]
            cut_whole = [w for w in every if w.cut_by(whole)]
            word = "lost" if len(cut_whole) == len(every) else "reduced" if gone else "kept"
            assert outcome.state == word, (id, [s.name for s in injury.sites])


def test_strands(plexus, injuries):
    """Alive where all ways of the root still run there, lost where none does, not even beside cuts in part."""
    if any(segment.reaches for segment in plexus.segments.values()):
        pytest.skip("a link that is for some muscles alone: its strands follow routes, not ways")
    for injury, whole, some in injuries[:30]:
        for id, segment in plexus.segments.items():
            for root in fibres.of(plexus).carried[id]:
                for at in {0, len(segment.course)}:
                    now, every = plainly.alive(plexus, id, root, at, [*whole, *some])
                    lasting, _ = plainly.alive(plexus, id, root, at, whole)
                    word = "alive" if now == every else "partly" if lasting else "lost"
                    assert injury.strand(id, root, at) == word, (id, root, at, [s.name for s in injury.sites])


@pytest.mark.parametrize("name", ["brachial", "lumbosacral"])
def test_a_lost_movement_is_disputed_where_one_of_its_muscles_is(name):
    plexus, mixed = load(name), 0
    for site in all_sites(plexus):
        injury = Injury(plexus, [site])
        for movement in injury.movements.values():
            disputes = [injury.muscles[id].disputed for id in movement.gone if id in injury.muscles]
            assert movement.disputed == (movement.state == "lost" and any(disputes))
            mixed += movement.disputed and not all(disputes)
    assert mixed or name == "lumbosacral"
