from __future__ import annotations

import pytest
from randoms import brachial, random_plexus, small

from plexusdraw.clinic import deficits
from plexusdraw.errors import FindingsError, UnknownNameError
from plexusdraw.model import load
from plexusdraw.model.entities import Place
from plexusdraw.names import sites


@pytest.mark.parametrize(
    ("text", "id", "at"),
    [
        ("C5", "C5", 1),
        ("upper trunk", "upper-trunk", 0),
        ("C5 after dorsal scapular nerve", "C5-after-dorsal-scapular-nerve", 5),
        ("Upper Trunk distal to suprascapular", "upper-trunk-after-suprascapular-nerve", 3),
        ("radial nerve at spiral groove", "radial-nerve-at-spiral-groove", 7),
        ("spiral groove", "radial-nerve-at-spiral-groove", 7),
        ("radial nerve just above the spiral groove", "radial-nerve-above-spiral-groove", 7),
        ("radial nerve below spiral groove", "radial-nerve-below-spiral-groove", 8),
        ("median nerve in the carpal tunnel", "median-nerve-at-carpal-tunnel", 10),
        ("median nerve above elbow", "median-nerve-above-elbow", 1),
        ("ulnar nerve at wrist", "ulnar-nerve-at-wrist", 7),
        ("radial nerve beyond triceps", "radial-nerve-after-triceps-brachii", 6),
        ("radial nerve before triceps", "radial-nerve-before-triceps-brachii", 2),
        ("C8 preganglionic", "C8-preganglionic", 0),
        ("T1 avulsion", "T1-preganglionic", 0),
        ("posterior interosseous nerve", "posterior-interosseous-nerve", 0),
        ("radial nerve at the arcade of Frohse", "deep-branch-of-radial-nerve-at-supinator-arcade", 1),
        ("upper trunk at suprascapular nerve", "upper-trunk-before-suprascapular-nerve", 2),
    ],
)
def test_what_the_trade_calls_a_place(text, id, at):
    site = sites.parse(brachial(), text)
    assert (site.id, site.at) == (id, at)


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("C5 + C6", ["C5", "C6"]),
        ("C5, C6 and C7 roots", ["C5", "C6", "C7"]),
        ("C5-C7 avulsion", ["C5-preganglionic", "C6-preganglionic", "C7-preganglionic"]),
        ("all roots C5 to T1", ["C5", "C6", "C7", "C8", "T1"]),
        ("axillary and radial nerves", ["axillary-nerve", "radial-nerve"]),
        ("nerves to longus colli and scalenes", ["nerves-to-longus-colli-and-scalenes"]),
    ],
)
def test_several_sites_in_one_text(text, ids):
    assert [site.id for site in sites.parse_all(brachial(), text)] == ids


@pytest.mark.parametrize("text", ["C5 + nowhere", "upper trunk and nowhere", "nowhere"])
def test_several_sites_of_which_one_is_none(text):
    with pytest.raises(UnknownNameError):
        sites.parse_all(brachial(), text)


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("ulnar nerve (cubital tunnel)", "ulnar-nerve-at-elbow"),
        ("ulnar nerve, elbow, before FCU branches", "ulnar-nerve-at-elbow"),
        ("axillary nerve at quadrangular space, before its branches", "axillary-nerve-at-quadrangular-space"),
        ("deep branch of ulnar nerve in palm, beyond hypothenar branches", "deep-branch-of-ulnar-nerve-at-palm"),
        ("upper trunk, anterior division, distal to suprascapular", "anterior-division-of-upper-trunk"),
        ("posterior interosseous nerve distal to supinator", "posterior-interosseous-nerve"),
        ("radial nerve at its origin", "radial-nerve"),
        ("lower trunk postganglionic", "lower-trunk"),
        ("C7 radiculopathy", "C7"),
        ("C5 root torn from the cord", "C5-preganglionic"),
        ("Erb palsy", "upper-trunk-at-erb-point"),
        ("carpal tunnel syndrome", "median-nerve-at-carpal-tunnel"),
    ],
)
def test_remarks_and_what_must_be_true(text, id):
    assert sites.parse(brachial(), text).id == id


