from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from randoms import brachial, random_plexus, small

from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury, injure
from plexusdraw.errors import UnknownNameError
from plexusdraw.names import sites
from plexusdraw.routes import fibres

SITES = sites.all_sites(brachial())
cuts = st.lists(st.sampled_from(SITES), min_size=1, max_size=3)


def outcomes(injury):
    return (*injury.muscles.values(), *injury.skin.values(), *injury.reflexes.values())


def test_the_rule_on_a_small_model():
    plexus = small("two-stages")
    after = injure(plexus, ["C5"]).muscles
    assert after["side-muscle"].state == "paralysed"
    assert after["first-muscle"].state == "weak", "C5 alone is principal, and C6 stands in"
    assert after["first-muscle"].disputed, "a source that leaves out C6 would call it paralysed"
    assert injure(plexus, ["C5", "C6"]).muscles["first-muscle"].state == "paralysed"
    assert injure(plexus, ["main nerve"]).muscles["first-muscle"].state == "paralysed"
    assert after["first-muscle"].roots_left == ("C6",)
    assert after["second-muscle"].state == "weak", "C4 comes from outside"
    assert after["second-muscle"].roots_left == ("C4", "C6")
    assert after["second-muscle"].outside == {"C4": "other nerve"}
    assert injure(plexus, ["C6"]).muscles["first-muscle"].state == "slight"
    assert injure(plexus, ["C6"]).muscles["side-muscle"].state == "spared"


def test_remaining_weighs_a_minor_route_a_quarter():
    after = injure(small("two-stages"), ["C5"]).muscles
    assert after["first-muscle"].remaining == pytest.approx(0.25 / 1.25)
    assert after["second-muscle"].remaining == pytest.approx(1.25 / 2.25)


def test_skin_is_lost_only_when_no_route_is_left():
    plexus = small("caudal")
    assert injure(plexus, ["S1", "S2"]).skin["sole-skin"].state == "reduced"
    assert injure(plexus, ["L5", "S1", "S2"]).skin["sole-skin"].state == "lost"
    assert injure(plexus, ["L5"]).skin["sole-skin"].state == "spared"
    assert injure(plexus, ["S1"]).skin["s1-dermatome"].state == "lost"
    assert injure(plexus, ["L3"]).skin["l3-dermatome"].state == "lost", "all its routes are minor"


def test_a_dermatome_of_two_roots_is_reduced_by_one_of_them_and_lost_with_both():
    plexus = small("odd-targets")

    def state(*sites):
        return injure(plexus, sites).skin["f2-f3-dermatome"].state

    assert {state("F2"), state("F3")} == {"reduced"}
    assert state("F2", "F3") == state("lower cord") == "lost"
    assert state("F1") == state("upper cord") == "spared", "F2 is hit on its way to other structures alone"


def test_movements_follow_from_their_muscles():
    after = injure(small("caudal"), ["hip nerve"]).movements
    assert after["hip flexion"].state == "weak"
    assert after["hip flexion"].able == ("groin-muscle",)
    assert after["hip flexion"].gone == ("hip-muscle",)
    assert after["hip flexion"].name == "hip flexion"
    assert after["hip rotation"].state == "lost"
    assert after["standing up"].state == "spared"


def test_a_weak_muscle_does_its_movement_weakly_and_a_slightly_weak_one_in_full():
    """Weak and slight as muscles are: a slight loss is none that a movement shows by itself."""
    after = injure(small("two-stages"), ["C5"]).movements["pull"]
    assert (after.able, after.weak, after.gone) == ((), ("first-muscle", "second-muscle"), ())
    after = injure(small("two-stages"), ["main nerve"]).movements["pull"]
    assert (after.able, after.weak, after.gone) == ((), ("second-muscle",), ("first-muscle",))
    after = injure(small("two-stages"), ["C6"]).movements["pull"]
    assert (after.able, after.weak, after.gone) == (("first-muscle", "second-muscle"), (), ())


def test_reflexes_and_signs():
    plexus = small("caudal")
    after = injure(plexus, ["L4"])
    assert after.reflexes["knee-reflex"].state == "lost"
    assert after.reflexes["heel-reflex"].state == "kept"
    assert [s.id for s in injure(plexus, ["deep branch of shin nerve"]).signs] == ["foot-drop"]
    assert [s.id for s in injure(plexus, ["hip nerve"]).signs] == ["limp"]
    assert "torn-l5" in [s.id for s in injure(plexus, ["L5"]).signs]


