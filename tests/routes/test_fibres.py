from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from effort import calls
from randoms import brachial, random_plexus, rows, small, write

from plexusdraw.errors import ModelError
from plexusdraw.model import load
from plexusdraw.model.plexus import Taught
from plexusdraw.routes import fibres
from plexusdraw.routes.fibres import Fibres


def test_carried_in_root_order_and_minor_downstream():
    carried = fibres.of(small("caudal")).carried
    assert dict(carried["back-band"]) == {"L4": True, "L5": False, "S1": False, "S2": False}
    assert carried["rear-half"]["L4"] is True
    assert carried["front-half"]["L4"] is False, "L4 arrives by the front band as well, and there in full"
    assert list(carried["groin-nerve"]) == ["L3", "L4"]


def test_between_is_what_one_parent_brings():
    found = fibres.of(small("caudal"))
    assert dict(found.between("back-band", "front-half")) == {"L4": True, "L5": False, "S1": False, "S2": False}
    assert dict(found.between("front-half", "thigh-nerve")) == {"L3": False, "L4": False}


def test_routes_of_a_muscle_with_two_nerves():
    routes = fibres.of(small("caudal")).of("knee-flexor")
    by_deep = [r for r in routes if r.path[-1] == "deep-branch-of-shin-nerve"]
    assert {r.root for r in by_deep} == {"S1", "S2"}
    assert all(r.minor for r in by_deep), "S1 is principal for the muscle, but not by this nerve"
    assert by_deep[0].path == ("S1", "back-band", "rear-half", "shin-nerve", "deep-branch-of-shin-nerve")
    assert by_deep[0].exits == (0, 0, 0, 2, 1)


def test_a_dermatome_has_all_skin_routes_of_its_root():
    found = fibres.of(small("caudal"))
    assert {r.target for r in found.of("s1-dermatome")} == {"sole-skin"}
    assert {r.root for r in found.of("s1-dermatome")} == {"S1"}
    assert not any(r.target == "s1-dermatome" for r in found.routes)


def test_what_no_fibres_reach_has_no_routes():
    found = fibres.of(small("caudal"))
    assert found.of("nothing") == found.through("nothing") == ()


def test_supplies_and_ways():
    found = fibres.of(small("caudal"))
    assert found.ways("groin-nerve") == (("L3", "groin-nerve"), ("L4", "groin-nerve"))


def by_search(plexus):
    """The routes found another way: every simple path of the graph on which each segment carries the root."""
    carried = fibres.of(plexus).carried
    found = set()
    for target in (*plexus.muscles.values(), *plexus.skin.values()):
        for root in (*target.roots, *target.minor):
            if not target.dermatome:
                for path in nx.all_simple_paths(plexus.graph, root, target.id):
                    if all(root in carried[segment] for segment in path[:-1]):
                        found.add((root, *path))
    return found


@pytest.mark.parametrize("name", ["two-stages", "one-root", "caudal", "brachial"])
def test_routes_are_the_paths_of_the_graph(name):
    plexus = brachial() if name == "brachial" else small(name)
    found = {(r.root, *r.path, r.target) for r in fibres.of(plexus).routes}
    narrowed = by_search(plexus) - found
    assert found <= by_search(plexus)
    allowed = {"caudal": "deep-branch-of-shin-nerve", "brachial": "brachialis"}
    assert all(allowed.get(name) in path for path in narrowed), "only an exit that is narrowed leaves a path out"


@pytest.mark.parametrize("seed", range(30))
def test_routes_are_the_paths_of_random_graphs(tmp_path, seed):
    plexus = random_plexus(tmp_path, seed)
    assert {(r.root, *r.path, r.target) for r in fibres.of(plexus).routes} == by_search(plexus)


def test_counts_are_the_numbers_of_ways():
    found = fibres.of(brachial())
    for segment, counts in found.counts.items():
        for root, number in counts.items():
            assert number == sum(way[0] == root for way in found.ways(segment))


def test_too_many_routes_are_a_clear_error(tmp_path):
    model = {
        "plexusdraw": 1,
        "id": "net",
        "name": "net",
        "stages": [{"id": f"s{i}", "name": f"s{i}", "singular": f"s{i}"} for i in range(20)],
        "segments": [{"name": "R1", "stage": "s0"}]
        + [{"name": f"p{s}-{i}", "stage": f"s{s}", "from": ["R1"]} for s in (1,) for i in (0, 1)]
        + [
            {"name": f"p{s}-{i}", "stage": f"s{s}", "from": [f"p{s - 1}-0", f"p{s - 1}-1"], "course": []}
            for s in range(2, 20)
            for i in (0, 1)
        ],
        "muscles": [{"name": "end", "roots": ["R1"]}],
    }
    model["segments"][-1]["course"] = ["end"]
    plexus = load(write(tmp_path, model))
    with pytest.raises(ModelError, match="more than 200000 ways"):
        _ = Fibres(plexus).routes


def test_the_ways_that_count_are_those_into_segments_and_those_on_to_targets(monkeypatch):
    plexus = small("caudal")
    into = {id: len(fibres.of(plexus).ways(id)) for id in plexus.segments}
    number = sum(into.values()) + sum(into[nerve] for nerves in plexus.nerves_of.values() for nerve in nerves)
    monkeypatch.setattr(fibres, "MAX_ROUTES", number)
    assert Fibres(plexus).routes
    monkeypatch.setattr(fibres, "MAX_ROUTES", number - 1)
    with pytest.raises(ModelError, match=r"caudal\.yaml: more than"):
        _ = Fibres(plexus).routes
    with pytest.raises(ModelError, match=r"^caudal: more than"):
        _ = Fibres(replace(plexus, path="")).routes


def test_a_route_is_found_by_no_more_work_in_a_larger_plexus(tmp_path):
    def per_route(width):
        made = Fibres(load(write(tmp_path, rows(7, roots=10, stages=4, width=width))))
        return calls(lambda: made.routes) / len(made.routes)

    assert per_route(600) < 1.5 * per_route(60)


def test_a_cut_breaks_what_leaves_at_it_or_beyond():
    route = fibres.of(small("two-stages")).of("second-muscle")[0]
    assert (route.path, route.exits) == (("C5", "main-nerve"), (1, 2))
    assert route.broken_by("C5", 1)
    assert not route.broken_by("C5", 2)
    assert route.broken_by("main-nerve", 2)
    assert not route.broken_by("main-nerve", 3)
    assert not route.broken_by("side-nerve", 0)


@pytest.mark.parametrize("name", ["caudal", "brachial"])
def test_shown_are_all_shares_or_principal_ones_alone_where_a_course_hides_the_others(name):
    plexus = brachial() if name == "brachial" else small(name)
    every = fibres.of(plexus)
    assert every.shown == every.carried
    hidden = Fibres(replace(plexus, taught=Taught("mine", minor=False)))
    for id, shares in every.carried.items():
        assert dict(hidden.shown[id]) == {root: False for root, minor in shares.items() if not minor}
    assert dict(hidden.carried) == dict(every.carried), "they still count"


def test_what_is_left_out_and_counts_is_passed_by_routes_that_are_asked_for_alone():
    plexus = small("caudal")
    rest = {id: muscle for id, muscle in plexus.muscles.items() if id != "hip-muscle"}
    course = Fibres(replace(plexus, muscles=rest, unseen={"hip-muscle": plexus.muscles["hip-muscle"]}))
    assert course.through("hip-nerve") == ()
    assert {r.target for r in course.through("hip-nerve", unseen=True)} == {"hip-muscle"}