def test_what_is_not_true_of_a_place():
    with pytest.raises(UnknownNameError):
        sites.parse(brachial(), "ulnar nerve at elbow, after FCU branches")


def test_a_torn_root_needs_no_level_in_the_model():
    assert sites.parse(small("caudal"), "S1 avulsion") == sites.start(small("caudal"), "S1")
    assert sites.parse(small("caudal"), "torn S1").id == "S1"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("elbow", "Say which"),
        ("deltoid", "is a muscle: name a place on its nerve (posterior branch of axillary nerve"),
        ("median nerve at knee", "no such place on median nerve. Known: median nerve, median nerve at arm"),
        ("nowhere", "nothing in the brachial plexus"),
        ("radial nerve at", "radial nerve"),
    ],
)
def test_what_is_no_place(text, words):
    try:
        found = sites.parse(brachial(), text).name
    except UnknownNameError as error:
        found = str(error)
    assert words in found


def test_every_site_is_understood_by_name_and_by_id():
    for plexus in (brachial(), small("caudal"), small("two-stages"), small("one-root")):
        found = sites.all_sites(plexus)
        assert len({site.id for site in found}) == len(found)
        for site in found:
            assert sites.parse(plexus, site.name) == site
            assert sites.parse(plexus, site.id) == site


def test_at_every_site_something_is_lost():
    for plexus in (brachial(), small("caudal")):
        rule = deficits.of(plexus)
        for site in sites.all_sites(plexus):
            assert site.id in plexus.places or rule.broken([(site.segment, site.at)]), site


@pytest.mark.parametrize("seed", range(10))
def test_the_sites_hold_every_different_cut(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    rule = deficits.of(plexus)
    listed = {rule.broken([(site.segment, site.at)]) for site in sites.all_sites(plexus)}
    for segment in plexus.segments.values():
        for at in range(len(segment.course) + 1):
            broken = rule.broken([(segment.id, at)])
            assert not broken or broken in listed


def test_places_of_a_whole_are_sites_on_all_its_parts():
    plexus = load("lumbosacral")
    found = {site.id: site for site in sites.all_sites(plexus)}
    assert plexus.wholes
    for whole in plexus.wholes.values():
        for id in (whole.id, *(item.id for item in whole.course if isinstance(item, Place))):
            assert {segment for segment, _ in found[id].cuts} == set(plexus.members(whole.id))
            assert sites.parse(plexus, found[id].name) == found[id]


def test_one_name_of_places_on_several_nerves_asks_which():
    plexus = load("cervical")
    places = [p.full_name for p, _, _ in plexus.places.values() if "nerve point of neck" in (p.name, *p.synonyms)]
    with pytest.raises(UnknownNameError, match=r"may mean .* Say which") as told:
        sites.parse(plexus, "nerve point of neck")
    assert len(places) > 1
    assert list(told.value.suggestions) == places


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("C5-C7", ["C5", "C6", "C7"]),
        ("C5 to C7 roots", ["C5", "C6", "C7"]),
        ("C5–T1 avulsion", [f"{root}-preganglionic" for root in ("C5", "C6", "C7", "C8", "T1")]),
        ("C5 and C7", ["C5", "C7"]),
        ("C5, C6 postganglionic", ["C5-postganglionic", "C6-postganglionic"]),
        ("roots C8/T1", ["C8", "T1"]),
        ("upper trunk; C8", ["upper-trunk", "C8"]),
        ("upper trunk together with C8", ["upper-trunk", "C8"]),
        ("upper trunk & C8", ["upper-trunk", "C8"]),
        ("C5 + upper trunk + T1", ["C5", "upper-trunk", "T1"]),
    ],
)
def test_runs_and_lists_of_sites(text, ids):
    assert [site.id for site in sites.parse_all(brachial(), text)] == ids