def test_a_reflex_has_its_name_and_the_routes_of_its_roots():
    """The knee reflex is carried by L4, and by L3 as minor, to the knee extensor."""
    reflex = injure(small("caudal"), ["L4"]).reflexes["knee-reflex"]
    assert (reflex.name, reflex.kind) == ("knee reflex", "reflex")
    assert {(r.root, r.target) for r in reflex.left} == {("L3", "knee-extensor")}
    assert {(r.root, r.target) for r in reflex.broken} == {("L4", "knee-extensor")}
    assert (reflex.roots_lost, reflex.roots_left, reflex.outside) == (("L4",), ("L3",), {})


def test_horner_follows_the_root_and_not_the_trunk():
    """T1 before the ganglion gives Horner syndrome, the lower trunk does not (wheeless-klumpke, gpnotebook-lesions)."""
    signs = {text: {s.id for s in injure(brachial(), [text]).signs} for text in ("T1 avulsion", "lower trunk")}
    assert "horner-syndrome" in signs["T1 avulsion"]
    assert "horner-syndrome" not in signs["lower trunk"]


@pytest.mark.parametrize(
    ("text", "spared", "never"),
    [
        ("upper trunk", {"rhomboid-major", "serratus-anterior"}, {"deltoid", "triceps-brachii-long-head"}),
        ("carpal tunnel", {"pronator-teres", "thenar-eminence-and-central-palm"}, {"opponens-pollicis", "deltoid"}),
        ("posterior interosseous nerve", {"brachioradialis", "dorsolateral-hand-and-first-web"}, {"extensor-indicis"}),
        ("ulnar nerve at elbow", {"abductor-pollicis-brevis", "medial-forearm"}, {"deltoid"}),
        ("lower trunk", {"brachioradialis", "pronator-teres"}, {"latissimus-dorsi", "opponens-pollicis"}),
        ("C8", {"brachioradialis"}, {"deltoid", "flexor-carpi-ulnaris"}),
    ],
)
def test_what_is_notably_spared(text, spared, never):
    found = set(injure(brachial(), [text]).notably_spared)
    assert spared <= found
    assert not never & found
    assert not {id for id in found if brachial().skin.get(id) and brachial().skin[id].dermatome}


@pytest.mark.parametrize(
    ("text", "near", "far"),
    [
        ("radial nerve at spiral groove", "triceps-brachii-long-head", "deltoid"),
        ("musculocutaneous nerve at elbow", "brachialis", "flexor-carpi-radialis"),
    ],
)
def test_the_nearest_of_what_is_spared_comes_first(text, near, far):
    """By the cut nerve itself, if only in part as the brachialis is, and then by what it comes from."""
    found = injure(brachial(), [text]).notably_spared
    assert found.index(near) < found.index(far)


def test_after_a_cut_of_a_cord_other_muscles_of_its_nerves_are_notable():
    found = injure(brachial(), ["lateral cord"]).notably_spared
    assert "abductor-pollicis-brevis" in found, "by the median nerve's medial root"


def test_each_of_several_cuts_has_its_own_beside_it():
    together = injure(brachial(), ["upper trunk", "medial cord"])
    apart = [injure(brachial(), [place]).notably_spared for place in ("upper trunk", "medial cord")]
    assert set(together.notably_spared) == {id for id in {*apart[0], *apart[1]} if not together.outcome(id).loss}


def test_unknown_site():
    with pytest.raises(UnknownNameError):
        injure(brachial(), ["nowhere"])


def test_a_cut_is_whole_unless_said():
    injury = Injury(small("two-stages"), [sites.start(small("two-stages"), "C5")])
    assert not injury.partial
    assert injury.outcome("side-muscle").loss is Loss.WHOLE
    with pytest.raises(KeyError, match="C5"):
        injury.outcome("C5")


def test_nothing_cut_nothing_lost():
    after = injure(brachial(), [])
    assert all(o.loss is Loss.NONE and o.remaining == 1 for o in outcomes(after))
    assert all(o.name == brachial().entity(o.id).name for o in outcomes(after))
    assert after.signs == ()


