"""Variants: applied by id, checked as any model, told with their lines; conventions change only what is drawn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from randoms import MODELS

import plexusdraw
from plexusdraw.cli.main import cli
from plexusdraw.clinic.injury import injure
from plexusdraw.errors import ModelError, UnknownNameError
from plexusdraw.model import load, loader
from plexusdraw.routes import fibres


@pytest.fixture
def model(tmp_path):
    """Writes the caudal model with a table of variants; returns its path."""

    def write(text: str) -> Path:
        path = tmp_path / "varied.yaml"
        path.write_text((MODELS / "caudal.yaml").read_text("utf-8") + text, "utf-8")
        return path

    return write


def first_line_of(path: Path, text: str) -> int:
    return next(i for i, line in enumerate(path.read_text("utf-8").splitlines(), 1) if text in line)


def test_entries_are_set_added_and_removed(model):
    muscle = next(iter(load(MODELS / "caudal.yaml").muscles.values()))
    path = model(f"""
variants:
  - name: renamed
    kind: convention
    changes: [{{set: {muscle.id}, name: other name, synonyms: [third name]}}]
""")
    varied = load(path, ["renamed"])
    assert varied.muscles[muscle.id].name == "other name"
    assert varied.applied == ("renamed",)
    assert varied.drawing is None  # a name holds in all that is computed
    assert load(path).muscles[muscle.id].name == muscle.name


def test_what_is_removed_is_nowhere_mentioned(model):
    change = "[{remove: foot-drop}, {remove: toe-lifter}]"
    varied = load(model(f"\nvariants:\n  - name: without\n    changes: {change}\n"), ["without"])
    assert "toe-lifter" not in varied.muscles
    assert "foot-drop" not in varied.signs
    assert all(getattr(item, "to", "") != "toe-lifter" for s in varied.segments.values() for item in s.course)


def test_what_a_sign_rests_on_cannot_be_removed_alone(model):
    path = model("\nvariants:\n  - name: without\n    changes: [{remove: toe-lifter}]\n")
    with pytest.raises(ModelError, match=r'foot drop: .* "toe-lifter" is not in this file'):
        load(path, ["without"])


def test_a_fault_in_a_change_names_its_line(model):
    path = model("\nvariants:\n  - name: wrong\n    changes:\n      - {set: hip-nervex, roots: [L3]}\n")
    with pytest.raises(ModelError, match=r"hip-nervex.*Did you mean hip-nerve") as caught:
        load(path, ["wrong"])
    assert f":{first_line_of(path, 'hip-nervex')}: " in str(caught.value)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("{turn: x}", "a change says one of set, add, remove"),
        ("{add: muscels, name: x}", "Did you mean muscles"),
        ("{remove: nothing-such}", 'the model has no "nothing-such"'),
        ("{set: hip-nerve, course: {remove: [nobody]}}", '"nobody" is not in course of hip-nerve'),
        ("{set: hip-nerve, drawn: 7}", "true or false"),
    ],
)
def test_faults_of_changes(model, change, message):
    path = model(f"\nvariants:\n  - name: wrong\n    changes:\n      - {change}\n")
    with pytest.raises(ModelError, match=message):
        load(path, ["wrong"])


def test_two_that_set_the_same_do_not_combine(model):
    path = model("""
variants:
  - {name: one, changes: [{set: hip-nerve, label: one}]}
  - {name: two, changes: [{set: hip-nerve, label: two}]}
