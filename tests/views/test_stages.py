"""A plexus built up column by column: what comes later is hidden, what is there stays."""

from __future__ import annotations

from itertools import pairwise

import pytest
from randoms import brachial, random_plexus, small

import plexusdraw
from plexusdraw.errors import UnknownNameError
from plexusdraw.scene import Heading, Label, Note, Panel, Pill, Row, Strand
from plexusdraw.views import stages

NAMES = ("caudal", "two-part", "two-stages")


def scene_of(plexus, detail="muscles"):
    return plexusdraw.figure(plexus, detail=detail, paper="fit").pages()[0].scene


@pytest.mark.parametrize("name", NAMES)
def test_a_segment_of_a_stage_is_drawn_in_its_column(name):
    plexus = small(name)
    columns = stages.column_of(plexus)
    for i, stage in enumerate(plexus.stages):
        assert {columns[s.id] for s in plexus.staged(stage.id)} <= {i}


def test_a_side_branch_is_drawn_in_the_column_of_the_last_of_its_parents_and_a_link_in_that_of_its_child():
    columns = stages.column_of(small("caudal"))
    assert columns["groin-nerve"] == 0
    assert columns["hip-nerve"] == 1
    assert columns["joining-root"] == 3, "it joins the shin nerve"
    assert columns["deep-branch-of-shin-nerve"] == 3


def test_a_nerve_of_several_parts_is_drawn_in_its_own_column():
    columns = stages.column_of(small("two-part"))
    assert columns["great-nerve"] == 2
    assert columns["inner-twig"] == 2


@pytest.mark.parametrize("name", NAMES)
def test_every_stage_adds_to_what_was_built_up_before(name):
    plexus = small(name)
    built = [stages.reached(plexus, stage.id) for stage in plexus.stages]
    assert all(before < after for before, after in pairwise(built))
    assert built[-1] == {*plexus.segments, *plexus.wholes}
    assert built[0] >= set(plexus.roots)


@pytest.mark.parametrize("seed", range(5))
def test_what_is_built_up_stands_on_what_was_built_up_before(tmp_path, seed):
    """No segment without its parents, links aside, which wait for what they join."""
    plexus = random_plexus(tmp_path, seed)
    for stage in plexus.stages:
        built = stages.reached(plexus, stage.id)
        assert all(parent in built for id in built for parent in plexus.segments[id].parents)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_shown_and_what_is_hidden_are_all_and_share_nothing(name):
    plexus, scene = small(name), scene_of(small(name))
    for stage in plexus.stages:
        hidden, built = stages.hidden(plexus, scene, stage.id), stages.reached(plexus, stage.id)
        assert set(hidden.values()) <= {"hidden"}
        drawn = {p.entity for p in scene.parts if isinstance(p, Strand | Pill | Label) and p.entity in plexus.segments}
        assert drawn & set(hidden) == drawn - built


@pytest.mark.parametrize("name", NAMES)
def test_columns_that_come_later_have_no_heading_yet(name):
    plexus, scene = small(name), scene_of(small(name))
    ids = [stage.id for stage in plexus.stages]
    for i, id in enumerate(ids):
        assert set(ids) & set(stages.hidden(plexus, scene, id)) == set(ids[i + 1 :])


@pytest.mark.parametrize("name", NAMES)
def test_the_table_comes_with_the_last_column(name):
    plexus, scene = small(name), scene_of(small(name))
    rows = {p.entity for p in scene.parts if isinstance(p, Row)}
    assert rows
    *earlier, last = plexus.stages
    for stage in earlier:
        assert rows <= set(stages.hidden(plexus, scene, stage.id))
    assert not stages.hidden(plexus, scene, last.id)


def test_panels_and_notes_stay_where_they_are():
    plexus, scene = small("caudal"), scene_of(small("caudal"))
    hidden = stages.hidden(plexus, scene, "roots")
    shown = [p for p in scene.parts if isinstance(p, Panel | Note | Heading)]
    assert [p for p in shown if isinstance(p, Note)]
    assert not {p.key for p in shown if isinstance(p, Note)} & set(hidden)


@pytest.mark.parametrize("text", ["bands", "BANDS", "band", "Band"])
def test_a_stage_is_known_by_its_id_its_name_and_the_word_for_one_in_any_case(text):
    assert stages.reached(small("caudal"), text) == stages.reached(small("caudal"), "bands")


def test_a_stage_that_the_model_does_not_have_is_told_with_those_that_it_has():
    with pytest.raises(UnknownNameError) as told:
        stages.reached(small("caudal"), "cords")
    wanted = 'no stage "cords" in the caudal plexus; its stages are roots, bands, halves, ends'
    assert str(told.value) == wanted


def test_the_stage_of_a_segment_is_that_of_its_column():
    assert stages.stage_of(brachial(), "long-thoracic-nerve") == "roots"
    assert stages.stage_of(brachial(), "suprascapular-nerve") == "trunks"
    assert stages.stage_of(brachial(), "thoracodorsal-nerve") == "cords"
    assert stages.stage_of(brachial(), "posterior-interosseous-nerve") == brachial().stages[-1].id