@settings(deadline=None)
@given(cuts, st.sampled_from(SITES))
def test_more_cuts_never_spare_more(some, another):
    fewer, more = injure(brachial(), some), injure(brachial(), [*some, another])
    for before, after in zip(outcomes(fewer), outcomes(more), strict=True):
        assert after.loss >= before.loss
        assert after.remaining <= before.remaining
        assert set(after.roots_lost) >= set(before.roots_lost)
    for name, movement in fewer.movements.items():
        assert more.movements[name].loss >= movement.loss


@pytest.mark.parametrize("name", ["brachial", "caudal", "two-stages", "one-root"])
def test_without_roots_only_what_comes_from_outside_works(name):
    plexus = brachial() if name == "brachial" else small(name)
    after = injure(plexus, plexus.roots)
    for target in (*plexus.muscles.values(), *plexus.skin.values()):
        outcome = after.outcome(target.id)
        assert (outcome.loss is Loss.WHOLE) == (not target.outside), target.id
        assert outcome.roots_left == tuple(target.outside)
        assert (outcome.remaining > 0) == bool(target.outside)


@given(st.sampled_from(list(brachial().segments.values())), st.data())
def test_a_cut_downstream_takes_part_of_what_one_upstream_takes(segment, data):
    plexus = brachial()
    first = data.draw(st.integers(0, len(segment.course)))
    later = data.draw(st.integers(first, len(segment.course)))
    place = [sites.Site(segment.id, at, "", "") for at in (first, later)]
    upstream, downstream = (injure(plexus, [site]).broken for site in place)
    assert downstream & ~upstream == 0
    if segment.parents:
        above = [sites.Site(p, plexus.exit_of(p, segment.id), "", "") for p in segment.parents]
        assert injure(plexus, [sites.start(plexus, segment.id)]).broken & ~injure(plexus, above).broken == 0


@settings(deadline=None)
@given(cuts)
def test_a_partial_injury_is_never_worse(some):
    whole, part = injure(brachial(), some), injure(brachial(), some, partial=True)
    for complete, partial in zip(outcomes(whole), outcomes(part), strict=True):
        assert partial.loss == min(complete.loss, Loss.PART)
        assert partial.remaining == pytest.approx((1 + complete.remaining) / 2)
    for name, movement in part.movements.items():
        assert movement.loss <= whole.movements[name].loss
        assert movement.loss < Loss.WHOLE


def check_strands(plexus, injury):
    """At its last segment a strand is lost exactly if all of its routes to the target there are broken."""
    found = fibres.of(plexus)
    for target in (*plexus.muscles, *plexus.skin):
        ends = {}
        for route in found.of(target):
            if route.target == target:
                ends.setdefault((route.path[-1], route.root, route.exits[-1]), []).append(route)
        for (segment, root, at), routes in ends.items():
            broken = [any(r.broken_by(*cut) for cut in injury.cuts) for r in routes]
            expected = "lost" if all(broken) else "partly" if any(broken) else "alive"
            assert injury.strand(segment, root, at) == expected


@settings(deadline=None)
@given(cuts)
def test_strands_agree_with_routes(some):
    check_strands(brachial(), injure(brachial(), some))


