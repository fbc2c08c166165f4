"""What stands beside the losses: levels, sources that differ, structures of other nerves, scenarios."""

from __future__ import annotations

import pytest
from randoms import brachial

from plexusdraw.clinic import remarks, report
from plexusdraw.clinic.injury import injure


def levels(*cuts):
    return [remark.place for remark in remarks.of_places(brachial(), injure(brachial(), cuts).sites)]


@pytest.mark.parametrize(
    ("cuts", "found"),
    [
        (["C7 avulsion"], ["preganglionic"]),
        (["C7"], ["postganglionic"]),
        (["C5 after dorsal scapular nerve"], ["postganglionic"]),
        (["C8", "T1 preganglionic"], ["postganglionic", "preganglionic"]),
        (["upper trunk"], []),
        (["radial nerve at spiral groove"], []),
    ],
)
def test_a_remark_holds_from_its_level_to_the_next(cuts, found):
    assert levels(*cuts) == found


def test_remarks_have_sources_that_the_model_knows():
    for remark in brachial().remarks.values():
        assert remark.sources
        assert set(remark.sources) <= set(brachial().sources)


@pytest.mark.parametrize(
    ("cuts", "partial", "state"),
    [
        (["C5 preganglionic"], False, "weak"),
        ([f"{root} preganglionic" for root in ("C5", "C6", "C7", "C8", "T1")], False, "paralysed"),
        ([f"{root} preganglionic" for root in ("C5", "C6", "C7", "C8", "T1")], True, "weak"),
        (["C5", "C6", "C7", "C8", "T1"], False, None),
        (["upper trunk"], False, None),
    ],
)
def test_paraspinals_tell_an_injury_before_the_ganglion(cuts, partial, state):
    found = {entity.id: word for entity, word in remarks.outside(injure(brachial(), cuts, partial))}
    assert found.get("cervical-paraspinals") == state


@pytest.mark.parametrize(
    ("cut", "found"),
    [
        ("supinator arcade", {"supinator"}),
        ("radial nerve at spiral groove", {"lower-lateral-arm", "posterior-forearm"}),
        ("cubital tunnel", {"flexor-carpi-ulnaris", "flexor-digitorum-profundus-ulnar-half"}),
        ("radial nerve at axilla", set()),
    ],
)
def test_what_sources_let_leave_before_a_level(cut, found):
    assert {one.entity.id for one in remarks.unsure(injure(brachial(), [cut]))} == found


def test_a_scenario_says_what_to_add():
    plexus = brachial()
    tunnel, erb = plexus.scenarios["carpal-tunnel-syndrome"], plexus.scenarios["erb-palsy"]
    assert remarks.hint(tunnel, partial=False) == "Usually partial: add --partial."
    assert remarks.hint(tunnel, partial=True) == ""
    assert remarks.hint(erb, partial=False) == ""
    found = report.beside(injure(plexus, ["carpal tunnel syndrome"]), [tunnel])
    assert found["scenarios"][0]["hint"].startswith("Usually partial")
    titles = {source["id"]: source["title"] for source in found["sources"]}
    assert all(titles[id] for id in found["scenarios"][0]["sources"])


def test_an_eponym_whose_meaning_differs_says_so():
    for id in ("saturday-night-palsy", "honeymoon-palsy", "klumpke-palsy", "cyclist-s-palsy"):
        found = [s for s in brachial().scenarios.values() if s.id in (id, id.replace("-s-", "s-"))]
        assert found, id
        assert found[0].alternatives, id


class TestUnsure:
    """What some sources let leave before a place that is cut."""

    def all(self):
        return [(p, id) for p, _, _ in brachial().places.values() for id in p.variable]

    def test_it_is_told_where_the_cut_takes_it(self):
        found = {
            (u.place.id, u.entity.id) for p, _ in self.all() for u in remarks.unsure(injure(brachial(), [p.full_name]))
        }
        assert found
        for place, id in found:
            assert injure(brachial(), [place]).outcome(id).loss
            assert id in brachial().entity(place).variable

    def test_it_is_not_told_where_nothing_is_lost(self):
        for place, id in self.all():
            told = [u.entity.id for u in remarks.unsure(injure(brachial(), [place.full_name]))]
            assert (id in told) == bool(injure(brachial(), [place.full_name]).outcome(id).loss)

    def test_of_several_cuts_all_are_told(self):
        places = list(dict.fromkeys(p.full_name for p, _ in self.all()))
        each = {(u.place.id, u.entity.id) for p in places for u in remarks.unsure(injure(brachial(), [p]))}
        together = {(u.place.id, u.entity.id) for u in remarks.unsure(injure(brachial(), places))}
        assert each <= together

    def test_it_is_of_the_place_itself_and_not_of_the_nerve(self):
        for place, _ in self.all():
            segment = brachial().places[place.id][1]
            if segment.course[0] is not place:
                assert all(u.place.id != place.id for u in remarks.unsure(injure(brachial(), [segment.name])))