@pytest.mark.parametrize(
    ("text", "partial"),
    [
        ("C5 + C6", [False, False]),
        ("C5:partial + C6", [True, False]),
        ("C5 + C6:PARTIAL", [False, True]),
        ("C5 + C6 :partial ", [False, True]),
        ("C5, C6:partial", [True, True]),
        ("upper trunk:partial", [True]),
    ],
)
def test_partial_is_for_the_part_at_whose_end_it_stands(text, partial):
    found = sites.parse_all(brachial(), text)
    assert [site.partial for site in found] == partial
    assert [site.text for site in found] == [f"{s.name} (partial)" if s.partial else s.name for s in found]


def test_parts_of_a_text():
    assert [part.strip() for part in sites.parts("C5 + axillary nerve; x & y, z and q")] == [
        *("C5", "axillary nerve", "x", "y", "z", "q")
    ]
    assert sites.parts("band") == ["band"]
    assert sites.parts(" + ") == []


def test_one_place_is_cut_once_and_not_in_two_ways():
    start, again = sites.parse(brachial(), "C5"), sites.parse(brachial(), "C5 root")
    assert sites.together([start, again, start]) == (start,)
    partial = sites.parse(brachial(), "C5:partial")
    with pytest.raises(FindingsError) as told:
        sites.together([start, partial])
    assert str(told.value) == '"C5" and "C5 (partial)" cannot both be true. Leave one of them out.'


class TestSite:
    """What a site is called and what it cuts."""

    def test_its_name_in_each_language(self):
        site = sites.parse(brachial(), "upper trunk")
        assert site.called("latin") == "truncus superior"
        assert site.called("short") == site.called() == "upper trunk"
        partial = sites.parse(brachial(), "upper trunk:partial")
        assert partial.told("latin") == "truncus superior (partial)"

    def test_one_without_a_latin_name_is_called_in_english(self):
        assert sites.parse(small("caudal"), "hip nerve").called("latin") == "hip nerve"

    def test_a_root_torn_from_the_cord_is_cut_at_its_place_of_that_name_else_at_its_start(self):
        assert sites.torn(brachial(), "C5").id == "C5-preganglionic"
        assert sites.torn(small("caudal"), "L3") == sites.start(small("caudal"), "L3")
        whole = small("two-part").wholes["great-nerve"]
        assert sites.torn(small("two-part"), whole.id) == sites.start(small("two-part"), whole.id)

    def test_the_start_of_a_root_lies_past_the_ganglion(self):
        assert sites.start(brachial(), "C5").at == 1
        assert sites.start(small("caudal"), "L3").at == 0

    @pytest.mark.parametrize("name", ["caudal", "two-part", "two-stages"])
    def test_of_each_segment_its_start_its_places_and_after_each_branch_beyond_which_something_leaves(self, name):
        plexus = small(name)
        found = sites.all_sites(plexus)
        assert {s.id for s in found} >= {*plexus.segments, *plexus.wholes, *plexus.places}
        for site in found:
            if "-after-" in site.id:
                segment = plexus.segments[site.segment]
                beyond = segment.course[site.at :]
                ends = [c for c in plexus.children[segment.id] if plexus.exit_of(segment.id, c) == len(segment.course)]
                assert beyond or ends, site.id
        assert len({s.id for s in found}) == len(found)


def test_words_that_several_segments_share_ask_which():
    with pytest.raises(UnknownNameError, match='"half" may mean front half, rear half'):
        sites.parse(small("caudal"), "half")


@pytest.mark.parametrize("text", ["C2 C3", "C2 and C3", "C2-C3", "C2 + C3", "C2, C3", "C2 and C3 roots"])
def test_several_roots_are_not_the_loop_between_them(text):
    assert [site.id for site in sites.parse_all(load("cervical"), text)] == ["C2", "C3"]


@pytest.mark.parametrize("text", ["C2-C3 loop", "loop of C2 and C3", "second cervical loop"])
def test_a_loop_is_named_as_one(text):
    assert [site.id for site in sites.parse_all(load("cervical"), text)] == ["second-cervical-loop"]