""")
    assert load(path, ["one"]).segments["hip-nerve"].label == "one"
    with pytest.raises(ModelError, match='two: "label" of hip-nerve is already set by one'):
        load(path, ["one", "two"])


@pytest.mark.parametrize(
    ("one", "two", "what"),
    [
        ("{set: hip-nerve, course: {add: [knee-flexor]}}", "{set: hip-nerve, course: []}", '"course" of hip-nerve'),
        ("{set: hip-nerve, label: a}", "{remove: hip-nerve}", "hip-nerve"),
        ("{remove: hip-nerve}", "{set: hip-nerve, label: a}", "hip-nerve"),
        ("{add: segments, name: L2, stage: roots}", "{add: segments, name: S5, stage: roots}", "the row of roots"),
        ("{add: segments, name: L2, stage: roots}", "{remove: L3}", "the row of roots"),
    ],
)
def test_what_one_would_undo_of_another_does_not_combine(model, one, two, what):
    path = model(f"\nvariants:\n  - {{name: one, changes: [{one}]}}\n  - {{name: two, changes: [{two}]}}\n")
    for names in (["one", "two"], ["two", "one"]):
        with pytest.raises(ModelError, match=f"two: {what} is already set by one"):
            load(path, names)


def test_several_mean_the_same_in_any_order():
    names = ["lower subscapular from axillary", "thoracodorsal from axillary", "Martin-Gruber"]
    one, other = load("brachial", names), load("brachial", names[::-1])
    assert [*map(repr, one.segments.values())] == [*map(repr, other.segments.values())]
    assert one.applied == other.applied


def test_an_unknown_variant_says_which_there_are(model):
    with pytest.raises(UnknownNameError, match="Did you mean renamed"):
        load(model("\nvariants:\n  - {name: renamed, changes: [{set: hip-nerve, label: x}]}\n"), ["renamd"])
    with pytest.raises(UnknownNameError, match="It has none"):
        load(MODELS / "caudal.yaml", ["renamed"])


def test_a_convention_that_would_change_results_is_told(model):
    """The groin nerve drawn off the hip nerve would come from other roots: that is a variant of bodies."""
    path = model("""
variants:
  - name: drawn off
    kind: convention
    changes:
      - {set: groin-nerve, stage: null, from: [], offshoot: true}
      - set: hip-nerve
        course: {add: [groin-nerve], before: hip-muscle}
