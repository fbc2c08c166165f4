"""What is left out is gone, and what is kept means the same: whatever is kept, for every site."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from randoms import random_plexus, small

from plexusdraw.clinic.injury import Injury
from plexusdraw.courses import left_out
from plexusdraw.courses.keeping import with_needs
from plexusdraw.model import load
from plexusdraw.model.entities import Alternative, Prevalence, Region, Remark, Scenario, Source, Variant
from plexusdraw.model.plexus import Taught
from plexusdraw.names.sites import all_sites
from plexusdraw.routes import fibres

CAUDAL = small("caudal")


def cut(plexus, ids):
    """The plexus with these and what they need."""
    kept = with_needs(plexus, frozenset(ids))
    return left_out.cut(plexus, kept, Taught("mine", left_out=left_out.ids(plexus) - kept, keeps=True))


def some(plexus, seed):
    """A plexus cut down to a few things chosen by chance."""
    dice = random.Random(f"{plexus.id} {seed}")
    targets = sorted({*plexus.muscles, *plexus.skin})
    return cut(plexus, dice.sample(targets, dice.randint(1, max(1, len(targets) // 2))))


@pytest.fixture(
    scope="module", params=[*((name, seed) for name in ("caudal", "two-part") for seed in range(6)), 1, 2, 3], ids=str
)
def pair(request, tmp_path_factory):
    """A plexus, and a course of it."""
    if isinstance(request.param, tuple):
        base = small(request.param[0])
        return base, some(base, request.param[1])
    base = random_plexus(tmp_path_factory.mktemp("random"), request.param)
    return base, some(base, request.param)


def injuries(pair):
    """Every kept site cut, in the whole plexus and in the course."""
    base, course = pair
    whole = {site.id: site for site in all_sites(base)}
    for site in all_sites(course):
        if site.id in whole:
            yield Injury(base, [whole[site.id]]), Injury(course, [site])


def test_what_is_kept_is_there_and_the_rest_is_not(pair):
    base, course = pair
    kept = {e.id for e in course.entities()}
    assert kept <= {e.id for e in base.entities()}
    assert not kept & course.taught.left_out
    assert course.is_selection == bool(course.taught.left_out)


def test_muscles_and_skin_lose_what_they_lose_in_the_whole_plexus(pair):
    compared = 0
    for whole, part in injuries(pair):
        for id, outcome in (*part.muscles.items(), *part.skin.items()):
            assert outcome.loss == whole.outcome(id).loss, (id, whole.sites)
            assert outcome.remaining == pytest.approx(whole.outcome(id).remaining), (id, whole.sites)
            compared += 1
    assert compared


def test_movements_lose_what_they_lose_in_the_whole_plexus(pair):
    for whole, part in injuries(pair):
        for name, movement in part.movements.items():
            assert movement.loss == whole.movements[name].loss, (name, whole.sites)


def test_reflexes_and_signs_are_as_in_the_whole_plexus(pair):
    for whole, part in injuries(pair):
        for id, outcome in part.reflexes.items():
            assert outcome.loss == whole.reflexes[id].loss
        shown = {sign.id for sign in part.signs}
        assert shown == {s.id for s in whole.signs} & set(part.plexus.signs)


def test_strands_that_are_kept_run_as_they_do_in_the_whole_plexus(pair):
    base, course = pair
    before, after = fibres.of(base).carried, fibres.of(course).carried
    for id in course.segments:
        assert dict(after[id]) == {root: minor for root, minor in before[id].items() if root in course.roots}


def test_what_still_counts_has_no_name_and_no_place_in_any_list(pair):
    _, course = pair
    for id, target in course.unseen.items():
        assert target.name in ("another muscle", "another area of skin")
        assert not course.has(id)
        assert id.startswith("another-")
        assert not target.testable
        assert target not in course.entities()


def test_colours_of_roots_stay(pair):
    base, course = pair
    assert course.palette[: len(base.palette)] == base.palette


class TestBesides:
    """What goes with what is left out."""

    base = replace(
        CAUDAL,
        note="Of the toe lifter.",
        regions={
            "part": Region(id="part", name="part", kind="region", nerves=("hip-nerve", "shin-nerve")),
            "far": Region(id="far", name="far", kind="region", nerves=("shin-nerve",)),
        },
        remarks={"knee": Remark("knee", "A note."), "groin": Remark("groin", "Beside the toe lifter.")},
        variants={
            "a": Variant(
                id="a", name="a", kind="variant", prevalence=(Prevalence("1 %"), Prevalence("toe lifter 2 %"))
            ),
            "b": Variant(id="b", name="b", kind="variant", note="It has the toe lifter."),
        },
        scenarios={
            "hip": Scenario(
                id="hip",
                name="hip palsy",
                kind="scenario",
                sites=("hip nerve",),
                alternatives=(Alternative(("shin nerve",)), Alternative(("L3",), "some say")),
            ),
            "shin": Scenario(id="shin", name="shin palsy", kind="scenario", sites=("shin nerve",)),
            "both": Scenario(id="both", name="both", kind="scenario", sites=("hip nerve", "shin nerve")),
        },
        sources=dict(CAUDAL.sources) | {"unused": Source("unused", "Unused")},
    )

    @pytest.fixture
    def course(self):
        return cut(self.base, {"hip-muscle", "thigh-nerve-at-knee", "thigh-nerve-at-groin", "knee-extensor"})

    def test_parts_keep_the_nerves_that_are_kept(self, course):
        assert {id: region.nerves for id, region in course.regions.items()} == {"part": ("hip-nerve",)}

    def test_remarks_are_of_places_that_are_kept_and_name_nothing_else(self, course):
        assert list(course.remarks) == ["knee"]

    def test_variants_that_would_name_it_are_gone_and_so_are_their_figures(self, course):
        assert list(course.variants) == ["a"]
        assert [row.value for row in course.variants["a"].prevalence] == ["1 %"]

    def test_scenarios_are_those_whose_sites_are_all_kept(self, course):
        assert list(course.scenarios) == ["hip"]
        assert [other.note for other in course.scenarios["hip"].alternatives] == ["some say"]

    def test_a_note_that_names_it_is_empty(self, course):
        assert course.note == ""
        assert cut(self.base, left_out.ids(self.base)).note == self.base.note

    def test_sources_are_those_of_what_is_kept(self, course):
        assert "unused" not in course.sources
        assert "made-up" in course.sources, "L5 has it, from which the knee extensor comes"
        assert "made-up" not in cut(CAUDAL, {"groin-muscle"}).sources

    def test_columns_without_a_segment_are_gone_but_for_the_first_and_the_last(self):
        course = cut(CAUDAL, {"groin-muscle"})
        assert [stage.id for stage in course.stages] == ["roots", "ends"]

    def test_what_it_is_called_by_still_counts_for_a_movement(self, course):
        """Hip flexion is done by the groin muscle too, which is left out."""
        after = Injury(course, [next(s for s in all_sites(course) if s.id == "hip-nerve")])
        assert after.movements["hip flexion"].state == "weak"
        assert after.movements["hip rotation"].state == "lost"
        assert {t.name for t in course.unseen.values()} == {"another muscle"}


def test_a_sign_of_a_root_is_kept_where_all_that_the_root_reaches_counts():
    """Torn L5 shows by the loss of all of L5: a course without its muscles would show it after any cut."""
    assert "torn-l5" in cut(CAUDAL, {"torn-l5", *CAUDAL.muscles, *CAUDAL.skin}).signs
    assert "torn-l5" not in cut(CAUDAL, {"toe-lifter"}).signs


def test_a_sign_of_a_cut_nerve_is_kept_where_all_its_parts_are():
    plexus = small("two-part")
    assert "flail-foot" in cut(plexus, {"calf", "shin"}).signs
    assert "flail-foot" not in cut(plexus, {"calf"}).signs


@pytest.mark.parametrize("keep", [("tibial-nerve", "semitendinosus"), ("common-fibular-nerve",)], ids="-".join)
def test_a_cut_nerve_takes_what_runs_in_a_part_that_is_left_out(keep):
    """A course with one part of the sciatic nerve: cut at any place, no movement is done by muscles of the other."""
    base = load("lumbosacral")
    course = cut(base, keep)
    own = {site.id: site for site in all_sites(course) if site.left_out}
    assert own
    for id, site in own.items():
        whole = Injury(base, [next(one for one in all_sites(base) if one.id == id)])
        part = Injury(course, [site])
        assert {name: m.loss for name, m in part.movements.items()} == {
            name: whole.movements[name].loss for name in part.movements
        }


def test_a_plexus_drawn_otherwise_is_cut_both_ways():
    base = replace(CAUDAL, drawing=replace(CAUDAL, name="drawn"))
    course = cut(base, {"hip-muscle"})
    assert course.drawing.name == "drawn"
    assert set(course.drawing.segments) == set(course.segments)
    assert cut(CAUDAL, {"hip-muscle"}).drawing is None


def test_all_that_may_be_kept_is_all_but_scenarios():
    assert left_out.ids(CAUDAL) == {e.id for e in CAUDAL.entities() if e.kind != "scenario"}


@pytest.mark.parametrize("cut_at", ["L3", "L4", "front-band", "hip-nerve"])
def test_a_sign_that_shows_by_a_group_that_is_left_out_shows_by_its_members(cut_at):
    """Limping: one of the muscles of the knee is weak, or the hip muscle is lost and the groin muscle spared."""
    course = cut(CAUDAL, {"hip-muscle"})
    assert "knee-movers" not in course.groups
    sites = {site.id: site for site in all_sites(course)}
    whole = {site.id: site for site in all_sites(CAUDAL)}
    before, after = Injury(CAUDAL, [whole[cut_at]]), Injury(course, [sites[cut_at]])
    assert "limp" in {s.id for s in before.signs}
    assert "limp" in {s.id for s in after.signs}


def test_only_what_something_kept_shows_by_or_shares_still_counts():
    assert dict(cut(CAUDAL, {"sole-skin"}).unseen) == {}
    assert len(cut(CAUDAL, {"hip-muscle"}).unseen) == 3, "the groin muscle, and the two of the knee by which one limps"