@pytest.mark.parametrize("seed", range(15))
def test_strands_agree_with_routes_in_random_models(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    for site in sites.all_sites(plexus):
        check_strands(plexus, injure(plexus, [site]))


def test_strands_at_and_around_a_cut():
    after = injure(brachial(), ["upper trunk after nerve to subclavius"])
    assert after.strand("upper-trunk", "C5", source="C5") == "alive"
    assert after.strand("upper-trunk", "C5", 1) == "alive"
    assert after.strand("upper-trunk", "C5", 2) == "lost"
    assert after.strand("suprascapular-nerve", "C5", source="upper-trunk") == "lost"
    assert after.strand("nerve-to-subclavius", "C5", source="upper-trunk") == "alive"
    assert after.strand("radial-nerve", "C7") == "alive"
    assert injure(brachial(), ["upper trunk"], partial=True).strand("upper-trunk", "C5") == "partly"
    with pytest.raises(KeyError):
        after.strand("upper-trunk", "T1")
    after = injure(small("two-stages"), [sites.Site("main-nerve", 1, "", "")])
    assert after.strand("main-nerve", "C5") == "alive", "without a place, the start"
    assert after.strand("main-nerve", "C5", 1) == "lost"


@pytest.mark.parametrize("places", [(1, 2), (2, 1)])
def test_of_two_cuts_of_a_nerve_the_one_nearer_to_the_roots_counts(places):
    after = injure(small("two-stages"), [sites.Site("main-nerve", at, "", "") for at in places])
    assert after.strand("main-nerve", "C5", 1) == "lost"
    assert after.strand("main-nerve", "C5", 0) == "alive"


def test_a_link_keeps_part_of_a_strand_alive():
    after = injure(small("caudal"), ["rear half"])
    assert after.strand("shin-nerve", "S1") == "partly"
    assert after.strand("shin-nerve", "S1", source="rear-half") == "lost"
    assert after.strand("shin-nerve", "S1", source="joining-root") == "alive"


def test_some_cuts_are_partial():
    plexus = brachial()
    mixed = injure(plexus, ["median nerve at carpal tunnel:partial", "ulnar nerve at wrist"])
    assert [(site.id, site.partial) for site in mixed.sites] == [
        ("median-nerve-at-carpal-tunnel", True),
        ("ulnar-nerve-at-wrist", False),
    ]
    assert not mixed.partial
    assert mixed.outcome("abductor-pollicis-brevis").state == "weak"
    assert mixed.outcome("abductor-pollicis-brevis").remaining == 0.5
    assert mixed.outcome("adductor-pollicis").state == "paralysed"
    assert {"claw-hand"} <= {sign.id for sign in mixed.signs}
    assert "thenar-wasting" not in {sign.id for sign in mixed.signs}
    assert mixed.movements["thumb opposition"].state == "weak"
    assert mixed.movements["little finger opposition"].state == "lost"


def test_a_partial_cut_beyond_a_whole_one_adds_nothing():
    plexus = brachial()
    alone = injure(plexus, ["upper trunk"])
    both = injure(plexus, ["upper trunk", "musculocutaneous nerve:partial"])
    assert both.muscles["biceps-brachii"].loss is alone.muscles["biceps-brachii"].loss
    assert both.strand("lateral-cord", "C5") == "lost"
    assert both.strand("musculocutaneous-nerve", "C7") == "partly"
    assert alone.strand("musculocutaneous-nerve", "C7") == "alive"


def test_all_cuts_partial_is_the_same_as_partial():
    plexus = brachial()
    words = ["C5:partial + C6 :PARTIAL", "T1 preganglionic:partial"]
    one, other = injure(plexus, words), injure(plexus, ["C5", "C6", "T1 preganglionic"], partial=True)
    assert one.partial
    assert one.sites == other.sites
    assert dict(one.muscles) == dict(other.muscles)
    assert one.signs == other.signs


@pytest.mark.parametrize("cut", ["C5", "C7", "upper trunk", "ulnar nerve at elbow"])
def test_the_estimate_of_strength_falls_with_what_is_lost(cut):
    """Grades as of the Medical Research Council: 0 no contraction, 3 against gravity, 5 normal (common practice)."""
    after = injure(brachial(), [cut])
    order = {"0": 0, "0-1": 0.5, "2-3": 2.5, "3-4": 3.5, "4-5": 4.5, "5": 5}
    rows = sorted((o.loss, order[o.mrc]) for o in after.muscles.values())
    worst = [max(grade for loss, grade in rows if loss is found) for found in sorted({loss for loss, _ in rows})]
    assert worst == sorted(worst, reverse=True)
    for o in after.muscles.values():
        assert (order[o.mrc] < 1) == (o.loss is Loss.WHOLE)
        assert (order[o.mrc] == 5) == (o.loss is Loss.NONE)


def test_what_leaves_before_the_anterior_rami_is_lost_with_torn_roots_alone():
    """The posterior ramus leaves the spinal nerve first: its muscles tell a torn root (common practice)."""
    rule = deficits.of(brachial())
    for cut, loss in (("C7 preganglionic", Loss.PART), ("C7", Loss.NONE), ("upper trunk", Loss.NONE)):
        assert rule.loss("cervical-paraspinals", injure(brachial(), [cut]).broken) is loss
    every = injure(brachial(), ["C5 to T1 preganglionic"])
    assert rule.loss("cervical-paraspinals", every.broken) is Loss.WHOLE
    assert rule.loss("trapezius", every.broken) is Loss.NONE