""")
    told = CliRunner().invoke(cli, ["check", str(path)])
    assert told.exit_code == 1
    assert "a convention changes only what is drawn" in str(told.exception or told.output) or "does not arrive" in str(
        told.exception or told.output
    )


@pytest.mark.parametrize(
    "change",
    [
        "{remove: hip-muscle}",
        "{remove: hip-nerve}",
        "{set: thigh-nerve, course: {remove: [thigh-nerve-at-groin]}}",
        "{add: segments, name: twig, stage: ends, from: [front-half]}",
    ],
)
def test_a_convention_takes_nothing_away_and_brings_nothing(change, model):
    """Whatever can be cut or highlit by its name is on the drawing, and the other way round."""
    path = model(f"\nvariants: [{{name: drawn off, kind: convention, changes: [{change}]}}]\n")
    told = CliRunner().invoke(cli, ["check", str(path)])
    assert told.exit_code == 1
    assert "a convention changes only what is drawn" in str(told.exception) or "it is with drawn off" in str(
        told.exception
    )


def test_a_link_may_be_for_some_muscles_only():
    """Where it joins the ulnar nerve its fibres go on to these alone, and skin gets none."""
    plain, varied = fibres.of(load()), fibres.of(load("brachial", ["martin-gruber"]))
    more = {id for id in varied.plexus.muscles if len(varied.of(id)) > len(plain.of(id))}
    assert more == set(varied.plexus.segments["martin-gruber-link"].reaches)
    assert all(len(varied.of(id)) == len(plain.of(id)) for id in varied.plexus.skin)


def test_reaches_names_muscles_and_skin(model):
    path = model("\nvariants:\n  - {name: wrong, changes: [{set: hip-nerve, reaches: [hip-nerve]}]}\n")
    with pytest.raises(ModelError, match='muscle or skin area "hip-nerve" is not in this file'):
        load(path, ["wrong"])


def test_a_level_is_taken_out_by_its_id():
    course = load("brachial", ["martin-gruber"]).segments["ulnar-nerve"].course
    assert [getattr(item, "to", item.id if hasattr(item, "id") else "") for item in course] == [
        "ulnar-nerve-at-arm",
        "ulnar-nerve-at-elbow",
        "flexor-carpi-ulnaris",
        "flexor-digitorum-profundus-ulnar-half",
        "ulnar-nerve-beyond-link",
    ]


def advised(path):
    told = CliRunner().invoke(cli, ["check", str(path)])
    assert told.exit_code == 0, told.exception
    return " ".join(told.output.split())


def test_a_root_that_reaches_nothing_is_told_with_what_would_narrow_it(tmp_path):
    assert "Warning" not in advised("brachial")
    text = brachial_with("prefixed")
    wide = text.replace("      - {set: lateral-pectoral-nerve, roots: [C5, C6, C7]}\n", "")
    said = advised(_written(tmp_path, wide))
    line = next(i for i, row in enumerate(wide.splitlines(), 1) if row == "  - name: lateral pectoral nerve")
    assert f":{line}: lateral pectoral nerve: C4 enters it and reaches nothing" in said
    assert "roots: [C5, C6, C7]" in said


def test_a_nerve_that_no_picture_draws_is_told(tmp_path):
    text = brachial_with("pectoral loop")
    undrawn = text.replace("course: [pectoralis-minor], drawn: false,", "course: [pectoralis-minor],")
    assert undrawn != text
    assert "loop between pectoral nerves: no picture draws it" in advised(_written(tmp_path, undrawn))


def brachial_with(*variants):
    """The text of the built-in model with these of its variants alone: each is checked."""
    text = (Path(loader.__file__).parent.parent / "anatomy" / "brachial.yaml").read_text("utf-8")
    plain, _, rest = text.partition("\nvariants:\n")
    kept = [
        row
        for row in re.split(r"(?m)^(?=  - name: )", rest)
        if row.startswith(tuple(f"  - name: {v}\n" for v in variants))
    ]
    assert len(kept) == len(variants)
    return "\nvariants:\n".join([plain, *kept]) + "\n"


def _written(folder: Path, text: str) -> Path:
    path = folder / "mine.yaml"
    path.write_text(text, "utf-8")
    return path


def test_the_variant_is_named_under_the_title_and_not_on_a_sheet_that_asks():
    def words(**asked):
        return plexusdraw.figure(detail="framework", **asked).render("svg").decode()

    assert "Variant: prefixed" in words(variants=["prefixed"])
    assert "Variant:" not in words(variants=["prefixed"], hide=["nerves"])
    assert "Variant:" not in words()


@pytest.mark.parametrize(
    "words",
    [
        ["injure", "C5"],
        ["trace", "deltoid"],
        ["localise", "--weak", "deltoid"],
        ["compare", "C5", "C6"],
    ],
)
def test_answers_begin_with_the_variant(words):
    both = ["--variant", "prefixed", "--variant", "axillary-from-radial"]
    told = CliRunner().invoke(cli, [*words, *both])
    assert told.exit_code == 0, told.exception
    assert told.output.startswith("Variant: prefixed; convention: axillary from radial\n")


@pytest.mark.parametrize("site", ["ulnar nerve at elbow", "C8", "lateral cord", "radial nerve at spiral groove"])
def test_strands_by_routes_are_those_by_ways_where_all_ways_go_everywhere(site):
    """What links that are for some muscles only need, against the count of ways, on a plexus without such links."""
    plexus = load()
    ways, injury = fibres.of(plexus), injure(plexus, [site])
    for target in (*plexus.muscles, *plexus.skin):
        for route in ways.of(target):
            for id, source in zip((*route.path[1:], target), route.path, strict=True):
                if id in plexus.segments or plexus.nerves_of.get(id):
                    by_routes = injury._by_routes(id, route.root, 0, source)
                    assert by_routes == injury.strand(id, route.root, source=source), (id, route)


def test_strands_beyond_a_link_are_cut_off_where_the_link_does_not_go():
    injury = injure(load("brachial", ["martin-gruber"]), ["ulnar nerve at elbow"])
    assert injury.strand("superficial-branch-of-ulnar-nerve", "C8") == "lost"
    assert injury.strand("deep-branch-of-ulnar-nerve", "C8") == "partly"
    assert injury.strand("first-dorsal-interosseous", "T1", source="deep-branch-of-ulnar-nerve") == "partly"
    assert injury.strand("second-dorsal-interosseous", "T1", source="deep-branch-of-ulnar-nerve") == "lost"
